"""Sizes on a drawing, in the spirit of ISO 129-1: figures outside the part, readable from the bottom or the right.

Every function returns plain marks in the drawing's millimeters. `scale` is the drawing's scale (paper millimeters to
one real millimeter); sizes of lettering and gaps are on paper. The figures themselves are given as text, so that they
are rounded once, by whoever knows the unit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from casewright.basics.errors import InputError
from casewright.outputs.drawings.lettering import text_width
from casewright.outputs.drawings.marks import (
    Arc,
    Box,
    Circle,
    Line,
    Mark,
    Motion,
    Point,
    Polyline,
    Region,
    Text,
    polar,
)
from casewright.outputs.drawings.spreading import spread
from casewright.outputs.drawings.symbols import (
    DatumMark,
    arrow_head,
    curved_arrow,
    oblique_stroke,
)

Corner = Literal["bottom-left", "bottom-right", "top-left", "top-right"]
Side = Literal["left", "right"]

HEIGHT = 3.5
"""Figures, height of capitals on paper [mm]: ISO 3098-1 step that reads at arm's length."""
GAP = 1.5
"""Between the part and the start of an extension line, on paper [mm]; common practice."""
REACH = 8.0
"""From the part to the first figure, on paper [mm]; common practice, more than twice the height of the figures."""
PITCH = 1.55
"""Distance of neighboring rows of figures, in heights of the figures."""
SAME = 0.005
"""Places closer than this carry one figure [mm]: half the last place of 0.01 mm."""


@dataclass(frozen=True)
class Ordinate:
    """One place along an axis and the figure for it."""

    at: float
    """Coordinate in the drawing. [mm]"""
    label: str
    """What is written: the distance from the datum, in the user's unit."""
    start: float | None = None
    """The other coordinate of the feature, where its extension line starts; None for the part's edge. [mm]"""


@dataclass(frozen=True)
class Callout:
    """A note with a leader to a round feature or, with radius 0, to a point."""

    at: Point
    label: str
    radius: float = 0.0
    """Of the feature; the leader ends on it. [mm]"""


def ordinates(
    box: Box,
    *,
    xs: Sequence[Ordinate] = (),
    ys: Sequence[Ordinate] = (),
    datum: Corner = "bottom-left",
    zero: str = "0",
    scale: float = 1.0,
    height: float = HEIGHT,
    reach: float = REACH,
) -> tuple[Mark, ...]:
    """Dimension from one marked corner: every figure is a distance from the datum, none is chained.

    Args:
        box: The part, or all that the figures have to stay clear of.
        xs: Places along x. Their figures stand upright below the part, or above it with a datum at the top.
        ys: Places along y. Their figures lie left of the part, or right of it with a datum at the right.
        datum: The corner of `box` that is marked and counts as zero.
        zero: Figure written at the datum on each axis that is used.
        scale: Scale of the drawing.
        height: Height of the figures on paper. [mm]
        reach: Distance of the figures from the box, on paper. [mm]

    Returns:
        The datum mark, extension lines and figures; no two figures overlap.
    """
    at_top, at_right = datum.startswith("top"), datum.endswith("right")
    corner = (box.right if at_right else box.left, box.top if at_top else box.bottom)
    # Laid out as if the datum were at (0, 0) at the bottom left, then carried to its place.
    x_sign, y_sign = (-1.0 if at_right else 1.0), (-1.0 if at_top else 1.0)
    marks: list[Mark] = []
    for axis, places in (("x", xs), ("y", ys)):
        if not places:
            continue
        mine, other = (0, 1) if axis == "x" else (1, 0)
        sign, across = (x_sign, y_sign) if axis == "x" else (y_sign, x_sign)
        row = [(sign * (place.at - corner[mine]), place.label, place.start) for place in places]
        row.append((0.0, zero, None))
        extent = box.width if axis == "x" else box.height
        for at, label, start, figure in _row(row, extent, PITCH * height / scale):
            from_ = 0.0 if start is None else across * (start - corner[other])
            path = [
                (at, from_ if from_ > 0 else -GAP / scale),
                (at, -(GAP + 0.3 * (reach - GAP)) / scale),
                (figure, -(reach - 0.3 * (reach - GAP)) / scale),
                (figure, -reach / scale),
            ]
            away = (figure, -(reach + 0.35 * height) / scale)
            if axis == "y":
                path, away = [(b, a) for a, b in path], (away[1], away[0])
            placed = [_from_corner(p, corner, x_sign, y_sign) for p in path]
            text_at = _from_corner(away, corner, x_sign, y_sign)
            marks.append(Polyline(tuple(placed), closed=False, pen="dimension"))
            outward: Literal["start", "end"] = "end" if across > 0 else "start"
            marks.append(
                Text(
                    text_at,
                    label,
                    height,
                    outward,
                    "middle",
                    90.0 if axis == "x" else 0.0,
                )
            )
    if marks:
        outward_deg = math.degrees(math.atan2(-y_sign, -x_sign))
        marks.append(DatumMark(corner, outward_deg))
    return tuple(marks)


