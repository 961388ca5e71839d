"""Routing plans as drawings: an opening as it lies under the router, and a section through bit, strip and board."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from casewright.basics.units import TOUCHING, LengthStyle, format_length
from casewright.geometry import model
from casewright.geometry.model import Piece
from casewright.outputs.drawings.face_view import FaceView
from casewright.outputs.drawings.feature_marks import feature_outline
from casewright.outputs.drawings.lettering import text_width
from casewright.outputs.drawings.marks import (
    Arc,
    Box,
    Circle,
    Drawing,
    Line,
    Mark,
    Motion,
    Pen,
    Point,
    Polyline,
    Region,
    Text,
    bounds,
    rectangle,
)
from casewright.outputs.drawings.placing import polar
from casewright.outputs.drawings.symbols import CentreMark, DatumMark, Triangle
from casewright.planning.work.routing import BEARING, RoutingPlan, inset

ROOM = (86.0, 78.0)
"""Width and height of a plan's picture. [mm]"""
AROUND = 5.0
"""Wood drawn round the strips. [mm on paper]"""
HEAD = 7.0
"""Above the picture, for the face and the way up. [mm on paper]"""
LETTER, SMALL = 3.0, 2.5
ARROW_LEAST = 9.0
"""A side shorter than this on paper gets no arrow of its own. [mm]"""
FACES = {"show": "SHOW FACE up", "back": "BACK FACE up (mirrored)"}
SECTION_ROOM = (86.0, 40.0)


def routing_drawing(
    piece: Piece, plan: RoutingPlan, style: LengthStyle, *, room: tuple[float, float] = ROOM
) -> Drawing:
    """The opening as seen from above, router upright: lines, start holes, strips in their order, feed.

    Args:
        piece: The piece.
        plan: Its plan.
        style: The user's unit.
        room: On the page. [mm]
    """
    view = FaceView(piece, plan.face)
    motion = view.motion
    outline = feature_outline(plan.feature.shape).through(motion)
    strips = [tuple(motion.point(p) for p in strip.corners) for strip in plan.strips]
    core = bounds(
        [
            outline,
            feature_outline(plan.feature.shape, grow=plan.feature.chamfer).through(motion),
            *(Polyline(corners) for corners in strips),
        ]
    )
    if plan.guide == "template":
        core = core.grown(TEMPLATE_RIM)
    # Nothing is measured off the picture, so it fills its place at any scale.
    scale = min(
        1.0,
        (room[0] - 2 * AROUND) / core.width,
        (room[1] - 2 * AROUND - HEAD) / core.height,
    )
    seen = core.grown(AROUND / scale)
    marks: list[Mark] = list(_board(view, seen))
    if plan.guide == "template":
        board = rectangle(core, pen="phantom")
        marks += [Region(board, (outline,), material="paper"), board]
    marks.append(Region(outline, material="pocket" if plan.feature.depth else "waste"))
    if plan.chamfer:
        rim = feature_outline(plan.feature.shape, grow=plan.feature.chamfer).through(motion)
        marks.append(_penned(rim, "hidden" if plan.chamfer.face != plan.face else "thin"))
    for strip, corners in zip(plan.strips, strips, strict=True):
        marks += _strip(strip.number, strip.length, corners, style, scale)
    marks.append(_penned(outline, "visible"))
    if plan.rough is not None:
        marks.append(_penned(feature_outline(plan.rough).through(motion), "hidden"))
    for hole in plan.starts:
        at = motion.point((hole.u, hole.v))
        small = hole.diameter * scale < 3.0
        marks.append(Circle(at, hole.diameter / 2, "thin"))
        if not small:
            marks.append(CentreMark(at, hole.diameter / 2, 1.0))
    marks += _feed(plan, motion, scale)
    marks += _size(plan, bounds([outline]), style, scale)
    if seen.left < 0 < seen.right and seen.bottom < 0 < seen.top:
        marks.append(DatumMark((0.0, 0.0)))
    base = seen.top + 2.0 / scale
    words = FACES[plan.face]
    wide = max(seen.right, seen.left + (text_width(words, SMALL, "bold") + 9.0) / scale)
    marks += [
        Text((seen.left, base), words, SMALL, weight="bold"),
        Triangle((wide - 3.0 / scale, base - 0.5 / scale), 5.0),
    ]
    frame = Box(seen.left, seen.bottom, wide, seen.top + HEAD / scale)
    title = f"routing plan {plan.number}: {piece.label}"
    return Drawing(title, tuple(marks), frame, style.unit, scale)


