"""What a drawing is made of: plain marks in millimeters, x to the right and y up.

Geometry is in real millimeters whatever the scale of the sheet. Lettering, arrow heads and line widths are sizes *on
paper*: a text 3.5 mm high is 3.5 mm high at 1:5 as well. Where such a size takes part in the layout it is divided by
the drawing's scale, the paper millimeters to one real millimeter (0.2 for 1:5).

Simple marks (`Line`, `Arc`, `Circle`, `Polyline`, `Region`, `Text`) are all that a writer has to know; the symbols of
`symbols.py` turn into them by `simple`. The file is long because the marks know each other: areas hold outlines, and
what carries, measures or gathers marks has to know them all.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, Protocol

from casewright.basics.errors import InputError
from casewright.outputs.drawings.lettering import Weight, text_width
from casewright.outputs.drawings.placing import Box, Motion, Point, polar

Pen = Literal[
    "visible",
    "thin",
    "hidden",
    "centre",
    "phantom",
    "cutting-plane",
    "dimension",
    "hatch",
    "ghost",
    "accent",
    "accent-thin",
    "accent-hidden",
    "sight",
]
"""A line named by what it means (ISO 128-2); widths, dashes and colors are in `style.py`.

visible: edges and outlines; thin: lesser edges, leaders, chamfer lines; hidden: edges behind; centre: centre
lines and symmetry; phantom: neighboring parts and guide strips; cutting-plane: where a section is taken;
dimension: dimension and extension lines, lettering; hatch: cut material; ghost: large pale signs behind the
picture; accent: what was just changed or can be touched, accent-thin the same in a narrow line, accent-hidden the
same behind others; sight: lines of sight.
"""

Material = Literal[
    "wood",
    "face",
    "shade",
    "new",
    "acrylic",
    "metal",
    "part",
    "lit",
    "pocket",
    "waste",
    "paper",
    "ink",
]
"""How an area is filled.

