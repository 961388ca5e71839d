"""Which boards come near enough to one another to be fixed together."""

from __future__ import annotations

from collections.abc import Iterable

import shapely

from casewright.geometry.model import Piece, Point3
from casewright.geometry.solids import box_of

NEAR = 2.0
"""Room for fitting that a screw or glue still bridges. [mm] Source: common practice."""


def touch(piece: Piece, other: Piece) -> bool:
    """Whether two boards come near enough to be fixed to each other, seen from the side and across."""
    mine, its = box_of(piece), box_of(other)
    if any(
        mine[0][axis] > its[1][axis] + NEAR or its[0][axis] > mine[1][axis] + NEAR
        for axis in range(3)
    ):
        return False
    return bool(_section(piece).distance(_section(other)) <= NEAR)


def held(pieces: Iterable[Piece], roots: Iterable[Piece]) -> frozenset[str]:
    """Keys of the pieces that touch one of the roots, or another that is held."""
    left, reached = list(pieces), list(roots)
    found: set[str] = set()
    while reached:
        last = reached.pop()
        near = [piece for piece in left if touch(piece, last)]
        left = [piece for piece in left if piece not in near]
        found |= {piece.key for piece in near}
        reached += near
    return frozenset(found)


def _section(piece: Piece) -> shapely.Geometry:
    """What a board covers in the side view; of a side, all of it."""
    faces = ((piece.show, 0.0), (piece.back, -piece.thickness))
    points: list[Point3] = [piece.frame.point(u, v, n) for face, n in faces for u, v in face]
    return shapely.MultiPoint([p[1:] for p in points]).convex_hull


__all__ = ["NEAR", "held", "touch"]
