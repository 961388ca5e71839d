"""What is sold by length: by the metre, by the foot, in sticks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from casewright.basics.customary import METRES_PER_FOOT, stick_words
from casewright.basics.units import TOUCHING, Unit

SPARE = 1.1
"""A tenth more than is cut. Common practice."""

FOOT_STICKS = tuple(feet * 304.8 for feet in (8, 10, 12, 16))
"""Lengths that strip wood is sold in where inches are used. [mm] Common practice."""


@dataclass(frozen=True)
class Sold:
    """An amount as it is sold."""

    quantity: float
    unit: Literal["m", "ft"]

    @property
    def of_a_metre(self) -> float:
        """The unit, as a share of a metre; prices are given by the metre."""
        return METRES_PER_FOOT if self.unit == "ft" else 1.0


def sold(metres: float, unit: Unit, *, step: float = 1.0) -> Sold:
    """So many meters as they are bought: whole feet in an inch project, else whole steps of a metre.

    Example:
        >>> sold(12.43, "mm"), sold(12.43, "in")
        (Sold(quantity=13.0, unit='m'), Sold(quantity=41.0, unit='ft'))
    """
    if unit == "in":
        return Sold(float(math.ceil(metres / METRES_PER_FOOT - 1e-9)), "ft")
    return Sold(math.ceil(metres / step - 1e-9) * step, "m")


@dataclass(frozen=True)
class Sticks:
    """Strips cut out of sticks of one length."""

    length: float
    """Of a stick. [mm]"""
    of: tuple[int, ...]
    """For each strip, in the order given, the number of its stick, from 1."""

    @property
    def count(self) -> int:
        """How many sticks."""
        return max(self.of, default=0)

    def words(self, unit: Unit) -> str:
        """Such as "3 sticks of 8 ft"."""
        return (
            f"{self.count} stick{'s' if self.count > 1 else ''} of {stick_words(self.length, unit)}"
        )


def sticks_for(
    lengths: Sequence[float], unit: Unit, *, kerf: float, stick: float | None = None
) -> Sticks | None:
    """Strips laid out on sticks: the longest first, each on the first stick that has room for it.

    Args:
        lengths: Of the strips. [mm]
        unit: The project's: in inches sticks of 8 ft and more are sold, else strips by the metre.
        kerf: Of the saw. [mm]
        stick: Length of a stick, where the maker says. [mm]

    Returns:
        None where strips are bought by the metre, or one is longer than a stick.

    Source:
        First fit decreasing: at most 11/9 of the fewest sticks and 6/9 of one (Dósa, 2007).

    Example:
        >>> sticks_for([600, 1000, 900], "mm", kerf=3, stick=2000).of
        (2, 1, 1)
    """
    longest = max(lengths, default=0.0)
    sold_in = (stick,) if stick is not None else FOOT_STICKS if unit == "in" else ()
    length = next((one for one in sold_in if one >= longest - TOUCHING), None)
    if length is None or not lengths:
        return None
    room: list[float] = []
    of = [0] * len(lengths)
    for index in sorted(range(len(lengths)), key=lambda i: (-lengths[i], i)):
        need = lengths[index] + kerf  # the last cut of a stick may fall beside it
        at = next((n for n, left in enumerate(room) if left >= need - TOUCHING), None)
        if at is None:
            room.append(length + kerf)
            at = len(room) - 1
        room[at] -= need
        of[index] = at + 1
    return Sticks(length, tuple(of))


__all__ = ["FOOT_STICKS", "SPARE", "Sold", "Sticks", "sold", "sticks_for"]
