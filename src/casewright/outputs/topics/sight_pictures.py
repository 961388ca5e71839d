"""Pictures of sight: the picture as each person sees it, the lines of sight from the side, an edge of the opening."""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely

from casewright.basics.units import LengthStyle, format_length
from casewright.behavior.clear_sheets import inset
from casewright.behavior.glare import Light
from casewright.behavior.seeing import Sighting, View
from casewright.behavior.throat import EDGES, EdgeSeen
from casewright.geometry.model import Cabinet, Point2
from casewright.outputs.drawings.lettering import Weight, text_width
from casewright.outputs.drawings.marks import (
    Circle,
    Drawing,
    Line,
    Mark,
    Point,
    Polyline,
    Region,
    Text,
    rectangle,
)
from casewright.outputs.drawings.placing import Box

LETTERS = 2.8
"""Height of the lettering. [mm on paper]"""

ROOM = (148.0, 92.0)
"""Paper that a picture takes at most. [mm]"""

WIDER = 5.0
"""Strips at the picture's edges are drawn up to so many times as wide as they are: true ones would not show."""

ASIDE = 100.0
"""From here on an eye beside the picture's middle is worth a picture from above. [mm]"""

_GAP = 6.0
_GOOD = 0.7
"""Share of the largest scale that is given up for fewer rows."""

HAIR = 0.5
"""Strips narrower than this are none: two rows of a usual display. [mm]"""

_CLOSE = 24.0
"""Of the panel shown beside an edge of the opening. [mm]"""


def length_words(length: float, style: LengthStyle) -> str:
    """A length with its unit, as drawings write it."""
    return format_length(length, style, glyphs="typeset")


# ---- as each person sees it ------------------------------------------------------------------------------------------


def as_seen(sighting: Sighting, style: LengthStyle) -> Drawing:
    """The lit area once for each person: hidden strips hatched, housing that shows in gray round it."""
    throat = sighting.throat
    rim = _rim(sighting)
    cell = (throat.width + 2 * rim, throat.height + 2 * rim)
    names = [_named(view) for view in sighting.views]
    longest = max(text_width(words, LETTERS, "bold") for words in names)
    columns, scale, room = _best_grid(cell, len(names), longest)
    step = (room / scale, cell[1] + (_GAP + 2.8 * LETTERS) / scale)
    marks: list[Mark] = []
    for index, view in enumerate(sighting.views):
        row, column = divmod(index, columns)
        at = (column * step[0] + cell[0] / 2, -row * step[1] - cell[1] / 2)
        marks += _panel(sighting, view, at, rim, room - 1.0, scale, style)
    return Drawing(f"{sighting.label} as everybody sees it", tuple(marks), scale=scale)


def widened(sighting: Sighting) -> float:
    """How many times as wide as they are strips at the picture's edges are drawn, 1 to `WIDER`."""
    throat = sighting.throat
    hidden = max((view.hidden for view in sighting.views), default=0.0)
    shown = max((max(_shown(sighting, view)) for view in sighting.views), default=0.0)
    most = min(
        WIDER,
        0.15 * min(throat.width, throat.height) / max(hidden, HAIR),
        _rim(sighting) / max(shown, HAIR),
    )
    return max(round(most, 1), 1.0)


def _rim(sighting: Sighting) -> float:
    """Room kept round the picture for the housing that shows. [mm]"""
    return 0.06 * max(sighting.throat.width, sighting.throat.height)


def _shown(sighting: Sighting, view: View) -> list[float]:
    """Housing seen beside the left, lower, right and upper edge. [mm]"""
    pairs = zip(view.edges, sighting.bezels, strict=False)
    return [min(max(-edge.hidden, 0.0), bezel) for edge, bezel in pairs] or [0.0] * 4


def _named(view: View) -> str:
    return f"{view.number}  {view.viewer.label}"


