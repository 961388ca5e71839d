"""Clear sheets before a picture: how far they shift a line of sight, and how much light they let through.

A sheet with parallel faces gives a line back the lean it had, shifted to the side. Between its faces the line leans
less, sin θ = n · sin θ′, so that on the way to the eye it goes less far to the side than it would through air:

    shift = t · (tan θ − tan θ′)
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from casewright.geometry.model import Cabinet, Frame
from casewright.geometry.openings import is_clear

GLASS_INDEX = 1.52
"""Refractive index of window glass. Source: common practice, tables of optics."""

SHEET_INDEX = {"acrylic": 1.49, "polycarbonate": 1.585}
"""Refractive index by kind of material. Source: clear-sheet-optics."""

_PARALLEL = 1e-9
_FLAT = 1e-6
"""Levels nearer than this are one. [mm]"""


@dataclass(frozen=True)
class ClearSheet:
    """A clear sheet that stands before a picture, parallel to it."""

    key: str
    """Of its piece."""
    depth: float
    """Its back face over the picture's glass. [mm, 0 or more]"""
    thickness: float
    index: float
    """Refractive index."""


def sheets_before(cabinet: Cabinet, frame: Frame) -> tuple[ClearSheet, ...]:
    """Clear sheets before a picture's middle, parallel to it, from the glass outward.

    Args:
        cabinet: With all pieces.
        frame: The picture's: origin in its middle, n toward the viewer.
    """
    found = []
    for piece in cabinet.pieces:
        if not is_clear(piece, cabinet.project):
            continue
        facing = sum(a * b for a, b in zip(piece.frame.n, frame.n, strict=True))
        if abs(facing) < 1 - _PARALLEL:
            continue
        u, v, n = piece.frame.local(frame.origin)
        left, lower, right, upper = piece.extent
        # Over the glass, toward the viewer, who may look at its show face or at its back.
        depth = -piece.thickness - n if facing > 0 else n
        if left <= u <= right and lower <= v <= upper and depth > -_FLAT:
            kind = cabinet.project.materials[piece.material].kind
            found.append(ClearSheet(piece.key, max(depth, 0.0), piece.thickness, SHEET_INDEX[kind]))
    return tuple(sorted(found, key=lambda sheet: (sheet.depth, sheet.key)))


def inset(slope: float, glass: float, index: float = GLASS_INDEX) -> float:
    """How far a line of sight goes sideways in glass. [mm]

    Args:
        slope: Sideways per unit toward the viewer, before the glass.
        glass: Its thickness. [mm]
        index: Its refractive index.

    Source:
        Snell's law, sin θ = n · sin θ′.

    Example:
        >>> round(inset(1.0, 3.0), 2)
        1.58
    """
    if not glass or not slope:
        return 0.0
    sine = slope / math.hypot(1.0, slope) / index
    return glass * sine / math.sqrt(1 - sine * sine)


def shift(slope: float, sheets: Sequence[ClearSheet]) -> float:
    """How much less far a line of sight goes sideways in sheets than in as much air. [mm]

    Args:
        slope: Sideways per unit toward the viewer, in air.
        sheets: That it goes through.

    Source:
        Snell's law. In the plane square to an edge; a line that leans along the edge as well is shifted a little more.

    Example:
        >>> round(shift(1.0, [ClearSheet("", 0.0, 3.0, 1.49)]), 2)
        1.38
    """
    return math.fsum(
        sheet.thickness * slope - inset(slope, sheet.thickness, sheet.index) for sheet in sheets
    )


def slope_to(aside: float, over: float, sheets: Sequence[ClearSheet]) -> float:
    """Slope in air of the line from a point to an eye, through sheets between them.

    Args:
        aside: Eye to the side of the point. [mm]
        over: Eye over the point, toward the viewer. [mm, more than 0]
        sheets: Between the two.

    Source:
        Snell's law, solved by Newton's method: from the slope without sheets it rises to the answer step by step.
    """
    slope = aside / over
    for _ in range(6 if sheets else 0):
        rise = over
        for sheet in sheets:
            square = sheet.index**2
            within = square + (square - 1) * slope * slope
            rise -= sheet.thickness * (1 - square / within**1.5)
        slope += (aside - slope * over + shift(slope, sheets)) / rise
    return slope


def light_through(sheets: Sequence[ClearSheet], off_square_deg: float) -> float:
    """Share of a picture's light that comes through sheets, 0 to 1, for clear ones that swallow none of it.

    Args:
        sheets: That it goes through.
        off_square_deg: Between the light's way, in air, and the square to the sheets. [0 to less than 90]

    Source:
        Fresnel's equations for light of no one polarization; what both faces throw back and forth is added up,
        (1 − R) ÷ (1 + R) for each polarization.

    Example:
        >>> round(light_through([ClearSheet("", 0.0, 3.0, 1.49)], 0.0), 3)
        0.925
    """
    sine, cosine = (f(math.radians(off_square_deg)) for f in (math.sin, math.cos))
    across = along = 1.0
    for sheet in sheets:
        inner = math.sqrt(1 - (sine / sheet.index) ** 2)
        one = ((cosine - sheet.index * inner) / (cosine + sheet.index * inner)) ** 2
        two = ((inner - sheet.index * cosine) / (inner + sheet.index * cosine)) ** 2
        across *= (1 - one) / (1 + one)
        along *= (1 - two) / (1 + two)
    return (across + along) / 2


__all__ = [
    "GLASS_INDEX",
    "SHEET_INDEX",
    "ClearSheet",
    "inset",
    "light_through",
    "sheets_before",
    "shift",
    "slope_to",
]
