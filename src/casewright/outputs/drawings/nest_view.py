"""A nest as a drawing: the blank, the lines to saw along, and where each template goes."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

import shapely

from casewright.basics.units import LengthStyle
from casewright.basics.wording import capital
from casewright.outputs.drawings.dimensions import Ordinate, ordinates
from casewright.outputs.drawings.hole_table import figure
from casewright.outputs.drawings.lettering import shortened, text_width
from casewright.outputs.drawings.marks import (
    Box,
    Circle,
    Drawing,
    Mark,
    Operation,
    Point,
    Polyline,
    Region,
    Text,
    rectangle,
)
from casewright.outputs.drawings.part_files import slug
from casewright.outputs.drawings.svg import write_svg
from casewright.outputs.drawings.symbols import GrainArrow
from casewright.outputs.exports.dxf import write_dxf
from casewright.planning.blanks import Cutting
from casewright.planning.cutting import Blank, Nested, Outline, longest_edge

ROOM = (170.0, 110.0)
"""Width and height of the picture. [mm on paper]"""
LETTER, SMALL, END = 3.0, 2.5, 1.1
SIZES = (1.0, 0.85, 0.72)
"""Of the lettering, from the largest that there is room for."""
TRIED = 24
"""Places looked at across and up for a name."""
FACES = {"show": "show face up", "back": "back face up"}


def nest_drawing(
    blank: Blank, style: LengthStyle, *, room: tuple[float, float] = ROOM, bare: bool = False
) -> Drawing:
    """The blank as it lies on the bench; the ends of each piece's longest edge are measured from one corner.

    Args:
        blank: The nest.
        style: The user's unit.
        room: On the page. [mm]
        bare: Without figures and lettering outside the blank, for programs of machines.
    """
    box = Box(0.0, 0.0, blank.length, blank.width)
    scale = min(1.0, (room[0] - 26) / blank.length, (room[1] - 26) / blank.width)
    marks: list[Mark] = [Region(rectangle(box), material="waste")]
    ends: list[Point] = []
    for nested in blank.nested:
        line = Polyline(nested.outline, operation=Operation("cut", nested.face))
        marks += [Region(Polyline(nested.outline), material="face"), line]
        ends += longest_edge(nested)
    marks.append(rectangle(box, pen="visible"))
    lines = shapely.MultiLineString(
        [] if bare else [*(((x, 0), (x, y)) for x, y in ends), *(((0, y), (x, y)) for x, y in ends)]
    )
    for nested in blank.nested:
        marks += _lettered(nested, scale, lines.buffer(0.5 / scale))
    if not bare:
        marks += [Region(Circle(end, END / scale), material="ink") for end in ends]
        marks += ordinates(
            box,
            xs=[
                *(Ordinate(x, figure(x, style), y) for x, y in _once(ends, 0) if x > 0.05),
                Ordinate(blank.length, figure(blank.length, style)),
            ],
            ys=[
                *(Ordinate(y, figure(y, style), x) for x, y in _once(ends, 1) if y > 0.05),
                Ordinate(blank.width, figure(blank.width, style)),
            ],
            scale=scale,
        )
    if blank.grain == "length" and not bare:
        marks.append(GrainArrow((blank.length / 2, blank.width + 5 / scale), 0.0, 24.0))
    return Drawing(capital(blank.name), tuple(marks), scale=scale)


def nest_files(cutting: Cutting, style: LengthStyle) -> dict[str, bytes]:
    """Every nest as SVG with figures and as DXF at true size, by file name ("nest-left-right.svg").

    The blank's lower left corner is at (0, 0); the lines lie on the layers of cuts.
    """
    files: dict[str, bytes] = {}
    for plan in cutting.plans:
        for blank in plan.blanks:
            if blank.nested:
                name = slug(blank.key)
                files[f"{name}.svg"] = write_svg(nest_drawing(blank, style), ground=True).encode()
                files[f"{name}.dxf"] = write_dxf(nest_drawing(blank, style, bare=True))
    return files


def _once(points: Iterable[Point], axis: int) -> list[Point]:
    """Those that differ along an axis."""
    kept: dict[float, Point] = {}
    for point in points:
        kept.setdefault(round(point[axis], 1), point)
    return list(kept.values())


def label_place(outline: Outline, room: tuple[float, float] = (0.0, 0.0)) -> Point:
    """Where a name stands in a piece: with all of its room inside, as near the widest part as can be.

    Args:
        outline: Of the piece.
        room: Width and height that the lettering takes. [the outline's units]

    Returns:
        The lettering's middle; the middle of the widest part where there is no such place.
    """
    found = _roomy_place(shapely.Polygon(outline), room)
    if found is None:
        found = shapely.maximum_inscribed_circle(shapely.Polygon(outline), tolerance=1.0).coords[0]
    return (round(found[0], 1), round(found[1], 1))


def _roomy_place(shape: Any, room: tuple[float, float]) -> Point | None:
    """The same for any shape; None where there is no such place."""
    if shape.is_empty:
        return None
    widest = shapely.maximum_inscribed_circle(shape, tolerance=1.0).coords[0]
    x0, y0, x1, y1 = shape.bounds
    half_w, half_h = room[0] / 2, room[1] / 2
    spots = [widest] + [
        (x0 + (x1 - x0) * i / TRIED, y0 + (y1 - y0) * j / TRIED)
        for i in range(TRIED + 1)
        for j in range(TRIED + 1)
    ]
    rooms = shapely.box(
        *zip(*((x - half_w, y - half_h, x + half_w, y + half_h) for x, y in spots), strict=True)
    )
    inside = shapely.covered_by(rooms, shape)
    fits = [spot for spot, is_inside in zip(spots, inside, strict=True) if is_inside]
    return min(fits, key=lambda spot: math.dist(spot, widest), default=None)


def _lettered(nested: Nested, scale: float, lines: Any) -> list[Mark]:
    """Name and face in the piece, clear of lines that run through it, as large as there is room for both."""
    shape = shapely.Polygon(nested.outline)
    clear = shape.difference(lines)
    wide = (max(x for x, _ in nested.outline) - min(x for x, _ in nested.outline)) * scale
    face = FACES[nested.face]
    for size in SIZES:
        letter, small = LETTER * size, SMALL * size
        name = shortened(nested.name, max(12.0, wide - 4), height=letter, weight="bold")
        across = max(text_width(name, letter, "bold"), text_width(face, small)) + 2
        room = (across / scale, 9.0 * size / scale)
        at = _roomy_place(clear, room) or _roomy_place(shape, room)
        if at:
            break
    x, y = at or label_place(nested.outline, room)
    apart = 2.2 * size / scale
    return [
        Text((x, y + apart), name, letter, "middle", "middle", weight="bold"),
        Text((x, y - apart), face, small, "middle", "middle"),
    ]


__all__ = ["FACES", "label_place", "nest_drawing", "nest_files"]