def _best_grid(cell: tuple[float, float], count: int, longest: float) -> tuple[int, float, float]:
    """Columns, their scale, and the paper each takes, its words included: few rows before the largest scale."""
    scales = {}
    for columns in range(1, count + 1):
        rows = math.ceil(count / columns)
        wide = (ROOM[0] / columns - _GAP) / cell[0]
        high = (ROOM[1] / rows - _GAP - 2.8 * LETTERS) / cell[1]
        scales[columns] = min(wide, high, 0.25)
    most = max(scales.values())
    good = [columns for columns, scale in scales.items() if scale >= _GOOD * most]
    wordy = [columns for columns in good if ROOM[0] / columns >= longest + 1.0]
    columns = max(wordy or good[:1])
    scale = scales[columns]
    room = max(cell[0] * scale + _GAP, min(longest + _GAP, ROOM[0] / columns))
    return columns, scale, room


def _panel(
    sighting: Sighting,
    view: View,
    at: Point,
    rim: float,
    room: float,
    scale: float,
    style: LengthStyle,
) -> list[Mark]:
    half = (sighting.throat.width / 2, sighting.throat.height / 2)
    wider = widened(sighting)
    rims = [min(s * wider, rim) if s > HAIR else 0.0 for s in _shown(sighting, view)]
    strips = [max(edge.hidden, 0.0) for edge in view.edges] or [0.0] * 4
    drawn = [min(s * wider, 0.9 * min(half)) if s > HAIR else 0.0 for s in strips]
    outer = Box(
        at[0] - half[0] - rims[0],
        at[1] - half[1] - rims[1],
        at[0] + half[0] + rims[2],
        at[1] + half[1] + rims[3],
    )
    whole = Box(at[0] - half[0], at[1] - half[1], at[0] + half[0], at[1] + half[1])
    clear = Box(
        whole.left + drawn[0],
        whole.bottom + drawn[1],
        whole.right - drawn[2],
        whole.top - drawn[3],
    )
    marks: list[Mark] = []
    if any(rims):
        marks += [Region(rectangle(outer), material="part"), rectangle(outer, pen="thin")]
    if view.share <= 0:
        marks.append(Region(rectangle(whole), material="waste"))
    elif any(drawn):
        marks += [
            Region(rectangle(whole), material="waste"),
            Region(rectangle(clear), material="lit"),
        ]
        marks.append(rectangle(clear, pen="thin"))
    else:
        marks.append(Region(rectangle(whole), material="lit"))
    for shade in view.shades:
        marks += _shadow(shade.area, at)
    for image in view.mirrored:
        if image.is_seen:
            marks += _spot(image.area, at)
    marks.append(rectangle(whole))
    below = outer.bottom if any(rims) else whole.bottom
    letters = LETTERS / scale
    name = _fitted(_named(view), room, "bold")
    marks += [
        Text((at[0], below - 1.5 * letters), name, LETTERS, "middle", weight="bold"),
        Text((at[0], below - 2.9 * letters), _fitted(_told(view, style), room), LETTERS, "middle"),
    ]
    return marks


def _told(view: View, style: LengthStyle) -> str:
    if view.share <= 0:
        return "sees nothing"
    if view.shades:
        return f"{view.share:.1%} seen"
    if view.hidden > HAIR:
        worst = max(view.edges, key=lambda edge: edge.hidden)
        return f"{length_words(worst.hidden, style)} hidden, {worst.name}"
    if any(image.is_seen for image in view.mirrored):
        return "glare"
    return "all seen"


def _fitted(words: str, width: float, weight: Weight = "regular") -> str:
    """Cut short where it is wider than its cell. [mm on paper]"""
    if text_width(words, LETTERS, weight) <= width:
        return words
    while len(words) > 3 and text_width(f"{words}…", LETTERS, weight) > width:
        words = words[:-1]
    return f"{words.rstrip()}…"


def _shadow(area: shapely.Geometry, at: Point) -> list[Mark]:
    return [
        mark
        for ring in _rings(area, at)
        for mark in (Region(Polyline(ring), material="shade"), Polyline(ring, pen="thin"))
    ]


