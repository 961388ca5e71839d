"""How far one convex shape is moved until it is out of another.

The two meet as long as the move is a difference of their points. Those differences fill a convex shape round the
origin, and the way out along an axis ends where that axis leaves it. The shape itself, with as many corners as products
of theirs, is never made: its farthest corner in a direction is the difference of the farthest of the one and the
nearest of the other.
"""

from __future__ import annotations

import numpy as np

from casewright.geometry.solids import Floats

_MOST_STEPS = 100
_CLOSE = 1e-9
"""Of the shape's size."""
_ASIDES = ((7.3e-11, 4.1e-11), (7.3e-9, -4.1e-9), (-4.7e-8, 8.3e-8))
"""So far, of the shape's size, the axis passes beside where it is: things that stand in line with one another have
corners just on it, and of corners in a row none would be the next. The second and third where the first does not do."""


def exits(mover: Floats, obstacle: Floats) -> tuple[float, ...] | None:
    """How far a convex shape comes free of another along +x, −x, +y, −y, +z and −z.

    Args:
        mover: Its corners, (n, 3). [mm]
        obstacle: Likewise; the two share space.

    Returns:
        Six ways [mm]; None where rounding keeps one of them from being found.

    Source:
        G. Snethen, "XenoCollide: Complex Collision Made Simple", Game Programming Gems 7 (2008): a triangle of corners
        about the axis, of which one is replaced by the farthest corner beyond it until there is none.
    """
    found = []
    for axis in range(3):
        # The axis comes last; its two fellows follow in such an order that the three stay right-handed.
        turned = [(axis + 1) % 3, (axis + 2) % 3, axis]
        mine, other = mover[:, turned], obstacle[:, turned]
        for sign in (1.0, -1.0):
            flip = (1.0, 1.0, sign)
            ways = (_exit(mine * flip, other * flip, aside) for aside in _ASIDES)
            way = next((one for one in ways if one is not None), None)
            if way is None:
                return None
            found.append(way)
    return tuple(found)


class _Differences:
    """The convex shape of all differences of two others' points, asked for its farthest corners."""

    def __init__(self, mover: Floats, obstacle: Floats, aside: tuple[float, float]) -> None:
        self.size = float(np.ptp(mover, axis=0).max() + np.ptp(obstacle, axis=0).max())
        self._mover = mover + np.array((*aside, 0.0)) * self.size
        self._obstacle = obstacle

    def farthest(self, x: float, y: float, z: float) -> tuple[float, float, float]:
        way = np.array((x, y, z))
        ahead = self._obstacle[(self._obstacle @ way).argmax()]
        behind = self._mover[(self._mover @ way).argmin()]
        dx, dy, dz = (ahead - behind).tolist()
        return dx, dy, dz


_Corner = tuple[float, float, float]


def _exit(mover: Floats, obstacle: Floats, aside: tuple[float, float]) -> float | None:
    """Where the axis z leaves the shape of differences."""
    shape = _Differences(mover, obstacle, aside)
    triangle = _about_the_axis(shape)
    for _ in range(_MOST_STEPS):
        if triangle is None:
            return None
        a, b, c = triangle
        nx, ny, nz = _normal(a, b, c)
        if abs(nz) <= _CLOSE * shape.size**2:
            return None  # it stands along the axis
        x, y = nx / nz, ny / nz
        height = x * a[0] + y * a[1] + a[2]
        corner = shape.farthest(x, y, 1.0)
        reach = x * corner[0] + y * corner[1] + corner[2]
        if reach - height <= _CLOSE * shape.size:
            return reach + (x * aside[0] + y * aside[1]) * shape.size
        triangle = _with(corner, (a, b, c))
    return None


def _normal(a: _Corner, b: _Corner, c: _Corner) -> _Corner:
    ux, uy, uz = b[0] - a[0], b[1] - a[1], b[2] - a[2]
    vx, vy, vz = c[0] - a[0], c[1] - a[1], c[2] - a[2]
    return uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx


def _with(
    corner: _Corner, triangle: tuple[_Corner, _Corner, _Corner]
) -> tuple[_Corner, _Corner, _Corner] | None:
    """The triangle with another corner in place of one, so that it still stands about the axis."""
    best, chosen = -1e-12, None
    for at in range(3):
        a, b = triangle[(at + 1) % 3], triangle[(at + 2) % 3]
        inside = _inside(corner, a, b)
        if inside > best:
            best, chosen = inside, (corner, a, b)
    return chosen


def _inside(a: _Corner, b: _Corner, c: _Corner) -> float:
    """Least share that a corner of a triangle has in the place of the axis; below 0 where it passes outside."""
    whole = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    if whole == 0.0:
        return -1.0
    parts = (b[0] * c[1] - b[1] * c[0], c[0] * a[1] - c[1] * a[0], a[0] * b[1] - a[1] * b[0])
    return min(part / whole for part in parts)


def _about_the_axis(shape: _Differences) -> tuple[_Corner, _Corner, _Corner] | None:
    """Three corners of the shape whose triangle the axis goes through, whatever its slope."""
    first = shape.farthest(1.0, 0.0, 0.0)
    second = shape.farthest(-first[0], -first[1], 0.0)
    for _ in range(_MOST_STEPS):
        # Beyond the line of two of them, on the axis's side of it.
        x, y = second[1] - first[1], first[0] - second[0]
        if x * first[0] + y * first[1] > 0:
            x, y = -x, -y
        third = shape.farthest(x, y, 0.0)
        if x * third[0] + y * third[1] <= x * first[0] + y * first[1] or (x, y) == (0.0, 0.0):
            return None
        if _inside(first, second, third) >= 0.0:
            return first, second, third
        # The axis passes beyond one of the two new sides.
        is_beyond = _side(second, third) * _side(second, third, first) < 0
        first, second = (second, third) if is_beyond else (first, third)
    return None


def _side(a: _Corner, b: _Corner, c: _Corner = (0.0, 0.0, 0.0)) -> float:
    """On which side of the line from one corner to another a third one lies; the axis itself if none is given."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


__all__ = ["exits"]
