"""What stands in a batten's way: how far solids reach into the straight passage that it is to lie in.

A passage runs along one axis of a panel's frame (u or v) and has a convex section in the other two. What a solid with
flat faces takes of it, along the axis, is found by cutting each of its faces to the passage: every corner of what the
two share lies on a face of the solid, since the passage itself has no ends.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import shapely

from casewright.geometry.facets import shape_points
from casewright.geometry.model import (
    Body,
    Box,
    Cylinder,
    Feature,
    Frame,
    Piece,
    Point2,
    Point3,
    Slab,
    SolvedShape,
)

END_ROOM = 1.0
"""Battens stop this far short of what stands in their way. [mm] Project convention."""

_SKIN = 1e-4
"""A passage is narrower by this all round, so that what only touches it does not count. [mm]"""

Range = tuple[float, float]
Face = tuple[Point3, ...]


@dataclass(frozen=True)
class Passage:
    """A straight way along an axis of a frame: 0 is u, 1 is v."""

    frame: Frame
    axis: int
    section: tuple[Point2, ...]
    """Convex outline in the other two axes, in the order u, v, n. [mm]"""

    @property
    def others(self) -> tuple[int, int]:
        """The two axes of the section."""
        return (1, 2) if self.axis == 0 else (0, 2)

    @property
    def bounds(self) -> tuple[Range, Range]:
        """Extents of the section. [mm]"""
        first, second = zip(*self.section, strict=True)
        return (min(first), max(first)), (min(second), max(second))


def box_passage(frame: Frame, axis: int, first: Range, second: Range) -> Passage:
    """A passage with a rectangular section."""
    (a, b), (c, d) = first, second
    return Passage(frame, axis, ((a, c), (b, c), (b, d), (a, d)))


def taken_by_solids(
    passage: Passage, pieces: Iterable[Piece], bodies: Iterable[Body]
) -> list[Range]:
    """Stretches of a passage that pieces and solid bodies take, with `END_ROOM` at both ends. [mm]"""
    shapes = [_piece_faces(p.frame, p.show, p.back, p.thickness) for p in pieces]
    shapes += [_body_faces(b.frame, b.shape) for b in bodies if b.kind == "solid"]
    (i, j), ((low_i, high_i), (low_j, high_j)) = passage.others, passage.bounds
    taken = []
    for faces, middle, reach in shapes:
        at = passage.frame.local(middle)
        if at[i] - reach > high_i or at[i] + reach < low_i:
            continue
        if at[j] - reach > high_j or at[j] + reach < low_j:
            continue  # most things are far off, and this is soon seen
        span = _span(passage, faces)
        if span is not None:
            taken.append((span[0] - END_ROOM, span[1] + END_ROOM))
    return taken


def taken_by_features(passage: Passage, host: Piece, features: Iterable[Feature]) -> list[Range]:
    """Stretches along v where a panel has no flat back to lie on: holes, openings, pockets from the back. [mm]"""
    a, b = passage.bounds[0]
    taken = []
    for feature in features:
        through = feature.depth is None or feature.depth >= host.thickness
        if not through and feature.face == "show":
            continue
        if feature.kind not in ("hole", "opening", "pocket", "groove"):
            continue
        points = shape_points(
            feature.shape, grow=feature.chamfer if feature.face == "back" else 0.0
        )
        inside: Sequence[Point3] = [(u, v, 0.0) for u, v in points]
        if passage.axis == 0:
            inside = [(v, u, 0.0) for u, v, _ in inside]
        inside = _cut(_cut(inside, 0, a + _SKIN, above=True), 0, b - _SKIN, above=False)
        if inside:
            along = [p[1] for p in inside]
            taken.append((min(along) - END_ROOM, max(along) + END_ROOM))
    return taken


def free_side_view(shape: SolvedShape, slabs: Sequence[Slab]) -> shapely.Geometry:
    """The outline in (y, z) less every panel's cross-section."""
    outline = shapely.Polygon(tuple(shape.corners.values()))
    return outline.difference(
        shapely.union_all([shapely.Polygon(slab.polygon).buffer(0) for slab in slabs])
    )


def taken_in_side_view(
    frame: Frame, free: shapely.Geometry, along: Range, across: Range
) -> list[Range]:
    """Stretches of v between `along` in which something of the depth `across` (n) is not free. [mm]"""
    (v0, v1), (n0, n1) = along, (across[0] + _SKIN, across[1] - _SKIN)
    if v1 - v0 <= 2 * _SKIN:
        return []
    corners = [frame.point(0.0, v, n)[1:] for v, n in ((v0, n0), (v1, n0), (v1, n1), (v0, n1))]
    rest = shapely.Polygon(corners).difference(free)
    taken = []
    for part in shapely.get_parts(rest):
        if part.area < _SKIN:
            continue
        x = frame.origin[0]
        vs = [float(frame.local((x, y, z))[1]) for y, z in shapely.get_coordinates(part)]
        taken.append((min(vs) - END_ROOM, max(vs) + END_ROOM))
    return taken


