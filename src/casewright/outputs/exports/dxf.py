r"""A drawing as a DXF file (R2010, millimeters) for CAD programs, routers and laser cutters.

Layers say what is to be done, so that a machine's program can pick by name:

    KIND_FACE_DEPTH      BORE_BACK_12.00MM      bored from the back face, 12.00 mm deep
                         POCKET_SHOW_6.50MM     pocket from the show face
                         CHAMFER_SHOW_5.00MM    chamfer of the show face's edge
    KIND_FACE_THROUGH    OPENING_BACK_THROUGH   worked from the back face, goes through
    KIND_THROUGH         CUT_THROUGH            goes through, either face

with KIND one of CUT, BORE, OPENING, POCKET, GROOVE, CHAMFER, BEVEL, SLOT, COUNTERSINK, MARK. Depths are in
millimeters with two decimals, whatever the unit of the figures. The layer's description repeats it in words and names
the tools. Lines that are only to be looked at lie on layers named by their pen (VISIBLE, HIDDEN, CENTRE, PHANTOM,
DIMENSION, ...), hatching on HATCH_ and the material, all lettering on TEXT.

Geometry is at true size in exact entities: LINE, ARC, CIRCLE, LWPOLYLINE with bulges.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from casewright.assets import empty_dxf
from casewright.outputs.drawings.lettering import one_line
from casewright.outputs.drawings.marks import (
    Anchor,
    Arc,
    Circle,
    Drawing,
    Kind,
    Line,
    Material,
    Operation,
    Pen,
    Point,
    Polyline,
    Region,
    SimpleMark,
    Text,
    Vertical,
)
from casewright.outputs.drawings.style import MATERIALS, NARROW, PENS

TEXT_LAYER = "TEXT"

# AutoCAD color index, readable on light and on dark grounds; close to the pens' colors where there is a choice.
_COLORS: dict[Kind, int] = {
    "cut": 1,
    "bore": 5,
    "opening": 6,
    "pocket": 3,
    "groove": 4,
    "chamfer": 30,
    "bevel": 32,
    "slot": 140,
    "countersink": 150,
    "mark": 8,
}
_PLAIN = 7
"""Black on light, white on dark."""


def layer_name(operation: Operation) -> str:
    """Return the layer for an operation.

    Example:
        >>> layer_name(Operation("bore", "back", 12.0)), layer_name(Operation("cut"))
        ('BORE_BACK_12.00MM', 'CUT_THROUGH')
    """
    end = "THROUGH" if operation.depth is None else f"{operation.depth:.2f}MM"
    face = "" if operation.face == "both" else f"{operation.face.upper()}_"
    return f"{operation.kind.upper()}_{face}{end}"


def write_dxf(drawing: Drawing) -> bytes:
    """Return the drawing as a DXF file.

    Args:
        drawing: What to write. Geometry at true size; lettering as high as makes it come out right on a plot at the
            drawing's scale.

    Returns:
        The file, R2010, UTF-8, $INSUNITS millimeters. Same drawing, same bytes.

    Source:
        DXF Reference for AutoCAD 2010: group codes, $INSUNITS 4 = millimeters, LWPOLYLINE bulge.
    """
    marks = drawing.simple()
    writer = _Writer(drawing.scale)
    writer.add_operation_layers(marks)
    for mark in marks:
        writer.add(mark)
    empty = _empty()
    return "".join(
        (
            empty.to_title,
            harmless(drawing.title),
            empty.to_dashes,
            str(1.0 / drawing.scale),
            empty.to_seed,
            f"{writer.handle:X}",
            empty.to_count,
            str(empty.layers + len(writer.layers)),
            empty.to_layers,
            *writer.layers.values(),
            empty.to_entities,
            *writer.entities,
            empty.rest,
        )
    ).encode("utf-8", "replace")


@dataclass(frozen=True)
class _Empty:
    """The document without entities, in pieces: what differs from drawing to drawing goes between them."""

    to_title: str
    to_dashes: str
    """Up to the value of $LTSCALE."""
    to_seed: str
    """Up to the value of $HANDSEED."""
    to_count: str
    """Up to the number of layers."""
    to_layers: str
    """Up to where more layers go."""
    to_entities: str
    rest: str
    layers: int
    """So many it has."""


@cache
def _empty() -> _Empty:
    rest = empty_dxf()

    def upto(mark: str, value: str = "") -> str:
        """The text up to the end of this mark; the value that follows it there is dropped."""
        nonlocal rest
        before, found, after = rest.partition(f"{mark}{value}")
        assert found, f"no {mark!r} in the empty document"
        rest = after
        return before + mark

    to_title = upto("  9\n$CUSTOMPROPERTY\n  1\n", "TITLE")
    to_dashes = upto("  9\n$LTSCALE\n 40\n", "1.0")
    to_seed = upto("  9\n$HANDSEED\n  5\n")
    rest = rest[rest.index("\n") :]
    to_count = upto("  2\nLAYER\n  5\n1\n330\n0\n100\nAcDbSymbolTable\n 70\n")
    layers, _, rest = rest.partition("\n")
    rest = f"\n{rest}"
    end = rest.index("  0\nENDTAB\n")
    to_layers, rest = rest[:end], rest[end:]
    to_entities = upto("  2\nENTITIES\n")
    return _Empty(to_title, to_dashes, to_seed, to_count, to_layers, to_entities, rest, int(layers))


_LAYERS = "1"
"""Handle of the empty document's table of layers."""
_SPACE = "17"
"""Handle of its model space, which owns all entities."""
_FIRST = 0x100
"""Its own handles all lie below this one."""