TEMPLATE_RIM = 40.0
"""Of a template round its opening. [mm] Common practice."""


def _board(view: FaceView, seen: Box) -> Iterator[Mark]:
    """The piece's face as far as it is seen: its wood, and its edges where they are true edges."""
    from shapely.geometry import LineString, box
    from shapely.geometry import Polygon as Area

    window = box(seen.left, seen.bottom, seen.right, seen.top)
    face = Area(view.near)
    if not face.is_valid:
        face = face.buffer(0)
    part = face.intersection(window)
    for area in getattr(part, "geoms", [part]):
        if area.geom_type == "Polygon" and not area.is_empty:
            points = tuple((x, y) for x, y in area.exterior.coords[:-1])
            yield Region(Polyline(points), material="face")
    for index, start in enumerate(view.near):
        end = view.near[(index + 1) % len(view.near)]
        line = LineString([start, end]).intersection(window)
        if line.geom_type == "LineString" and line.length > 0:
            (ax, ay), (bx, by) = line.coords[0], line.coords[-1]
            yield Line((ax, ay), (bx, by), "visible")


def _strip(
    number: int, length: float, corners: tuple[Point, ...], style: LengthStyle, scale: float
) -> Iterator[Mark]:
    shape = Polyline(corners, pen="phantom")
    yield Region(shape, material="paper")
    yield Polyline(corners, pen="thin")
    (ax, ay), (bx, by), (cx, cy) = corners[0], corners[1], corners[2]
    middle = ((ax + cx) / 2, (ay + cy) / 2)
    angle = math.degrees(math.atan2(by - ay, bx - ax))
    turned = 180.0 - (180.0 - angle) % 360.0
    turned = turned if -90.0 < turned <= 90.0 else turned - 180.0 * math.copysign(1, turned)
    words = f"{number}:  {_figure(length, style)}"
    if text_width(words, LETTER) > length * scale - 2:
        words = str(number)
    deep = math.dist((bx, by), (cx, cy)) * scale
    height = max(1.8, min(LETTER, deep - 1.0))
    yield Text(middle, words, height, "middle", "middle", turned, weight="bold")


def _feed(plan: RoutingPlan, motion: Motion, scale: float) -> Iterator[Mark]:
    """Arrows round the inside, clockwise as seen: the wood that stays lies outside the path."""
    if plan.guide == "saw":
        return
    from shapely.geometry import Polygon as Area
    from shapely.geometry.polygon import orient

    shape = plan.feature.shape
    box = bounds([feature_outline(shape)])
    by = min(5.5 / scale, 0.3 * min(box.width, box.height))
    path = inset(shape, by)
    if path is None:
        return
    if isinstance(path, model.Circle):
        centre, radius = motion.point((path.u, path.v)), path.diameter / 2
        if radius * scale < 4.0:
            return
        # Clockwise: from 150 degrees over the top down to 30.
        arc = Arc(centre, radius, 30.0, 150.0, "accent")
        yield arc
        yield _head(arc.at(30.0), -60.0, scale)
        return
    if isinstance(path, model.Rectangle):
        path = model.Rectangle(path.u, path.v, path.width, path.height, 0.0, path.turn_deg)
    outline = feature_outline(path).through(motion)
    assert isinstance(outline, Polyline), "circles are told above"
    points = list(orient(Area(outline.points), -1.0).exterior.coords)
    for (ax, ay), (bx, by_) in pairwise(points):
        length = math.dist((ax, ay), (bx, by_))
        if length * scale < ARROW_LEAST:
            continue
        share = min(0.5, 26.0 / scale / length) / 2
        start = (ax + (bx - ax) * (0.5 - share), ay + (by_ - ay) * (0.5 - share))
        tip = (ax + (bx - ax) * (0.5 + share), ay + (by_ - ay) * (0.5 + share))
        yield Line(start, tip, "accent")
        yield _head(tip, math.degrees(math.atan2(by_ - ay, bx - ax)), scale)


