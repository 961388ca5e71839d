"""Panels too thick for a thread or a clip: the pocket from behind that makes them thin enough."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.basics.units import TOUCHING

DEPTH_ALLOWANCE = 0.5
"""A thinned panel is made this much thinner than the thread holds, for a spring washer and the pocket's own error. [mm]

Source: common practice.
"""

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


__all__ = ["DEPTH_ALLOWANCE", "LEAST_WOOD", "Thinning", "thin_for_grip"]