Tag = tuple[int, object]
"""A group code and its value."""


def _tags(*tags: Tag) -> str:
    return "".join([f"{code:3d}\n{value}\n" for code, value in tags])


class _Writer:
    def __init__(self, scale: float) -> None:
        self.scale = scale
        self.layers: dict[str, str] = {}
        self.entities: list[str] = []
        self.handle = _FIRST
        """Of what comes next."""

    def next_handle(self) -> str:
        self.handle += 1
        return f"{self.handle - 1:X}"

    def add_layer(
        self,
        name: str,
        *,
        color: int,
        linetype: str = "Continuous",
        lineweight: int,
        description: str = "",
    ) -> None:
        """Add a layer; `lineweight` in hundredths of a millimeter."""
        head = ((0, "LAYER"), (5, self.next_handle()), (330, _LAYERS))
        record: tuple[Tag, ...] = (
            (100, "AcDbSymbolTableRecord"),
            (100, "AcDbLayerTableRecord"),
            (2, name),
            (70, 0),
            (62, color),
            (6, linetype),
            (370, lineweight),
            (390, "13"),  # the plot style and the material of the empty document
            (347, "21"),
        )
        words: tuple[Tag, ...] = ()
        if description:
            words = ((1001, "AcAecLayerStandard"), (1000, ""), (1000, description))
        self.layers[name] = _tags(*head, *record, *words)

    def add_operation_layers(self, marks: Iterable[SimpleMark]) -> None:
        tools: dict[str, set[str]] = {}
        operations: dict[str, Operation] = {}
        for mark in marks:
            operation = None if isinstance(mark, Region | Text) else mark.operation
            if operation:
                name = layer_name(operation)
                operations.setdefault(name, operation)
                tools.setdefault(name, set()).update({operation.tool} - {""})
        for name in sorted(operations):
            operation = operations[name]
            words = _described(operation, sorted(tools[name]))
            self.add_layer(name, color=_COLORS[operation.kind], lineweight=50, description=words)

    def layer(self, name: str, pen: Pen) -> str:
        if name not in self.layers:
            style = PENS[pen]
            color = 5 if pen.startswith("accent") or pen == "sight" else _PLAIN
            weight = round(style.width * 100)
            self.add_layer(name, color=color, linetype=style.linetype, lineweight=weight)
        return name

    def entity(self, kind: str, layer: str, *tags: Tag) -> None:
        """Add an entity; the tags follow its layer."""
        head = ((0, kind), (5, self.next_handle()), (330, _SPACE), (100, "AcDbEntity"), (8, layer))
        self.entities.append(_tags(*head, *tags))

    def add(self, mark: SimpleMark) -> None:
        if isinstance(mark, Text):
            self.add_text(mark)
            return
        if isinstance(mark, Region):
            self.add_region(mark)
            return
        style = PENS[mark.pen]
        look: list[Tag] = []
        if mark.operation:
            layer = layer_name(mark.operation)
            if style.dashes:
                look.append((6, style.linetype))
        else:
            layer = self.layer(mark.pen.upper(), mark.pen)
        if style.width != NARROW:
            look.append((48, style.width / NARROW))  # dashes in proportion
        if isinstance(mark, Line):
            shape = ((100, "AcDbLine"), *_at(mark.start, 10), *_at(mark.end, 11))
            self.entity("LINE", layer, *look, *shape)
        elif isinstance(mark, Circle):
            self.entity("CIRCLE", layer, *look, *_round(mark))
        elif isinstance(mark, Arc):
            turn = ((100, "AcDbArc"), (50, mark.start_deg), (51, mark.end_deg))
            self.entity("ARC", layer, *look, *_round(mark), *turn)
        else:
            count, closed = len(mark.points), int(mark.closed)
            self.entity(
                "LWPOLYLINE",
                layer,
                *look,
                (100, "AcDbPolyline"),
                (90, count),
                (70, closed),
                *_vertices(mark, zeros=False),
            )

    def add_text(self, text: Text) -> None:
        anchor, level = _ANCHORS[text.anchor], _LEVELS[text.vertical]
        tags: list[Tag] = [
            (100, "AcDbText"),
            *_at(text.at, 10),
            (40, text.height / self.scale),
            (1, harmless(text.text)),
        ]
        if text.angle_deg:
            tags.append((50, text.angle_deg))
        tags.append((7, "LETTERING"))
        if anchor:
            tags.append((72, anchor))
        tags += [*_at(text.at, 11), (100, "AcDbText")]
        if level:
            tags.append((73, level))
        self.entity("TEXT", self.layer(TEXT_LAYER, "dimension"), *tags)

    def add_region(self, region: Region) -> None:
        fill = MATERIALS[region.material]
        solid = region.material == "ink"
        if not solid and not fill.hatch:
            return  # A plain tint tells a CAD program nothing.
        if solid:
            layer = self.layer(region.pen.upper(), region.pen)
        else:
            layer = self.layer(_hatch_layer(region.material), "hatch")
        tags: list[Tag] = [
            (100, "AcDbHatch"),
            *_at((0.0, 0.0), 10),
            *((210, 0.0), (220, 0.0), (230, 1.0)),
            (2, "SOLID" if solid else _hatch_layer(region.material)),
            (70, int(solid)),
            (71, 0),
            (91, 1 + len(region.holes)),
        ]
        for index, shape in enumerate((region.outer, *region.holes)):
            ring = shape if isinstance(shape, Polyline) else _as_polyline(shape)
            tags += [
                (92, 3 if index == 0 else 18),  # a polyline: external, outermost
                (72, 1),
                (73, 1),
                (93, len(ring.points)),
                *_vertices(ring, zeros=True),
                (97, 0),
            ]
        tags += [(75, 0 if solid else 1), (76, 1)]
        if not solid:
            directions = (fill.angle_deg, fill.angle_deg + 90.0)[: 2 if fill.crossed else 1]
            tags += [(52, 0.0), (41, 1.0), (77, 0), (78, len(directions))]
            for deg in directions:
                tags += _hatch_line(deg, fill.spacing / self.scale)
        self.entity("HATCH", layer, *tags, (98, 0))


