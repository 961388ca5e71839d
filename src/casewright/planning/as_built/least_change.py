"""The fewest and least changes of free dimensions that close all gaps: a small least-change problem."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

Vector = NDArray[np.float64]
SMALLEST = 0.02
"""A step below this is none: nothing is measured so finely."""
OPENED = 0.05
"""Share of the tolerance by which a step may open a gap that it need not close."""


@dataclass(frozen=True)
class Change:
    """Some of the free dimensions, each by a step."""

    columns: tuple[int, ...]
    steps: tuple[float, ...]
    cost: float
    """Sum of the steps, each by its weight."""


def least_changes(
    effect: Vector,
    gap: Vector,
    weights: Sequence[float],
    *,
    tolerance: float,
    largest: Sequence[float],
    at_least: NDArray[np.bool_] | None = None,
    most: int = 3,
) -> tuple[Change, ...]:
    """Every smallest set of columns whose steps bring all gaps within tolerance, the least change first.

    Args:
        effect: Change of each gap by a unit step of each free dimension, shape (gaps, dimensions).
        gap: What each is off by now, shape (gaps,).
        weights: How unwelcome a unit step of each dimension is; one of 0 moves for nothing, with any set.
        tolerance: A gap within this is closed.
        largest: Largest step of each dimension.
        at_least: Where true, only a negative gap has to be closed: more is no harm. Shape (gaps,).
        most: Largest number of dimensions that change together.

    Source:
        Least squares on each set; sets by size, so that the fewest dimensions change.
    """
    free = [j for j, weight in enumerate(weights) if weight == 0]
    paid = [j for j, weight in enumerate(weights) if weight > 0]
    one_way = np.zeros(len(gap), dtype=bool) if at_least is None else at_least.astype(bool)
    if not np.where(one_way, gap < -tolerance, np.abs(gap) > tolerance).any():
        return ()
    for size in range(1, most + 1):
        found = list(_of_size(effect, gap, weights, tolerance, largest, one_way, paid, free, size))
        if found:
            return tuple(sorted(found, key=lambda change: (round(change.cost, 6), change.columns)))
    return ()


def _of_size(
    effect: Vector,
    gap: Vector,
    weights: Sequence[float],
    tolerance: float,
    largest: Sequence[float],
    one_way: NDArray[np.bool_],
    paid: Sequence[int],
    free: Sequence[int],
    size: int,
) -> Iterator[Change]:
    harmful = np.where(one_way, gap < -OPENED * tolerance, True)
    for chosen in combinations(paid, size):
        columns = (*chosen, *free)
        part = effect[:, columns]
        if not np.abs(part[:, :size]).max(axis=0).all():
            continue  # one of them changes nothing
        rows = harmful
        for _ in range(4):  # gaps that a step opens join those that it must close
            steps = _solved(part[rows], gap[rows])
            left = gap + part @ steps
            opened = (left < -OPENED * tolerance) & ~rows
            if not opened.any():
                break
            rows = rows | opened
        wrong = np.where(one_way, left < -tolerance, np.abs(left) > tolerance)
        if wrong.any():
            continue
        if any(abs(steps[k]) > largest[j] for k, j in enumerate(chosen)):
            continue
        if any(abs(steps[k]) < SMALLEST for k in range(size)):
            continue  # a smaller set does as well
        cost = sum(weights[j] * abs(float(steps[k])) for k, j in enumerate(chosen))
        yield Change(chosen, tuple(float(step) for step in steps[:size]), cost)


def _solved(part: Vector, gap: Vector) -> Vector:
    if not len(gap):
        return np.zeros(part.shape[1])
    return np.asarray(np.linalg.lstsq(part, -gap, rcond=1e-9)[0], dtype=np.float64)


__all__ = ["Change", "least_changes"]