def _spot(area: shapely.Geometry, at: Point) -> list[Mark]:
    return [
        mark
        for ring in _rings(area, at)
        for mark in (Region(Polyline(ring), material="paper"), Polyline(ring, pen="accent-thin"))
    ]


def _rings(area: shapely.Geometry, at: Point) -> list[tuple[Point, ...]]:
    parts = [p for p in shapely.get_parts(area) if p.geom_type == "Polygon" and p.area > 1.0]
    return [
        tuple((float(u) + at[0], float(v) + at[1]) for u, v in part.exterior.coords[:-1])
        for part in parts
    ]


# ---- from the side ---------------------------------------------------------------------------------------------------


def from_the_side(cabinet: Cabinet, sighting: Sighting, lights: Sequence[Light]) -> Drawing:
    """The side view with everybody's eye, the lines of sight to both ends of the picture, and the lamps."""
    outline = tuple(cabinet.shape.corners.values())
    eyes = [(view, (view.viewer.eye[1], view.viewer.eye[2])) for view in sighting.views]
    low, high = _ends(sighting)
    lamps = [(light, (light.at[1], light.at[2])) for light in lights]
    points = [*outline, *(p for _, p in eyes), *(p for _, p in lamps)]
    left, right = min(p[0] for p in points), max(p[0] for p in points)
    bottom, top = min(p[1] for p in points), max(p[1] for p in points)
    room = (ROOM[0] - 16.0, ROOM[1] - 12.0)
    scale = min(room[0] / (right - left), room[1] / (top - bottom), 0.2)
    size = 1.6 / scale
    marks: list[Mark] = [Region(Polyline(outline), material="face")]
    marks += [Region(Polyline(slab.polygon), material="wood") for slab in cabinet.slabs]
    marks.append(Polyline(outline))
    for _, eye in eyes:
        marks += [Line(low, eye, "sight"), Line(high, eye, "sight")]
    marks.append(Line(low, high, "accent"))
    for _, eye in eyes:
        marks += _eye(eye, size)
    marks += _numbers(eyes, size)
    for light, lamp in lamps:
        marks += _lamp(lamp, size)
        marks.append(Text((lamp[0], lamp[1] + 1.8 * size), light.label, LETTERS, "middle"))
        for view, eye in eyes:
            image = next((i for i in view.mirrored if i.light == light and i.is_seen), None)
            if image is not None:
                _, y, z = sighting.throat.frame.point(*image.spot)
                marks += [Line(lamp, (y, z), "hidden"), Line((y, z), eye, "hidden")]
    return Drawing("Lines of sight from the side", tuple(marks), scale=scale)


def is_abreast(sighting: Sighting) -> bool:
    """Whether somebody looks from so far to a side that it shows from above."""
    middle = sighting.throat.frame.origin[0]
    return any(abs(view.viewer.eye[0] - middle) > ASIDE for view in sighting.views)


def from_above(cabinet: Cabinet, sighting: Sighting) -> Drawing:
    """Everybody's eye before the front, the lines of sight to both sides of the picture, and how far off square."""
    corners = [*cabinet.shape.corners.values()]
    front, back = min(y for y, _ in corners), max(y for y, _ in corners)
    width = cabinet.shape.width
    frame, half = sighting.throat.frame, sighting.throat.width / 2
    ends = [frame.point(u, 0.0)[:2] for u in (-half, half)]
    eyes = [(view, (view.viewer.eye[0], view.viewer.eye[1])) for view in sighting.views]
    xs = [0.0, width, *(x for _, (x, _) in eyes)]
    ys = [front, back, *(y for _, (_, y) in eyes)]
    room = (ROOM[0] - 16.0, ROOM[1] - 18.0)
    scale = min(room[0] / (max(xs) - min(xs)), room[1] / (max(ys) - min(ys)), 0.2)
    size = 1.6 / scale
    body = rectangle(Box(0.0, front, width, back))
    marks: list[Mark] = [Region(body, material="face"), body]
    marks += [Line(end, eye, "sight") for _, eye in eyes for end in ends]
    marks.append(Line(ends[0], ends[1], "accent"))
    for _, eye in eyes:
        marks += _eye(eye, size)
    for gathered, eye in _gathered(eyes, size):
        angle = max(view.off_square_deg for view in gathered)
        words, below = f"{_numbered(gathered)}: {angle:.0f}°", (eye[0], eye[1] - 2.6 * size)
        wide, high = text_width(words, LETTERS, "bold") / scale / 2, 0.7 * LETTERS / scale
        ground = Box(below[0] - wide, below[1] - high, below[0] + wide, below[1] + high)
        marks.append(Region(rectangle(ground), material="paper"))
        marks.append(Text(below, words, LETTERS, "middle", "middle", weight="bold"))
    return Drawing("Lines of sight from above", tuple(marks), scale=scale)


