"""Convex outer shapes of pieces and bodies: whether two share space, and how far one must go until they do not."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from casewright.geometry.model import Body, Cylinder, Piece, Point3
from casewright.geometry.solids import Floats

Thing = Piece | Body

_RING = 24
"""Corners that stand for a cylinder's rim, set round it so that the true rim lies inside."""


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


@lru_cache(maxsize=1024)
def outer(thing: Thing) -> tuple[Floats, Floats]:
    """Corners of a thing's convex outer shape, and its face normals: those of its frame first."""
    frame = thing.frame
    normals: list[Sequence[float]] = [frame.u, frame.v, frame.n]
    if isinstance(thing, Piece):
        show = np.array([frame.point(u, v) for u, v in thing.show])
        back = np.array([frame.point(u, v, -thing.thickness) for u, v in thing.back])
        for normal in np.cross(np.roll(show, -1, axis=0) - show, back - show):
            size = float(np.linalg.norm(normal))
            if size > 1e-6:
                normals.append((normal / size).tolist())
        return np.concatenate((show, back)), np.array(normals)
    shape = thing.shape
    levels = (shape.n_low, shape.n_high)
    if isinstance(shape, Cylinder):
        radius = max(shape.diameter, shape.top_diameter or 0.0) / 2 / np.cos(np.pi / _RING)
        angles = (np.arange(_RING) + 0.5) * 2 * np.pi / _RING
        rim = [(shape.u + radius * np.cos(t), shape.v + radius * np.sin(t)) for t in angles]
        axes = np.array([frame.u, frame.v])
        normals += [
            (np.array([np.cos(t), np.sin(t)]) @ axes).tolist()
            for t in np.arange(_RING // 2) * 2 * np.pi / _RING
        ]
    else:
        w, h = shape.width / 2, shape.height / 2
        rim = [(shape.u + a * w, shape.v + b * h) for a in (-1, 1) for b in (-1, 1)]
    corners = [frame.point(float(u), float(v), n) for n in levels for u, v in rim]
    return np.array(corners), np.array(normals)


def point3(row: Floats) -> Point3:
    """A row of three numbers as a point."""
    x, y, z = (float(value) for value in row)
    return (x, y, z)


__all__ = ["Thing", "all_axes", "clearing_move", "may_meet", "outer", "point3"]
