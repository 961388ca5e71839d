"""What is taken hold of in the side view: a corner, or a whole edge, which moves square to itself.

An edge goes by the names of its corners, "run:A-B". Where it is put, its corners slide along the edges beside it, so
that every slope and every saw tilt stays.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from casewright.basics.plane import Line, crossing, line_through, segments_cross
from casewright.geometry.model import Point2

RUN = "run:"
"""Keys of edges begin so. No key of a project has a colon."""

Corners = Mapping[str, Point2]


@dataclass(frozen=True)
class Grip:
    """A corner or an edge of one outline."""

    names: tuple[str, ...]
    """Of the corner, or of the edge's two."""
    home: Point2
    """The corner, or the edge's middle. [mm]"""
    normal: Point2 | None
    """The edge's, unit length, outward; None for a corner."""

    def along(self, way: Point2) -> Point2:
        """What of a way the grip can follow: an edge moves square to itself only."""
        if self.normal is None:
            return way
        far = way[0] * self.normal[0] + way[1] * self.normal[1]
        return (self.normal[0] * far, self.normal[1] * far)

    def at(self, corners: Corners) -> Point2 | None:
        """Where it is in another outline, as far as it can follow; None where a corner is missing."""
        if any(name not in corners for name in self.names):
            return None
        count = len(self.names)
        y, z = (sum(corners[name][i] for name in self.names) / count for i in (0, 1))
        dy, dz = self.along((y - self.home[0], z - self.home[1]))
        return (self.home[0] + dy, self.home[1] + dz)

    def way(self, by_corner: Corners) -> Point2:
        """How it moves where its corners move so."""
        count = len(self.names)
        y, z = (
            sum(by_corner.get(name, (0.0, 0.0))[i] for name in self.names) / count for i in (0, 1)
        )
        return self.along((y, z))


def grip_of(corners: Corners, key: str) -> Grip | None:
    """The grip of a key; None where the outline has no such corner or edge."""
    if key in corners:
        return Grip((key,), corners[key], None)
    names = tuple(key.removeprefix(RUN).split("-"))
    if not key.startswith(RUN) or len(names) != 2 or any(name not in corners for name in names):
        return None
    (ay, az), (by, bz) = (corners[name] for name in names)
    size = math.hypot(by - ay, bz - az)
    if size == 0.0:
        return None
    # Counter-clockwise round the outline, outward is to the right of the way on.
    return Grip(names, ((ay + by) / 2, (az + bz) / 2), ((bz - az) / size, (ay - by) / size))


def pushed(corners: Corners, grip: Grip, to: Point2) -> dict[str, Point2] | None:
    """An outline with an edge moved square to itself, its corners sliding along the edges beside it.

    Args:
        corners: Counter-clockwise.
        grip: An edge.
        to: Where its middle is put; only what is square to it counts. [mm]

    Returns:
        None where an edge would vanish or two would cross.

    Source:
        Plain geometry: a line moved parallel to itself meets the two beside it.
    """
    assert grip.normal is not None
    names = list(corners)
    first, second = grip.names
    dy, dz = grip.along((to[0] - grip.home[0], to[1] - grip.home[1]))
    moved = dict(corners)
    edge = line_through(corners[first], corners[second])
    there = Line((edge.point[0] + dy, edge.point[1] + dz), edge.direction)
    beside = (names[names.index(first) - 1], names[(names.index(second) + 1) % len(names)])
    for name, other in zip(grip.names, beside, strict=True):
        y, z = corners[name]
        met = crossing(there, line_through(corners[other], corners[name]))
        moved[name] = met if met is not None else (y + dy, z + dz)  # in line with its neighbor
    return moved if _is_outline(corners, moved) else None


def _is_outline(before: Corners, after: Corners) -> bool:
    """Whether every edge still leads the way it led, and none crosses another."""
    names = list(before)
    edges = list(zip(names, (*names[1:], names[0]), strict=True))
    for a, b in edges:
        old = (before[b][0] - before[a][0], before[b][1] - before[a][1])
        new = (after[b][0] - after[a][0], after[b][1] - after[a][1])
        if old[0] * new[0] + old[1] * new[1] <= 0:
            return False
    count = len(edges)
    return not any(
        segments_cross(
            after[edges[i][0]], after[edges[i][1]], after[edges[j][0]], after[edges[j][1]]
        )
        for i in range(count)
        for j in range(i + 2, count)
        if (j + 1) % count != i
    )


__all__ = ["RUN", "Grip", "grip_of", "pushed"]
