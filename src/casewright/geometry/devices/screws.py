"""Screws that hold bought parts: pan heads from behind that never come out of the show face."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from casewright.basics.units import MM_PER_INCH, LengthStyle, format_length
from casewright.catalog.stock import LEAD_HOLE_SHARE

SHORT_OF_SHOW_FACE = 3.0
"""A screw stops this far before a show face. [mm] Source: common practice."""

SHORT_OF_HIDDEN_FACE = 1.0
"""A screw driven from the show face stops this far before the back. [mm] Source: common practice."""

LEAST_BITE = 1.0
"""Shortest thread in the board that is planned at all, in screw diameters; how much holds well is judged elsewhere."""

HOLE_PLAY = 0.2
"""Least room of a screw in a part's hole, in diameter. [mm] Source: ISO 273, fine series from M3 on."""


@dataclass(frozen=True)
class Family:
    """Screws of one make, by diameter; lengths in mm."""

    word: str
    lengths: Mapping[float, tuple[float, ...]]
    core: Mapping[float, float]
    """Largest core of the thread."""
    number: Mapping[float, int]
    """Inch shops' number of each diameter; empty for screws they do not sell."""


TAPPING = Family(
    "pan head",
    {
        2.2: (4.5, 6.5, 9.5, 13, 16),
        2.9: (6.5, 9.5, 13, 16, 19),
        3.5: (9.5, 13, 16, 19, 22, 25),
        4.2: (9.5, 13, 16, 19, 22, 25, 32),
        4.8: (9.5, 13, 16, 19, 22, 25, 32, 38),
        6.3: (13, 16, 19, 22, 25, 32, 38),
    },
    {2.2: 1.63, 2.9: 2.18, 3.5: 2.64, 4.2: 3.10, 4.8: 3.58, 6.3: 4.88},
    {2.2: 2, 2.9: 4, 3.5: 6, 4.2: 8, 4.8: 10, 6.3: 14},
)
"""Tapping screws; the same in metric and inch shops. Source: ISO 7049 and ISO 1478, from memory."""

CHIPBOARD = Family(
    "pan head chipboard",
    {
        3.0: (16, 20, 25, 30, 35, 40),
        3.5: (16, 20, 25, 30, 35, 40, 45, 50),
        4.0: (16, 20, 25, 30, 35, 40, 45, 50, 60, 70),
        4.5: (20, 25, 30, 35, 40, 45, 50, 60, 70, 80),
        5.0: (20, 25, 30, 35, 40, 45, 50, 60, 70, 80),
    },
    {3.0: 2.1, 3.5: 2.5, 4.0: 2.8, 4.5: 3.2, 5.0: 3.5},
    {},
)
"""For thick parts, metric. Source: lengths by common practice; cores of DIN 7998, from memory."""

_INCH_LENGTHS = tuple(
    x * MM_PER_INCH for x in (0.5, 0.625, 0.75, 1, 1.25, 1.5, 1.75, 2, 2.25, 2.5, 3)
)
_INCH_DIAMETERS = {(0.060 + 0.013 * n) * MM_PER_INCH: n for n in (4, 6, 8, 10)}

WOOD = Family(
    "pan head wood screw",
    dict.fromkeys(_INCH_DIAMETERS, _INCH_LENGTHS),
    {diameter: diameter * 2 / 3 for diameter in _INCH_DIAMETERS},
    _INCH_DIAMETERS,
)
"""For thick parts, inch. Source: diameters of ASME B18.6.1 (0.060 + 0.013 × number); the rest common practice."""

_SIXTEENTHS = LengthStyle("in", denominator=16)


@dataclass(frozen=True)
class PartScrew:
    """A screw for a bought part, lengths in mm."""

    diameter: float
    length: float
    bite: float
    """Thread inside the board."""
    left: float
    """From its tip to the board's far face."""
    pilot_least: float
    """For soft wood."""
    pilot_most: float
    """For hard wood."""
    clearance: float
    name: str


def screw_for_hole(hole: float, diameters: Iterable[float]) -> float | None:
    """Thickest screw that passes a part's hole; None if none does. [mm]"""
    return max((d for d in diameters if d <= hole - HOLE_PLAY + 1e-9), default=None)


