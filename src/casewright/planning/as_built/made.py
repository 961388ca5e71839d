"""A piece as it lies on the bench: its record, read over the plan."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from casewright.basics.plane import Line, crossing
from casewright.design.built import BuiltFeature, BuiltPiece, Drawn, State, shortened
from casewright.geometry.model import Circle, FaceName, Feature, Piece, Point2, Polygon, Rectangle
from casewright.planning.joints import is_along_u
from casewright.planning.setups import EdgeName, edge_names
from casewright.planning.work.left import feature_made

FAR = 0.5
"""Corners of a profile nearer than this to its furthest edge are on it. [mm]"""
THINNER = 0.005
"""Sheets whose thickness differs by less are the same. [mm]"""
FLAT = 1e-6
"""Two edges nearer than this to one line make no corner. [mm]"""


@dataclass(frozen=True)
class MadePiece:
    """What exists of a piece. Outlines and features lie in the frame of the plan's piece."""

    key: str
    record: BuiltPiece
    show: tuple[Point2, ...]
    back: tuple[Point2, ...]
    features: Mapping[str, Feature]
    """Those that are made, by key."""

    @property
    def state(self) -> State:
        """How far it has come."""
        return self.record.state


def made_piece(piece: Piece, record: BuiltPiece) -> MadePiece:
    """The piece as it is: as drawn when it was made, with what the tape says over it.

    Args:
        piece: As the plan has it now; what it was is taken to be the same where the record does not say.
        record: Of that piece.
    """
    show, back = piece.show, piece.back
    if record.drawn is not None:
        show, back = record.drawn.faces
        show, back = _as_thick(show, back, record.drawn.thickness, piece.thickness)
    show, back = _measured(piece, record, show, back)
    for edge, tilt in record.bevels.items():
        show, back = _bevelled(show, back, edge, tilt, piece.thickness)
    return MadePiece(piece.key, record, show, back, _features(piece, record))


def drawn_of(piece: Piece) -> Drawn:
    """The piece as the plan has it, to be kept with its record."""

    def rounded(points: Sequence[Point2]) -> tuple[Point2, ...]:
        return tuple((round(u, 3) + 0.0, round(v, 3) + 0.0) for u, v in points)

    show, back = shortened(rounded(piece.show)), shortened(rounded(piece.back))
    return Drawn(
        show=show,
        back=() if back == show else back,
        thickness=round(piece.thickness, 3),
        features={feature.key: _written(feature) for feature in piece.features},
    )


def feature_key(piece: Piece, record: BuiltPiece, name: str) -> str | None:
    """The key of the hole that a record calls by its own key or its part's; None if there is none."""
    known = {f.key: f.owner for f in piece.features}
    if record.drawn is not None:
        known = {key: key.rpartition(".")[0] for key in record.drawn.features} | known
    if name in known:
        return name
    mine = [key for key, owner in known.items() if owner == name or key.startswith(f"{name}.")]
    return mine[0] if mine else None


# ---- outlines ----


def _measured(
    piece: Piece, record: BuiltPiece, show: tuple[Point2, ...], back: tuple[Point2, ...]
) -> tuple[tuple[Point2, ...], tuple[Point2, ...]]:
    """The outlines stretched to what the tape says; distances to the lower left corner stay."""
    sizes = (record.length, record.width) if is_along_u(piece) else (record.width, record.length)
    for axis, size in enumerate(sizes):
        if size is None:
            continue
        values = [point[axis] for point in (*show, *back)]
        low, high = min(values), max(values)
        more = size - (high - low)
        if len(show) != 4:
            show, back = (_furthest_moved(face, axis, high, more) for face in (show, back))
            continue
        middle = (low + high) / 2

        def moved(
            points: tuple[Point2, ...], axis: int = axis, middle: float = middle, more: float = more
        ) -> tuple[Point2, ...]:
            return tuple(
                (
                    u + (more if axis == 0 and u > middle else 0),
                    v + (more if axis and v > middle else 0),
                )
                for u, v in points
            )

        show, back = moved(show), moved(back)
    return show, back


