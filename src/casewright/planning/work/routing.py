"""How each opening and pocket is routed: lines, guide strips, start holes, bit, passes, and the chamfer of its rim.

All places are in the piece's own (u, v) as seen on its show face; whoever draws them for the back face mirrors them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from casewright.basics.findings import mm
from casewright.basics.wording import listed
from casewright.design.project import Shop
from casewright.geometry.bits import cutting_length, reach_asked
from casewright.geometry.model import (
    Cabinet,
    Circle,
    FaceName,
    FaceShape,
    Feature,
    Piece,
    Point2,
    Polygon,
    Rectangle,
)
from casewright.planning.work.holes import chamfer_passes, passes, start_diameter, way_of
from casewright.planning.work.profiles import LEFT_ON

STRIP_WIDTH = 40.0
"""Of a guide strip: wide enough to carry the router's base. [mm] Common practice."""
ROUTER_BASE = 150.0
"""Across a router's base, where the shop says nothing. [mm] Common practice."""
BEARING = 5.0
"""Of a bearing's height that must run on the strip. [mm] Common practice."""
_SAME = 0.05
_ALIKE_RADIUS = 0.5
"""A corner rounder than the bit by more than this is not what the strips lead it round. [mm]"""

Guide = Literal["strips", "base", "template", "trammel", "saw"]
"""What leads the tool. strips: a bearing runs on them; base: the router's base runs on strips further out; template: a
board with the opening in it; trammel: an arm round a pin at the centre; saw: nothing, it is sawn and filed."""

_KINDS = ("opening", "notch", "pocket", "groove")
_TOOLS = ("flush trim", "straight", "jigsaw", "saw")


@dataclass(frozen=True)
class Strip:
    """One guide strip."""

    number: int
    """In the order of laying: each butts with one end on the one before; the last closes on the first."""
    corners: tuple[Point2, ...]
    """Its outline; the first two are the ends of the edge that leads."""
    length: float
    """[mm]"""


@dataclass(frozen=True)
class ChamferPass:
    """The chamfer round a rim, after all else."""

    face: FaceName
    width: float
    passes: int
    land: float
    """Straight edge left below it, for the bearing. [mm]"""


@dataclass(frozen=True)
class RoutingPlan:
    """One opening or pocket, or several alike in one piece."""

    number: int
    piece: str
    feature: Feature
    """The finished line; of several alike the first."""
    alike: tuple[str, ...]
    """Keys of all alike, its own first."""
    face: FaceName
    """The face that lies up."""
    guide: Guide
    bit: str
    """Kind of bit or blade."""
    diameter: float
    """[mm]; 0 for a saw."""
    cutting_length: float
    """Of the bit; 0 where the shop does not say. [mm]"""
    stack: float
    """What the cutting edge must reach through: the board and a little more, or the pocket's depth. [mm]"""
    rough: FaceShape | None
    """Sawn to this line first."""
    leave: float
    """Left between rough and finished line. [mm]"""
    starts: tuple[Circle, ...]
    """Holes for the saw."""
    strips: tuple[Strip, ...]
    offset: float
    """From the finished line out to the strips. [mm]"""
    strip_least: float
    """The strips are at least so thick. [mm]"""
    depths: tuple[float, ...]
    """Below the face, pass by pass. [mm]"""
    radius: float
    """That the bit leaves in inside corners. [mm]"""
    chamfer: ChamferPass | None
    remarks: tuple[str, ...]
    """Lengths are marked by `basics.findings.mm`."""

    @property
    def too_short(self) -> float:
        """By how much the bit's cutting length is less than the stack; 0 where it reaches or is not known. [mm]"""
        if self.guide == "saw" or not self.cutting_length:
            return 0.0
        return max(0.0, self.stack - self.cutting_length)


def routing_plans(cabinet: Cabinet) -> tuple[RoutingPlan, ...]:
    """A plan for every opening, notch, pocket and groove that router or jigsaw make, piece by piece.

    Source:
        Common practice; strips and lines are plain geometry.
    """
    return tuple(
        _plan(number, piece, alike, cabinet.project.shop)
        for number, piece, alike in _numbered(cabinet)
    )