def _head(tip: Point, degrees: float, scale: float) -> Region:
    """Broader than a dimension's: it is read at arm's length."""
    left, right = (polar(tip, -3.2 / scale, degrees + by) for by in (20.0, -20.0))
    return Region(Polyline((tip, left, right)), material="ink", pen="accent")


def _size(plan: RoutingPlan, box: Box, style: LengthStyle, scale: float) -> Iterator[Mark]:
    """The finished size in the middle, where there is room for it between the arrows."""
    words = size_words(plan, style)
    if (
        text_width(words, LETTER) + 16.0 < box.width * scale
        and box.height * scale > 2 * 7.0 + LETTER
    ):
        yield Text(box.centre, words, LETTER, "middle", "middle", weight="bold")


def size_words(plan: RoutingPlan, style: LengthStyle) -> str:
    """The finished size: "527.0 × 296.5"."""
    shape = plan.feature.shape
    if isinstance(shape, model.Circle):
        return f"⌀ {_figure(shape.diameter, style)}"
    if isinstance(shape, model.Rectangle):
        return f"{_figure(shape.width, style)} × {_figure(shape.height, style)}"
    box = bounds([feature_outline(shape)])
    return f"{_figure(box.width, style)} × {_figure(box.height, style)} over all"


# ---- the section ----


def stack_drawing(
    piece: Piece, plan: RoutingPlan, style: LengthStyle, *, room: tuple[float, float] = SECTION_ROOM
) -> Drawing | None:
    """A section across the line: board with the face down that is not worked, strip, bearing, bit; None for a saw.

    The finished line is x = 0, the wood that stays lies left of it, the face that lies up is y = 0.
    """
    if plan.guide not in ("strips", "template", "base"):
        return None
    thick = piece.thickness
    deep = plan.depths[-1] if plan.feature.depth is not None else plan.stack
    bit = plan.diameter
    cuts = plan.cutting_length or deep + 2.0
    based = plan.guide == "base"
    high = BEARING + 4.0 if based else max(plan.strip_least, BEARING)
    left = -plan.offset - 22.0 if based else -34.0
    right = bit + (plan.offset + 6.0 if based else 14.0)
    top = max(high, cuts - deep + BEARING) + 9.0
    scale = next(
        (
            s
            for s in (1.0, 0.8, 0.5, 0.4, 0.25)
            if (right - left) * s + 6 <= room[0] and (top + thick + 8) * s + 4 <= room[1]
        ),
        0.2,
    )
    marks: list[Mark] = []
    through = plan.feature.depth is None
    wood = Box(left, -thick, 0.0, 0.0)
    marks += _filled(wood, "wood")
    if through:
        marks += _filled(Box(0.0, -thick, max(plan.leave, 1.0), 0.0), "waste", "hidden")
    elif deep < thick - TOUCHING:  # else it comes through, which is told as a stop
        floor = Box(0.0, -thick, right, -deep)
        marks += _filled(floor, "wood")
    edge = -plan.offset
    marks += _filled(Box(left, 0.0, edge, high), "face")
    if based:
        base = Box(edge, 0.0, edge + 2 * plan.offset + bit, 3.0)
        marks += _filled(base, "metal")
    low = -deep
    cutter = Box(0.0, low, bit, low + cuts)
    marks += _filled(cutter, "part")
    if not based:
        marks += _filled(Box(0.0, cutter.top, bit, cutter.top + BEARING), "metal")
    shank = Box(bit / 2 - 4.0, cutter.top + (0.0 if based else BEARING), bit / 2 + 4.0, top)
    marks += _filled(shank, "metal")
    marks.append(Line((bit / 2, low - 2.0), (bit / 2, top + 2.0), "centre"))
    words = "strip" if plan.guide != "template" else "template"
    room_left = (edge - left) * scale
    label = f"{words} {_figure(high, style)} or more"
    if based or text_width(label, SMALL) > room_left - 1:
        label = words
    marks += [
        Text(((left + edge) / 2, high / 2), label, SMALL, "middle", "middle"),
        Text(
            (left / 2, -thick / 2),
            _figure(thick, style),
            SMALL,
            "middle",
            "middle",
            weight="bold",
        ),
    ]
    aside = right + 1.5 / scale if based else bit + 2.0 / scale
    tells = []
    if not based:
        tells.append((cutter.top + BEARING / 2, "bearing"))
    if plan.cutting_length:
        tells.append((low + cuts / 2, f"cuts {_figure(cuts, style)}"))
    for y, said in tells:
        marks.append(Text((aside, y), said, SMALL, "start", "middle"))
    other = "show" if plan.face == "back" else "back"
    below = -thick - (plan.stack - thick if through else 0.0) - 4.0 / scale
    marks.append(Text((left, below), f"{other} face down", SMALL))
    return Drawing(
        f"section, routing plan {plan.number}", tuple(marks), unit=style.unit, scale=scale
    )


