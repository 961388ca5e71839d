"""One face of a piece as the person at the bench sees it, measured from the lower left corner of the blank.

The show face is seen from outside: x = u − u₀, y = v − v₀. The back face is seen from behind, so it is the exact mirror
image: x = u₁ − u. Both start at the lower left corner of the blank *as seen*, the datum corner.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from casewright.geometry.model import FaceName, Piece, Point2
from casewright.outputs.drawings.placing import Box, Motion, Point

FACE_WORDS: dict[FaceName, str] = {
    "show": "SHOW FACE",
    "back": "BACK FACE, seen from behind (mirrored)",
}
EdgeName = Literal["left", "right", "lower", "upper"]

SQUARE = 0.02
"""Faces of an edge that differ by less are square to each other. [mm] Far below what a saw holds."""


@dataclass(frozen=True)
class Bevel:
    """An edge that is not square to the faces."""

    edge: EdgeName
    """As seen on this face."""
    start: Point
    end: Point
    """The edge on this face, in the drawing."""
    tilt_deg: float
    """Saw tilt off square."""
    longer: FaceName
    """The face that reaches further out."""

    @property
    def words(self) -> str:
        """As written at the edge."""
        return f"bevel {self.tilt_deg:.1f}°, {self.longer} face long"


@dataclass(frozen=True)
class FaceView:
    """A piece seen on one of its faces."""

    piece: Piece
    face: FaceName

    @cached_property
    def motion(self) -> Motion:
        """Carries the piece's (u, v) into the drawing."""
        low_u, low_v, high_u, _ = self.piece.extent
        if self.face == "show":
            return Motion(-low_u, -low_v)
        return Motion(high_u, -low_v, flip=True)

    @property
    def box(self) -> Box:
        """The blank."""
        return Box(0.0, 0.0, self.piece.width, self.piece.height)

    def point(self, point: Point2) -> Point:
        """Where a point of the piece stands in the drawing."""
        return self.motion.point(point)

    @cached_property
    def near(self) -> tuple[Point, ...]:
        """Outline of the face seen."""
        points = self.piece.show if self.face == "show" else self.piece.back
        return tuple(self.point(p) for p in points)

    @cached_property
    def far(self) -> tuple[Point, ...]:
        """Outline of the other face, in the same order."""
        points = self.piece.back if self.face == "show" else self.piece.show
        return tuple(self.point(p) for p in points)

    @cached_property
    def bevels(self) -> tuple[Bevel, ...]:
        """Every edge that is not square, in the order of the outline."""
        found = []
        show = self.piece.show
        for index in range(len(show)):
            after = (index + 1) % len(show)
            out = back_beyond_show(self.piece, index)
            if abs(out) <= SQUARE:
                continue
            a, b = self.near[index], self.near[after]
            tilt = math.degrees(math.atan2(abs(out), self.piece.thickness))
            normal = outward(show[index], show[after])
            seen = (normal[0] if self.face == "show" else -normal[0], normal[1])
            found.append(Bevel(edge_name(seen), a, b, tilt, "back" if out > 0 else "show"))
        return tuple(found)


def back_beyond_show(piece: Piece, index: int) -> float:
    """How far the back face reaches out beyond the show face at an edge, square to it. [mm]"""
    after = (index + 1) % len(piece.show)
    nu, nv = outward(piece.show[index], piece.show[after])
    shifts = (
        (piece.back[i][0] - piece.show[i][0]) * nu + (piece.back[i][1] - piece.show[i][1]) * nv
        for i in (index, after)
    )
    return sum(shifts) / 2


def outward(a: Point2, b: Point2) -> Point2:
    """Unit normal to the right of a-b: outward on a counter-clockwise outline; (0, 0) for one point."""
    length = math.dist(a, b)
    return ((b[1] - a[1]) / length, (a[0] - b[0]) / length) if length else (0.0, 0.0)


def edge_name(normal: Point2) -> EdgeName:
    """The edge that looks this way."""
    if abs(normal[1]) >= abs(normal[0]):
        return "upper" if normal[1] > 0 else "lower"
    return "right" if normal[0] > 0 else "left"


__all__ = [
    "FACE_WORDS",
    "SQUARE",
    "Bevel",
    "EdgeName",
    "FaceView",
    "back_beyond_show",
    "edge_name",
    "outward",
]