def plan_numbers(cabinet: Cabinet) -> dict[tuple[str, str], int]:
    """The number of the plan that draws a feature, by the keys of its piece and its own."""
    return {
        (piece.key, feature.key): number
        for number, piece, alike in _numbered(cabinet)
        for feature in alike
    }


def _numbered(cabinet: Cabinet) -> Iterator[tuple[int, Piece, list[Feature]]]:
    number = 0
    for piece in cabinet.pieces:
        for alike in _alike(piece):
            number += 1
            yield number, piece, alike


def _alike(piece: Piece) -> Iterator[list[Feature]]:
    groups: dict[tuple[object, ...], list[Feature]] = {}
    for feature in piece.features:
        if feature.kind in _KINDS and feature.tool in _TOOLS:
            groups.setdefault(_sameness(feature), []).append(feature)
    yield from groups.values()


def _sameness(feature: Feature) -> tuple[object, ...]:
    shape = feature.shape
    size: tuple[object, ...]
    if isinstance(shape, Circle):
        size = (round(shape.diameter, 2),)
    elif isinstance(shape, Rectangle):
        numbers = (shape.width, shape.height, shape.radius, shape.turn_deg % 180.0)
        size = tuple(round(number, 2) for number in numbers)
    else:
        size = (shape,)
    depth = -1.0 if feature.depth is None else round(feature.depth, 2)
    return (feature.kind, feature.tool, feature.face, depth, round(feature.chamfer, 2), *size)


def _plan(number: int, piece: Piece, alike: Sequence[Feature], shop: Shop) -> RoutingPlan:
    feature = alike[0]
    way = way_of(feature, piece, shop)
    guide = guide_of(feature, way.bit, way.diameter)
    through = feature.depth is None
    depth = piece.thickness if through else feature.depth or 0.0
    stack = reach_asked(feature.depth, piece.thickness)
    length = cutting_length(shop.bits, way.bit, way.diameter)
    leave = LEFT_ON if way.strips else 0.0
    offset = ((shop.router_base or ROUTER_BASE) - way.diameter) / 2 if guide == "base" else 0.0
    strips = tuple(_strips(feature.shape, piece, offset)) if guide in ("strips", "base") else ()
    # With the bearing at the shank, a long bit lifts it: the strip must reach up to it.
    least = BEARING + max(0.0, length - stack) if guide in ("strips", "template") else 0.0
    count = passes(feature, shop, piece.thickness)
    rough = inset(feature.shape, leave) if leave else None
    chamfer = (
        ChamferPass(
            feature.face,
            feature.chamfer,
            chamfer_passes(feature.chamfer),
            piece.thickness - feature.chamfer,
        )
        if feature.chamfer
        else None
    )
    return RoutingPlan(
        number=number,
        piece=piece.key,
        feature=feature,
        alike=tuple(one.key for one in alike),
        face=way.face,
        guide=guide,
        bit=way.bit,
        diameter=way.diameter,
        cutting_length=length,
        stack=stack,
        rough=rough,
        leave=leave,
        starts=start_holes(feature, rough or feature.shape) if way.starts else (),
        strips=strips,
        offset=offset,
        strip_least=least,
        depths=tuple(depth * (one + 1) / count for one in range(count)),
        radius=way.diameter / 2,
        chamfer=chamfer,
        remarks=tuple(_remarks(feature, piece, guide, strips, stack, length, way.diameter, shop)),
    )


def guide_of(feature: Feature, bit: str, diameter: float) -> Guide:
    """What leads the tool round a feature.

    Source:
        Common practice: strips make straight sides and leave the bit's own radius in the corners; a rounder corner
        that is seen, or a bent outline, takes a template.
    """
    shape = feature.shape
    if bit in ("jigsaw", "saw"):
        return "saw"
    if isinstance(shape, Circle):
        return "trammel"
    if isinstance(shape, Polygon):
        return "template"
    if bit != "flush trim":
        return "base"
    return "template" if shape.radius > diameter / 2 + _ALIKE_RADIUS else "strips"