wood: cut through, hatched; face: wood seen on its face, plain; shade: the same turned from the light; new: what this
step adds; acrylic, metal: cut through, hatched; part: a bought
part's body; lit: the lit area of a display; pocket: wood left under a pocket or rabbet; waste: wood to be taken away;
paper: the ground, to cover what is below; ink: solid, for arrow heads and signs.
"""

Kind = Literal[
    "cut", "bore", "opening", "pocket", "groove", "chamfer", "bevel", "slot", "countersink", "mark"
]
Face = Literal["show", "back", "both"]
Anchor = Literal["start", "middle", "end"]
Vertical = Literal["baseline", "middle", "top"]


@dataclass(frozen=True)
class Operation:
    """What is done along a mark: the meaning of a layer in a file for a machine."""

    kind: Kind
    face: Face = "both"
    """The face it is worked from."""
    depth: float | None = None
    """Depth below that face [mm, more than 0]; None goes through."""
    tool: str = ""
    """Name of the bit or cutter, for people."""

    def __post_init__(self) -> None:
        if self.depth is not None and not (math.isfinite(self.depth) and self.depth > 0):
            raise InputError("depth", got=f"{self.depth} mm", want="more than 0 mm, or none")


class Mark(Protocol):
    """Anything that can stand in a drawing."""

    def through(self, motion: Motion) -> Mark:
        """The mark carried elsewhere."""

    def simple(self, scale: float) -> Iterable[SimpleMark]:
        """The plain marks it consists of, for a sheet of this scale."""


@dataclass(frozen=True)
class Line:
    """A straight line."""

    start: Point
    end: Point
    pen: Pen = "visible"
    operation: Operation | None = None

    def through(self, motion: Motion) -> Line:
        """The line carried elsewhere."""
        return Line(motion.point(self.start), motion.point(self.end), self.pen, self.operation)

    def simple(self, scale: float) -> tuple[Line]:
        """Itself."""
        return (self,)


@dataclass(frozen=True)
class Arc:
    """Part of a circle, counter-clockwise from `start_deg` to `end_deg`."""

    centre: Point
    radius: float
    start_deg: float
    end_deg: float
    pen: Pen = "visible"
    operation: Operation | None = None

    @property
    def sweep_deg(self) -> float:
        """How far it goes round. [degrees, over 0 to 360]"""
        return (self.end_deg - self.start_deg) % 360.0 or 360.0

    def at(self, degrees: float) -> Point:
        """The point of the whole circle in this direction."""
        return polar(self.centre, self.radius, degrees)

    def through(self, motion: Motion) -> Arc:
        """The arc carried elsewhere; still counter-clockwise."""
        start, end = motion.direction(self.start_deg), motion.direction(self.end_deg)
        if motion.flip:
            start, end = end, start
        centre, radius = motion.point(self.centre), self.radius * motion.factor
        return Arc(centre, radius, start, end, self.pen, self.operation)

    def simple(self, scale: float) -> tuple[Arc]:
        """Itself."""
        return (self,)


@dataclass(frozen=True)
class Circle:
    """A whole circle."""

    centre: Point
    radius: float
    pen: Pen = "visible"
    operation: Operation | None = None

    def through(self, motion: Motion) -> Circle:
        """The circle carried elsewhere."""
        centre, radius = motion.point(self.centre), self.radius * motion.factor
        return Circle(centre, radius, self.pen, self.operation)

    def simple(self, scale: float) -> tuple[Circle]:
        """Itself."""
        return (self,)


@dataclass(frozen=True)
class Polyline:
    """Straight and round edges in one go.

    `bulges[i]` belongs to the edge from point i to the next: the tangent of a quarter of the angle its arc turns
    through, positive when it turns left; 0 is straight, 1 a half circle. Empty means all straight.
    """

    points: tuple[Point, ...]
    bulges: tuple[float, ...] = ()
    closed: bool = True
    pen: Pen = "visible"
    operation: Operation | None = None

    def __post_init__(self) -> None:
        if len(self.points) < 2:
            raise InputError("points", got=f"{len(self.points)} points", want="2 or more")
        if self.bulges and len(self.bulges) != len(self.points):
            raise InputError(
                "bulges", got=f"{len(self.bulges)} of them", want=f"{len(self.points)} or none"
            )

    def edges(self) -> Iterator[tuple[Point, Point, float]]:
        """Start, end and bulge of every edge, in order."""
        count = len(self.points)
        for index in range(count if self.closed else count - 1):
            bulge = self.bulges[index] if self.bulges else 0.0
            yield self.points[index], self.points[(index + 1) % count], bulge

    def through(self, motion: Motion) -> Polyline:
        """The polyline carried elsewhere."""
        points = tuple([motion.point(point) for point in self.points])
        bulges = tuple(-bulge for bulge in self.bulges) if motion.flip else self.bulges
        return Polyline(points, bulges, self.closed, self.pen, self.operation)

    def simple(self, scale: float) -> tuple[Polyline]:
        """Itself."""
        return (self,)


@dataclass(frozen=True)
class Region:
    """An area filled by its material, holes left open. It has no outline of its own: draw that as a line."""

    outer: Polyline | Circle
    holes: tuple[Polyline | Circle, ...] = ()
    material: Material = "wood"
    pen: Pen = "hatch"

    def through(self, motion: Motion) -> Region:
        """The area carried elsewhere."""
        holes = tuple(hole.through(motion) for hole in self.holes)
        return Region(self.outer.through(motion), holes, self.material, self.pen)

    def simple(self, scale: float) -> tuple[Region]:
        """Itself."""
        return (self,)


@dataclass(frozen=True)
class Text:
    """One line of lettering, readable from the bottom or from the right after every motion."""

    at: Point
    text: str
    height: float = 3.5
    """Height of a capital letter on paper [mm]; ISO 3098-1 gives the steps 1.8, 2.5, 3.5, 5, 7."""
    anchor: Anchor = "start"
    """Which point along the line of writing stands at `at`."""
    vertical: Vertical = "baseline"
    """Which height of a capital letter stands at `at`."""
    angle_deg: float = 0.0
    weight: Weight = "regular"
    pen: Pen = "dimension"
    operation: Operation | None = None

    def size(self, scale: float = 1.0) -> tuple[float, float]:
        """Length and height, in the drawing's millimeters."""
        return text_width(self.text, self.height, self.weight) / scale, self.height / scale

    def corners(self, scale: float = 1.0) -> tuple[Point, Point, Point, Point]:
        """The four corners round the lettering, descenders included."""
        length, height = self.size(scale)
        left = {"start": 0.0, "middle": -length / 2, "end": -length}[self.anchor]
        low = {"baseline": 0.0, "middle": -height / 2, "top": -height}[self.vertical]
        below = low - 0.33 * height
        right, high = left + length, low + height
        if not self.angle_deg:
            x, y = self.at
            left, below, right, high = left + x, below + y, right + x, high + y
            return (left, below), (right, below), (right, high), (left, high)
        place = Motion(self.at[0], self.at[1], turn_deg=self.angle_deg)
        first, second, third, fourth = (
            place.point(point)
            for point in ((left, below), (right, below), (right, high), (left, high))
        )
        return first, second, third, fourth

    def box(self, scale: float = 1.0) -> Box:
        """The upright rectangle round it."""
        return _about(self.corners(scale))

    def through(self, motion: Motion) -> Text:
        """The text carried elsewhere: it covers the moved place, but its letters are never mirrored."""
        angle, anchor, vertical = self.angle_deg, self.anchor, self.vertical
        if motion.flip:
            angle, anchor = -angle, _OPPOSITE[anchor]
        angle = _turned(angle + motion.turn_deg)
        if not -90.0 + 1e-9 < angle <= 90.0 + 1e-9:
            angle, anchor, vertical = _turned(angle + 180.0), _OPPOSITE[anchor], _UPENDED[vertical]
        return Text(
            motion.point(self.at),
            self.text,
            self.height,
            anchor,
            vertical,
            angle,
            self.weight,
            self.pen,
            self.operation,
        )

    def simple(self, scale: float) -> tuple[Text]:
        """Itself."""
        return (self,)


