"""The shortest straight way out of what a thing runs into.

Two straight bodies that stand the same way, as buttons beside one another do, are measured as flat shapes and two
spans of height; other convex things by all that separates a point of the one from a point of the other. Both are exact
and quick. What has holes or hollows is moved step by step.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

import numpy as np
import shapely
from manifold3d import Manifold
from numpy.typing import NDArray

from casewright.geometry.model import Body, Cylinder, Frame, Piece
from casewright.geometry.solids import PAIRS, SOLIDS, Floats, Solid, solid_of

Axis = Literal["+u", "-u", "+v", "-v", "+n", "-n"]

LEAST_OVERLAP = 1.0
"""Shared space below this is contact, not a collision. [mm³]"""

_AXES: tuple[Axis, ...] = ("+u", "-u", "+v", "-v", "+n", "-n")
_CLOSE_ENOUGH = 0.02  # mm, least step on the way out
_MOST_STEPS = 60
_MOST_POINTS = 40_000  # differences of corners
_SAME = 1e-9


def way_out(mover: Piece | Body, obstacle: Piece | Body) -> tuple[float, Axis]:
    """The shortest straight move along the mover's own axes after which the two only touch. [mm]

    Source:
        Plain geometry: along a line, two convex shapes are apart once the hindmost point of the one has passed the
        foremost of the other, on every parallel of that line.
    """
    return _way_out(solid_of(mover), solid_of(obstacle), mover.frame, _stand_alike(mover, obstacle))


def _stand_alike(a: Piece | Body, b: Piece | Body) -> bool:
    """Whether both are straight bodies whose heights run the same way."""
    if not (_is_straight(a) and _is_straight(b)):
        return False
    return bool(np.linalg.norm(np.cross(a.frame.n, b.frame.n)) < _SAME)


def _is_straight(thing: Piece | Body) -> bool:
    """Whether a thing is a flat convex shape raised along n."""
    if isinstance(thing, Piece):
        return False
    shape = thing.shape
    return not isinstance(shape, Cylinder) or shape.top_diameter in (None, shape.diameter)


@lru_cache(maxsize=PAIRS)
def _way_out(mover: Solid, obstacle: Solid, frame: Frame, straight: bool) -> tuple[float, Axis]:
    axes = np.array([frame.u, frame.v, frame.n])
    mine, other = mover.mesh[0] @ axes.T, obstacle.mesh[0] @ axes.T
    # Beyond these the two are apart for certain.
    ends = np.column_stack(
        [other.max(axis=0) - mine.min(axis=0), mine.max(axis=0) - other.min(axis=0)]
    ).ravel()
    order = np.argsort(ends, kind="stable")
    best, along = float(ends[order[0]]), _AXES[order[0]]
    frees: list[float] | None = None
    near = obstacle
    if straight:
        frees = [*_flat_ways(mine[:, :2], other[:, :2]), *(float(end) for end in ends[4:])]
    elif _is_convex(mover):
        if not _is_convex(obstacle):
            near = _near(mover, obstacle, best)
        corners = near.mesh[0] @ axes.T
        if len(mine) * len(corners) <= _MOST_POINTS and _is_convex(near):
            frees = _convex_ways(mine, corners)
    else:
        near = _near(mover, obstacle, best)
    for index in order:
        if frees:
            free = frees[index]
        else:
            way = axes[index // 2] * (1 - 2 * (index % 2))
            free = _march(mover.manifold, near.manifold, way, best)
        if free < best:
            best, along = free, _AXES[index]
    return best, along


@lru_cache(maxsize=SOLIDS)
def _is_convex(solid: Solid) -> bool:
    hull = float(solid.manifold.hull().volume())
    return hull - solid.volume <= 1e-9 * hull


def _convex_ways(mine: Floats, other: Floats) -> list[float]:
    """How far a convex shape comes free of another along each of `_AXES`. [mm]

    The two meet as long as the move is a difference of their points; those differences fill a convex shape, out of
    whose faces each straight way leads once.
    """
    differences = (other[:, None] - mine[None]).reshape(-1, 3)
    points, triangles = Solid(Manifold.hull_points(differences)).mesh
    a, b, c = (points[triangles[:, i]] for i in range(3))
    normals = np.cross(b - a, c - a)
    sizes = np.linalg.norm(normals, axis=1)
    normals = normals[sizes > _SAME] / sizes[sizes > _SAME, None]
    # Not each face's own distance: slivers have a bad normal, and for every normal this is a bound that holds.
    offsets = (points @ normals.T).max(axis=0)
    found = []
    for axis in range(3):
        for sign in (1.0, -1.0):
            along = normals[:, axis] * sign
            leads = along > _SAME
            found.append(float((offsets[leads] / along[leads]).min()))
    return found


def _flat_ways(mine: Floats, other: Floats) -> list[float]:
    """How far a flat convex shape comes free of another along +u, −u, +v and −v. [mm]

    The overlap along parallels of an axis is a concave function of where the parallel is; it bends, and so is largest,
    where one has a corner.
    """
    rings = [shapely.get_coordinates(_hull_ring(points)) for points in (mine, other)]
    found = []
    for axis in (0, 1):
        (low_a, high_a), (low_b, high_b) = [
            (ring[:, 1 - axis].min(), ring[:, 1 - axis].max()) for ring in rings
        ]
        low, high = max(low_a, low_b), min(high_a, high_b)
        places = np.concatenate([ring[:, 1 - axis] for ring in rings])
        places = np.concatenate([places[(places > low) & (places < high)], [low, high]])
        (lower, upper), (lower_other, upper_other) = [_span(ring, axis, places) for ring in rings]
        found += [float((upper_other - lower).max()), float((upper - lower_other).max())]
    return found


def _hull_ring(points: Floats) -> shapely.Geometry:
    hull = shapely.convex_hull(shapely.multipoints(points))
    return shapely.orient_polygons(hull).exterior


def _span(ring: Floats, axis: int, places: Floats) -> tuple[Floats, Floats]:
    """Least and most of a convex ring along an axis, on parallels at some places."""
    start, end = ring[:-1], ring[1:]
    run = end[:, 1 - axis] - start[:, 1 - axis]
    # The ring goes counter-clockwise: to larger v on its right, to larger u on its lower side.
    if axis == 1:
        run = -run

    def along(side: NDArray[np.bool_]) -> Floats:
        corners = np.concatenate((start[side], end[side]))
        corners = corners[np.argsort(corners[:, 1 - axis], kind="stable")]
        heights: Floats = np.interp(places, corners[:, 1 - axis], corners[:, axis])
        return heights

    return along(run < -_SAME), along(run > _SAME)


def _near(mover: Solid, obstacle: Solid, reach: float) -> Solid:
    """What of the obstacle the mover can meet on the way: of a deck full of holes, a corner with one."""
    low, high = (np.array(corner) for corner in mover.box)
    room = Manifold.cube(tuple(float(x) for x in high - low + 2 * reach))
    near = Solid(room.translate(tuple(float(x) for x in low - reach)) ^ obstacle.manifold)
    assert near.volume > 0  # asked for now, or it would be cut anew with each step
    return near


def _march(mover: Manifold, obstacle: Manifold, axis: Floats, limit: float) -> float:
    """How far along the axis the mover comes free, `limit` if not before that.

    Each step is the mean length of the shared space along the axis, its volume over its shadow. The mover has to go
    at least as far as the longest such length, so no step goes too far.
    """
    moved = 0.0
    for _ in range(_MOST_STEPS):
        shared = Solid(mover.translate(tuple(float(x) for x in axis * moved)) ^ obstacle)
        if shared.volume <= LEAST_OVERLAP:
            return moved
        points, triangles = shared.mesh
        a, b, c = (points[triangles[:, i]] for i in range(3))
        shadow = float(np.abs(np.cross(b - a, c - a) @ axis).sum()) / 4
        moved += max(shared.volume / shadow, _CLOSE_ENOUGH)
        if moved >= limit:
            return limit
    return limit


__all__ = ["LEAST_OVERLAP", "Axis", "way_out"]
