"""Screws that hold bought parts: short ones, from behind, that never come out of the show face."""

from __future__ import annotations

from dataclasses import dataclass

DIAMETERS = (2.5, 3.0, 3.5, 4.0, 4.5, 5.0, 6.0)
"""Wood screws sold, in mm. Source: common practice."""

LENGTHS = (10, 12, 15, 16, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80)
"""Lengths sold, in mm. Source: common practice."""

SHORT_OF_SHOW_FACE = 3.0
"""A screw stops this far before a show face. [mm] Source: common practice."""

SHORT_OF_HIDDEN_FACE = 1.0
"""A screw driven from the show face stops this far before the back. [mm] Source: common practice."""

LEAST_BITE = 1.0
"""Shortest thread in the board that is planned at all, in screw diameters; how much holds well is judged elsewhere."""

PILOT_SHARE = 0.575
"""Pilot hole as a share of the screw's diameter.

A core of 0.625 of the diameter (4.0 has 2.5), and a pilot of 0.92 of the core. Source: common practice.
"""


@dataclass(frozen=True)
class PartScrew:
    """A screw for a bought part, lengths in mm."""

    diameter: float
    length: float
    bite: float
    """Thread inside the board."""
    left: float
    """From its tip to the board's far face."""
    pilot: float
    clearance: float
    name: str


def screw_for_hole(hole: float) -> float | None:
    """Thickest screw that passes a part's hole with 0.2 to spare; None if none does. [mm]

    Source:
        The fine fit of ISO 273 leaves 0.2 to 0.4 for M3 to M6.
    """
    return max((d for d in DIAMETERS if d <= hole - 0.2 + 1e-9), default=None)


def plan_screw(
    hole: float, *, head_stack: float, board: float, hidden: bool = False
) -> PartScrew | None:
    """The longest screw that stays inside the board, or None.

    Args:
        hole: The part's screw hole. [mm]
        head_stack: Everything between the screw's head and the board. [mm]
        board: Board left for the thread. [mm]
        hidden: True where the board's far face is not seen.

    Example:
        >>> plan_screw(4.5, head_stack=1.5, board=11.8).name
        '4.0 × 10'
    """
    diameter = screw_for_hole(hole)
    if diameter is None:
        return None
    stop = SHORT_OF_HIDDEN_FACE if hidden else SHORT_OF_SHOW_FACE
    longest = head_stack + board - stop + 1e-9
    length = max((n for n in LENGTHS if n <= longest), default=None)
    if length is None or length - head_stack < LEAST_BITE * diameter - 1e-9:
        return None
    bite = length - head_stack
    return PartScrew(
        diameter=diameter,
        length=float(length),
        bite=bite,
        left=board - bite,
        pilot=round(PILOT_SHARE * diameter, 1),
        clearance=diameter + 0.5,
        name=f"{diameter:.1f} × {length}",
    )


__all__ = [
    "DIAMETERS",
    "LEAST_BITE",
    "LENGTHS",
    "PILOT_SHARE",
    "SHORT_OF_HIDDEN_FACE",
    "SHORT_OF_SHOW_FACE",
    "PartScrew",
    "plan_screw",
    "screw_for_hole",
]
