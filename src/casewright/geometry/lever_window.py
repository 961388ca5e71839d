r"""The window of hole diameters for a joystick's shaft.

The shaft turns about a pivot below the panel. At full tilt it must not touch the hole, and the dust washer that slides
on the panel's top with the shaft must still cover the hole.

           tilt θ
            \  |              at the panel's top, h above the pivot:
             \ |                the shaft's middle has moved h·tan θ,
    ----------\|---- top       its flank lies r ÷ cos θ further out,
               \                the washer's far rim covers to R − h·tan θ.
    -----------*---- back      * pivot
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from casewright.basics.units import TOUCHING
from casewright.design.project import Bit
from casewright.geometry.bits import BitChoice, choose_within

LEAST_LAND = 6.0
"""Least board left between a lever's pocket and the show face. [mm] Source: common practice."""

WINDOW_PLAY = 2.0
"""A recess is made so deep that the window is this wide, in diameter. [mm]

It allows for a hole placed 0.5 off and a washer or shaft 0.5 off. Source: common practice.
"""

DEPTH_STEP = 0.5
"""Depths of pockets are rounded up to this. [mm] Source: common practice, the router's scale."""


@dataclass(frozen=True)
class LeverWindow:
    """Diameters between which the hole must lie. [mm]"""

    least: float
    """The tilted shaft clears any hole from here up."""
    most: float
    """The washer covers any hole up to here, at full tilt."""
    height: float
    """From the pivot to the panel's top face."""

    @property
    def is_open(self) -> bool:
        """True where some hole serves."""
        return self.most >= self.least - TOUCHING


@dataclass(frozen=True)
class LeverHole:
    """A settled lever hole."""

    window: LeverWindow
    recess: float
    """Depth of the pocket in the back face; 0 for none. [mm]"""
    land: float
    """Board left above the pocket. [mm]"""
    hole: BitChoice
    reason: str
    """Why the recess is what it is: "none", "wished", "opens the window", "not enough"."""


def lever_window(
    *,
    pivot: float,
    thickness: float,
    tilt_deg: float,
    shaft: float,
    washer: float,
    recess: float = 0.0,
) -> LeverWindow:
    """The window of hole diameters, empty where `least` is over `most`.

    Args:
        pivot: Pivot below the plate's mounting face. [mm]
        thickness: All layers of the panel. [mm]
        tilt_deg: Full tilt from upright, below 90.
        shaft: Diameter of the shaft. [mm]
        washer: Diameter of the dust washer. [mm]
        recess: Depth of the pocket that the plate sits in. [mm]

    Source:
        Plain geometry, drawn above: r ≥ h·tan θ + r_shaft ÷ cos θ and r ≤ r_washer − h·tan θ.

    Example:
        >>> window = lever_window(pivot=6, thickness=18, tilt_deg=14, shaft=10, washer=37)
        >>> round(window.least, 1), round(window.most, 1)
        (22.3, 25.0)
    """
    height = pivot + thickness - recess
    theta = math.radians(tilt_deg)
    shift = height * math.tan(theta)
    return LeverWindow(2 * shift + shaft / math.cos(theta), washer - 2 * shift, height)


def height_for_window(*, tilt_deg: float, shaft: float, washer: float, play: float = 0.0) -> float:
    """Most height from pivot to top face at which the window is at least `play` wide. [mm]

    Negative where no height will do; endless for a lever that does not tilt but fits its washer.
    """
    theta = math.radians(tilt_deg)
    room = washer - shaft / math.cos(theta) - play
    if theta == 0:
        return math.inf if room >= 0 else -math.inf
    return room / (4 * math.tan(theta))


def settle_lever(
    *,
    pivot: float,
    thickness: float,
    board: float,
    tilt_deg: float,
    shaft: float,
    washer: float,
    bits: Sequence[Bit] = (),
    recess: float | None = None,
) -> LeverHole:
    """Choose recess and hole.

    Without a wish there is no recess as long as the window is open; else the least that opens it by `WINDOW_PLAY`,
    or as far as `LEAST_LAND` allows. The hole is the shop's bit nearest the window's middle. Where no hole serves,
    there is no recess and the hole clears the shaft: it works, though the washer then shows a gap.

    Args:
        pivot: Pivot below the plate's mounting face. [mm]
        thickness: All layers of the panel. [mm]
        board: The board alone, which the pocket is cut in. [mm]
        tilt_deg: Full tilt from upright.
        shaft: Diameter of the shaft. [mm]
        washer: Diameter of the dust washer. [mm]
        bits: What the shop has.
        recess: Depth wished for; None lets it be chosen. [mm]
    """

    def window_at(depth: float) -> LeverWindow:
        return lever_window(
            pivot=pivot,
            thickness=thickness,
            tilt_deg=tilt_deg,
            shaft=shaft,
            washer=washer,
            recess=depth,
        )

    if recess is not None:
        depth, reason = recess, "wished"
    elif window_at(0.0).is_open:
        depth, reason = 0.0, "none"
    else:
        height = height_for_window(tilt_deg=tilt_deg, shaft=shaft, washer=washer, play=WINDOW_PLAY)
        deepest = max(0.0, math.floor((board - LEAST_LAND) / DEPTH_STEP + 1e-9) * DEPTH_STEP)
        wanted = (
            math.ceil((pivot + thickness - height) / DEPTH_STEP - 1e-9) * DEPTH_STEP
            if height > 0
            else math.inf
        )
        depth = min(wanted, deepest)
        reason = "opens the window" if window_at(depth).is_open else "not enough"
        if reason == "not enough":
            depth = 0.0
    window = window_at(depth)
    if window.is_open:
        hole = choose_within(window.least, max(window.least, window.most), bits)
    else:
        hole = choose_within(window.least, window.least + WINDOW_PLAY, bits)
    return LeverHole(window, depth, board - depth, hole, reason)


__all__ = [
    "DEPTH_STEP",
    "LEAST_LAND",
    "WINDOW_PLAY",
    "LeverHole",
    "LeverWindow",
    "height_for_window",
    "lever_window",
    "settle_lever",
]