def _eye(eye: Point2, size: float) -> list[Mark]:
    return [
        Region(Circle(eye, size), material="paper"),
        Circle(eye, size, "accent"),
        Circle(eye, size * 0.35, "accent"),
    ]


def _gathered(eyes: Sequence[tuple[View, Point2]], size: float) -> list[tuple[list[View], Point2]]:
    """Eyes that stand on one another in the picture, together, each group at its first one's place."""
    groups: list[tuple[list[View], Point2]] = []
    for view, eye in eyes:
        near = next((group for group, at in groups if math.dist(at, eye) < size), None)
        if near is None:
            groups.append(([view], eye))
        else:
            near.append(view)
    return groups


def _numbered(views: Sequence[View]) -> str:
    """Their numbers: "2", "1, 3", "1–4"."""
    numbers = [view.number for view in views]
    if len(numbers) > 2 and numbers == list(range(numbers[0], numbers[-1] + 1)):
        return f"{numbers[0]}–{numbers[-1]}"
    return ", ".join(str(number) for number in numbers)


def _numbers(eyes: Sequence[tuple[View, Point2]], size: float) -> list[Text]:
    groups = _gathered(eyes, size)
    places = [at for _, at in groups]
    return [_number(_numbered(views), at, places, size) for views, at in groups]


def _number(words: str, eye: Point2, eyes: Sequence[Point2], size: float) -> Text:
    """Left of its eye, or where no other eye is in the way: over or under it."""
    wide = max(text_width(words, LETTERS, "bold") / LETTERS * 1.75 * size / 2 - 0.5 * size, 0.0)

    def is_free(at: Point2) -> bool:
        return all(math.dist(at, other) > 2.2 * size for other in eyes if other != eye)

    left, over, under = (
        (eye[0] - 2.2 * size - wide, eye[1]),
        (eye[0], eye[1] + 2.4 * size),
        (eye[0], eye[1] - 2.4 * size),
    )
    at = next((place for place in (left, under, over) if is_free(place)), left)
    return Text(at, words, LETTERS, "middle", "middle", weight="bold")


def _lamp(at: Point2, size: float) -> list[Mark]:
    rays = [math.radians(a) for a in range(0, 360, 45)]
    return [
        Circle(at, size, "visible"),
        *(
            Line(
                (at[0] + 1.25 * size * math.cos(a), at[1] + 1.25 * size * math.sin(a)),
                (at[0] + 1.7 * size * math.cos(a), at[1] + 1.7 * size * math.sin(a)),
                "thin",
            )
            for a in rays
        ),
    ]


def _ends(sighting: Sighting) -> tuple[Point2, Point2]:
    """Lower and upper end of the picture in (y, z)."""
    frame, half = sighting.throat.frame, sighting.throat.height / 2
    ends = [frame.point(0.0, v)[1:] for v in (-half, half)]
    return ends[0], ends[1]


# ---- one edge of the opening -----------------------------------------------------------------------------------------