SimpleMark = Line | Arc | Circle | Polyline | Region | Text

_OPPOSITE: dict[Anchor, Anchor] = {"start": "end", "middle": "middle", "end": "start"}
_UPENDED: dict[Vertical, Vertical] = {"baseline": "top", "middle": "middle", "top": "baseline"}


def _turned(degrees: float) -> float:
    """The same direction as more than -180 and up to 180 degrees."""
    return 180.0 - (180.0 - degrees) % 360.0


def arc_of(start: Point, end: Point, bulge: float) -> Arc:
    """The arc of one round edge of a polyline, always counter-clockwise.

    Args:
        start: First point.
        end: Last point, elsewhere.
        bulge: Tangent of a quarter of the angle turned through, not 0.

    Example:
        >>> arc_of((0.0, 0.0), (10.0, 0.0), 1.0)
        Arc(centre=(5.0, 0.0), radius=5.0, start_deg=180.0, end_deg=0.0, pen='visible', operation=None)
    """
    # chord c, sagitta s = bulge * c / 2, and the centre off the chord's middle by (1/bulge - bulge) * c / 4
    dx, dy = end[0] - start[0], end[1] - start[1]
    off = (1.0 / bulge - bulge) / 4.0
    centre = ((start[0] + end[0]) / 2 - dy * off, (start[1] + end[1]) / 2 + dx * off)
    radius = math.hypot(dx, dy) * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
    first, last = (start, end) if bulge > 0 else (end, start)
    return Arc(centre, radius, _direction(centre, first), _direction(centre, last))


def _direction(centre: Point, point: Point) -> float:
    return math.degrees(math.atan2(point[1] - centre[1], point[0] - centre[0]))


def rectangle(
    box: Box,
    *,
    radius: float = 0.0,
    pen: Pen = "visible",
    operation: Operation | None = None,
) -> Polyline:
    """A rectangle, its corners rounded by `radius` [mm, 0 to half the shorter side]."""
    if not 0 <= radius <= min(box.width, box.height) / 2 + 1e-9:
        raise InputError("radius", got=f"{radius} mm", want="0 mm to half the shorter side")
    left, bottom, right, top = box.left, box.bottom, box.right, box.top
    if radius == 0:
        corners = ((left, bottom), (right, bottom), (right, top), (left, top))
        return Polyline(corners, pen=pen, operation=operation)
    points = (
        (left + radius, bottom),
        (right - radius, bottom),
        (right, bottom + radius),
        (right, top - radius),
        (right - radius, top),
        (left + radius, top),
        (left, top - radius),
        (left, bottom + radius),
    )
    quarter = math.tan(math.radians(90.0) / 4)
    return Polyline(points, (0.0, quarter) * 4, pen=pen, operation=operation)


def moved(marks: Iterable[Mark], dx: float, dy: float) -> tuple[Mark, ...]:
    """All marks shifted. [mm]"""
    return carried(marks, Motion(dx, dy))


def mirrored(marks: Iterable[Mark], *, axis: float = 0.0) -> tuple[Mark, ...]:
    """All marks mirrored in the upright line x = `axis` [mm]; lettering stays readable."""
    return carried(marks, Motion(dx=2 * axis, flip=True))


