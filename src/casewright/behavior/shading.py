"""What of the cabinet itself stands between an eye and a picture: a header's underside, the sides, a lever."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple, TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray

from casewright.basics.remembering import remembered
from casewright.geometry.model import Body, Box, Cabinet, Frame, Piece, Placed, Point3
from casewright.geometry.openings import is_clear
from casewright.geometry.solids import Solid, solid_of

Floats = NDArray[np.float64]

NEAR_GLASS = 0.05
"""What is no nearer to the viewer than this lies against the glass and is no obstacle. [mm]"""

NEAR_EYE = 0.999
"""Share of the way to the eye that is looked along; past it projections run to infinity."""

_GRID = 1e-7
"""Shadows are joined on this grid: faces seen edge on leave slivers, with which a plain union loses area. [mm]"""

_SPECK = 1.0
"""Shadows smaller than this are none. [mm²]"""


@dataclass(frozen=True)
class Shade:
    """One thing that hides some of a picture from an eye."""

    key: str
    """Of the piece, or of the placed part."""
    label: str
    area: shapely.Geometry
    """Its shadow on the picture, in the picture's (u, v). [mm]"""

    @property
    def size(self) -> float:
        """How far the shadow reaches, the way it reaches less far. [mm]"""
        left, lower, right, upper = self.area.bounds
        return float(min(right - left, upper - lower))


class _Faces(NamedTuple):
    """A thing's faces as triangles, counter-clockwise as seen from outside."""

    corners: Floats
    """(triangles, 3, 3) in the picture's frame. [mm]"""
    normals: Floats
    """(triangles, 3), of any length."""


@dataclass(frozen=True)
class Obstacles:
    """All that can stand before one picture, with the boxes round it."""

    things: tuple[Piece | Body, ...]
    corners: Floats
    """(things, 8, 3) in the picture's frame. [mm]"""
    frame: Frame


def obstacles_of(cabinet: Cabinet, placed: Placed, frame: Frame) -> Obstacles:
    """Gather what can hide a display's picture: every piece and body but its own, its panel's and clear ones.

    Args:
        cabinet: The cabinet.
        placed: The display.
        frame: The picture's, see `casewright.behavior.throat.Throat`.
    """
    own = {placed.piece, placed.key}
    things: list[Piece | Body] = [
        piece
        for piece in cabinet.pieces
        if piece.key not in own
        and not piece.key.startswith(f"{placed.key}.")
        and not any(f.owner == placed.key and f.kind == "opening" for f in piece.features)
        and not is_clear(piece, cabinet.project)
    ]
    things += [body for body in cabinet.bodies if body.kind == "solid" and body.owner not in own]
    if not things:
        return Obstacles((), np.zeros((0, 8, 3)), frame)
    return Obstacles(tuple(things), _local(_box_corners(things), frame), frame)


def shades(
    obstacles: Obstacles, eye: Point3, outline: tuple[float, float, float, float]
) -> tuple[Shade, ...]:
    """Return what hides some of the picture, the largest first; nothing for an eye behind the glass.

    Args:
        obstacles: See `obstacles_of`.
        eye: In the picture's frame. [mm]
        outline: The picture's left, lower, right and upper edge. [mm]

    Source:
        Plain geometry: every face that looks toward the eye, projected from the eye on the glass.
    """
    found: dict[str, Shade] = {}
    for thing, faces in _reaching(obstacles, eye, outline):
        area = _hidden_by(faces, eye, outline)
        if area.area <= _SPECK:
            continue
        key = _key(thing)
        if key in found:
            area = shapely.union(area, found[key].area, grid_size=_GRID)
        found[key] = Shade(key, thing.label or key, area)
    return tuple(sorted(found.values(), key=lambda shade: (-round(shade.area.area, 2), shade.key)))


def is_shaded(
    obstacles: Obstacles, eye: Point3, outline: tuple[float, float, float, float], limit: float
) -> bool:
    """Whether one of `shades` is larger than a limit, mostly without joining its shadow.

    Args:
        obstacles: See `obstacles_of`.
        eye: In the picture's frame. [mm]
        outline: The picture's left, lower, right and upper edge. [mm]
        limit: Largest size of a shade, see `Shade.size`. [mm]
    """
    lit = shapely.box(*outline)
    doubtful: dict[str, list[shapely.Geometry]] = {}
    for thing, faces in _reaching(obstacles, eye, outline):
        pieces = shapely.intersection([shadow for shadow, _ in _shadows(faces, eye, outline)], lit)
        left, lower, right, upper = shapely.bounds(pieces).T
        sizes = np.minimum(right - left, upper - lower)  # NaN, so not larger, where nothing is left
        if np.any((sizes > limit) & (shapely.area(pieces) > _SPECK)):
            return True
        doubtful.setdefault(_key(thing), []).extend(pieces)
    for pieces in doubtful.values():
        left, lower, right, upper = shapely.total_bounds(pieces)
        if min(right - left, upper - lower) > limit:
            return any(shade.size > limit for shade in shades(obstacles, eye, outline))
    return False