def _furthest_moved(
    points: tuple[Point2, ...], axis: int, high: float, more: float
) -> tuple[Point2, ...]:
    """A profile with its furthest edge moved square to itself; a furthest corner alone is moved along the axis."""
    moved = points
    found = False
    for index, start in enumerate(points):
        end = points[(index + 1) % len(points)]
        if min(start[axis], end[axis]) > high - FAR:
            moved = with_edge(moved, index, edge_line(moved, index).shifted(-more))
            found = True
    if found:
        return moved
    return tuple(
        (p[0] + more, p[1])
        if axis == 0 and p[0] > high - FAR
        else (p[0], p[1] + more)
        if axis and p[1] > high - FAR
        else p
        for p in points
    )


def _bevelled(
    show: tuple[Point2, ...],
    back: tuple[Point2, ...],
    edge: EdgeName,
    tilt_deg: float,
    thickness: float,
) -> tuple[tuple[Point2, ...], tuple[Point2, ...]]:
    """The face that is shorter at an edge moved so that the edge has this tilt; the long point stays."""
    reach = math.tan(math.radians(tilt_deg)) * thickness
    for index, name in enumerate(edge_names(show)):
        if name != edge:
            continue
        outer, inner = edge_line(show, index), edge_line(back, index)
        ahead = -inner.offset(outer.at(0.0))  # of the show face, outward
        if ahead >= 0:
            back = with_edge(back, index, outer.shifted(reach))
        else:
            show = with_edge(show, index, inner.shifted(reach))
    return show, back


def _as_thick(
    show: tuple[Point2, ...], back: tuple[Point2, ...], was: float | None, thickness: float
) -> tuple[tuple[Point2, ...], tuple[Point2, ...]]:
    """A piece whose sheet turned out thicker or thinner: the saw's tilts stay, and so do the long points."""
    if was is None or abs(was - thickness) < THINNER or len(show) != len(back):
        return show, back
    old_show, old_back = show, back
    for index in range(len(show)):
        outer, inner = edge_line(old_show, index), edge_line(old_back, index)
        ahead = -inner.offset(outer.at(0.0))
        reach = abs(ahead) * thickness / was
        if ahead > FLAT:
            back = with_edge(back, index, outer.shifted(reach))
        elif ahead < -FLAT:
            show = with_edge(show, index, inner.shifted(reach))
    return show, back


def edge_line(points: Sequence[Point2], index: int) -> Line:
    """The line of one edge; the inside is to its left, since outlines run counter-clockwise."""
    start, end = points[index], points[(index + 1) % len(points)]
    length = math.dist(start, end)
    if length < FLAT:
        return Line(start, (1.0, 0.0))
    return Line(start, ((end[0] - start[0]) / length, (end[1] - start[1]) / length))


def with_edge(points: tuple[Point2, ...], index: int, line: Line) -> tuple[Point2, ...]:
    """An outline with one edge on another line; its neighbors are lengthened or shortened to it."""
    moved = list(points)
    after = (index + 1) % len(points)
    for corner, neighbor in ((index, index - 1), (after, after)):
        met = crossing(line, edge_line(points, neighbor))
        if met is not None:
            moved[corner] = met
    return tuple(moved)


# ---- features ----


def _features(piece: Piece, record: BuiltPiece) -> dict[str, Feature]:
    planned = {feature.key: feature for feature in piece.features}
    made: dict[str, Feature] = {}
    if record.drawn is None:
        made = {key: f for key, f in planned.items() if feature_made(record, f)}
    else:
        for key, drawn in record.drawn.features.items():
            feature = _read(key, drawn, planned.get(key))
            if feature_made(record, feature):
                made[key] = feature
    for name, told in record.holes.items():
        hole = feature_key(piece, record, name)
        there = made.get(hole or "") or planned.get(hole or "")
        if hole is not None and there is not None:
            made[hole] = _told(there, told)
    return made


