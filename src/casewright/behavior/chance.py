"""Chance that small errors add up to too much: worst case and by drawing them again and again.

An error is known by its limits only, so every value between them is taken as equally likely (jcgm-100, 4.3.7).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

DRAWS = 20_000
"""How often every error is drawn: a chance of one in ten comes out to within half a percent of all draws."""

SEED = 20_000
"""Of the draws: the same cabinet gives the same figures."""

Floats = NDArray[np.float64]

_NOTHING = 1e-9  # mm


@dataclass(frozen=True)
class Odds:
    """What comes of several errors together."""

    limits: tuple[float, ...]
    """Of each error, to either side. [mm]"""
    rows: tuple[tuple[float, ...], ...]
    """By how much each error counts, for every way in which it can go wrong."""
    margins: tuple[float, ...]
    """Most that each of those ways bears. [mm]"""
    chance: float
    """Share of the draws in which one of them is passed."""

    @property
    def worst(self) -> float:
        """All errors at their limits, in the way that is left the least. [mm]"""
        return self._sums[self.governing]

    @property
    def sigma(self) -> float:
        """Standard deviation in that way: root of the sum of squares, each limit over √3. [mm]

        Source:
            jcgm-100, 4.3.7 and 5.1.2.
        """
        row = self.rows[self.governing]
        return math.sqrt(sum((c * a) ** 2 / 3 for c, a in zip(row, self.limits, strict=True)))

    @cached_property
    def governing(self) -> int:
        """The way that is passed by most at worst."""
        over = [w - m for w, m in zip(self._sums, self.margins, strict=True)]
        return max(range(len(over)), key=lambda i: over[i])

    @property
    def shares(self) -> tuple[float, ...]:
        """Share of each error in the variance of that way; they add up to 1."""
        row = self.rows[self.governing]
        parts = [(c * a) ** 2 for c, a in zip(row, self.limits, strict=True)]
        whole = math.fsum(parts)
        return tuple(part / whole if whole else 0.0 for part in parts)

    def more_margin(self, chance: float) -> float:
        """What every margin must grow by for the draws to pass it in no more than this share. [mm, 0 or more]"""
        excess = np.sort(_excess(self.limits, self.rows, self.margins))
        last = len(excess) - 1 - math.floor(chance * len(excess))
        return max(0.0, float(excess[max(last, 0)]))

    def draws(self) -> Floats:
        """Draws of the governing way. [mm]"""
        return _drawn(self.limits, self.rows[self.governing], 0.0)

    @property
    def _sums(self) -> tuple[float, ...]:
        return tuple(
            math.fsum(abs(c) * a for c, a in zip(row, self.limits, strict=True))
            for row in self.rows
        )


@lru_cache(maxsize=1024)
def odds_of(
    limits: tuple[float, ...],
    rows: tuple[tuple[float, ...], ...],
    margins: tuple[float, ...],
) -> Odds:
    """Worst case and chance of errors that add up.

    Args:
        limits: Of each error, to either side. [mm]
        rows: How much each error counts, for every way in which it can go wrong.
        margins: Most that each way bears; a margin of exactly the worst case is never passed. [mm]

    Source:
        jcgm-100, 4.3.7 (limits only: all values between are equally likely); jcgm-101 (draws).
    """
    made = Odds(limits, rows, margins, 0.0)
    if all(worst <= most + _NOTHING for worst, most in zip(made._sums, margins, strict=True)):
        return made  # not even all errors at their limits pass: nothing to draw
    excess = _excess(limits, rows, margins)
    return replace(made, chance=float((excess > _NOTHING).mean()))


def _excess(
    limits: tuple[float, ...], rows: tuple[tuple[float, ...], ...], margins: tuple[float, ...]
) -> Floats:
    """For each draw, what the worst of all ways passes its margin by; negative where all hold. [mm]"""
    excess = np.full(DRAWS, -math.inf)
    for row, margin in zip(rows, margins, strict=True):
        np.maximum(excess, _drawn(limits, row, margin), out=excess)
    return excess


def _drawn(limits: tuple[float, ...], row: tuple[float, ...], margin: float) -> Floats:
    """Draws of one way, less its margin. [mm]

    Added up error by error: most count for nothing in most ways, and the sums are the same on every machine.
    """
    sums, one = np.full(DRAWS, -float(margin)), np.empty(DRAWS)
    for count, limit, drawn in zip(row, limits, _unit(len(limits)), strict=True):
        if weight := count * limit:
            sums += np.multiply(drawn, weight, out=one)
    return sums


@lru_cache(maxsize=16)
def _unit(count: int) -> Floats:
    """Draws of so many errors between −1 and 1, a row for each error."""
    drawn = np.empty((count, DRAWS))
    np.multiply(np.random.default_rng(SEED).random((DRAWS, count)).T, 2.0, out=drawn)
    drawn -= 1.0
    drawn.flags.writeable = False
    return drawn


__all__ = ["DRAWS", "SEED", "Odds", "odds_of"]
