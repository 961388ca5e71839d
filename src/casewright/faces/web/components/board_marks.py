"""Marks that the board draws, as plain JSON: what each is and what line it is drawn in."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any, Literal

from casewright.basics.units import MM_PER_INCH, LengthStyle
from casewright.geometry.model import Circle, FaceShape, Point2, Rectangle
from casewright.outputs.drawings import marks as drawn

Json = dict[str, Any]
BoardPen = Literal[
    "visible", "thin", "soft", "hidden", "centre", "phantom", "sight", "accent", "none"
]

GRID_PER_INCH = 16
"""Steps of the grid in an inch. Source: common practice, as on a rule."""


def writing(style: LengthStyle) -> Json:
    """How the page writes lengths while it drags: the user's unit and its finest step."""
    return {"unit": style.unit, "decimals": style.decimals, "denominator": style.denominator}


def grid_step(style: LengthStyle) -> float:
    """One step of the grid: 1 mm, or 1/16 in. [mm]"""
    return MM_PER_INCH / GRID_PER_INCH if style.unit == "in" else 1.0


def shape_mark(
    shape: FaceShape, pen: BoardPen, *, fill: str = "", color: str = "", at: Point2 = (0.0, 0.0)
) -> Json:
    """A flat shape as a mark, relative to a place."""
    made: Json = {"pen": pen}
    if fill:
        made["fill"] = fill
    if color:
        made["color"] = color
    if isinstance(shape, Circle):
        return {
            "s": "circle",
            "at": fine((shape.u - at[0], shape.v - at[1])),
            "r": shape.diameter / 2,
            **made,
        }
    if isinstance(shape, Rectangle):
        radius = min(shape.radius, shape.width / 2, shape.height / 2)
        return {
            "s": "rect",
            "at": fine((shape.u - at[0], shape.v - at[1])),
            "w": round(shape.width, 4),
            "h": round(shape.height, 4),
            "r": round(radius, 4),
            "turn": round(shape.turn_deg, 4),
            **made,
        }
    return line_mark([(x - at[0], y - at[1]) for x, y in shape.points], pen, fill=fill, color=color)


def line_mark(
    points: Iterable[Point2], pen: BoardPen, *, closed: bool = True, fill: str = "", color: str = ""
) -> Json:
    """A line through points."""
    made: Json = {"s": "line", "points": [fine(p) for p in points], "pen": pen, "closed": closed}
    if fill:
        made["fill"] = fill
    if color:
        made["color"] = color
    return made


def dimension_mark(a: Point2, b: Point2, words: str, *, off: float) -> Json:
    """A dimension between two places, `off` pixels to the left of the way from a to b."""
    return {"s": "dimension", "a": fine(a), "b": fine(b), "words": words, "off": off}


def text_mark(at: Point2, words: str, *, anchor: str = "middle", pen: str = "ink") -> Json:
    """Words at a place; they keep their size on the screen."""
    return {"s": "text", "at": fine(at), "words": words, "anchor": anchor, "pen": pen}


def from_drawing(marks: Sequence[drawn.Mark]) -> list[Json]:
    """Lines and filled areas of a drawing; what else it has is left to the papers."""
    found: list[Json] = []
    for mark in marks:
        if isinstance(mark, drawn.Region):
            rings = [_ring(ring) for ring in (mark.outer, *mark.holes)]
            found.append({"s": "area", "rings": rings, "pen": "none", "fill": mark.material})
        elif isinstance(mark, drawn.Polyline):
            pen: BoardPen = (
                mark.pen if mark.pen in ("visible", "thin", "soft", "hidden", "phantom") else "thin"
            )
            found.append(line_mark(mark.points, pen, closed=mark.closed))
    return found


def _ring(ring: drawn.Polyline | drawn.Circle) -> list[list[float]]:
    if isinstance(ring, drawn.Circle):
        steps = [2 * math.pi * step / 48 for step in range(48)]
        x, y = ring.centre
        return [fine((x + ring.radius * math.cos(a), y + ring.radius * math.sin(a))) for a in steps]
    return [fine(point) for point in ring.points]


def fine(point: Point2) -> list[float]:
    """A place to a ten-thousandth of a millimeter."""
    return [round(point[0], 4) + 0.0, round(point[1], 4) + 0.0]


__all__ = [
    "GRID_PER_INCH",
    "BoardPen",
    "Json",
    "dimension_mark",
    "fine",
    "from_drawing",
    "grid_step",
    "line_mark",
    "shape_mark",
    "text_mark",
    "writing",
]
