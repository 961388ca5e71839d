"""Signs that have one size on paper at every scale, and what they consist of."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from casewright.outputs.drawings.marks import (
    Arc,
    Circle,
    Line,
    Pen,
    Polyline,
    Region,
    SimpleMark,
    Text,
)
from casewright.outputs.drawings.placing import Motion, Point, polar

Share = Literal["whole", "left", "right"]

ARROW = 3.0
"""Length of an arrow head on paper [mm]; common practice, about the height of the figures."""


@dataclass(frozen=True)
class CentreMark:
    """The crossing centre lines of a hole, a little longer than the hole is wide (ISO 128-2, 04.1)."""

    at: Point
    radius: float
    """Of the hole it belongs to. [mm]"""
    overhang: float = 2.5
    """How far the lines go past the hole, on paper. [mm]"""
    pen: Pen = "centre"

    def through(self, motion: Motion) -> CentreMark:
        """The mark carried elsewhere; its lines stay upright and level."""
        return replace(self, at=motion.point(self.at), radius=self.radius * motion.factor)

    def simple(self, scale: float) -> tuple[SimpleMark, ...]:
        """Two lines; narrow continuous ones on a hole too small for a chain line."""
        x, y = self.at
        reach = self.radius + self.overhang / scale
        small = reach * scale < 10.0
        pen: Pen = "thin" if self.pen == "centre" and small else self.pen
        return (
            Line((x - reach, y), (x + reach, y), pen),
            Line((x, y - reach), (x, y + reach), pen),
        )


@dataclass(frozen=True)
class GrainArrow:
    """Two-headed arrow along the grain (common practice)."""

    at: Point
    """Its middle."""
    angle_deg: float = 0.0
    length: float = 24.0
    """On paper. [mm]"""
    label: str = "grain"
    pen: Pen = "thin"

    def through(self, motion: Motion) -> GrainArrow:
        """The arrow carried elsewhere."""
        return replace(self, at=motion.point(self.at), angle_deg=motion.direction(self.angle_deg))

    def simple(self, scale: float) -> tuple[SimpleMark, ...]:
        """A line, two heads and the word."""
        half = self.length / 2 / scale
        ends = polar(self.at, half, self.angle_deg), polar(self.at, -half, self.angle_deg)
        text = Text((0.0, 1.2 / scale), self.label, 2.5, "middle", pen=self.pen)
        placed = text.through(Motion(*self.at, turn_deg=_readable(self.angle_deg)))
        heads = (
            arrow_head(ends[0], self.angle_deg, scale=scale),
            arrow_head(ends[1], self.angle_deg + 180.0, scale=scale),
        )
        return (Line(*ends, self.pen), *heads, *((placed,) if self.label else ()))


@dataclass(frozen=True)
class Triangle:
    """The cabinetmaker's triangle: its point is up, and pieces that belong together share one (common practice).

    `share` is the part of the triangle that this piece carries; the rest is drawn dashed.
    """

    at: Point
    """Middle of the base."""
    size: float = 12.0
    """Height on paper. [mm]"""
    up_deg: float = 90.0
    share: Share = "whole"
    pen: Pen = "accent"

    def through(self, motion: Motion) -> Triangle:
        """The triangle carried elsewhere; mirrored, left becomes right."""
        swap: dict[Share, Share] = {"whole": "whole", "left": "right", "right": "left"}
        return replace(
            self,
            at=motion.point(self.at),
            up_deg=motion.direction(self.up_deg),
            share=swap[self.share] if motion.flip else self.share,
        )

    def simple(self, scale: float) -> tuple[SimpleMark, ...]:
        """Its sides."""
        size = self.size / scale
        place = Motion(*self.at, turn_deg=self.up_deg - 90.0)
        left, right, apex = (
            place.point(point) for point in ((-size / 2, 0.0), (size / 2, 0.0), (0.0, size))
        )
        if self.share == "whole":
            return (Polyline((left, right, apex), pen=self.pen),)
        mine, other = (left, right) if self.share == "left" else (right, left)
        return (
            Polyline((apex, mine, self.at), closed=False, pen=self.pen),
            Polyline((apex, other, self.at), closed=False, pen="hidden"),
        )


@dataclass(frozen=True)
class DatumMark:
    """The one corner that all sizes are taken from.

    A ring (ISO 129-1, origin) with a filled quarter outside the part.
    """

    at: Point
    outward_deg: float = 225.0
    """Diagonal direction away from the part. [degrees]"""
    radius: float = 2.5
    """On paper. [mm]"""

    def through(self, motion: Motion) -> DatumMark:
        """The mark carried elsewhere."""
        return replace(
            self, at=motion.point(self.at), outward_deg=motion.direction(self.outward_deg)
        )

    def simple(self, scale: float) -> tuple[SimpleMark, ...]:
        """The quarter and the ring."""
        radius = self.radius / scale
        start, end = (polar(self.at, radius, self.outward_deg + by) for by in (-45.0, 45.0))
        quarter = Polyline((self.at, start, end), (0.0, 0.41421356237309503, 0.0))
        return (
            Region(quarter, material="ink", pen="accent"),
            Circle(self.at, radius, "accent-thin"),
        )


def arrow_head(
    tip: Point, direction_deg: float, *, scale: float = 1.0, size: float = ARROW
) -> Region:
    """A filled head of 15 degrees with its point at `tip`, flying in this direction.

    Source:
        ISO 129-1, terminators: filled arrow head; `size` [mm] is its length on paper.
    """
    length = size / scale
    left, right = (polar(tip, -length, direction_deg + by) for by in (7.5, -7.5))
    return Region(Polyline((tip, left, right)), material="ink", pen="dimension")


def oblique_stroke(
    at: Point, direction_deg: float, *, scale: float = 1.0, size: float = ARROW
) -> Line:
    """A short stroke at 45 degrees across the end of a dimension line.

    Source:
        ISO 129-1, terminators: oblique stroke.
    """
    half = size / 2 / scale
    return Line(
        polar(at, -half, direction_deg + 45.0), polar(at, half, direction_deg + 45.0), "dimension"
    )


def curved_arrow(arc: Arc, *, scale: float = 1.0) -> Iterator[SimpleMark]:
    """An arc with a head at both ends, for an angle; only a line where the heads would not fit."""
    yield arc
    if arc.radius * scale * arc.sweep_deg > 2.5 * ARROW * 57.3:
        # the head is a chord of the arc, so it leans inward by half the angle it covers
        lean = 28.65 * ARROW / scale / arc.radius
        yield arrow_head(arc.at(arc.end_deg), arc.end_deg + 90.0 - lean, scale=scale)
        yield arrow_head(arc.at(arc.start_deg), arc.start_deg - 90.0 + lean, scale=scale)


def _readable(degrees: float) -> float:
    turned = 180.0 - (180.0 - degrees) % 360.0
    return turned if -90.0 < turned <= 90.0 else turned + 180.0


__all__ = [
    "ARROW",
    "CentreMark",
    "DatumMark",
    "GrainArrow",
    "Share",
    "Triangle",
    "arrow_head",
    "curved_arrow",
    "oblique_stroke",
]
