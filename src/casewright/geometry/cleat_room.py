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
from itertools import groupby
from typing import NamedTuple

import shapely

from casewright.basics.remembering import remembered
from casewright.geometry.facets import shape_points
from casewright.geometry.inside import outline_less_slabs
from casewright.geometry.model import (
    Body,
    Box,
    Circle,
    FaceShape,
    Feature,
    Frame,
    Piece,
    Point2,
    Point3,
    Polygon,
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

    @property
    def is_box(self) -> bool:
        """Whether the section is a rectangle along the axes."""
        return len(self.section) == 4 and _is_upright(self.section)


def box_passage(frame: Frame, axis: int, first: Range, second: Range) -> Passage:
    """A passage with a rectangular section."""
    (a, b), (c, d) = first, second
    return Passage(frame, axis, ((a, c), (b, c), (b, d), (a, d)))


class Obstacles:
    """Pieces and solid bodies that may stand in a passage; gathered once, asked often."""

    def __init__(self, pieces: Iterable[Piece] = (), bodies: Iterable[Body] = ()) -> None:
        self._groups: list[_Group] = []
        self.add(pieces)
        for _, some in groupby(bodies, key=lambda body: body.owner):
            solid = tuple(body for body in some if body.kind == "solid")
            if solid:
                self._groups.append(_group(solid))

    def add(self, pieces: Iterable[Piece]) -> None:
        """Let pieces stand in the way too."""
        self._groups += [_group((piece,)) for piece in pieces]

    def taken(self, passage: Passage, *, but: str = "") -> list[Range]:
        """Stretches of a passage that they take, and `END_ROOM` at both ends. [mm]

        Args:
            passage: Where something is to lie.
            but: Key of a piece that does not count.
        """
        way = _way(passage)
        known = way.known
        if len(known) > _MOST_KNOWN:
            known.clear()
        taken: list[Range] = []
        for group in self._groups:
            ranges = known.get(group)
            if ranges is None:
                ranges = known[group] = group.taken(way)
            if ranges and group.key != but:
                taken += ranges
        return taken


class _Group:
    """A piece, or the bodies of one part: what stays as it is while other parts are moved."""

    def __init__(self, things: Sequence[Piece | Body]) -> None:
        self.key = things[0].key if isinstance(things[0], Piece) else None
        self._solids = [
            _Prism.of_piece(thing) if isinstance(thing, Piece) else _Prism.of_body(thing)
            for thing in things
        ]
        self._blocks = [solid.block() for solid in self._solids]

    def taken(self, way: _Way) -> tuple[Range, ...]:
        """Stretches of a passage that they take, and `END_ROOM` at both ends. [mm]"""
        taken = []
        for solid, block in zip(self._solids, self._blocks, strict=True):
            span = _taken_by(solid, way.passage) if way.is_near(block) else None
            if span is not None:
                taken.append((span[0] - END_ROOM, span[1] + END_ROOM))
        return tuple(taken)


@remembered(2048)
def _group(things: tuple[Piece | Body, ...]) -> _Group:
    return _Group(things)


_MOST_KNOWN = 1024
"""Groups whose stretches of one passage are remembered."""


class _Way:
    """A passage with what is asked of it again and again."""

    def __init__(self, passage: Passage) -> None:
        self.passage = passage
        self.known: dict[_Group, tuple[Range, ...]] = {}
        """Stretches that groups take of it."""
        frame = passage.frame
        (ox, oy, oz) = frame.origin
        self._limits = []
        for axis, (least, most) in zip(passage.others, passage.bounds, strict=True):
            x, y, z = (frame.u, frame.v, frame.n)[axis]
            start = x * ox + y * oy + z * oz
            self._limits.append((x, y, z, start + least + _SKIN, start + most - _SKIN))

    def is_near(self, block: tuple[Point3, Point3, Point3, Point3]) -> bool:
        """Whether a block, seen along the passage, comes into the rectangle round its section."""
        (mx, my, mz), (ax, ay, az), (bx, by, bz), (cx, cy, cz) = block
        for x, y, z, low, high in self._limits:
            middle = x * mx + y * my + z * mz
            reach = (
                abs(x * ax + y * ay + z * az)
                + abs(x * bx + y * by + z * bz)
                + abs(x * cx + y * cy + z * cz)
            )
            if middle - reach >= high or middle + reach <= low:
                return False
        return True


@lru_cache(maxsize=1024)
def _way(passage: Passage) -> _Way:
    return _Way(passage)


def taken_by_features(passage: Passage, host: Piece, features: Iterable[Feature]) -> list[Range]:
    """Stretches along v where a panel has no flat back to lie on: holes, openings, pockets from the back. [mm]"""
    across = passage.bounds[0]
    taken = []
    for feature in features:
        if feature.kind not in ("hole", "opening", "pocket", "groove"):
            continue
        through = feature.depth is None or feature.depth >= host.thickness
        if not through and feature.face == "show":
            continue
        span = _taken_by_feature(feature, passage.axis, *across)
        if span is not None:
            taken.append(span)
    return taken


@remembered(8192)
def _taken_by_feature(feature: Feature, axis: int, a: float, b: float) -> Range | None:
    """What a feature takes of a strip from a to b, along it, and `END_ROOM` at both ends. [mm]"""
    across = _reach(feature.shape)[axis != 1]
    if across[1] + feature.chamfer <= a or across[0] - feature.chamfer >= b:
        return None
    points = shape_points(feature.shape, grow=feature.chamfer if feature.face == "back" else 0.0)
    inside: Sequence[Point3] = [(u, v, 0.0) for u, v in points]
    if axis == 0:
        inside = [(v, u, 0.0) for u, v, _ in inside]
    inside = _cut(_cut(inside, 0, a + _SKIN, above=True), 0, b - _SKIN, above=False)
    if not inside:
        return None
    along = [p[1] for p in inside]
    return (min(along) - END_ROOM, max(along) + END_ROOM)


def _reach(shape: FaceShape) -> tuple[Range, Range]:
    """Ranges of u and v that hold a shape, larger rather than smaller. [mm]"""
    if isinstance(shape, Polygon):
        us, vs = zip(*shape.points, strict=True)
        return (min(us), max(us)), (min(vs), max(vs))
    across = shape.diameter if isinstance(shape, Circle) else math.hypot(shape.width, shape.height)
    radius = across / 2
    return (shape.u - radius, shape.u + radius), (shape.v - radius, shape.v + radius)


def free_side_view(shape: SolvedShape, slabs: Sequence[Slab]) -> shapely.Geometry:
    """The outline in (y, z) less every panel's cross-section."""
    return outline_less_slabs(tuple(shape.corners.values()), tuple(slab.polygon for slab in slabs))


@lru_cache(maxsize=1024)
def taken_in_side_view(
    frame: Frame, free: shapely.Geometry, along: Range, across: Range
) -> tuple[Range, ...]:
    """Stretches of v between `along` in which something of the depth `across` (n) is not free. [mm]"""
    (v0, v1), (n0, n1) = along, (across[0] + _SKIN, across[1] - _SKIN)
    if v1 - v0 <= 2 * _SKIN:
        return ()
    corners = [frame.point(0.0, v, n)[1:] for v, n in ((v0, n0), (v1, n0), (v1, n1), (v0, n1))]
    rest = shapely.Polygon(corners).difference(free)
    taken: list[Range] = []
    for part in shapely.get_parts(rest):
        if part.area < _SKIN:
            continue
        x = frame.origin[0]
        vs = [float(frame.local((x, y, z))[1]) for y, z in shapely.get_coordinates(part)]
        taken.append((min(vs) - END_ROOM, max(vs) + END_ROOM))
    return tuple(taken)


def is_free_section(frame: Frame, free: shapely.Geometry, section: Sequence[Point2]) -> bool:
    """Whether a section in (v, n) lies where the side view is free, but for a hair."""
    polygon = shapely.Polygon([frame.point(0.0, v, n)[1:] for v, n in section])
    return bool(polygon.buffer(-_SKIN * 10).difference(free).area < _SKIN)


# ---- faces of solids -------------------------------------------------------------------------------------------------


@remembered(8192)
def corners_of(piece: Piece) -> tuple[Point3, ...]:
    """Corners of a piece's solid in the cabinet frame. [mm]"""
    return _Prism.of_piece(piece).corners()


@remembered(8192)
def corners_of_body(body: Body) -> tuple[Point3, ...]:
    """Corners of a body's bounding box in the cabinet frame. [mm]"""
    return _Prism.of_body(body).corners()


class _Prism(NamedTuple):
    """A straight ruled body between two outlines of equally many corners."""

    frame: Frame
    high: tuple[Point2, ...]
    low: tuple[Point2, ...]
    n_high: float
    n_low: float
    is_bar: bool
    """Whether both outlines are rectangles along the axes, from the same u to the same u."""

    @staticmethod
    def of_piece(piece: Piece) -> _Prism:
        """A piece without its features."""
        is_bar = (
            len(piece.show) == 4
            and _is_upright(piece.show)
            and _is_upright(piece.back)
            and all(a == b for (a, _), (b, _) in zip(piece.show, piece.back, strict=True))
        )
        return _Prism(piece.frame, piece.show, piece.back, 0.0, -piece.thickness, is_bar)

    @staticmethod
    def of_body(body: Body) -> _Prism:
        """The box round a body."""
        shape = body.shape
        if isinstance(shape, Box):
            half_w, half_h = shape.width / 2, shape.height / 2
        else:
            half_w = half_h = max(shape.diameter, shape.top_diameter or 0.0) / 2
        outline = tuple(
            (shape.u + su * half_w, shape.v + sv * half_h)
            for su, sv in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        )
        return _Prism(body.frame, outline, outline, shape.n_high, shape.n_low, True)

    def corners(self) -> tuple[Point3, ...]:
        """In the cabinet frame: the high outline's, then the low one's."""
        point = self.frame.point
        return (
            *(point(u, v, self.n_high) for u, v in self.high),
            *(point(u, v, self.n_low) for u, v in self.low),
        )

    def faces(self) -> tuple[Face, ...]:
        """Its flat faces in the cabinet frame."""
        points = self.corners()
        high, low = points[: len(self.high)], points[len(self.high) :]
        walls = tuple((low[i], low[i - 1], high[i - 1], high[i]) for i in range(len(low)))
        return (high, low, *walls)

    def profile(self) -> tuple[Range, tuple[Point2, ...]] | None:
        """Its extent in x and its outline in (y, z), if it runs straight along x. [mm]"""
        if not self.is_bar:
            return None
        middle, a, b, c = self.block()
        if abs(self.frame.u[0]) == 1.0:
            (v0, v1), (v2, v3) = (
                (min(v for _, v in face), max(v for _, v in face)) for face in (self.high, self.low)
            )
            x, half = middle[0], abs(a[0])
            corners = ((v0, self.n_high), (v1, self.n_high), (v3, self.n_low), (v2, self.n_low))
            outline = tuple(self.frame.point(0.0, v, n)[1:] for v, n in corners)
        elif abs(self.frame.v[0]) == 1.0 and self.high == self.low:
            x, half = middle[0], abs(b[0])
            outline = tuple(
                (middle[1] + s * a[1] + t * c[1], middle[2] + s * a[2] + t * c[2])
                for s, t in ((-1, -1), (1, -1), (1, 1), (-1, 1))
            )
        else:
            return None
        return (x - half, x + half), outline

    def block(self) -> tuple[Point3, Point3, Point3, Point3]:
        """The box round it in its own frame: middle, and half its extent along each axis."""
        us, vs = zip(*self.high, *self.low, strict=True)
        (u0, u1), (v0, v1), (n0, n1) = (min(us), max(us)), (min(vs), max(vs)), self[4:2:-1]
        halves = ((u1 - u0) / 2, (v1 - v0) / 2, (n1 - n0) / 2)
        a, b, c = (
            (half * x, half * y, half * z)
            for half, (x, y, z) in zip(
                halves, (self.frame.u, self.frame.v, self.frame.n), strict=True
            )
        )
        return (self.frame.point((u0 + u1) / 2, (v0 + v1) / 2, (n0 + n1) / 2), a, b, c)


def _is_upright(outline: Sequence[Point2]) -> bool:
    """Whether four corners are a rectangle along the axes."""
    (a, b, c, d) = outline
    along = a[1] == b[1] and b[0] == c[0] and c[1] == d[1] and d[0] == a[0]
    return along or (a[0] == b[0] and b[1] == c[1] and c[0] == d[0] and d[1] == a[1])


@lru_cache(maxsize=4096)
def _taken_by(solid: _Prism, passage: Passage) -> Range | None:
    """What a solid takes of a passage that it comes near; most are asked again after each edit. [mm]"""
    profile = solid.profile()
    if profile is None or abs(passage.frame.u[0]) < 1.0:
        return _span(passage, solid.faces())
    (x0, x1), outline = profile
    ends = sorted(passage.frame.local((x, *outline[0]))[0] for x in (x0, x1))
    points = [passage.frame.local((x0, *point)) for point in outline]
    if passage.axis == 0:
        section = _within([(v, n, 0.0) for _, v, n in points], passage.section)
        return (ends[0], ends[1]) if section else None
    if not passage.is_box:
        return _span(passage, solid.faces())
    least, most = passage.bounds[1]
    inside = _cut(_cut(points, 2, least + _SKIN, above=True), 2, most - _SKIN, above=False)
    along = [v for _, v, _ in inside]
    return (min(along), max(along)) if inside and max(along) - min(along) > _SKIN else None


def _span(passage: Passage, faces: tuple[Face, ...]) -> Range | None:
    """Extent along the passage of what faces have in it; None where they only touch it."""
    first, second = passage.others
    low, high = math.inf, -math.inf
    turned = {point: passage.frame.local(point) for face in faces for point in face}
    for face in faces:
        points = [(p[first], p[second], p[passage.axis]) for p in map(turned.__getitem__, face)]
        for *_, along in _within(points, passage.section):
            low, high = min(low, along), max(high, along)
    return (low, high) if high - low > _SKIN else None


def _within(points: Sequence[Point3], section: Sequence[Point2]) -> Sequence[Point3]:
    """A polygon cut to a convex section of its first two coordinates, less a skin."""
    for a, b in zip(section, (*section[1:], section[0]), strict=True):
        points = _left_of(points, a, b)
        if not points:
            break
    return points


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
    "Obstacles",
    "Passage",
    "Range",
    "box_passage",
    "corners_of",
    "corners_of_body",
    "free_side_view",
    "is_free_section",
    "taken_by_features",
    "taken_in_side_view",
]
