"""The screen's tilt from the eyes that look at it.

Side view; C is the middle of the screen, E an eye, a its elevation over C, t the tilt from vertical:

    E ●--                        tan a = (E.z − C.z) ÷ (C.y − E.y)
         `--. a   / screen
    ---------`---C----           the screen faces up by t: the eye sees it |a − t| off square
                /
              G/  foot
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from casewright.basics.reckoning import Reckoning, Term, derived
from casewright.geometry.model import Point2
from casewright.geometry.viewers import Viewer


@dataclass(frozen=True)
class SquareTilt:
    """The tilt that halves the worst angle off square, kept within limits."""

    tilt_deg: float
    unlimited_deg: float
    """What the eyes alone ask for, 0 to 89."""
    elevations: tuple[tuple[str, float], ...]
    """Label of each viewer and the elevation of the eye over the screen's middle. [deg]"""

    @property
    def off_square_deg(self) -> float:
        """Worst angle between a line of sight and the screen's normal, in the side view."""
        return max(abs(elevation - self.tilt_deg) for _, elevation in self.elevations)


def square_tilt(
    foot: Point2,
    length: Callable[[float], float],
    everybody: Sequence[Viewer],
    *,
    limits: tuple[float, float],
) -> SquareTilt:
    """Return the tilt at which the highest and the lowest eye are equally far off square.

    Args:
        foot: Lower end of the screen, (y, z). [mm]
        length: Length of the screen's run at a tilt. [deg -> mm]
        everybody: Whose eyes count; not empty.
        limits: Least and most tilt. [deg]

    Source:
        Plain geometry: the smallest worst deviation is at the middle of the range of elevations. The screen's middle
        moves with the tilt, so the balance is found by halving the range.
    """

    def short(tilt: float) -> float:
        """How much further back the eyes ask the screen to lie than it does. [deg]"""
        found = [a for _, a in elevations(foot, length(tilt), tilt, everybody)]
        return (max(found) + min(found)) / 2 - tilt

    unlimited = _balance(short, 0.0, 89.0)
    tilt = min(max(unlimited, limits[0]), limits[1])
    return SquareTilt(tilt, unlimited, elevations(foot, length(tilt), tilt, everybody))


def elevations(
    foot: Point2, length: float, tilt_deg: float, everybody: Sequence[Viewer]
) -> tuple[tuple[str, float], ...]:
    """Elevation of each eye over the middle of the screen. [deg]"""
    tilt = math.radians(tilt_deg)
    y = foot[0] + length / 2 * math.sin(tilt)
    z = foot[1] + length / 2 * math.cos(tilt)
    return tuple((v.label, math.degrees(math.atan2(v.eye[2] - z, y - v.eye[1]))) for v in everybody)


def tilt_reckoning(key: str, found: SquareTilt, limits: tuple[float, float]) -> Reckoning:
    """The tilt and the eyes it comes from."""
    return derived(
        key,
        "screen, laid back from vertical",
        found.tilt_deg,
        f"(highest + lowest elevation) ÷ 2, from {limits[0]:g} to {limits[1]:g}°",
        [
            Term(f"{label}, eye over the screen's middle", angle, unit="deg")
            for label, angle in found.elevations
        ],
        unit="deg",
        rule="The highest and the lowest eye are equally far off square, as far as the limits allow.",
    )


def _balance(short: Callable[[float], float], low: float, high: float) -> float:
    """Where `short` falls through zero. [deg]"""
    if short(low) <= 0:
        return low
    if short(high) >= 0:
        return high
    for _ in range(60):
        middle = (low + high) / 2
        if short(middle) > 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2


__all__ = ["SquareTilt", "elevations", "square_tilt", "tilt_reckoning"]