def _key(thing: Piece | Body) -> str:
    return thing.owner if isinstance(thing, Body) else thing.key


_SIDES = np.array([(u, v, n) for u in (0, 1) for v in (0, 1) for n in (0, 1)])
"""Which side each corner of a box is on: 0 the lower one, 1 the higher."""


def _box_corners(things: Sequence[Piece | Body]) -> Floats:
    """(things, 8, 3) corners of a box round each thing, square to its own frame, in the cabinet frame. [mm]"""
    boxes, axes = np.array([_box(thing) for thing in things]), []
    for thing in things:
        frame = thing.frame
        axes.append((frame.u, frame.v, frame.n, frame.origin))
    frames = np.array(axes)
    own = np.where(_SIDES, boxes[:, None, 3:], boxes[:, None, :3])
    made: Floats = own @ frames[:, :3] + frames[:, 3:]
    return made


def _box(thing: Piece | Body) -> tuple[float, float, float, float, float, float]:
    """Least u, v, n and most of them in a thing's own frame. [mm]"""
    if isinstance(thing, Piece):
        left, lower, right, upper = thing.extent
        return (left, lower, -thing.thickness, right, upper, 0.0)
    shape = thing.shape
    if isinstance(shape, Box):
        half_u, half_v = shape.width / 2, shape.height / 2
    else:
        half_u = half_v = max(shape.diameter, shape.top_diameter or 0.0) / 2
    u, v = shape.u, shape.v
    return (u - half_u, v - half_v, shape.n_low, u + half_u, v + half_v, shape.n_high)


def _local(points: Floats, frame: Frame) -> Floats:
    axes = np.array([frame.u, frame.v, frame.n])
    made: Floats = (points - np.array(frame.origin)) @ axes.T
    return made


def _pyramid(eye: Point3, outline: tuple[float, float, float, float]) -> Floats:
    """(10, 4) planes, positive inside: off the glass, before the eye, past the picture's four edges and beside them.

    The last four say little more, but of long things with one end far behind the glass they leave out most.
    """
    u, v, over = eye
    left, lower, right, upper = outline
    # Along u at height n the left plane stands at u + (left − u)·(1 − n ÷ over).
    sides = [
        (over, 0.0, left - u, -left * over),
        (0.0, over, lower - v, -lower * over),
        (-over, 0.0, u - right, right * over),
        (0.0, -over, v - upper, upper * over),
    ]
    beside = [
        (1.0, 0.0, 0.0, -min(left, u)),
        (0.0, 1.0, 0.0, -min(lower, v)),
        (-1.0, 0.0, 0.0, max(right, u)),
        (0.0, -1.0, 0.0, max(upper, v)),
    ]
    ends = [(0.0, 0.0, 1.0, -NEAR_GLASS), (0.0, 0.0, -1.0, NEAR_EYE * over)]
    return np.array([*ends, *sides, *beside])


def _outside(corners: Floats, planes: Floats) -> NDArray[np.bool_]:
    """True where all corners of a thing lie outside of one plane."""
    outside = corners @ planes[:, :3].T + planes[:, 3] <= 0
    by_all: NDArray[np.bool_] = np.logical_and.reduce(outside, axis=1)
    by_one: NDArray[np.bool_] = np.logical_or.reduce(by_all, axis=1)
    return by_one