def _from_corner(point: Point, corner: Point, x_sign: float, y_sign: float) -> Point:
    return (corner[0] + x_sign * point[0], corner[1] + y_sign * point[1])


def _row(
    places: Sequence[tuple[float, str, float | None]], extent: float, pitch: float
) -> list[tuple[float, str, float | None, float]]:
    """Sort, drop doubles, and give each figure its place."""
    kept: list[tuple[float, str, float | None]] = []
    for at, label, start in sorted(places, key=lambda place: (place[0], place[1], place[2] or 0.0)):
        twin = next((i for i, k in enumerate(kept) if k[1] == label and at - k[0] <= SAME), None)
        if twin is None:
            kept.append((at, label, start))
        elif start is not None and kept[twin][2] is None:
            kept[twin] = (kept[twin][0], label, start)
    # Not pushed past the datum, where the figures of the other axis stand, nor past the far end if there is room.
    figures = spread([at for at, _, _ in kept], pitch, least=0.0, most=extent)
    return [(*place, figure) for place, figure in zip(kept, figures, strict=True)]


def linear(
    start: Point,
    end: Point,
    label: str,
    *,
    offset: float,
    direction_deg: float | None = None,
    scale: float = 1.0,
    height: float = HEIGHT,
) -> tuple[Mark, ...]:
    """Dimension the distance of two points along one direction.

    Args:
        start: First point.
        end: Second point.
        label: The figure.
        offset: How far the dimension line lies to the left of the measured direction (above for 0), counted from
            the outermost of the two points; negative is to the right. On paper. [mm]
        direction_deg: Direction that is measured, 0 level and 90 upright; left out, from start to end.
        scale: Scale of the drawing.
        height: Height of the figures on paper. [mm]

    Returns:
        Extension lines, the dimension line with an oblique stroke at each end, and the figure above it; a figure
        longer than the line stands beyond its end.

    Raises:
        InputError: The points do not differ along the direction.
    """
    if direction_deg is None:
        direction_deg = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    # In the frame of the dimension line: along x from 0 to `span`, the part below for a positive offset.
    back = Motion(turn_deg=-direction_deg)
    first = back.point(start)
    last = back.point(end)
    if last[0] < first[0]:
        first, last = last, first
    span = last[0] - first[0]
    if span < SAME:
        raise InputError(
            "direction_deg", got="two points in one line across it", want="points apart along it"
        )
    sign = 1.0 if offset >= 0 else -1.0
    outer = max(first[1], last[1]) if offset >= 0 else min(first[1], last[1])
    level = outer + offset / scale
    place = Motion(turn_deg=direction_deg)
    marks: list[Mark] = []
    for point in (first, last):
        marks.append(
            Line(
                place.point((point[0], point[1] + sign * GAP / scale)),
                place.point((point[0], level + sign * GAP / scale)),
                "dimension",
            )
        )
        marks.append(oblique_stroke(place.point((point[0], level)), direction_deg, scale=scale))
    room = span - 2 * GAP / scale
    wide = text_width(label, height) / scale
    fits = wide <= room
    stop = last[0] if fits else last[0] + wide + 3 * GAP / scale
    marks.append(Line(place.point((first[0], level)), place.point((stop, level)), "dimension"))
    middle = (first[0] + last[0]) / 2 if fits else last[0] + 2 * GAP / scale + wide / 2
    # Above the line as it is read, whichever side that is.
    reading_deg = Text((0.0, 0.0), label).through(place).angle_deg
    above = polar(place.point((middle, level)), 0.35 * height / scale, reading_deg + 90.0)
    marks.append(Text(above, label, height, "middle", "baseline", reading_deg))
    return tuple(marks)