def _at(point: Point, code: int) -> tuple[Tag, ...]:
    return ((code, point[0]), (code + 10, point[1]), (code + 20, 0.0))


def _round(mark: Circle | Arc) -> tuple[Tag, ...]:
    return ((100, "AcDbCircle"), *_at(mark.centre, 10), (40, mark.radius))


def _hatch_layer(material: Material) -> str:
    return f"HATCH_{material.upper()}"


def _hatch_line(degrees: float, spacing: float) -> list[Tag]:
    """One set of parallel lines: its direction, a point, and the way to the next line."""
    turn = math.radians(degrees)
    away = ((45, -math.sin(turn) * spacing), (46, math.cos(turn) * spacing))
    return [(53, degrees), (43, 0.0), (44, 0.0), *away, (79, 0)]


def _vertices(line: Polyline, *, zeros: bool) -> list[Tag]:
    """Corners with the bulges of the edges that begin there; `zeros`: also of straight ones."""
    tags: list[Tag] = []
    for (x, y), bulge in zip(line.points, line.bulges or (0.0,) * len(line.points), strict=True):
        tags += [(10, x), (20, y)]
        if bulge or zeros:
            tags.append((42, bulge))
    return tags


def _as_polyline(circle: Circle) -> Polyline:
    (x, y), radius = circle.centre, circle.radius
    return Polyline(((x - radius, y), (x + radius, y)), (1.0, 1.0))


def _described(operation: Operation, tools: list[str]) -> str:
    face = "either face" if operation.face == "both" else f"the {operation.face} face"
    depth = "through" if operation.depth is None else f"{operation.depth:.2f} mm deep"
    words = f"{operation.kind.capitalize()} from {face}, {depth}"
    return harmless(", ".join([words, *tools]))


_ANCHORS: dict[Anchor, int] = {"start": 0, "middle": 1, "end": 2}
_LEVELS: dict[Vertical, int] = {"baseline": 0, "middle": 2, "top": 3}

_LONGEST = 250
"""Signs in one string; older readers stop at 255."""


def harmless(text: str) -> str:
    r"""Return text that a DXF reader shows as it stands and never takes for a code.

    Line breaks and control signs become a space, `%%` (as in `%%c`) is pulled apart, a backslash (as in `\P` or
    `\U+2300`) becomes a slash, and a caret (as in `^J`) becomes ˆ.

    Example:
        >>> harmless("a%%c\\Pb^Jc\nd")
        'a% %c/PbˆJc d'
    """
    clean = one_line(text).replace("\\", "/").replace("^", "ˆ")
    clean = re.sub("%(?=%)", "% ", clean)
    return clean if len(clean) <= _LONGEST else clean[: _LONGEST - 1] + "…"


__all__ = ["TEXT_LAYER", "harmless", "layer_name", "write_dxf"]
