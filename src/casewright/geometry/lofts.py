"""Meshes of bodies between flat outlines, with straight-walled holes, pockets and flares let into their faces.

Built point by point instead of by cutting bodies out of one another, which takes ten times as long. The mesh is the
same as cutting would give, as long as the holes keep clear of one another and of the outlines: `clear_boxes` tells.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise

import numpy as np
from manifold3d import Error, Manifold, Mesh64, triangulate
from numpy.typing import NDArray

from casewright.geometry.facets import counter_clockwise, is_convex, signed_area
from casewright.geometry.model import Point2
from casewright.geometry.moments import Moments, ruled_moments, sum_of

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
Extent = tuple[float, float, float, float]
"""Least u, least v, most u, most v."""

_CLEAR = 0.01  # mm between two holes that are built on their own
_FLAT = 1e-9  # mm⁴


@dataclass(frozen=True, eq=False)
class Column:
    """A hole as rings, from the show face inward or down to the back face.

    Rings that follow one another have equally many corners, or stand at the same n and make a ledge.
    """

    rings: tuple[tuple[Floats, float], ...]
    """Counter-clockwise outline and its n, falling. [mm]"""
    opens_show: bool
    opens_back: bool

    @property
    def box(self) -> Extent:
        """Least u, least v, most u, most v. [mm]"""
        return extent_of(np.concatenate([ring for ring, _ in self.rings]))

    @cached_property
    def moments(self) -> Moments:
        """Of what it takes away, so its volume is negative."""
        return sum_of(
            ruled_moments(low[::-1], high[::-1], n_low, n_high)
            for (high, n_high), (low, n_low) in pairwise(self.rings)
            if n_high > n_low
        )


def extent_of(points: Floats) -> Extent:
    """Least u, least v, most u, most v. [mm]"""
    low, high = points.min(axis=0), points.max(axis=0)
    return (float(low[0]), float(low[1]), float(high[0]), float(high[1]))


def ruled(low: Sequence[Point2], high: Sequence[Point2], n_low: float, n_high: float) -> Manifold:
    """The body between two flat outlines with as many corners, side by side. [mm]

    Where one is only a line or a point, or turned inside out, it is the least convex body round both.
    """
    if signed_area(low) * signed_area(high) > _FLAT:
        a, b = np.array(counter_clockwise(low)), np.array(counter_clockwise(high))
        return manifold_of(*loft([a], [b], n_low, n_high, ()))
    points = [(u, v, n) for outline, n in ((low, n_low), (high, n_high)) for u, v in outline]
    return Manifold.hull_points(np.array(points))


def loft(
    low: Sequence[Floats],
    high: Sequence[Floats],
    n_low: float,
    n_high: float,
    columns: Sequence[Column],
) -> tuple[Floats, Indices]:
    """The body between two flat figures, less the columns: corners, and triangles counter-clockwise from outside.

    Args:
        low: Outlines at `n_low`, counter-clockwise, and holes, clockwise. [mm]
        high: The same at `n_high`, corner by corner. [mm]
        n_low: [mm]
        n_high: Above `n_low`. [mm]
        columns: Holes that keep clear of one another and of the outlines.
    """
    mesh = _Mesh()
    tops, bottoms = [], []
    for below, above in zip(low, high, strict=True):
        lower, upper = mesh.ring(below, n_low), mesh.ring(above, n_high)
        mesh.wall(lower, upper)
        bottoms.append((below, lower))
        tops.append((above, upper))
    for column in columns:
        rings = [(ring, mesh.ring(ring, n)) for ring, n in column.rings]
        for k, (first, after) in enumerate(pairwise(rings)):
            if column.rings[k][1] > column.rings[k + 1][1]:
                mesh.wall(after[1][::-1], first[1][::-1])
            elif np.ptp(first[0][:, 0]) > np.ptp(after[0][:, 0]):
                mesh.cap([first, (after[0][::-1], after[1][::-1])], up=True)
            else:
                mesh.cap([after, (first[0][::-1], first[1][::-1])], up=False)
        top, bottom = rings[0], rings[-1]
        if column.opens_show:
            tops.append((top[0][::-1], top[1][::-1]))
        else:
            mesh.cap([top], up=False)
        if column.opens_back:
            bottoms.append((bottom[0][::-1], bottom[1][::-1]))
        else:
            mesh.cap([bottom], up=True)
    mesh.cap(tops, up=True)
    mesh.cap(bottoms, up=False)
    return np.concatenate(mesh.points), np.concatenate(mesh.triangles)


def manifold_of(points: Floats, triangles: Indices) -> Manifold:
    """The solid that a closed mesh bounds. [mm]"""
    solid = Manifold(Mesh64(points, np.ascontiguousarray(triangles, dtype=np.uint64)))
    assert solid.status() == Error.NoError  # evaluates it as well
    return solid


def clear_boxes(
    boxes: Sequence[Extent], outlines: Sequence[Sequence[Point2]], are_round: Sequence[bool]
) -> list[bool]:
    """For each box (least u, v, most u, v), whether it lies inside all outlines and off all other boxes. [mm]

    `are_round` tells which ones stand for the circle in them: such two may share a corner of their boxes.
    """
    if not boxes:
        return []
    b = np.array(boxes) + np.array((-_CLEAR, -_CLEAR, _CLEAR, _CLEAR))
    apart = (b[:, None, 0] > b[None, :, 2]) | (b[:, None, 1] > b[None, :, 3])
    apart |= apart.T
    u, v, radius = (b[:, 0] + b[:, 2]) / 2, (b[:, 1] + b[:, 3]) / 2, (b[:, 2] - b[:, 0]) / 2
    off = np.hypot(u[:, None] - u, v[:, None] - v) > radius[:, None] + radius
    round_ones = np.array(are_round)
    apart |= off & round_ones[:, None] & round_ones
    np.fill_diagonal(apart, True)
    clear = apart.all(axis=1) & _inside_all(b, outlines)
    return [bool(x) for x in clear]


def inside_outlines(boxes: Sequence[Extent], outlines: Sequence[Sequence[Point2]]) -> list[bool]:
    """For each box, whether it lies inside all outlines, off their edges. [mm]"""
    if not boxes:
        return []
    b = np.array(boxes) + np.array((-_CLEAR, -_CLEAR, _CLEAR, _CLEAR))
    return [bool(x) for x in _inside_all(b, outlines)]


def _inside_all(b: Floats, outlines: Sequence[Sequence[Point2]]) -> NDArray[np.bool_]:
    inside = np.ones(len(b), dtype=bool)
    for outline in outlines:
        start, end = np.array(outline), np.array([*outline[1:], *outline[:1]])
        inside &= (_inside_convex if is_convex(outline) else _inside)(b, start, end)
    return inside


def _inside_convex(b: Floats, p: Floats, q: Floats) -> NDArray[np.bool_]:
    """As `_inside` for a convex outline, counter-clockwise: each side has the corner farthest out on its inner side."""
    out_u, out_v = q[:, 1] - p[:, 1], p[:, 0] - q[:, 0]
    far_u, far_v = (
        np.where(out > 0, b[:, None, 2 + axis], b[:, None, axis])
        for axis, out in enumerate((out_u, out_v))
    )
    beyond = (far_u - p[:, 0]) * out_u + (far_v - p[:, 1]) * out_v
    inside: NDArray[np.bool_] = np.logical_and.reduce(beyond < 0, axis=1)
    return inside


def _inside(b: Floats, p: Floats, q: Floats) -> NDArray[np.bool_]:
    """Whether boxes lie inside the outline with sides p to q: no side meets the box, and a corner is inside."""
    d = q - p
    enter, leave = np.zeros((len(b), len(p))), np.ones((len(b), len(p)))
    outside = np.zeros((len(b), len(p)), dtype=bool)
    for axis in (0, 1):  # each side clipped to the box's two strips
        low, high = b[:, None, axis] - p[None, :, axis], b[:, None, 2 + axis] - p[None, :, axis]
        step = np.broadcast_to(d[None, :, axis], low.shape)
        level = np.abs(step) < 1e-12
        safe = np.where(level, 1.0, step)
        t0, t1 = low / safe, high / safe
        enter = np.where(level, enter, np.maximum(enter, np.minimum(t0, t1)))
        leave = np.where(level, leave, np.minimum(leave, np.maximum(t0, t1)))
        outside |= level & ((low > 0) | (high < 0))
    met = (~outside & (enter <= leave)).any(axis=1)
    u, v = b[:, None, 0], b[:, None, 1]  # one corner: sides that a ray along +u crosses
    straddles = (p[None, :, 1] > v) != (q[None, :, 1] > v)
    rise = np.where(d[:, 1] == 0, 1.0, d[:, 1])
    crossing = p[None, :, 0] + (v - p[None, :, 1]) * d[None, :, 0] / rise[None, :]
    odd = np.count_nonzero(straddles & (crossing > u), axis=1) % 2 == 1
    inside: NDArray[np.bool_] = ~met & odd
    return inside


class _Mesh:
    """Points and triangles as they are gathered."""

    def __init__(self) -> None:
        self.points: list[Floats] = []
        self.triangles: list[Indices] = []
        self.count = 0

    def ring(self, outline: Floats, n: float) -> Indices:
        """Add the corners of an outline; their indices."""
        points = np.empty((len(outline), 3))
        points[:, :2], points[:, 2] = outline, n
        self.points.append(points)
        self.count += len(points)
        return np.arange(self.count - len(points), self.count)

    def wall(self, lower: Indices, upper: Indices) -> None:
        """Add the wall between two rings; its outside is on the right of their way, as seen from above."""
        corners = np.concatenate((lower, upper))
        self.triangles.append(corners[_wall(len(lower))])

    def cap(self, loops: Sequence[tuple[Floats, Indices]], *, up: bool) -> None:
        """Add a flat face; loops run counter-clockwise round it and clockwise round its holes."""
        corners = np.concatenate([indices for _, indices in loops])
        faces = corners[triangulate([outline for outline, _ in loops])]
        self.triangles.append(faces if up else faces[:, ::-1])


@lru_cache(maxsize=256)
def _wall(count: int) -> Indices:
    """Triangles of a wall between two rings of so many corners, the lower ring's first."""
    lower, upper = np.arange(count), np.arange(count, 2 * count)
    after_lower, after_upper = np.roll(lower, -1), np.roll(upper, -1)
    right = np.stack((lower, after_lower, after_upper), axis=1)
    return np.concatenate((right, np.stack((lower, after_upper, upper), axis=1)))


__all__ = [
    "Column",
    "Extent",
    "clear_boxes",
    "extent_of",
    "inside_outlines",
    "loft",
    "manifold_of",
    "ruled",
]