def plan_screw(
    hole: float, *, head_stack: float, board: float, hidden: bool = False, inches: bool = False
) -> PartScrew | None:
    """The longest screw that stays inside the board, or None: a tapping screw, for thick parts a wood screw.

    Args:
        hole: The part's screw hole. [mm]
        head_stack: Everything between the screw's head and the board. [mm]
        board: Board left for the thread. [mm]
        hidden: True where the board's far face is not seen.
        inches: True for a shop that buys screws by number and inch.

    Example:
        >>> plan_screw(4.5, head_stack=1.5, board=11.8).name
        '4.2 × 9.5 pan head'
        >>> plan_screw(4.5, head_stack=1.5, board=11.8, inches=True).name
        'No. 8 × 3/8 in pan head'
    """
    stop = SHORT_OF_HIDDEN_FACE if hidden else SHORT_OF_SHOW_FACE
    longest = head_stack + board - stop + 1e-9
    for family in (TAPPING, WOOD if inches else CHIPBOARD):
        diameter = screw_for_hole(hole, family.lengths)
        if diameter is None:
            continue
        length = max((n for n in family.lengths[diameter] if n <= longest), default=0.0)
        bite = length - head_stack
        if bite < LEAST_BITE * diameter - 1e-9:
            continue
        core = family.core[diameter]
        return PartScrew(
            diameter=diameter,
            length=float(length),
            bite=bite,
            left=board - bite,
            pilot_least=LEAD_HOLE_SHARE["soft"] * core,
            pilot_most=LEAD_HOLE_SHARE["hard"] * core,
            clearance=round(diameter + 0.3, 1),
            name=_name(family, diameter, length, inches=inches),
        )
    return None


BOLT_LENGTHS = (10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 80, 90, 100, 120)
"""Of metric machine screws. [mm] Source: ISO 7045 and ISO 4762, from memory."""

BOLTS = {2.5: "M2.5", 3.0: "M3", 4.0: "M4", 5.0: "M5", 6.0: "M6", 8.0: "M8"}
"""Metric machine screws by diameter. [mm] Source: ISO 261."""

INCH_BOLTS = {
    (0.060 + 0.013 * 4) * MM_PER_INCH: "No. 4-40",
    (0.060 + 0.013 * 6) * MM_PER_INCH: "No. 6-32",
    (0.060 + 0.013 * 8) * MM_PER_INCH: "No. 8-32",
    (0.060 + 0.013 * 10) * MM_PER_INCH: "No. 10-24",
    0.25 * MM_PER_INCH: "1/4-20",
    0.3125 * MM_PER_INCH: "5/16-18",
}
"""Inch machine screws, coarse threads. [mm] Source: ASME B1.1 and B18.6.3, from memory."""


@dataclass(frozen=True)
class Bolt:
    """A machine screw right through, lengths in mm."""

    thread: str
    diameter: float
    length: float
    name: str


def plan_bolt(hole: float, *, least: float, inches: bool = False) -> Bolt | None:
    """The thickest machine screw that passes a part's hole, in the next length from `least` on; None if there is none.

    Args:
        hole: The part's hole. [mm]
        least: Shortest that still holds its nut. [mm]
        inches: True for a shop that buys by inches.

    Example:
        >>> plan_bolt(3.2, least=19.8).name
        'M3 × 20 machine screw'
        >>> plan_bolt(4.5, least=19.8, inches=True).name
        'No. 8-32 × 1 in machine screw'
    """
    threads = INCH_BOLTS if inches else BOLTS
    lengths = _INCH_LENGTHS if inches else BOLT_LENGTHS
    diameter = screw_for_hole(hole, threads)
    length = next((float(n) for n in lengths if n >= least - 1e-9), None)
    if diameter is None or length is None:
        return None
    size = format_length(length, _SIXTEENTHS) if inches else f"{length:g}"
    return Bolt(threads[diameter], diameter, length, f"{threads[diameter]} × {size} machine screw")


def _name(family: Family, diameter: float, length: float, *, inches: bool) -> str:
    if inches:
        return f"No. {family.number[diameter]} × {format_length(length, _SIXTEENTHS)} {family.word}"
    return f"{diameter:.1f} × {length:g} {family.word}"


__all__ = [
    "BOLTS",
    "BOLT_LENGTHS",
    "CHIPBOARD",
    "HOLE_PLAY",
    "INCH_BOLTS",
    "LEAST_BITE",
    "SHORT_OF_HIDDEN_FACE",
    "SHORT_OF_SHOW_FACE",
    "TAPPING",
    "WOOD",
    "Bolt",
    "Family",
    "PartScrew",
    "plan_bolt",
    "plan_screw",
    "screw_for_hole",
]
