"""How the cabinet hangs when it is carried by its grips: behind or before them, over or under."""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.basics.reckoning import Reckoning, Term, derived
from casewright.behavior.balance import Balance
from casewright.catalog.kinds import Grip
from casewright.geometry.model import Cabinet, Placed

LEVEL_DEG = 10.0
"""It may hang so far out of level. Common practice: the angle at which loose things begin to slide on wood."""


@dataclass(frozen=True)
class Hanging:
    """A pair of grips on both sides, and what hangs on it."""

    grips: tuple[Placed, Placed]
    behind: float
    """Centre of gravity behind the grips; negative before them. [mm]"""
    under: float
    """Centre of gravity under the grips; negative over them. [mm]"""
    number: Reckoning

    @property
    def turns_over(self) -> bool:
        """Whether the centre of gravity is over the hands: it wants to turn round them."""
        return self.under <= 0

    @property
    def tilt_deg(self) -> float:
        """How far out of level it hangs; 90° and more where it turns over."""
        return abs(self.number.value)


def hangings_of(cabinet: Cabinet, balance: Balance) -> tuple[Hanging, ...]:
    """Every pair of grips, one on each side, by which it can be carried.

    Source:
        Statics: a body that hangs from an axis comes to rest with its centre of gravity below the axis.
    """
    if balance.total_kg <= 0:
        return ()
    grips = [p for p in cabinet.placed if isinstance(p.part.data, Grip)]
    left = [p for p in grips if p.piece == "left"]
    right = [p for p in grips if p.piece == "right"]
    return tuple(_hanging(pair, balance) for pair in zip(left, right, strict=False))


def _hanging(pair: tuple[Placed, Placed], balance: Balance) -> Hanging:
    _, y, z = balance.centre
    at_y, at_z = (sum(p.frame.origin[axis] for p in pair) / 2 for axis in (1, 2))
    behind, under = y - at_y, at_z - z
    number = derived(
        f"{pair[0].key}.hang",
        f"out of level when carried by {pair[0].label}",
        math.degrees(math.atan2(behind, under)),
        "arctan(behind ÷ under)",
        [
            Term("centre of gravity behind the grips", behind),
            Term("centre of gravity under the grips", under),
        ],
        unit="deg",
        rule="What hangs comes to rest with its centre of gravity below the hands; positive: the back sinks.",
    )
    return Hanging(pair, behind, under, number)


__all__ = ["LEVEL_DEG", "Hanging", "hangings_of"]