def angle(
    vertex: Point,
    start_deg: float,
    end_deg: float,
    label: str,
    *,
    radius: float,
    scale: float = 1.0,
    height: float = HEIGHT,
) -> tuple[Mark, ...]:
    """Dimension an angle, counter-clockwise from one direction to another.

    Args:
        vertex: Where the two legs meet.
        start_deg: Direction of the first leg. [degrees]
        end_deg: Direction of the second leg. [degrees]
        label: The figure, with its ° sign.
        radius: Of the dimension arc, on paper. [mm, more than 0]
        scale: Scale of the drawing.
        height: Height of the figures on paper. [mm]

    Returns:
        The arc with its heads and the level figure outside of it.
    """
    if not radius > 0:
        raise InputError("radius", got=f"{radius} mm", want="more than 0 mm")
    arc = Arc(vertex, radius / scale, start_deg, end_deg, "dimension")
    toward = start_deg + arc.sweep_deg / 2
    cosine, sine = math.cos(math.radians(toward)), math.sin(math.radians(toward))
    # The level box of the figure touches a circle a gap outside of the arc with its nearest corner or side.
    wide, high = text_width(label, height), height
    clear = radius + GAP + (abs(cosine) * wide + abs(sine) * high) / 2
    at = (vertex[0] + cosine * clear / scale, vertex[1] + sine * clear / scale)
    return (*curved_arrow(arc, scale=scale), Text(at, label, height, "middle", "middle"))


def diameter(
    centre: Point,
    radius: float,
    label: str,
    *,
    toward_deg: float = 45.0,
    length: float = 8.0,
    scale: float = 1.0,
    height: float = HEIGHT,
) -> tuple[Mark, ...]:
    """Dimension a hole by a leader that points at its centre.

    Args:
        centre: Of the hole.
        radius: Of the hole. [mm]
        label: The diameter without its sign: "24" becomes "⌀24".
        toward_deg: Direction in which the leader leaves the hole. [degrees]
        length: Of the leader outside of the hole, on paper. [mm]
        scale: Scale of the drawing.
        height: Height of the figures on paper. [mm]

    Returns:
        The leader with its head on the hole's edge, a shoulder, and the figure on it.
    """
    tip = polar(centre, radius, toward_deg)
    knee = polar(centre, radius + length / scale, toward_deg)
    side = 1.0 if math.cos(math.radians(toward_deg)) >= 0 else -1.0
    text = f"⌀{label}"
    shoulder = (knee[0] + side * (text_width(text, height) + 2 * GAP) / scale, knee[1])
    at = (knee[0] + side * GAP / scale, knee[1] + 0.35 * height / scale)
    return (
        Polyline((tip, knee, shoulder), closed=False, pen="dimension"),
        arrow_head(tip, toward_deg + 180.0, scale=scale),
        Text(at, text, height, "start" if side > 0 else "end"),
    )


def callouts(
    box: Box,
    notes: Sequence[Callout],
    *,
    side: Side = "right",
    reach: float = REACH,
    scale: float = 1.0,
    height: float = HEIGHT,
) -> tuple[Mark, ...]:
    """Write notes in a column beside the part, each with a leader to its feature.

    Args:
        box: The part, or all that the column has to stay clear of.
        notes: What to write; one line each.
        side: Where the column stands.
        reach: From the box to the column, on paper. [mm]
        scale: Scale of the drawing.
        height: Height of the lettering on paper. [mm]

    Returns:
        Leaders and notes, from the lowest feature up; no two notes overlap.
    """
    sign = 1.0 if side == "right" else -1.0
    edge = box.right if side == "right" else box.left
    column = edge + sign * reach / scale
    ordered = sorted(notes, key=lambda note: (note.at[1], sign * note.at[0], note.label))
    pitch = PITCH * height / scale
    levels = [note.at[1] for note in ordered]
    places = spread(levels, pitch, least=box.bottom, most=box.top)
    marks: list[Mark] = []
    for note, level in zip(ordered, places, strict=True):
        knee = (column - sign * 2 * GAP / scale, level)
        toward = math.degrees(math.atan2(knee[1] - note.at[1], knee[0] - note.at[0]))
        tip = polar(note.at, note.radius, toward)
        marks.append(Polyline((tip, knee, (column, level)), closed=False, pen="dimension"))
        marks.append(_end(note, tip, toward, scale))
        at = (column + sign * 0.35 * height / scale, level)
        marks.append(Text(at, note.label, height, "start" if sign > 0 else "end", "middle"))
    return tuple(marks)


def _end(note: Callout, tip: Point, toward_deg: float, scale: float) -> Region:
    if note.radius > 0:
        return arrow_head(tip, toward_deg + 180.0, scale=scale)
    return dot(tip, scale=scale)


def dot(at: Point, *, scale: float = 1.0) -> Region:
    """The dot that ends a leader inside of an area (ISO 128-3, leader lines)."""
    return Region(Circle(at, 0.6 / scale), material="ink", pen="dimension")


__all__ = [
    "GAP",
    "HEIGHT",
    "PITCH",
    "REACH",
    "SAME",
    "Callout",
    "Corner",
    "Ordinate",
    "Side",
    "angle",
    "callouts",
    "diameter",
    "dot",
    "linear",
    "ordinates",
    "spread",
]
