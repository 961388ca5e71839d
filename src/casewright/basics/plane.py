"""Small plane geometry: lines, crossings, convex clipping, polygon area.

Points are pairs of millimeters in whatever plane the caller works in.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[float, float]

PARALLEL = 1e-9
"""Sine of the angle below which two directions count as parallel."""


@dataclass(frozen=True)
class Line:
    """An endless line through `point` along the unit vector `direction`."""

    point: Point
    direction: Point

    @property
    def left(self) -> Point:
        """Unit normal to the left of the direction."""
        return (-self.direction[1], self.direction[0])

    def shifted(self, distance: float) -> Line:
        """The parallel line `distance` to the left. [mm]"""
        nx, ny = self.left
        return Line((self.point[0] + nx * distance, self.point[1] + ny * distance), self.direction)

    def at(self, distance: float) -> Point:
        """The point `distance` along from `point`. [mm]"""
        return (
            self.point[0] + self.direction[0] * distance,
            self.point[1] + self.direction[1] * distance,
        )

    def along(self, point: Point) -> float:
        """How far along the line a point lies. [mm]"""
        return (point[0] - self.point[0]) * self.direction[0] + (
            point[1] - self.point[1]
        ) * self.direction[1]

    def offset(self, point: Point) -> float:
        """How far to the left of the line a point lies. [mm]"""
        nx, ny = self.left
        return (point[0] - self.point[0]) * nx + (point[1] - self.point[1]) * ny


def line_through(a: Point, b: Point) -> Line:
    """The line from `a` toward `b`, which must differ."""
    length = math.dist(a, b)
    return Line(a, ((b[0] - a[0]) / length, (b[1] - a[1]) / length))


def crossing(first: Line, second: Line) -> Point | None:
    """Where two lines meet; None if they are parallel."""
    (ax, ay), (bx, by) = first.direction, second.direction
    sine = ax * by - ay * bx
    if abs(sine) < PARALLEL:
        return None
    dx, dy = second.point[0] - first.point[0], second.point[1] - first.point[1]
    return first.at((dx * by - dy * bx) / sine)


def area(polygon: Sequence[Point]) -> float:
    """Signed area, positive counter-clockwise. [mm²]"""
    return 0.5 * math.fsum(
        a[0] * b[1] - b[0] * a[1] for a, b in zip(polygon, (*polygon[1:], polygon[0]), strict=True)
    )


def clipped(polygon: Sequence[Point], line: Line) -> tuple[Point, ...]:
    """The part of a convex polygon on the left of a line (Sutherland and Hodgman, 1974)."""
    kept: list[Point] = []
    offsets = [line.offset(point) for point in polygon]
    for i, point in enumerate(polygon):
        before, here = offsets[i - 1], offsets[i]
        if (before < 0 < here) or (here < 0 < before):
            a = polygon[i - 1]
            t = before / (before - here)
            kept.append((a[0] + (point[0] - a[0]) * t, a[1] + (point[1] - a[1]) * t))
        if here >= 0:
            kept.append(point)
    return tuple(kept)


def segments_cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """True where the open segments a-b and c-d cross or touch inside both."""

    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def free_intervals(
    low: float, high: float, taken: Sequence[tuple[float, float]]
) -> tuple[tuple[float, float], ...]:
    """What is left of [low, high] when the taken intervals are removed, in order."""
    free: list[tuple[float, float]] = []
    start = low
    for a, b in sorted(taken):
        if a > start:
            free.append((start, min(a, high)))
        start = max(start, b)
        if start >= high:
            break
    if start < high:
        free.append((start, high))
    return tuple((a, b) for a, b in free if b > a)


__all__ = [
    "PARALLEL",
    "Line",
    "Point",
    "area",
    "clipped",
    "crossing",
    "free_intervals",
    "line_through",
    "segments_cross",
]
