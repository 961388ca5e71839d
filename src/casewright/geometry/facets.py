"""Outlines of features in a face, arcs as straight facets.

Circles and arcs become facets for solids only: no dimension is ever read back from one. Facets touch the true arc at
its quarter points, so that extents are exact, and their other corners stand a little outside it, so that areas, and
with them volumes, are exact too. The rim is off by `TOLERANCE` at most, or by 1/2500 of the radius where that is more.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from casewright.geometry.model import Circle, FaceShape, Point2, Polygon

TOLERANCE = 0.01
"""Most that a faceted rim may be off the true arc, up to a radius of about 25 mm. [mm]"""
MOST_FACETS = 24
"""Facets to a quarter turn at most: beyond, a solid costs more time than its rim is worth."""

_SAME = 1e-9  # mm


def shape_points(
    shape: FaceShape,
    *,
    grow: float = 0.0,
    facets_for: float | None = None,
    tolerance: float = TOLERANCE,
) -> list[Point2]:
    """Corners of a shape in (u, v), arcs in facets. [mm]

    Args:
        shape: Circle, rectangle or polygon.
        grow: Widened by this on every side; sharp corners stay sharp, round ones get rounder. [mm]
        facets_for: Arcs get as many facets as if it were grown by this. [mm]
        tolerance: Most that the facets may be off the true arc, as far as `MOST_FACETS` allow. [mm]
    """
    rounder = grow if facets_for is None else facets_for
    if isinstance(shape, Polygon):
        return _grown(counter_clockwise(shape.points), grow)
    if isinstance(shape, Circle):
        ring = circle_points(shape, grow=grow, facets_for=facets_for, tolerance=tolerance)
        return [(u, v) for u, v in ring.tolist()]
    half_width, half_height = shape.width / 2 + grow, shape.height / 2 + grow
    radius = min(shape.radius, shape.width / 2, shape.height / 2)
    if radius < _SAME:
        local = np.array(_CORNERS) * (half_width, half_height)
    else:
        size = max(radius + grow, 0.0)
        corners, arcs = _round_corners(_facets(radius + rounder, tolerance))
        local = corners * (half_width - size, half_height - size) + size * arcs
    angle = math.radians(shape.turn_deg)
    c, s = math.cos(angle), math.sin(angle)
    # A slot's straight side may be gone altogether: drop what would stand twice.
    after = np.concatenate((local[1:], local[:1]))
    apart = np.abs(after - local).max(axis=1) > _SAME
    x, y = (local if apart.all() else local[apart]).T
    us, vs = (shape.u + x * c - y * s).tolist(), (shape.v + x * s + y * c).tolist()
    return list(zip(us, vs, strict=True))


_CORNERS = ((1, 1), (-1, 1), (-1, -1), (1, -1))
"""Of a rectangle, as signs of u and v."""


@lru_cache(maxsize=64)
def _round_corners(facets: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """For every point along four round corners: its corner as signs, and the point on the unit circle."""
    arc = quarter(facets)
    signs = np.repeat(np.array(_CORNERS, dtype=np.float64), len(arc), axis=0)
    return signs, np.array([_turned_quarters(point, turn) for turn in range(4) for point in arc])


def circle_points(
    shape: Circle,
    *,
    grow: float = 0.0,
    facets_for: float | None = None,
    tolerance: float = TOLERANCE,
) -> NDArray[np.float64]:
    """`shape_points` of a circle, as an array: counter-clockwise. [mm]"""
    radius = shape.diameter / 2
    count = _facets(radius + (grow if facets_for is None else facets_for), tolerance)
    return np.array((shape.u, shape.v)) + max(radius + grow, 0.0) * _unit_circle(count)


@lru_cache(maxsize=64)
def _unit_circle(facets: int) -> NDArray[np.float64]:
    """A whole turn, `facets` to each quarter."""
    arc = quarter(facets)[:-1]
    return np.array([_turned_quarters(point, turn) for turn in range(4) for point in arc])


@lru_cache(maxsize=256)
def quarter(facets: int) -> tuple[Point2, ...]:
    """A quarter of the unit circle in facets, both ends on it, with the quarter disk's area.

    Source:
        Plain geometry. With the inner corners at radius k and the step δ = 90° / facets, the fan of triangles has the
        area ½ sin δ (2 k + (facets − 2) k²) = π / 4, solved for k.
    """
    assert facets >= 3
    step = math.pi / 2 / facets
    inner, area = facets - 2, math.pi / 2 / math.sin(step)
    k = (math.sqrt(1 + inner * area) - 1) / inner
    middle = [(k * math.cos(i * step), k * math.sin(i * step)) for i in range(1, facets)]
    return ((1.0, 0.0), *middle, (0.0, 1.0))


def _facets(radius: float, tolerance: float) -> int:
    """Facets to a quarter turn: the corners stand out by a little over r δ² / 12 with the step δ."""
    step = math.sqrt(10 * tolerance / max(radius, tolerance))
    return max(6, min(MOST_FACETS, math.ceil(math.pi / 2 / step)))


def _turned_quarters(point: Point2, turns: int) -> Point2:
    x, y = point
    return ((x, y), (-y, x), (-x, -y), (y, -x))[turns]


def _grown(points: Sequence[Point2], by: float) -> list[Point2]:
    """Each side moved outward, the sides meeting in sharp corners as before."""
    if by == 0:
        return list(points)
    grown = []
    for before, here, after in zip(
        [points[-1], *points[:-1]], points, [*points[1:], points[0]], strict=True
    ):
        in_u, in_v = _direction(before, here)
        out_u, out_v = _direction(here, after)
        # The corner moves along the sum of the two outward normals (v, -u), to be `by` from both sides.
        nu, nv = in_v + out_v, -in_u - out_u
        scale = by / max(nu * in_v - nv * in_u, 1e-3)
        grown.append((here[0] + nu * scale, here[1] + nv * scale))
    return grown


def _direction(start: Point2, end: Point2) -> Point2:
    length = math.dist(start, end)
    return ((end[0] - start[0]) / length, (end[1] - start[1]) / length)


def signed_area(points: Sequence[Point2]) -> float:
    """Area inside a closed outline, negative if it runs clockwise. [mm²]"""
    after = [*points[1:], points[0]]
    return math.fsum(p[0] * q[1] - q[0] * p[1] for p, q in zip(points, after, strict=True)) / 2


def counter_clockwise(points: Sequence[Point2]) -> list[Point2]:
    """The outline, turned round if it runs clockwise."""
    return list(points) if signed_area(points) >= 0 else [*points[:1], *points[:0:-1]]


def is_convex(points: Sequence[Point2]) -> bool:
    """Whether an outline bends one way only, and goes round once."""
    turned = 0.0
    for before, here, after in zip(
        [points[-1], *points[:-1]], points, [*points[1:], points[0]], strict=True
    ):
        au, av = here[0] - before[0], here[1] - before[1]
        bu, bv = after[0] - here[0], after[1] - here[1]
        turn = math.atan2(au * bv - av * bu, au * bu + av * bv)
        if turn < -1e-9:
            return False
        turned += turn
    return abs(turned - 2 * math.pi) < 1e-6


__all__ = [
    "MOST_FACETS",
    "TOLERANCE",
    "circle_points",
    "counter_clockwise",
    "is_convex",
    "quarter",
    "shape_points",
    "signed_area",
]
