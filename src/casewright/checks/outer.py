"""Convex outer shapes of pieces and bodies: whether two share space, and how far one must go until they do not."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from casewright.basics.remembering import remembered
from casewright.geometry.model import Body, Box, Cylinder, Piece, Point2, Point3
from casewright.geometry.solids import THINGS, Floats

Thing = Piece | Body

_RING = 24
"""Corners that stand for a cylinder's rim, set round it so that the true rim lies inside."""


def _on_circle(angles: Floats) -> Floats:
    return np.column_stack((np.cos(angles), np.sin(angles)))


_TURN = _on_circle((np.arange(_RING) + 0.5) * 2 * np.pi / _RING)
_SIDES = np.column_stack(
    (_on_circle(np.arange(_RING // 2) * 2 * np.pi / _RING), np.zeros(_RING // 2))
)
_CORNERS = np.array(((-1.0, -1.0), (-1.0, 1.0), (1.0, -1.0), (1.0, 1.0)))


def may_meet(body: Body, thing: Thing) -> bool:
    """True for what belongs together, or is meant to touch."""
    if isinstance(thing, Piece):
        return thing.key in body.may_touch or thing.key.partition(".")[0] == body.owner
    return (
        thing.owner == body.owner
        or (body.kind == "room" and thing.kind == "room")
        or thing.owner in body.may_touch
        or body.owner in thing.may_touch
        or thing.key in body.may_touch
        or body.key in thing.may_touch
    )


def all_axes(mine: Floats, other: Floats) -> Floats:
    """Directions along which two convex shapes can be apart: their face normals, and across an edge of each."""
    edges = np.cross(mine[:3, None, :], other[None, :3, :]).reshape(-1, 3)
    sizes = np.linalg.norm(edges, axis=1)
    crossed = edges[sizes > 1e-6] / sizes[sizes > 1e-6, None]
    return np.concatenate((mine, other, crossed))


def clearing_move(mover: Thing, obstacle: Thing, direction: Point3) -> float:
    """Return how far a thing must go along a unit vector until its outer shape only touches the other's. [mm]

    Both are taken as convex: a board without its openings. Never too short, and exact for boxes.

    Source:
        Plain geometry: of two convex bodies that are apart, a plane along a face of one or along an edge of each
        parts them; the move is the least after which one of these planes does.
    """
    (a, mine), (b, other) = outer(mover), outer(obstacle)
    axes = all_axes(mine, other)
    rate = axes @ np.array(direction)
    pa, pb = a @ axes.T, b @ axes.T
    forward = pb.max(axis=0) - pa.min(axis=0)
    backward = pa.max(axis=0) - pb.min(axis=0)
    way = np.where(rate > 0, forward, backward)
    usable = np.abs(rate) > 1e-6
    return float(max((way[usable] / np.abs(rate[usable])).min(), 0.0))


@remembered(THINGS)
def outer(thing: Thing) -> tuple[Floats, Floats]:
    """Corners of a thing's convex outer shape, and its face normals: those of its frame first."""
    if isinstance(thing, Piece):
        corners, normals = _outer_of_piece(thing.show, thing.back, thing.thickness)
    else:
        corners, normals = _outer_of_shape(thing.shape)
    axes = np.array([thing.frame.u, thing.frame.v, thing.frame.n])
    return corners @ axes + np.array(thing.frame.origin), normals @ axes


@lru_cache(maxsize=1024)
def _outer_of_piece(
    show: tuple[Point2, ...], back: tuple[Point2, ...], thickness: float
) -> tuple[Floats, Floats]:
    """The same in the piece's own frame."""
    top, bottom = (
        np.column_stack((np.array(outline), np.full(len(outline), n)))
        for outline, n in ((show, 0.0), (back, -thickness))
    )
    walls = np.cross(np.roll(top, -1, axis=0) - top, bottom - top)
    sizes = np.linalg.norm(walls, axis=1)
    real = sizes > 1e-6
    normals = np.concatenate((np.eye(3), walls[real] / sizes[real, None]))
    return np.concatenate((top, bottom)), normals


@lru_cache(maxsize=1024)
def _outer_of_shape(shape: Box | Cylinder) -> tuple[Floats, Floats]:
    """The same in the body's own frame."""
    normals = np.eye(3)
    if isinstance(shape, Cylinder):
        radius = max(shape.diameter, shape.top_diameter or 0.0) / 2 / np.cos(np.pi / _RING)
        rim = np.array((shape.u, shape.v)) + radius * _TURN
        normals = np.concatenate((normals, _SIDES))
    else:
        half = np.array((shape.width / 2, shape.height / 2))
        rim = np.array((shape.u, shape.v)) + half * _CORNERS
    levels = [np.column_stack((rim, np.full(len(rim), n))) for n in (shape.n_low, shape.n_high)]
    return np.concatenate(levels), normals


def point3(row: Floats) -> Point3:
    """A row of three numbers as a point."""
    x, y, z = (float(value) for value in row)
    return (x, y, z)


__all__ = ["Thing", "all_axes", "clearing_move", "may_meet", "outer", "point3"]