def inset(shape: FaceShape, by: float) -> FaceShape | None:
    """A shape with all its lines moved inward; None where nothing is left. [mm]"""
    if isinstance(shape, Circle):
        left = shape.diameter - 2 * by
        return Circle(shape.u, shape.v, left) if left > _SAME else None
    if isinstance(shape, Rectangle):
        width, height = shape.width - 2 * by, shape.height - 2 * by
        if min(width, height) <= _SAME:
            return None
        radius = min(max(shape.radius - by, 0.0), width / 2, height / 2)
        return Rectangle(shape.u, shape.v, width, height, radius, shape.turn_deg)
    from shapely.geometry import Polygon as Area
    from shapely.geometry.polygon import orient

    left_over = Area(shape.points).buffer(-by, join_style="mitre")
    if left_over.is_empty or left_over.geom_type != "Polygon":
        return None
    return Polygon(tuple((x, y) for x, y in orient(left_over).exterior.coords[:-1]))


def start_holes(feature: Feature, waste: FaceShape) -> tuple[Circle, ...]:
    """Where the saw enters: in a corner of the waste, clear of the line; in both ends of a slim slot.

    Args:
        feature: What is sawn out.
        waste: What the saw takes out.
    """
    size, shape = start_diameter(feature), feature.shape
    if isinstance(shape, Rectangle) and min(shape.width, shape.height) <= size + _SAME:
        along = (max(shape.width, shape.height) - size) / 2
        at = (along, 0.0) if shape.width >= shape.height else (0.0, along)
        return tuple(
            Circle(*_turned(shape, (sign * at[0], sign * at[1])), size) for sign in (-1, 1)
        )
    if isinstance(waste, Rectangle):
        size = min(size, waste.width, waste.height)
        free = [max(side / 2 - size / 2 - _CLEAR, 0.0) for side in (waste.width, waste.height)]
        # In a round corner the hole moves in along the diagonal.
        back = max(waste.radius - size / 2 - _CLEAR, 0.0) * (1 - math.sqrt(0.5))
        place = (-max(free[0] - back, 0.0), -max(free[1] - back, 0.0))
        return (Circle(*_turned(waste, place), size),)
    if isinstance(waste, Circle):
        size = min(size, waste.diameter)
        return (Circle(waste.u - max((waste.diameter - size) / 2 - _CLEAR, 0.0), waste.v, size),)
    from shapely.geometry import Polygon as Area
    from shapely.ops import polylabel

    middle = polylabel(Area(waste.points), 1.0)
    return (Circle(middle.x, middle.y, size),)


_CLEAR = 1.0
"""From a start hole to the rough line. [mm]"""


def _strips(shape: FaceShape, piece: Piece, offset: float) -> Iterator[Strip]:
    """Four strips round a rectangle like a pinwheel; none along a side that has no wood.

    ┌─────2────┬─┐   Each covers its side and runs on past one corner by its own width; the next one in the order
    ├─┬────────┤ │   of laying butts on the edge that leads. So the inner edges make the rectangle, however long
    │3│        │1│   the strips are.
    │ ├────────┴─┤
    └─┴─────4────┘
    """
    if not isinstance(shape, Rectangle):
        return
    a, b, w = shape.width / 2 + offset, shape.height / 2 + offset, STRIP_WIDTH
    right = ((a, -b), (a, b + w), (a + w, b + w), (a + w, -b))
    top = ((a, b), (-a - w, b), (-a - w, b + w), (a, b + w))
    left = ((-a, b), (-a, -b - w), (-a - w, -b - w), (-a - w, b))
    low = ((-a, -b), (a + w, -b), (a + w, -b - w), (-a, -b - w))
    number = 0
    for corners in (right, top, left, low):
        outline = tuple(_turned(shape, corner) for corner in corners)
        if not _on_wood(piece, shape, outline, offset):
            continue
        number += 1
        yield Strip(number, outline, math.dist(outline[0], outline[1]))


def _on_wood(piece: Piece, shape: Rectangle, strip: Sequence[Point2], offset: float) -> bool:
    """Whether the side that a strip leads along is cut into wood; a notch is open where it leaves the piece."""
    from shapely.geometry import LineString
    from shapely.geometry import Polygon as Area

    (ax, ay), (bx, by), (cx, cy) = strip[0], strip[1], strip[2]
    deep = math.dist((bx, by), (cx, cy)) or 1.0
    # The strip's edge moved back onto the line, and a hair into the wood beyond it.
    shift = (_HAIR - offset) / deep
    du, dv = (cx - bx) * shift, (cy - by) * shift
    line = LineString([(ax + du, ay + dv), (bx + du, by + dv)])
    face = Area(piece.back)
    return bool(line.intersection(face).length > 1.0)


