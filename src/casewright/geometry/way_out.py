"""The shortest straight way out of what a thing runs into.

Two straight bodies that stand the same way, as buttons beside one another do, are measured as flat shapes and two
spans of height; other convex things by all that separates a point of the one from a point of the other. Both are exact
and quick. What has holes or hollows is moved step by step, along the axes on which its hull and its chords leave open
whether it comes free the soonest.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Literal

import numpy as np
import shapely
from manifold3d import Manifold
from numpy.typing import NDArray

from casewright.geometry.chords import longest_chord
from casewright.geometry.convex_exit import exits
from casewright.geometry.model import Body, Cylinder, Frame, Piece
from casewright.geometry.solids import PAIRS, SOLIDS, Floats, Solid, solid_of

Axis = Literal["+u", "-u", "+v", "-v", "+n", "-n"]

LEAST_OVERLAP = 1.0
"""Shared space below this is contact, not a collision. [mm³]"""

_AXES: tuple[Axis, ...] = ("+u", "-u", "+v", "-v", "+n", "-n")
_CLOSE_ENOUGH = 0.02  # mm, least step on the way out
_MOST_STEPS = 60
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
    if straight:
        return _least([*_flat_ways(mine[:, :2], other[:, :2]), *(float(end) for end in ends[4:])])
    are_convex = _is_convex(mover) and _is_convex(obstacle)
    near = obstacle if are_convex else _near(mover, obstacle, float(ends.min()))
    # Of hulls: no less than the ways of what is not convex.
    frees = exits(mine, near.mesh[0] @ axes.T)
    if frees is not None and _is_convex(mover) and _is_convex(near):
        return _least(frees)
    bounds = [min(pair) for pair in zip(frees or ends, ends.tolist(), strict=True)]
    best, along = _least(bounds)
    shared = Solid(mover.manifold ^ near.manifold)
    for index in np.argsort(bounds, kind="stable").tolist():
        free = _march(mover, near, shared, axes, index, best)
        if free < best:
            best, along = free, _AXES[index]
    return best, along


def _least(ways: Sequence[float]) -> tuple[float, Axis]:
    index = min(range(len(ways)), key=lambda at: ways[at])
    return ways[index], _AXES[index]


@lru_cache(maxsize=SOLIDS)
def _is_convex(solid: Solid) -> bool:
    hull = float(solid.manifold.hull().volume())
    return hull - solid.volume <= 1e-9 * hull


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


def _march(
    mover: Solid, obstacle: Solid, shared: Solid, axes: Floats, index: int, limit: float
) -> float:
    """How far the mover comes free along one of `_AXES`, `limit` if not before that; `shared` is their shared space.

    It has to go at least as far as the longest straight line in the shared space along the axis, and so as far as their
    mean, the volume over its shadow: no step goes too far.
    """
    axis, moved = index // 2, 0.0
    way = axes[axis] * (1 - 2 * (index % 2))
    for _ in range(_MOST_STEPS):
        if shared.volume <= LEAST_OVERLAP:
            return moved
        corners, triangles = shared.mesh
        points = corners @ axes.T
        a, b, c = (points[triangles[:, i]] for i in range(3))
        shadow = float(np.abs(np.cross(b - a, c - a)[:, axis]).sum()) / 4
        longest = longest_chord(points, triangles, axis)
        moved += max(shared.volume / shadow, longest, _CLOSE_ENOUGH)
        if moved >= limit:
            return limit
        there = mover.manifold.translate(tuple(float(x) for x in way * moved))
        shared = Solid(there ^ obstacle.manifold)
    return limit


__all__ = ["LEAST_OVERLAP", "Axis", "way_out"]
