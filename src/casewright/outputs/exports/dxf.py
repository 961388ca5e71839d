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

from casewright.outputs.drawings.lettering import one_line
from casewright.outputs.drawings.marks import (
    Anchor,
    Arc,
    Circle,
    Drawing,
    Kind,
    Line,
    Operation,
    Pen,
    Polyline,
    Region,
    SimpleMark,
    Text,
    Vertical,
)
from casewright.outputs.drawings.style import MATERIALS, NARROW, PENS
from casewright.outputs.exports.dxf_text import DxfFile, Look, PatternLine, Vertex

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
    file = DxfFile(harmless(drawing.title), patterns=1.0 / drawing.scale)
    draw(file, drawing)
    return file.data()


def draw(file: DxfFile, drawing: Drawing) -> None:
    """Add a drawing's layers and marks to a file."""
    writer = _Writer(file, drawing.scale)
    marks = drawing.simple()
    writer.add_operation_layers(marks)
    for mark in marks:
        writer.add(mark)


class _Writer:
    def __init__(self, file: DxfFile, scale: float) -> None:
        self.file = file
        self.scale = scale

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
            self.file.layer(
                name,
                color=_COLORS[operation.kind],
                lineweight=50,
                description=_described(operation, sorted(tools[name])),
            )

    def layer(self, name: str, pen: Pen) -> str:
        if not self.file.has_layer(name):
            style = PENS[pen]
            color = 5 if pen.startswith("accent") or pen == "sight" else _PLAIN
            lineweight = round(style.width * 100)
            self.file.layer(name, color=color, linetype=style.linetype, lineweight=lineweight)
        return name

    def add(self, mark: SimpleMark) -> None:
        if isinstance(mark, Text):
            self.add_text(mark)
            return
        if isinstance(mark, Region):
            self.add_region(mark)
            return
        pen = PENS[mark.pen]
        if mark.operation:
            own = pen.linetype if pen.dashes else ""
            look = Look(layer_name(mark.operation), own, pen.width / NARROW)
        else:
            look = Look(self.layer(mark.pen.upper(), mark.pen), "", pen.width / NARROW)
        if isinstance(mark, Line):
            self.file.line(mark.start, mark.end, look)
        elif isinstance(mark, Circle):
            self.file.circle(mark.centre, mark.radius, look)
        elif isinstance(mark, Arc):
            self.file.arc(mark.centre, mark.radius, mark.start_deg, mark.end_deg, look)
        else:
            self.file.polyline(_vertices(mark), look, closed=mark.closed)

    def add_text(self, text: Text) -> None:
        self.file.text(
            harmless(text.text),
            text.at,
            Look(self.layer(TEXT_LAYER, "dimension")),
            height=text.height / self.scale,
            angle_deg=text.angle_deg,
            across=_ACROSS[text.anchor],
            upright=_UPRIGHT[text.vertical],
        )

    def add_region(self, region: Region) -> None:
        fill = MATERIALS[region.material]
        if region.material != "ink" and not fill.hatch:
            return  # A plain tint tells a CAD program nothing.
        rings = [_ring(shape) for shape in (region.outer, *region.holes)]
        if region.material == "ink":
            self.file.hatch(rings, Look(self.layer(region.pen.upper(), region.pen)))
            return
        look = Look(self.layer(f"HATCH_{region.material.upper()}", "hatch"))
        directions = (fill.angle_deg, fill.angle_deg + 90.0)[: 2 if fill.crossed else 1]
        self.file.hatch(
            rings, look, [_hatch_line(deg, fill.spacing / self.scale) for deg in directions]
        )


def _hatch_line(degrees: float, spacing: float) -> PatternLine:
    turn = math.radians(degrees)
    return PatternLine(degrees, (-math.sin(turn) * spacing, math.cos(turn) * spacing))


def _vertices(line: Polyline) -> list[Vertex]:
    bulges = line.bulges or (0.0,) * len(line.points)
    return [(x, y, bulge) for (x, y), bulge in zip(line.points, bulges, strict=True)]


def _ring(shape: Polyline | Circle) -> list[Vertex]:
    if isinstance(shape, Circle):
        (x, y), radius = shape.centre, shape.radius
        return [(x - radius, y, 1.0), (x + radius, y, 1.0)]
    return _vertices(shape)


def _described(operation: Operation, tools: list[str]) -> str:
    face = "either face" if operation.face == "both" else f"the {operation.face} face"
    depth = "through" if operation.depth is None else f"{operation.depth:.2f} mm deep"
    words = f"{operation.kind.capitalize()} from {face}, {depth}"
    return harmless(", ".join([words, *tools]))


# DXF Reference 2010, TEXT: group codes 72 and 73.
_ACROSS: dict[Anchor, int] = {"start": 0, "middle": 1, "end": 2}
_UPRIGHT: dict[Vertical, int] = {"baseline": 0, "middle": 2, "top": 3}

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


__all__ = ["TEXT_LAYER", "draw", "harmless", "layer_name", "write_dxf"]
