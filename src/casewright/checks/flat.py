"""Distances between shapes in a face, and from shapes to the edges of a piece.

A shape is taken as a core of straight lines widened by a radius: a circle is a point with its radius, a slot a line
with half its width, a rounded rectangle a smaller rectangle with its corner radius. So all distances are exact.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Literal

import numpy as np

from casewright.basics.plane import segments_cross
from casewright.basics.rectangles import near_rectangles
from casewright.basics.remembering import remembered
from casewright.geometry.model import Circle, FaceShape, Piece, Point2, Rectangle

Box4 = tuple[float, float, float, float]
"""Least u, least v, most u, most v. [mm]"""

_STEPS = 16
_FINE = 1e-4  # mm


@dataclass(frozen=True)
class Flat:
    """A core of corners and the radius it is widened by. [mm]"""

    core: tuple[Point2, ...]
    radius: float

    @cached_property
    def box(self) -> Box4:
        """The rectangle round it."""
        us, vs, r = [p[0] for p in self.core], [p[1] for p in self.core], self.radius
        return (min(us) - r, min(vs) - r, max(us) + r, max(vs) + r)

    def grown(self, by: float) -> Flat:
        """Wider by so much all round; sharp corners get round."""
        return Flat(self.core, self.radius + by)

    def moved(self, du: float, dv: float) -> Flat:
        """The same at another place."""
        return Flat(tuple((u + du, v + dv) for u, v in self.core), self.radius)


@lru_cache(maxsize=2048)
def flat_of(shape: FaceShape) -> Flat:
    """Return a shape's core and radius.

    Zeros lose their sign: shapes that are equal, and so share one remembered result, must say the same in writing.
    """
    if isinstance(shape, Circle):
        return Flat(((shape.u + 0.0, shape.v + 0.0),), shape.diameter / 2)
    if isinstance(shape, Rectangle):
        radius = min(shape.radius, shape.width / 2, shape.height / 2)
        a, b = shape.width / 2 - radius, shape.height / 2 - radius
        turn = math.radians(shape.turn_deg)
        c, s = math.cos(turn), math.sin(turn)
        local = dict.fromkeys(((-a, -b), (a, -b), (a, b), (-a, b)))
        return Flat(
            tuple((shape.u + x * c - y * s + 0.0, shape.v + x * s + y * c + 0.0) for x, y in local),
            radius,
        )
    return Flat(tuple((u + 0.0, v + 0.0) for u, v in shape.points), 0.0)


def gap_between(a: Flat, b: Flat) -> float:
    """Material left between two shapes; negative where they meet. [mm]

    Source:
        Plain geometry.
    """
    reach = a.radius + b.radius
    if _overlap(a.core, b.core):
        return -reach - 1e-3
    return _distance(a.core, b.core) - reach


def gap_is_over(a: Flat, b: Flat, least: float) -> bool:
    """True where their boxes alone show that more than `least` is left."""
    p, q = a.box, b.box
    return p[0] - q[2] > least or q[0] - p[2] > least or p[1] - q[3] > least or q[1] - p[3] > least


def near_pairs(flats: Sequence[Flat], most: float) -> Iterator[tuple[int, int]]:
    """Places in a row of every two whose boxes leave at most so much [mm] between them; see `near_rectangles`."""
    if len(flats) > 1:
        one, other = near_rectangles(np.array([flat.box for flat in flats]), most)
        yield from zip(one.tolist(), other.tolist(), strict=True)


def gap_to_edge(a: Flat, outline: Sequence[Point2]) -> float:
    """Material left between a shape and the edge round it; negative by how far it sticks out. [mm]"""
    outside = [p for p in a.core if not is_inside(p, outline)]
    if outside:
        return -a.radius - max(_distance((p,), outline, closed=True) for p in outside)
    return _distance(a.core, outline, closed=True) - a.radius


def is_inside(point: Point2, outline: Sequence[Point2]) -> bool:
    """True for a point inside an outline (Shimrat, 1962: crossings of a ray)."""
    x, y = point
    inside = False
    ax, ay = outline[-1]
    for bx, by in outline:
        if (ay > y) != (by > y) and x < (bx - ax) * (y - ay) / (by - ay) + ax:
            inside = not inside
        ax, ay = bx, by
    return inside


def edges_of(piece: Piece) -> tuple[tuple[Point2, ...], ...]:
    """A piece's outlines: one, or those of both faces where its edges slope."""
    return (piece.show,) if piece.show == piece.back else (piece.show, piece.back)