def _written(feature: Feature) -> BuiltFeature:
    shape = feature.shape
    said: dict[str, object] = {"depth": feature.depth, "face": feature.face}
    if isinstance(shape, Circle):
        said |= {"u": shape.u, "v": shape.v, "diameter": shape.diameter}
    elif isinstance(shape, Rectangle):
        said |= {"u": shape.u, "v": shape.v, "width": shape.width, "height": shape.height}
        said |= {"radius": shape.radius or None, "turn": shape.turn_deg % 360 or None}
    else:
        said |= {"points": tuple((round(u, 3), round(v, 3)) for u, v in shape.points)}
    kept: dict[str, Any] = {
        key: round(value, 3) if isinstance(value, float) else value
        for key, value in said.items()
        if value is not None
    }
    complete = {
        name: kept.get(name, field.get_default())
        for name, field in BuiltFeature.model_fields.items()
    }
    return BuiltFeature.model_construct(set(kept), **complete)


def _read(key: str, drawn: BuiltFeature, like: Feature | None) -> Feature:
    """A drawn feature; what a record does not keep (tool, owner) is as the plan has it."""
    shape: Circle | Rectangle | Polygon
    u, v = drawn.u or 0.0, drawn.v or 0.0
    if drawn.diameter is not None:
        shape = Circle(u, v, drawn.diameter)
    elif drawn.points:
        shape = Polygon(drawn.points)
    else:
        shape = Rectangle(
            u, v, drawn.width or 0.0, drawn.height or 0.0, drawn.radius or 0.0, drawn.turn or 0.0
        )
    face: FaceName = drawn.face or "show"
    if like is not None:
        return replace(like, shape=shape, depth=drawn.depth, face=face)
    round_hole = isinstance(shape, Circle)
    return Feature(
        key=key,
        kind="hole" if round_hole else "opening" if drawn.depth is None else "pocket",
        shape=shape,
        face=face,
        depth=drawn.depth,
        tool="brad" if round_hole else "straight",
        owner=key.rpartition(".")[0],
    )


def _told(feature: Feature, told: BuiltFeature) -> Feature:
    """A feature with what was measured over it."""
    shape = feature.shape
    if told.points:
        shape = Polygon(told.points)
    elif isinstance(shape, Polygon):
        middle = _middle(shape.points)
        du = 0.0 if told.u is None else told.u - middle[0]
        dv = 0.0 if told.v is None else told.v - middle[1]
        shape = Polygon(tuple((u + du, v + dv) for u, v in shape.points))
    elif isinstance(shape, Circle):
        shape = Circle(
            shape.u if told.u is None else told.u,
            shape.v if told.v is None else told.v,
            told.diameter or shape.diameter,
        )
    else:
        shape = replace(
            shape,
            u=shape.u if told.u is None else told.u,
            v=shape.v if told.v is None else told.v,
            width=told.width or shape.width,
            height=told.height or shape.height,
            radius=shape.radius if told.radius is None else told.radius,
            turn_deg=shape.turn_deg if told.turn is None else told.turn,
        )
    return replace(
        feature, shape=shape, depth=told.depth or feature.depth, face=told.face or feature.face
    )


def sizes(*faces: Sequence[Point2]) -> tuple[float, float]:
    """Extent of outlines along u and v. [mm]"""
    points = [point for face in faces for point in face]
    us, vs = [p[0] for p in points], [p[1] for p in points]
    return max(us) - min(us), max(vs) - min(vs)


def _middle(points: Sequence[Point2]) -> Point2:
    us, vs = [p[0] for p in points], [p[1] for p in points]
    return ((min(us) + max(us)) / 2, (min(vs) + max(vs)) / 2)


def middle_of(feature: Feature) -> Point2:
    """Middle of a feature in its piece's frame. [mm]"""
    shape = feature.shape
    return _middle(shape.points) if isinstance(shape, Polygon) else (shape.u, shape.v)


__all__ = [
    "MadePiece",
    "drawn_of",
    "edge_line",
    "feature_key",
    "feature_made",
    "made_piece",
    "middle_of",
    "sizes",
    "with_edge",
]