def at_the_edge(sighting: Sighting, edge: EdgeSeen, view: View, style: LengthStyle) -> Drawing:
    """A cut through one edge of the opening, glass down, with the line of sight that loses most there.

    Args:
        sighting: The display.
        edge: The edge, as that person sees it.
        view: The person.
        style: For the lengths.
    """
    throat = sighting.throat
    index = EDGES.index(edge.name)
    outward = -1.0 if index < 2 else 1.0
    lit = throat.outline[index]
    wall = [(outward * (level.sides[index] - lit), level.depth) for level in throat.levels]
    top = throat.depth
    cover = max((sheet.depth + sheet.thickness for sheet in throat.sheets), default=top)
    inner, outer, head = -max(14.0, edge.hidden * 2), _CLOSE, max(top, cover) + 12.0
    scale = min((ROOM[0] - 30.0) / (outer - inner), 46.0 / (head + 8.0), 3.0)
    letters = LETTERS / scale
    bezel = sighting.bezels[index]
    panel = (*wall, (outer, top), (outer, wall[0][1]))
    hold = ((0.0, 0.0), (min(bezel, outer), 0.0), (min(bezel, outer), -5.0), (0.0, -5.0))
    glass = ((inner, 0.0), (0.0, 0.0), (0.0, -5.0), (inner, -5.0))
    marks: list[Mark] = [
        Region(Polyline(hold), material="part"),
        Polyline(hold, pen="thin"),
        Region(Polyline(glass), material="lit"),
        Line((inner, 0.0), (0.0, 0.0), "accent"),
        Region(Polyline(panel), material="wood"),
        Polyline((*wall, (outer, top)), closed=False),
        Line((wall[0][0], wall[0][1]), (outer, wall[0][1])),
    ]
    for sheet in throat.sheets:
        low, high = sheet.depth, sheet.depth + sheet.thickness
        band = ((inner, low), (outer, low), (outer, high), (inner, high))
        marks += [Region(Polyline(band), material="acrylic"), Polyline(band, pen="thin")]
    start = -max(edge.hidden, 0.0)
    way = _way_up(edge, start, head)
    marks.append(Polyline(way, closed=False, pen="sight"))
    if edge.hidden > HAIR:
        strip = ((start, 0.0), (0.0, 0.0), (0.0, -1.6), (start, -1.6))
        marks += [Region(Polyline(strip), material="waste"), Polyline(strip, pen="accent-thin")]
        marks.append(
            Text(
                (start / 2, -5.0 - 1.5 * letters),
                f"{length_words(edge.hidden, style)} hidden",
                LETTERS,
                "middle",
            )
        )
    tip = way[-1][0]
    marks += [
        Text((tip, head + 0.6 * letters), f"to the eye of {view.viewer.label}", LETTERS, "middle"),
        Text((outer - 1.0 / scale, top + 0.5 * letters), "show face", LETTERS, "end"),
        Text((inner, 0.8 * letters), "glass", LETTERS),
        Text((min(bezel, outer) / 2, -5.0 + 0.6 * letters), "housing", LETTERS, "middle")
        if min(bezel, outer) * scale > text_width("housing", LETTERS) + 1.0
        else Text((min(bezel, outer) + 1.0 / scale, -5.0 + 0.6 * letters), "housing", LETTERS),
    ]
    return Drawing(f"The opening's {edge.name} edge", tuple(marks), scale=scale)


def _way_up(edge: EdgeSeen, start: float, head: float) -> tuple[Point2, ...]:
    """The line of sight from the glass upward, bent in clear sheets, in the cut's own coordinates. [mm]"""
    if not edge.sheets:
        return ((start, 0.0), (start + (edge.beyond - start) * head / (edge.over or 1.0), head))
    slope, at, level, points = edge.touching, start, 0.0, [(start, 0.0)]
    for sheet in edge.sheets:
        at += slope * (sheet.depth - level)
        points.append((at, sheet.depth))
        at, level = at + inset(slope, sheet.thickness, sheet.index), sheet.depth + sheet.thickness
        points.append((at, level))
    return (*points, (at + slope * (head - level), head))


__all__ = [
    "HAIR",
    "WIDER",
    "as_seen",
    "at_the_edge",
    "from_above",
    "from_the_side",
    "is_abreast",
    "length_words",
    "widened",
]
