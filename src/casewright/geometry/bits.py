"""Which of the shop's bits makes a hole, and how far it is off.

A hole may come out a little large, where the part's rim covers it; it may not come out small. So a bit a little too
small is offered together with a file, and one much too large is not offered at all.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from casewright.basics.findings import mm
from casewright.basics.units import TOUCHING
from casewright.design.project import Bit

DRILLS = ("brad", "forstner", "hole saw", "twist", "spade")
"""Kinds that bore round holes, cleanest rim first. Source: common practice."""

SNUG = 0.1
"""A bit this much smaller than the hole still serves: bored holes come out about a tenth large. [mm]

Source: common practice.
"""

LOOSE = 0.6
"""Most that a part's hole may be too large where nothing else is known. [mm]

Source: common practice; 28.6 (1 1/8 in) for buttons of 28 is everyday work.
"""

FILE_MOST = 0.6
"""Most that is filed out of a hole by hand. [mm] Source: common practice."""

ROUTER_BIT = 12.7
"""Diameter of the bit that openings are routed with, where the shop lists none. [mm] Source: common practice."""


OVER = 1.0
"""How far a bit that goes right through comes out below. [mm] Source: common practice."""


@dataclass(frozen=True)
class BitChoice:
    """How a round hole is made."""

    kind: str
    """Kind of bit."""
    size: float
    """The hole as it will be. [mm]"""
    bit: float | None
    """Diameter of the shop's bit; None where none comes near or the shop lists none. [mm]"""
    error: float
    """Bit (or else the nearest one in the shop) minus the wanted hole; 0 where none is listed. [mm]"""
    advice: str = ""
    """What to do besides drilling, lengths marked by `mm`; "" if nothing."""

    @property
    def fits(self) -> bool:
        """True where a bit of the shop makes the hole, filed or not."""
        return self.bit is not None


def choose_bit(diameter: float, bits: Iterable[Bit], *, most: float | None = None) -> BitChoice:
    """The bit for a hole that a part asks for.

    Args:
        diameter: Hole that the part asks for. [mm]
        bits: What the shop has.
        most: Largest hole that still serves; `LOOSE` more than `diameter` if not given. [mm]

    Returns:
        The nearest bit from `diameter` to `most`; else the nearest smaller one that a file can make up for; else
        none, with the error of the nearest one there is.

    Source:
        Plain arithmetic; the limits are common practice.

    Example:
        >>> choose_bit(24, [Bit(kind="forstner", sizes=(23.8125, 24.209375, 25.4))]).bit
        24.209375
    """
    limit = diameter + LOOSE if most is None else most
    drills = _drills(bits)
    if not drills:
        return BitChoice(usual_drill(diameter), diameter, None, 0.0)
    fitting = [d for d in drills if diameter - SNUG - TOUCHING <= d[1] <= limit + TOUCHING]
    if fitting:
        kind, size = min(fitting, key=lambda d: _preference(d, diameter))
        return BitChoice(kind, size, size, size - diameter)
    small = [d for d in drills if diameter - FILE_MOST <= d[1] < diameter]
    if small:
        kind, size = min(small, key=lambda d: _preference(d, diameter))
        return BitChoice(kind, diameter, size, size - diameter, f"file out {mm(diameter - size)}")
    nearest = min(drills, key=lambda d: _preference(d, diameter))[1]
    return BitChoice(
        usual_drill(diameter),
        diameter,
        None,
        nearest - diameter,
        f"no bit of the shop is near; the nearest is {mm(nearest)}",
    )


def choose_within(least: float, most: float, bits: Iterable[Bit]) -> BitChoice:
    """The bit nearest to the middle of a window of hole diameters; the middle itself where no bit lies inside.

    Args:
        least: Smallest hole that serves. [mm]
        most: Largest hole that serves, not below `least`. [mm]
        bits: What the shop has.
    """
    middle = (least + most) / 2
    drills = _drills(bits)
    inside = [d for d in drills if least - TOUCHING <= d[1] <= most + TOUCHING]
    if inside:
        kind, size = min(inside, key=lambda d: _preference(d, middle))
        return BitChoice(kind, size, size, size - middle)
    if not drills:
        return BitChoice(usual_drill(middle), middle, None, 0.0)
    nearest = min(drills, key=lambda d: _preference(d, middle))[1]
    return BitChoice(
        usual_drill(middle),
        middle,
        None,
        nearest - middle,
        f"no bit of the shop lies between {mm(least)} and {mm(most)}",
    )


def usual_drill(diameter: float) -> str:
    """Kind of tool that a hole is usually made with. Source: common practice."""
    if diameter <= 12:
        return "brad"
    if diameter <= 40:
        return "forstner"
    return "hole saw" if diameter <= 150 else "jigsaw"


def router_bit(bits: Iterable[Bit], kinds: Sequence[str], *, most: float) -> float | None:
    """Largest of the shop's router bits of these kinds that is no larger than `most`. [mm]

    A larger bit runs quieter and bends less. `ROUTER_BIT` stands in where the shop lists no router bit at all; None
    where every bit is too large.
    """
    listed = [bit for bit in bits if bit.kind in ("straight", "flush trim")]
    if not listed:
        return ROUTER_BIT if most >= ROUTER_BIT else None
    sizes = [size for bit in listed if bit.kind in kinds for size in bit.sizes]
    return max((size for size in sizes if size <= most + TOUCHING), default=None)


def cutting_length(bits: Iterable[Bit], kind: str, size: float) -> float:
    """Height of the cutting edge of the shop's router bit of that kind and size; 0 where the shop does not say. [mm]"""
    return max(
        (bit.length for bit in bits if bit.kind == kind and _has(bit, size)),
        default=0.0,
    )


def reach_asked(depth: float | None, thickness: float) -> float:
    """How high the cutting edge must be: as deep as it goes; right through, a little more than the board. [mm]"""
    return thickness + OVER if depth is None else depth


def _has(bit: Bit, size: float) -> bool:
    return any(abs(one - size) <= TOUCHING for one in bit.sizes)


def _drills(bits: Iterable[Bit]) -> list[tuple[str, float]]:
    return [(bit.kind, size) for bit in bits if bit.kind in DRILLS for size in bit.sizes]


def _preference(drill: tuple[str, float], wanted: float) -> tuple[float, int]:
    """Nearest first; among equals the one with the cleaner rim."""
    kind, size = drill
    return (round(abs(size - wanted), 4), DRILLS.index(kind))


__all__ = [
    "DRILLS",
    "FILE_MOST",
    "LOOSE",
    "OVER",
    "ROUTER_BIT",
    "SNUG",
    "BitChoice",
    "choose_bit",
    "choose_within",
    "cutting_length",
    "reach_asked",
    "router_bit",
    "usual_drill",
]
