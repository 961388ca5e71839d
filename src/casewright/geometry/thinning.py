"""Panels too thick for a thread or a clip: the pocket from behind that makes them thin enough."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.basics.units import TOUCHING

DEPTH_ALLOWANCE = 0.5
"""A thinned panel is made this much thinner than the part can hold, for the pocket's own error. [mm]

Source: common practice.
"""

LOCK_WASHER = 0.5
"""Toothed washer that comes with a bushing. [mm] Source: common practice."""

NUT_ACROSS = 1.7
"""Nut of a bushing across its corners, in bushing diameters. Source: common practice (7: nut 10 across flats)."""

WRENCH_ROOM = 6.0
"""Room round a nut for a socket wrench, in diameter. [mm] Source: common practice."""

KNOB_LAP = 2.0
"""Least that a knob covers all round a hole below it. [mm] Source: common practice."""

LEAST_WOOD = 3.0
"""Thinnest wood that still carries a part; below it the part goes on a metal plate. [mm] Source: common practice."""


@dataclass(frozen=True)
class Thinning:
    """What to do about a panel's thickness at one part."""

    recess: float
    """Depth of the pocket from the back face; 0 for none or where none will do. [mm]"""
    grip: float
    """Thickness that the part then holds, all layers. [mm]"""
    wood: float
    """Board left there, or that would be left where no pocket will do. [mm]"""
    possible: bool
    """False where thinning would leave too little wood."""


def thin_for_grip(
    *,
    thickness: float,
    board: float,
    grip_most: float,
    grip_least: float = 0.0,
    recess: float | None = None,
) -> Thinning:
    """The pocket that lets a thread or clip hold the panel.

    Args:
        thickness: All layers of the panel. [mm]
        board: The board alone, which the pocket is cut in. [mm]
        grip_most: Thickest panel that the part holds. [mm]
        grip_least: Thinnest panel that the part holds. [mm]
        recess: Depth wished for; None lets it be chosen. [mm]

    Source:
        Plain arithmetic: depth = thickness − (grip − allowance).

    Example:
        >>> thin_for_grip(thickness=11.8, board=11.8, grip_most=5.5).recess
        6.8
    """
    if recess is not None:
        return Thinning(recess, thickness - recess, board - recess, True)
    if thickness <= grip_most + TOUCHING:
        return Thinning(0.0, thickness, board, True)
    target = max(grip_least, grip_most - DEPTH_ALLOWANCE)
    depth = round(thickness - target, 6)
    wood = board - depth
    if wood < LEAST_WOOD - TOUCHING:
        return Thinning(0.0, thickness, wood, False)
    return Thinning(depth, thickness - depth, wood, True)


@dataclass(frozen=True)
class Bushing:
    """How a rotary control's bushing sits."""

    thin: Thinning
    grip_most: float
    """Thickest panel that its thread holds, nut and washer taken off. [mm]"""
    overlay_hole: float | None
    """Hole in the overlays where the nut sits on the board below them; None where it sits on top. [mm]"""


def seat_bushing(
    *,
    thickness: float,
    board: float,
    hole: float,
    thread: float,
    nut: float,
    knob: float,
    recess: float | None = None,
) -> Bushing:
    """Seat a bushing: through the whole panel, or with its nut on the board where overlays make that too thick.

    Args:
        thickness: All layers of the panel. [mm]
        board: The board alone. [mm]
        hole: Hole for the bushing. [mm]
        thread: Length of its thread. [mm]
        nut: Thickness of its nut. [mm]
        knob: Diameter of the knob, which must hide the nut's hole. [mm]
        recess: Depth wished for; None lets it be chosen. [mm]
    """
    most = thread - nut - LOCK_WASHER
    thin = thin_for_grip(thickness=thickness, board=board, grip_most=most, recess=recess)
    if thin.possible or thickness <= board + TOUCHING:
        return Bushing(thin, most, None)
    sunk = thin_for_grip(thickness=board, board=board, grip_most=most)
    overlay_hole = NUT_ACROSS * hole + WRENCH_ROOM
    if not sunk.possible or overlay_hole > knob - 2 * KNOB_LAP:
        return Bushing(thin, most, None)
    return Bushing(sunk, most, overlay_hole)


__all__ = [
    "DEPTH_ALLOWANCE",
    "KNOB_LAP",
    "LEAST_WOOD",
    "LOCK_WASHER",
    "NUT_ACROSS",
    "WRENCH_ROOM",
    "Bushing",
    "Thinning",
    "seat_bushing",
    "thin_for_grip",
]
