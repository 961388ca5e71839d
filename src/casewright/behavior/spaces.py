"""The spaces into which inner boards part the inside, in the side view."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from casewright.behavior.enclosure import Enclosure
from casewright.geometry.cleat_room import corners_of
from casewright.geometry.model import Cabinet, Piece
from casewright.geometry.regions import without

_DIVIDES = ("inner", "board")
_SLIT = 1.0
"""A slit of less than twice this parts two spaces all the same. [mm]"""


def dividers(cabinet: Cabinet, inside: Enclosure) -> tuple[Piece, ...]:
    """Inner boards that reach from side to side."""
    return tuple(
        piece for piece in cabinet.pieces if piece.kind in _DIVIDES and _spans(piece, inside)
    )


def spaces(inside: Enclosure, divides: Sequence[Piece]) -> tuple[shapely.Polygon, ...]:
    """Every space in the side view (y, z), the largest first.

    Boards that stand upright from front to back do not part it here.

    Source:
        Plain geometry.
    """
    if len(inside.outline) < 3:
        return ()
    region: shapely.Geometry = shapely.Polygon(inside.outline)
    if divides:
        boards = [
            shapely.MultiPoint([(y, z) for _, y, z in corners_of(piece)]).convex_hull
            for piece in divides
        ]
        region = without(region, boards)
        region = region.buffer(-_SLIT, join_style="mitre").buffer(_SLIT, join_style="mitre")
    parts = [p for p in shapely.get_parts(region) if p.geom_type == "Polygon" and p.area > 0]
    return tuple(sorted(parts, key=lambda p: -p.area))


def _spans(piece: Piece, inside: Enclosure) -> bool:
    xs = [x for x, _, _ in corners_of(piece)]
    return min(xs) <= inside.left + 1.0 and max(xs) >= inside.right - 1.0


__all__ = ["dividers", "spaces"]
