"""Current and voltage of a light strip: what it draws, what it loses along itself, and where to feed it."""

from __future__ import annotations

from typing import Literal

from casewright.behavior.wires import RESISTIVITY
from casewright.catalog.kinds import Strip

Feed = Literal["one end", "both ends", "middle"]

COPPER = 0.035
"""Copper of a strip, taken thin: one ounce to the square foot. [mm] Common practice."""

RAIL_SHARE = 0.35
"""Width of one rail of a strip, by the strip's width. Common practice."""

_PARTS = {"one end": 2.0, "both ends": 8.0, "middle": 8.0}


def strip_ohms(strip: Strip) -> float:
    """Resistance of both rails of a strip. [Ω/m]

    As measured, else worked out from its width with thin copper.

    Source:
        R = ρ × length ÷ area, both rails.

    Example:
        >>> round(strip_ohms(Strip(width=10)), 3)
        0.281
    """
    if strip.ohms_per_m is not None:
        return strip.ohms_per_m
    return 2 * RESISTIVITY / 1000 / (COPPER * RAIL_SHARE * strip.width)


def strip_drop(metres: float, amps: float, ohms_per_m: float, feed: Feed) -> float:
    """Voltage lost from the feed to the light farthest from it, all lights drawing alike. [V]

    Args:
        metres: Length of strip in one chain.
        amps: Current of the whole chain.
        ohms_per_m: Of both rails.
        feed: Where the supply is joined to the chain.

    Source:
        Ohm's law for a load spread evenly: fed from one end R × I ÷ 2; fed from both ends or in the middle each half
        carries half the current over half the length, R × I ÷ 8.
    """
    return ohms_per_m * metres * amps / _PARTS[feed]


def joint_count(rows: int, wires: int, feed: Feed) -> int:
    """Soldered wire ends on the strip: the feeds, and a bridge from each row to the next."""
    return wires * ((2 if feed == "both ends" else 1) + 2 * (rows - 1))


__all__ = ["COPPER", "RAIL_SHARE", "Feed", "joint_count", "strip_drop", "strip_ohms"]