CORNER = (-8.0, 22.0)
"""From where to where a corner is drawn, both ways from the meeting of the lines. [mm]"""


def corner_drawing(plan: RoutingPlan, style: LengthStyle) -> Drawing | None:
    """A corner at full size: finished line with the bit's radius, rough line; None where nothing is left on.

    The lines meet at (0, 0), the opening lies right of and above it.
    """
    if (
        plan.guide != "strips"
        or not plan.leave
        or not isinstance(plan.feature.shape, model.Rectangle)
    ):
        return None
    low, high = CORNER
    r, by = plan.radius, plan.leave
    back = max(plan.feature.shape.radius - by, 0.0)
    quarter = math.tan(math.radians(90.0) / 4)
    opening = Polyline(
        ((0.0, r), (r, 0.0), (high, 0.0), (high, high), (0.0, high)), (quarter, 0.0, 0.0, 0.0, 0.0)
    )
    finished = Polyline(
        ((0.0, high), (0.0, r), (r, 0.0), (high, 0.0)), (0.0, quarter, 0.0, 0.0), closed=False
    )
    rough = Polyline(
        ((by, high), (by, by + back), (by + back, by), (high, by)),
        (0.0, quarter if back else 0.0, 0.0, 0.0),
        closed=False,
        pen="hidden",
    )
    box = Box(low, low, high, high)
    marks: list[Mark] = [
        Region(rectangle(box), material="face"),
        Region(opening, material="paper"),
        finished,
        rough,
        Text((by + 2.0, high / 2 + 2.0), f"leave {_figure(by, style)}", SMALL),
        Text((low + 1.5, low + 2.0), f"R {_figure(r, style)}, full size", SMALL),
    ]
    return Drawing(f"corner, routing plan {plan.number}", tuple(marks), box, style.unit)


def _filled(box: Box, material: str, pen: Pen = "thin") -> Iterator[Mark]:
    yield Region(rectangle(box), material=material)  # type: ignore[arg-type]
    yield rectangle(box, pen=pen)


def _penned(outline: Circle | Polyline, pen: Pen) -> Circle | Polyline:
    if isinstance(outline, Circle):
        return Circle(outline.centre, outline.radius, pen)
    return Polyline(outline.points, outline.bulges, True, pen)


def _figure(length: float, style: LengthStyle) -> str:
    return format_length(length, style, with_unit=False, glyphs="typeset")


__all__ = [
    "CORNER",
    "FACES",
    "ROOM",
    "SECTION_ROOM",
    "corner_drawing",
    "routing_drawing",
    "size_words",
    "stack_drawing",
]
