"""What of the cabinet itself stands between an eye and a picture: a header's underside, the sides, a lever."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from casewright.geometry.model import Body, Box, Cabinet, Frame, Piece, Placed, Point3
from casewright.geometry.openings import is_clear
from casewright.geometry.solids import solid_of

Floats = NDArray[np.float64]

NEAR_GLASS = 0.05
"""What is no nearer to the viewer than this lies against the glass and is no obstacle. [mm]"""

NEAR_EYE = 0.999
"""Share of the way to the eye that is looked along; past it projections run to infinity."""

_GRID = 1e-4
"""Shadows that cannot be joined as they are are joined on this grid. [mm]"""

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
    corners = np.array([_box_corners(thing) for thing in things])
    axes = np.array([(t.frame.u, t.frame.v, t.frame.n) for t in things])
    origins = np.array([thing.frame.origin for thing in things])
    return Obstacles(tuple(things), _local(corners @ axes + origins[:, None], frame), frame)


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
    if eye[2] <= NEAR_GLASS or not obstacles.things:
        return ()
    planes = _pyramid(eye, outline)
    reached = ~_outside(obstacles.corners, planes)
    lit = shapely.box(*outline)
    found: dict[str, Shade] = {}
    for index in np.flatnonzero(reached):
        thing = obstacles.things[int(index)]
        area = _shadow(thing, obstacles.frame, np.array(eye), planes)
        if area is None:
            continue
        area = area.intersection(lit)
        if area.area <= _SPECK:
            continue
        key = thing.owner if isinstance(thing, Body) else thing.key
        if key in found:
            area = area.union(found[key].area)
        found[key] = Shade(key, thing.label or key, area)
    return tuple(sorted(found.values(), key=lambda shade: (-shade.area.area, shade.key)))


def _box_corners(thing: Piece | Body) -> list[Point3]:
    """Corners of a box round a thing, in its own frame. [mm]"""
    if isinstance(thing, Piece):
        left, lower, right, upper = thing.extent
        low, high = -thing.thickness, 0.0
    else:
        shape = thing.shape
        if isinstance(shape, Box):
            half_u, half_v = shape.width / 2, shape.height / 2
        else:
            half_u = half_v = max(shape.diameter, shape.top_diameter or 0.0) / 2
        left, right, lower, upper = (
            shape.u - half_u,
            shape.u + half_u,
            shape.v - half_v,
            shape.v + half_v,
        )
        low, high = shape.n_low, shape.n_high
    return [(u, v, n) for u in (left, right) for v in (lower, upper) for n in (low, high)]


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


def _shadow(
    thing: Piece | Body, frame: Frame, eye: Floats, planes: Floats
) -> shapely.Geometry | None:
    points, triangles = solid_of(thing).mesh
    if not len(triangles):
        return None
    faces = _local(points, frame)[triangles]
    faces = faces[~_outside(faces, planes)]
    normals = np.cross(faces[:, 1] - faces[:, 0], faces[:, 2] - faces[:, 0])
    faces = faces[np.einsum("ij,ij->i", normals, eye - faces[:, 0]) > 0]
    shadows = []
    for face in faces:
        ring: Sequence[Floats] = list(face)
        for plane in planes[:2]:
            ring = _kept(ring, plane)
        if len(ring) >= 3:
            shadow = shapely.Polygon([_projected(point, eye) for point in ring])
            if shadow.area > 0:
                shadows.append(shadow.buffer(0))
    if not shadows:
        return None
    try:
        return shapely.union_all(shadows)
    except shapely.errors.GEOSException:  # faces seen edge on leave slivers that cross one another
        return shapely.union_all(shadows, grid_size=_GRID)


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


def _projected(point: Floats, eye: Floats) -> tuple[float, float]:
    """Where the line from the eye through a point meets the glass."""
    share = eye[2] / (eye[2] - point[2])
    assert math.isfinite(share)
    u, v = eye[:2] + (point[:2] - eye[:2]) * share
    return (float(u), float(v))


__all__ = ["NEAR_GLASS", "Obstacles", "Shade", "obstacles_of", "shades"]