def scaled(marks: Iterable[Mark], factor: float) -> tuple[Mark, ...]:
    """All marks resized about (0, 0); sizes on paper (lettering, arrows, line widths) stay."""
    if not (math.isfinite(factor) and factor > 0):
        raise InputError("factor", got=factor, want="more than 0", example="0.2")
    return carried(marks, Motion(factor=factor))


def turned(marks: Iterable[Mark], degrees: float) -> tuple[Mark, ...]:
    """All marks turned counter-clockwise about (0, 0); lettering stays readable."""
    return carried(marks, Motion(turn_deg=degrees))


def carried(marks: Iterable[Mark], motion: Motion) -> tuple[Mark, ...]:
    """All marks carried elsewhere."""
    return tuple(mark.through(motion) for mark in marks)


def simple(marks: Iterable[Mark], scale: float = 1.0) -> tuple[SimpleMark, ...]:
    """All marks as plain ones, in drawing order, for a sheet of this scale."""
    return tuple([plain for mark in marks for plain in mark.simple(scale)])


def bounds(marks: Iterable[Mark], scale: float = 1.0) -> Box:
    """The box round all marks, lettering included and line widths left out.

    Raises:
        InputError: There are no marks.
    """
    boxes = [
        _bounds(mark) if not isinstance(mark, Text) else mark.box(scale)
        for mark in simple(marks, scale)
    ]
    if not boxes:
        raise InputError("marks", got="none", want="at least one mark")
    return _round(boxes)


def _round(boxes: Sequence[Box]) -> Box:
    return Box(
        min([box.left for box in boxes]),
        min([box.bottom for box in boxes]),
        max([box.right for box in boxes]),
        max([box.top for box in boxes]),
    )


def _bounds(mark: Line | Arc | Circle | Polyline | Region) -> Box:
    if isinstance(mark, Line):
        return _about((mark.start, mark.end))
    if isinstance(mark, Circle):
        return Box(*mark.centre, *mark.centre).grown(mark.radius)
    if isinstance(mark, Arc):
        # the four outermost points count only where the arc passes through them
        passed = [
            mark.at(degrees)
            for degrees in (0.0, 90.0, 180.0, 270.0)
            if (degrees - mark.start_deg) % 360.0 <= mark.sweep_deg
        ]
        return _about((mark.at(mark.start_deg), mark.at(mark.end_deg), *passed))
    if isinstance(mark, Region):
        return _bounds(mark.outer)
    if not any(mark.bulges):
        return _about(mark.points)
    boxes = [
        _about((start, end)) if bulge == 0 or start == end else _bounds(arc_of(start, end, bulge))
        for start, end, bulge in mark.edges()
    ]
    return _round(boxes)


def _about(points: Sequence[Point]) -> Box:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return Box(min(xs), min(ys), max(xs), max(ys))


_UNSET = Box(math.inf, math.inf, -math.inf, -math.inf)


@dataclass(frozen=True)
class Drawing:
    """Marks that belong on one sheet."""

    title: str
    marks: tuple[Mark, ...]
    bounds: Box = _UNSET
    """What the sheet shows [mm]; left out, the box round all marks."""
    unit: str = "mm"
    """The unit that the figures are written in, for the title block; geometry is always in mm."""
    scale: float = 1.0
    """Paper millimeters to one real millimeter, for which the lettering was laid out."""

    def __post_init__(self) -> None:
        if not (math.isfinite(self.scale) and self.scale > 0):
            raise InputError("scale", got=self.scale, want="more than 0", example="0.2 for 1:5")
        if self.bounds is _UNSET:
            object.__setattr__(self, "bounds", bounds(self.marks, self.scale))

    def simple(self) -> tuple[SimpleMark, ...]:
        """All marks as plain ones, in drawing order."""
        return simple(self.marks, self.scale)


__all__ = [
    "Anchor",
    "Arc",
    "Box",
    "Circle",
    "Drawing",
    "Face",
    "Kind",
    "Line",
    "Mark",
    "Material",
    "Motion",
    "Operation",
    "Pen",
    "Point",
    "Polyline",
    "Region",
    "SimpleMark",
    "Text",
    "Vertical",
    "Weight",
    "arc_of",
    "bounds",
    "carried",
    "mirrored",
    "moved",
    "polar",
    "rectangle",
    "scaled",
    "simple",
    "turned",
]
