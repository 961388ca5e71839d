"""Screws that hold bought parts: pan heads from behind that never come out of the show face."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from casewright.catalog.stock import LEAD_HOLE_SHARE

TAPPING: Mapping[float, tuple[float, ...]] = {
    2.2: (4.5, 6.5, 9.5, 13, 16),
    2.9: (6.5, 9.5, 13, 16, 19),
    3.5: (9.5, 13, 16, 19, 22, 25),
    4.2: (9.5, 13, 16, 19, 22, 25, 32),
    4.8: (9.5, 13, 16, 19, 22, 25, 32, 38),
    6.3: (13, 16, 19, 22, 25, 32, 38),
}
"""Lengths of pan head tapping screws by diameter, in mm. Source: ISO 7049, from memory."""

TAPPING_CORE: Mapping[float, float] = {
    2.2: 1.63,
    2.9: 2.18,
    3.5: 2.64,
    4.2: 3.10,
    4.8: 3.58,
    6.3: 4.88,
}
"""Largest core of their thread by diameter, in mm. Source: ISO 1478, from memory."""

CHIPBOARD: Mapping[float, tuple[float, ...]] = {
    3.0: (16, 20, 25, 30, 35, 40),
    3.5: (16, 20, 25, 30, 35, 40, 45, 50),
    4.0: (16, 20, 25, 30, 35, 40, 45, 50, 60, 70),
    4.5: (20, 25, 30, 35, 40, 45, 50, 60, 70, 80),
    5.0: (20, 25, 30, 35, 40, 45, 50, 60, 70, 80),
}
"""Lengths of pan head chipboard screws by diameter, in mm, for thick parts. Source: common practice."""

CHIPBOARD_CORE: Mapping[float, float] = {3.0: 2.1, 3.5: 2.5, 4.0: 2.8, 4.5: 3.2, 5.0: 3.5}
"""Largest core of their thread by diameter, in mm. Source: DIN 7998, from memory."""

SHORT_OF_SHOW_FACE = 3.0
"""A screw stops this far before a show face. [mm] Source: common practice."""

SHORT_OF_HIDDEN_FACE = 1.0
"""A screw driven from the show face stops this far before the back. [mm] Source: common practice."""

LEAST_BITE = 1.0
"""Shortest thread in the board that is planned at all, in screw diameters; how much holds well is judged elsewhere."""

HOLE_PLAY = 0.2
"""Least room of a screw in a part's hole, in diameter. [mm] Source: ISO 273, fine series from M3 on."""


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


def screw_for_hole(hole: float, sold: Iterable[float] = tuple(TAPPING)) -> float | None:
    """Thickest screw of those sold that passes a part's hole; None if none does. [mm]"""
    return max((d for d in sold if d <= hole - HOLE_PLAY + 1e-9), default=None)


def plan_screw(
    hole: float, *, head_stack: float, board: float, hidden: bool = False
) -> PartScrew | None:
    """The longest screw that stays inside the board, or None: a tapping screw, for thick parts a chipboard screw.

    Args:
        hole: The part's screw hole. [mm]
        head_stack: Everything between the screw's head and the board. [mm]
        board: Board left for the thread. [mm]
        hidden: True where the board's far face is not seen.

    Example:
        >>> plan_screw(4.5, head_stack=1.5, board=11.8).name
        '4.2 × 9.5 pan head'
    """
    stop = SHORT_OF_HIDDEN_FACE if hidden else SHORT_OF_SHOW_FACE
    longest = head_stack + board - stop + 1e-9
    for sold, word in ((TAPPING, "pan head"), (CHIPBOARD, "pan head chipboard")):
        diameter = screw_for_hole(hole, sold)
        if diameter is None:
            continue
        length = max((n for n in sold[diameter] if n <= longest), default=0.0)
        bite = length - head_stack
        if bite < LEAST_BITE * diameter - 1e-9:
            continue
        core = (TAPPING_CORE if sold is TAPPING else CHIPBOARD_CORE)[diameter]
        return PartScrew(
            diameter=diameter,
            length=float(length),
            bite=bite,
            left=board - bite,
            pilot_least=LEAD_HOLE_SHARE["soft"] * core,
            pilot_most=LEAD_HOLE_SHARE["hard"] * core,
            clearance=round(diameter + 0.3, 1),
            name=f"{diameter:.1f} × {length:g} {word}",
        )
    return None


__all__ = [
    "CHIPBOARD",
    "CHIPBOARD_CORE",
    "HOLE_PLAY",
    "LEAST_BITE",
    "SHORT_OF_HIDDEN_FACE",
    "SHORT_OF_SHOW_FACE",
    "TAPPING",
    "TAPPING_CORE",
    "PartScrew",
    "plan_screw",
    "screw_for_hole",
]