_HAIR = 0.2


def _turned(shape: Rectangle, place: Point2) -> Point2:
    """A place measured from a rectangle's centre along its own sides, in (u, v)."""
    cosine, sine = math.cos(math.radians(shape.turn_deg)), math.sin(math.radians(shape.turn_deg))
    x, y = place
    return (shape.u + x * cosine - y * sine, shape.v + x * sine + y * cosine)


def _remarks(
    feature: Feature,
    piece: Piece,
    guide: Guide,
    strips: Sequence[Strip],
    stack: float,
    length: float,
    diameter: float,
    shop: Shop,
) -> Iterator[str]:
    shape = feature.shape
    if guide == "template" and isinstance(shape, Rectangle):
        double = 2 * shape.radius
        drills = [
            size
            for bit in shop.bits
            for size in bit.sizes
            if bit.kind in ("forstner", "hole saw", "spade", "brad") and abs(size - double) <= 0.3
        ]
        round_ends = double >= min(shape.width, shape.height) - _SAME
        if drills:
            count = 2 if round_ends else 4
            yield (
                f"Make the template from its true-size sheet: bore its {count} round "
                f"{'ends' if round_ends else 'corners'} {mm(drills[0])}, saw and file between."
            )
        else:
            yield (
                f"Make the template from its true-size sheet, corners R {mm(shape.radius)} filed round: strips alone "
                f"would leave R {mm(diameter / 2)}."
            )
    elif guide == "template":
        yield "Make the template from its true-size sheet, saw it and file it to the line."
    elif guide == "trammel":
        yield (
            "Turn the router round a pin at the centre; the radius is measured to the bit's outer edge. The middle "
            "stays held by tape on the backing board."
        )
    elif guide == "base":
        if isinstance(shape, Rectangle) and feature.kind in ("opening", "notch"):
            double = 2 * shape.radius
            if double > diameter and double >= min(shape.width, shape.height) - _SAME:
                yield f"Bore both round ends {mm(double)} before."
        yield (
            "The router's base runs along the strips: measure from its edge to the bit's cutting edge, and try it on "
            "scrap. Clear the middle first, then go round."
        )
    elif guide == "saw":
        yield "Saw on the waste side, file to the line."
    if guide == "strips" and not strips:
        yield "No side of it lies on the board's wood: look at its place."
    edges = _edges_passed(piece, strips)
    if edges:
        yield (
            f"Strips run past the {listed(edges)} edge{'' if len(edges) == 1 else 's'}: lay packing as thick as the "
            f"board, {mm(piece.thickness)}, beside it."
        )
    if guide != "saw" and length and length < stack - _SAME:
        words = f"The bit cuts {mm(length)} high; {mm(stack)} are asked"
        if guide in ("strips", "template") and length >= BEARING:
            yield (
                f"{words}: trim the upper part along the guide, take it off, and let the bearing run on the edge just "
                "cut."
            )
        else:
            yield f"{words}: take a longer bit."


def _edges_passed(piece: Piece, strips: Sequence[Strip]) -> list[str]:
    """Which edges of the piece, as seen on the show face, the strips run over. Whoever mirrors says so."""
    us, vs = [p[0] for p in piece.back], [p[1] for p in piece.back]
    corners = [corner for strip in strips for corner in strip.corners]
    if not corners:
        return []
    past = {
        "upper": max(v for _, v in corners) > max(vs) + _SAME,
        "lower": min(v for _, v in corners) < min(vs) - _SAME,
        "side": max(u for u, _ in corners) > max(us) + _SAME
        or min(u for u, _ in corners) < min(us) - _SAME,
    }
    return [name for name, yes in past.items() if yes]


__all__ = [
    "BEARING",
    "ROUTER_BASE",
    "STRIP_WIDTH",
    "ChamferPass",
    "Guide",
    "RoutingPlan",
    "Strip",
    "guide_of",
    "inset",
    "plan_numbers",
    "routing_plans",
    "start_holes",
]
