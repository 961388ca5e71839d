"""Where things stand on a drawing, and how they are carried elsewhere."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

Point = tuple[float, float]
"""x to the right and y up. [mm]"""


@dataclass(frozen=True)
class Box:
    """An upright rectangle. [mm]"""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Extent in x. [mm]"""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Extent in y. [mm]"""
        return self.top - self.bottom

    @property
    def centre(self) -> Point:
        """The middle."""
        return ((self.left + self.right) / 2, (self.bottom + self.top) / 2)

    def grown(self, by: float) -> Box:
        """The same box with `by` [mm] more on every side."""
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def overlaps(self, other: Box, *, by: float = 0.0) -> bool:
        """Whether the two share a place more than `by` [mm] wide and high."""
        return (
            min(self.right, other.right) - max(self.left, other.left) > by
            and min(self.top, other.top) - max(self.bottom, other.bottom) > by
        )


@dataclass(frozen=True)
class Motion:
    """How marks are carried elsewhere: mirrored first (x becomes -x), then resized, turned, moved."""

    dx: float = 0.0
    dy: float = 0.0
    factor: float = 1.0
    turn_deg: float = 0.0
    flip: bool = False

    def point(self, point: Point) -> Point:
        """Where a point goes."""
        x = -point[0] if self.flip else point[0]
        y = point[1]
        if self.turn_deg:
            cosine, sine = _turn(self.turn_deg)
            x, y = x * cosine - y * sine, x * sine + y * cosine
        return (x * self.factor + self.dx, y * self.factor + self.dy)

    def direction(self, degrees: float) -> float:
        """Where a direction goes. [degrees]"""
        return (180.0 - degrees if self.flip else degrees) + self.turn_deg


@lru_cache(maxsize=256)
def _turn(degrees: float) -> tuple[float, float]:
    turn = math.radians(degrees)
    return math.cos(turn), math.sin(turn)


def polar(centre: Point, radius: float, degrees: float) -> Point:
    """The point at this distance [mm] and direction [degrees, counter-clockwise from +x]."""
    angle = math.radians(degrees)
    return (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle))


__all__ = ["Box", "Motion", "Point", "polar"]