@lru_cache(maxsize=1024)
def _faces_of(whole: Solid, frame: Frame) -> _Faces:
    """Of what lies before the glass; the cut through the glass looks away from every eye."""
    glass = sum(a * b for a, b in zip(frame.origin, frame.n, strict=True)) + NEAR_GLASS
    points, triangles = Solid(whole.manifold.trim_by_plane(frame.n, glass)).mesh
    if not len(triangles):
        return _Faces(np.zeros((0, 3, 3)), np.zeros((0, 3)))
    corners = _local(points, frame)[triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return _Faces(corners, normals)


def _planes_of(corners: Floats, normals: Floats) -> list[int]:
    """A number for each triangle, the same for those of one plane."""
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    units = normals / np.where(lengths > 0, lengths, 1.0)
    offsets = np.einsum("ij,ij->i", units, corners[:, 0])
    planes = np.column_stack([np.round(units, 6), np.round(offsets, 4)])
    known: dict[tuple[float, ...], int] = {}
    return [known.setdefault(plane, len(known)) for plane in map(tuple, planes.tolist())]


_Shadow: TypeAlias = tuple[shapely.Geometry, int]
"""What one triangle hides, and the number of its face; -1 where it was cut first."""


def _reaching(
    obstacles: Obstacles, eye: Point3, outline: tuple[float, float, float, float]
) -> Iterator[tuple[Piece | Body, _Faces]]:
    """Things that may hide some of the picture, each with its faces; some of them have a shadow."""
    if eye[2] <= NEAR_GLASS or not obstacles.things:
        return
    planes = _pyramid(eye, outline)
    for index in np.flatnonzero(~_outside(obstacles.corners, planes)):
        thing = obstacles.things[int(index)]
        faces = _faces_of(solid_of(thing), obstacles.frame)
        if _shadows(faces, eye, outline):
            yield thing, faces


@remembered(4096)
def _hidden_by(
    faces: _Faces, eye: Point3, outline: tuple[float, float, float, float]
) -> shapely.Geometry:
    """What a thing that has shadows hides of the picture."""
    shadows = _shadows(faces, eye, outline)
    return shapely.intersection(_joined(shadows), shapely.box(*outline), grid_size=_GRID)


@remembered(4096)
def _shadows(
    faces: _Faces, eye_at: Point3, outline: tuple[float, float, float, float]
) -> tuple[_Shadow, ...]:
    """Shadows of a thing's faces toward the eye."""
    eye, planes = np.array(eye_at), _pyramid(eye_at, outline)
    toward = np.einsum("ij,ij->i", faces.normals, eye - faces.corners[:, 0]) > 0
    kept = np.flatnonzero(toward)
    kept = kept[~_outside(faces.corners[kept], planes)]
    corners = faces.corners[kept]
    before = planes[1]
    within = np.all(corners @ before[:3] + before[3] >= 0, axis=1)
    whole = shapely.polygons(_projected(corners[within], eye))
    planes_of = _planes_of(corners[within], faces.normals[kept[within]])
    made = [
        (shadow, face)
        for shadow, face, area in zip(whole, planes_of, shapely.area(whole), strict=True)
        if area > 0
    ]
    for triangle in corners[~within]:
        ring = _kept(list(triangle), before)
        if len(ring) >= 3:
            shadow = shapely.Polygon(_projected(np.array(ring), eye))
            if shadow.area > 0:
                made.append((shadow.buffer(0), -1))
    return tuple(made)


def _joined(shadows: Sequence[_Shadow]) -> shapely.Geometry:
    """One area. Triangles of one face lie side by side, which is joined much faster than what overlaps."""
    by_face: dict[int, list[shapely.Geometry]] = {}
    for shadow, face in shadows:
        by_face.setdefault(face, []).append(shadow)
    areas: list[shapely.Geometry] = []
    for face, parts in by_face.items():
        joined = shapely.coverage_union_all(parts) if face >= 0 else None
        areas += [joined] if joined is not None and joined.is_valid else parts
    return shapely.union_all(areas, grid_size=_GRID)


def _kept(ring: Sequence[Floats], plane: Floats) -> list[Floats]:
    """The part of a convex ring in space on a plane's positive side (Sutherland and Hodgman, 1974)."""
    kept: list[Floats] = []
    sides = [float(point @ plane[:3] + plane[3]) for point in ring]
    for i, point in enumerate(ring):
        before, here = sides[i - 1], sides[i]
        if (before < 0 < here) or (here < 0 < before):
            kept.append(ring[i - 1] + (point - ring[i - 1]) * (before / (before - here)))
        if here >= 0:
            kept.append(point)
    return kept


def _projected(points: Floats, eye: Floats) -> Floats:
    """Where the lines from the eye through points meet the glass: (..., 3) to (..., 2)."""
    shares = eye[2] / (eye[2] - points[..., 2:])
    assert np.all(np.isfinite(shares))
    made: Floats = eye[:2] + (points[..., :2] - eye[:2]) * shares
    return made


__all__ = ["NEAR_GLASS", "Obstacles", "Shade", "is_shaded", "obstacles_of", "shades"]