@remembered(1024)
def inner_box(piece: Piece) -> Box4 | None:
    """The rectangle that lies in both faces of a piece with upright edges; None for any other."""
    low_u, low_v, high_u, high_v = -math.inf, -math.inf, math.inf, math.inf
    for edge in edges_of(piece):
        us, vs = {p[0] for p in edge}, {p[1] for p in edge}
        if len(edge) != 4 or len(us) != 2 or len(vs) != 2:
            return None
        low_u, high_u = max(low_u, min(us)), min(high_u, max(us))
        low_v, high_v = max(low_v, min(vs)), min(high_v, max(vs))
    return (low_u, low_v, high_u, high_v)


def box_margin(flat: Flat, box: Box4) -> float:
    """Material left between a shape and an upright rectangle round it; negative by how far it sticks out. [mm]"""
    a = flat.box
    return min(a[0] - box[0], a[1] - box[1], box[2] - a[2], box[3] - a[3])


def outline_at(piece: Piece, depth: float) -> tuple[Point2, ...]:
    """A piece's outline at a depth below its show face. [mm]"""
    if piece.show == piece.back:
        return piece.show
    t = min(max(depth / piece.thickness, 0.0), 1.0)
    return tuple(
        (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)
        for a, b in zip(piece.show, piece.back, strict=True)
    )


@dataclass(frozen=True)
class Shift:
    """A straight move in a face."""

    by: float
    """[mm], 0 or more."""
    axis: Literal["u", "v"]
    sign: float

    @property
    def signed(self) -> float:
        """Along the axis. [mm]"""
        return self.by * self.sign


def least_shifts(
    left: Callable[[float, float], float], least: float, most: float
) -> tuple[Shift, ...]:
    """Return for each way along u and v the least move after which enough is left, the shortest first.

    Args:
        left: What is left after a move by (du, dv). [mm]
        least: What is asked. [mm]
        most: Longest move tried. [mm]
    """
    found = []
    axes: tuple[Literal["u", "v"], ...] = ("u", "v")
    for axis in axes:
        for sign in (1.0, -1.0):
            du, dv = (sign, 0.0) if axis == "u" else (0.0, sign)
            # What is left may shrink again further on, so the way is looked along in steps first.
            steps = (most * step / _STEPS for step in range(1, _STEPS + 1))
            good = next((by for by in steps if left(du * by, dv * by) >= least), None)
            if good is None:
                continue
            low, high = good - most / _STEPS, good
            while high - low > _FINE:
                middle = (low + high) / 2
                if left(du * middle, dv * middle) < least:
                    low = middle
                else:
                    high = middle
            found.append(Shift(high, axis, sign))
    return tuple(sorted(found, key=lambda shift: (shift.by, shift.axis, -shift.sign)))


def _distance(a: Sequence[Point2], b: Sequence[Point2], *, closed: bool = False) -> float:
    """Between two cores that do not cross; `closed` also takes an outline's inside as free."""
    found = min(_to_edges(p, b) for p in a)
    if len(a) > 1:
        found = min(found, min(_to_edges(p, a) for p in b))
        if closed and _cross(a, b):
            return 0.0
    return found


def _to_edges(p: Point2, polygon: Sequence[Point2]) -> float:
    if len(polygon) == 1:
        return math.dist(p, polygon[0])
    best = math.inf
    px, py = p
    ax, ay = polygon[-1]
    for bx, by in polygon:
        dx, dy = bx - ax, by - ay
        size = dx * dx + dy * dy
        t = 0.0 if size == 0 else min(max(((px - ax) * dx + (py - ay) * dy) / size, 0.0), 1.0)
        best = min(best, math.hypot(ax + t * dx - px, ay + t * dy - py))
        ax, ay = bx, by
    return best


def _cross(a: Sequence[Point2], b: Sequence[Point2]) -> bool:
    return any(
        segments_cross(a[i - 1], a[i], b[j - 1], b[j]) for i in range(len(a)) for j in range(len(b))
    )


def _overlap(a: Sequence[Point2], b: Sequence[Point2]) -> bool:
    for one, other in ((a, b), (b, a)):
        # A corner, or the middle for two that lie on each other.
        if len(other) > 2 and (is_inside(one[0], other) or is_inside(_middle(one), other)):
            return True
    return len(a) > 1 and len(b) > 1 and _cross(a, b)


def _middle(points: Sequence[Point2]) -> Point2:
    return (
        math.fsum(u for u, _ in points) / len(points),
        math.fsum(v for _, v in points) / len(points),
    )


__all__ = [
    "Box4",
    "Flat",
    "Shift",
    "box_margin",
    "edges_of",
    "flat_of",
    "gap_between",
    "gap_is_over",
    "gap_to_edge",
    "inner_box",
    "is_inside",
    "least_shifts",
    "near_pairs",
    "outline_at",
]
