"""Areas to paint: faces and cut edges apart, because edges drink more."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from casewright.geometry.facets import shape_points, signed_area
from casewright.geometry.model import Cabinet, Circle, Piece, Point2

PAINTED = ("side", "panel", "door", "inner", "board")
UNPAINTED = ("acrylic", "polycarbonate", "metal", "print")


@dataclass(frozen=True)
class Surface:
    """One piece's areas. [mm²]"""

    piece: str
    label: str
    show: float
    """Show face less its openings."""
    edges: float
    """Outer edges and the rims of openings that go through."""


def surfaces(cabinet: Cabinet) -> tuple[Surface, ...]:
    """Show faces and cut edges of every wooden piece that is seen.

    Source:
        Plain geometry; bevelled edges count as their mean outline times the thickness.
    """
    materials = cabinet.project.materials
    found = []
    for piece in cabinet.pieces:
        material = materials.get(piece.material)
        if piece.kind not in PAINTED or material is None or material.kind in UNPAINTED:
            continue
        found.append(_surface(piece))
    return tuple(found)


def _surface(piece: Piece) -> Surface:
    holes = rims = 0.0
    for feature in piece.features:
        if feature.depth is not None:
            continue
        shape = feature.shape
        if isinstance(shape, Circle):
            holes += math.pi * shape.diameter**2 / 4
            rims += math.pi * shape.diameter
        else:
            points = [(float(u), float(v)) for u, v in shape_points(shape)]
            holes += abs(signed_area(points))
            rims += _around(points)
    outline = (_around(piece.show) + _around(piece.back)) / 2
    show = abs(signed_area(piece.show)) - holes
    return Surface(piece.key, piece.label, show, (outline + rims) * piece.thickness)


def _around(points: Sequence[Point2]) -> float:
    return math.fsum(
        math.dist(point, points[(index + 1) % len(points)]) for index, point in enumerate(points)
    )


__all__ = ["PAINTED", "UNPAINTED", "Surface", "surfaces"]