def is_free_section(frame: Frame, free: shapely.Geometry, section: Sequence[Point2]) -> bool:
    """Whether a section in (v, n) lies where the side view is free, but for a hair."""
    polygon = shapely.Polygon([frame.point(0.0, v, n)[1:] for v, n in section])
    return bool(polygon.buffer(-_SKIN * 10).difference(free).area < _SKIN)


# ---- faces of solids -------------------------------------------------------------------------------------------------

_Faces = tuple[tuple[Face, ...], Point3, float]
"""Flat faces, and middle and radius of a ball round them."""


def corners_of(piece: Piece) -> tuple[Point3, ...]:
    """Corners of a piece's solid in the cabinet frame. [mm]"""
    show, back = _piece_faces(piece.frame, piece.show, piece.back, piece.thickness)[0][:2]
    return (*show, *back)


def corners_of_body(body: Body) -> tuple[Point3, ...]:
    """Corners of a body's bounding box in the cabinet frame. [mm]"""
    low, high = _body_faces(body.frame, body.shape)[0][:2]
    return (*low, *high)


@lru_cache(maxsize=1024)
def _piece_faces(
    frame: Frame, show: tuple[Point2, ...], back: tuple[Point2, ...], thickness: float
) -> _Faces:
    top = tuple(frame.point(u, v) for u, v in show)
    return _solid_between(top, tuple(frame.point(u, v, -thickness) for u, v in back))


@lru_cache(maxsize=4096)
def _body_faces(frame: Frame, shape: Box | Cylinder) -> _Faces:
    if isinstance(shape, Box):
        half_w, half_h = shape.width / 2, shape.height / 2
    else:
        half_w = half_h = max(shape.diameter, shape.top_diameter or 0.0) / 2
    low, high = (
        tuple(
            frame.point(shape.u + su * half_w, shape.v + sv * half_h, n)
            for su, sv in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        )
        for n in (shape.n_low, shape.n_high)
    )
    return _solid_between(low, high)


def _solid_between(low: Face, high: Face) -> _Faces:
    walls = tuple(
        (low[i], low[i - 1], high[i - 1], high[i]) for i in range(min(len(low), len(high)))
    )
    points = (*low, *high)
    x, y, z = ((min(c) + max(c)) / 2 for c in zip(*points, strict=True))
    middle = (x, y, z)
    return (low, high, *walls), middle, max(math.dist(middle, point) for point in points)


@lru_cache(maxsize=8192)
def _span(passage: Passage, faces: tuple[Face, ...]) -> Range | None:
    """Extent along the passage of what faces have in it; None where they only touch it."""
    first, second = passage.others
    low, high = math.inf, -math.inf
    turned = {point: passage.frame.local(point) for face in faces for point in face}
    for axis, (least, most) in zip(passage.others, passage.bounds, strict=True):
        if all(p[axis] < least for p in turned.values()):
            return None  # wholly beside the passage
        if all(p[axis] > most for p in turned.values()):
            return None
    section = passage.section
    sides = tuple(zip(section, (*section[1:], section[0]), strict=True))
    for face in faces:
        points: Sequence[Point3] = [
            (p[first], p[second], p[passage.axis]) for p in map(turned.__getitem__, face)
        ]
        for a, b in sides:
            points = _left_of(points, a, b)
            if not points:
                break
        for *_, along in points:
            low, high = min(low, along), max(high, along)
    return (low, high) if high - low > _SKIN else None


def _left_of(points: Sequence[Point3], a: Point2, b: Point2) -> Sequence[Point3]:
    """A polygon cut by the line from a to b of its first two coordinates; what is left of it, by more than a skin."""
    length = math.dist(a, b)
    du, dv = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    turned = [
        (-(p[0] - a[0]) * dv + (p[1] - a[1]) * du, (p[0] - a[0]) * du + (p[1] - a[1]) * dv, p[2])
        for p in points
    ]
    kept = _cut(turned, 0, _SKIN, above=True)
    return [(a[0] + s * du - t * dv, a[1] + s * dv + t * du, w) for t, s, w in kept]


def _cut(points: Sequence[Point3], axis: int, limit: float, *, above: bool) -> Sequence[Point3]:
    """A polygon's part on one side of a plane across an axis (Sutherland and Hodgman, 1974)."""
    kept: list[Point3] = []
    sign = 1.0 if above else -1.0
    for i, here in enumerate(points):
        before = points[i - 1]
        a, b = sign * (before[axis] - limit), sign * (here[axis] - limit)
        if (a < 0 < b) or (b < 0 < a):
            t = a / (a - b)
            kept.append(
                (
                    before[0] + (here[0] - before[0]) * t,
                    before[1] + (here[1] - before[1]) * t,
                    before[2] + (here[2] - before[2]) * t,
                )
            )
        if b >= 0:
            kept.append(here)
    return kept


__all__ = [
    "END_ROOM",
    "Passage",
    "Range",
    "box_passage",
    "corners_of",
    "corners_of_body",
    "free_side_view",
    "is_free_section",
    "taken_by_features",
    "taken_by_solids",
    "taken_in_side_view",
]
