"""How few sheets could be enough: bounds that no layout can beat."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from casewright.planning.cutting.model import Blank, Stock

_UNIT = 1e-3  # mm; parts are rounded down to it and sheets up, so that the bound stays safe
_MOST_FUNCTIONS = 60  # an axis; more cost time and hardly ever gain


def least_sheets(blanks: Sequence[Blank], stock: Sequence[Stock], kerf: float) -> int:
    """Return a number of bought sheets below which no cutting plan can go.

    Every part and every sheet is made one kerf longer and wider; then parts that a kerf parted simply touch, and a
    bound for packing rectangles holds. Measures are passed through pairs of dual feasible functions, which make
    large parts count more than their area. A part that may be turned counts by the lesser of its two ways. Several
    stock sizes are taken as one that covers them all; an offcut can at most stand in for one such sheet.

    Args:
        blanks: Parts that fit at least one of the sheets. [mm]
        stock: Sheets and offcuts. [mm]
        kerf: Width of a saw cut. [mm]

    Source:
        S. P. Fekete, J. Schepers, "A general framework for bounds for higher-dimensional
        orthogonal packing problems", Math. Methods Oper. Res. 60 (2004); the functions as in J. Carlier,
        F. Clautiaux, A. Moukrim, Computers & Oper. Res. 34 (2007) - from memory.
    """
    bought = [s for s in stock if not s.offcut]
    offcuts = [s for s in stock if s.offcut for _ in range(s.available or 0)]
    if not blanks:
        return 0
    kinds = [(b.length + kerf, b.width + kerf, b.quantity, b.grain == "none") for b in blanks]
    if not bought:
        return 0

    def grown(s: Stock) -> float:
        return (s.usable_length + kerf) * (s.usable_width + kerf)

    area = sum(length * width * n for length, width, n, _ in kinds)
    by_area = (area - sum(map(grown, offcuts))) / max(map(grown, bought))
    length = max(s.usable_length for s in stock) + kerf
    width = max(s.usable_width for s in stock) + kerf
    by_functions = _dual_feasible(kinds, length, width) - len(offcuts)
    return max(0, _up(by_area), _up(by_functions))


def _up(value: float) -> int:
    return math.ceil(value - 1e-7)


def _dual_feasible(
    kinds: Sequence[tuple[float, float, int, bool]], length: float, width: float
) -> float:
    def down(values: list[float]) -> NDArray[np.int64]:
        return np.floor(np.array(values) / _UNIT + 1e-3).astype(np.int64)

    sheet = [math.ceil(length / _UNIT - 1e-3), math.ceil(width / _UNIT - 1e-3)]
    long, wide = down([k[0] for k in kinds]), down([k[1] for k in kinds])
    count = np.array([k[2] for k in kinds], dtype=float)
    turns = np.array([k[3] for k in kinds], dtype=bool)
    seen = [np.concatenate([long, wide[turns]]), np.concatenate([wide, long[turns]])]
    choices = [_parameters(seen[axis], sheet[axis]) for axis in (0, 1)]
    along = [_table(choices[0], values, sheet[0]) for values in (long, wide)]
    across = [_table(choices[1], values, sheet[1]) for values in (wide, long)]
    # A way that does not fit the sheet at all must not count as the lesser one.
    straight_fits = (long <= sheet[0]) & (wide <= sheet[1])
    turned_fits = turns & (wide <= sheet[0]) & (long <= sheet[1])
    best = 0.0
    for row in range(along[0].shape[0]):
        straight = np.where(straight_fits, along[0][row] * across[0], np.inf)
        turned = np.where(turned_fits, along[1][row] * across[1], np.inf)
        least = np.minimum(straight, turned)
        best = max(best, float((np.where(np.isfinite(least), least, 0.0) @ count).max()))
    return best


def _parameters(values: NDArray[np.int64], size: int) -> list[tuple[str, int]]:
    half = size // 2
    found = {int(v) for v in values if v <= half}
    found |= {int(size - v) + 1 for v in values if half < v < size} | {half}
    marks = sorted(mark for mark in found if 0 < mark <= half)
    if len(marks) > _MOST_FUNCTIONS // 2:
        step = len(marks) / (_MOST_FUNCTIONS // 2)
        marks = [*(marks[int(i * step)] for i in range(_MOST_FUNCTIONS // 2)), half]
    return [("same", 0)] + [("small", m) for m in marks] + [("steps", m) for m in marks]


def _table(
    choices: list[tuple[str, int]], values: NDArray[np.int64], size: int
) -> NDArray[np.float64]:
    """One row a function, one column a part: what the part's measure counts, 1 for a whole sheet.

    "small" e: below e counts nothing, above size − e all.
    "steps" e: whole steps of e; a measure past the middle counts all that its rest leaves over.
    """
    rows = []
    for name, mark in choices:
        share = values / size
        if name == "small":
            share = np.where(values < mark, 0.0, np.where(values > size - mark, 1.0, share))
        elif name == "steps":
            all_steps = size // mark
            rest = np.maximum(size - values, 0)
            share = np.where(
                2 * values > size,
                (all_steps - rest // mark) / all_steps,
                np.where(2 * values == size, 0.5, (values // mark) / all_steps),
            )
        rows.append(share)
    return np.array(rows, dtype=np.float64)


__all__ = ["least_sheets"]
