"""Variants that no other one beats."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np

from casewright.planning.exploring.rows import Aim, Row


def best_of(rows: Iterable[Row], aims: Sequence[Aim]) -> frozenset[int]:
    """Return the numbers of the variants that are not dominated.

    A variant is dominated where another one is at least as good in every aim and better in one. Of variants that are
    equal in every aim each stays. One that was not worked out, or lacks one of the figures, is not compared; a figure
    that none has, such as the picture's share of cabinets without a display, is no aim.

    Source:
        Pareto's order; the definition of dominance as in any textbook of multi-objective optimization (a value from
        memory: Deb, Multi-Objective Optimization using Evolutionary Algorithms, 2001, definition 2.5).

    Example:
        >>> rows = [Row(n, {}, {"cost": c, "mass": m}) for n, c, m in [(1, 5, 9), (2, 6, 8), (3, 6, 9)]]
        >>> sorted(best_of(rows, [Aim("cost"), Aim("mass")]))
        [1, 2]
    """
    rows = [row for row in rows if row.is_built]
    aims = [aim for aim in aims if any(row.figures.get(aim.key) is not None for row in rows)]
    numbers: list[int] = []
    values: list[list[float]] = []
    for row in rows:
        told = [row.figures.get(aim.key) for aim in aims]
        known = [value for value in told if value is not None and math.isfinite(value)]
        if len(known) == len(aims):
            numbers.append(row.number)
            values.append(
                [-v if a.better == "more" else v for v, a in zip(known, aims, strict=True)]
            )
    if not numbers or not aims:
        return frozenset(numbers)
    table, at = np.unique(np.array(values, dtype=float), axis=0, return_inverse=True)
    # In this order nobody is beaten by a later one: whoever beats is no greater anywhere, so it stands before.
    front = np.empty_like(table)
    size = 0
    is_best = np.zeros(len(table), dtype=bool)
    for index, one in enumerate(table):
        if size and bool((front[:size] <= one).all(axis=1).any()):
            continue  # all are different, so no greater anywhere is less somewhere
        front[size] = one
        size += 1
        is_best[index] = True
    return frozenset(n for n, best in zip(numbers, is_best[at.ravel()], strict=True) if best)


__all__ = ["best_of"]
