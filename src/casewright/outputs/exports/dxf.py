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

import io
import math
import re
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

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
    Polyline,
    Region,
    SimpleMark,
    Text,
    Vertical,
)
from casewright.outputs.drawings.style import MATERIALS, NARROW, PENS

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.layouts.layout import Modelspace

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
    import ezdxf  # Over half a second that only this writer has to pay.

    with _fixed_meta_data():
        doc = ezdxf.new("R2010", units=ezdxf.units.MM)
        doc.header["$MEASUREMENT"] = 1  # metric patterns
        doc.header["$LTSCALE"] = 1.0 / drawing.scale
        doc.header.custom_vars.append("Title", harmless(drawing.title))
        for pen in PENS.values():
            if pen.dashes and pen.linetype not in doc.linetypes:
                _add_linetype(doc, pen.linetype, pen.dashes)
        doc.styles.add("LETTERING", font="DejaVuSansCondensed.ttf")
        writer = _Writer(doc, drawing.scale)
        marks = drawing.simple()
        writer.add_operation_layers(marks)
        for mark in marks:
            writer.add(mark)
        _sort_classes(doc)
        stream = io.StringIO()
        doc.write(stream)
        return doc.encode(stream.getvalue())


_LOCK = threading.Lock()


@contextmanager
def _fixed_meta_data() -> Iterator[None]:
    """Write no time stamps and no random ids, and leave the library's setting as it was."""
    import ezdxf

    options = ezdxf.options
    with _LOCK:
        before = options.write_fixed_meta_data_for_testing
        options.write_fixed_meta_data_for_testing = True
        try:
            yield
        finally:
            options.write_fixed_meta_data_for_testing = before


def _sort_classes(doc: Document) -> None:
    """Put the class definitions in order: the library takes them from a set, whose order changes from run to run."""
    section = doc.classes
    section.add_required_classes(doc.dxfversion)
    kept = sorted(section.classes.items())
    section.classes.clear()
    section.classes.update(kept)


def _add_linetype(doc: Document, name: str, dashes: tuple[float, ...]) -> None:
    # A DXF pattern starts with its whole length; gaps are negative.
    steps = [dash if index % 2 == 0 else -dash for index, dash in enumerate(dashes)]
    doc.linetypes.add(name, pattern=[sum(dashes), *steps], description=name.title())


class _Writer:
    def __init__(self, doc: Document, scale: float) -> None:
        self.doc = doc
        self.space: Modelspace = doc.modelspace()
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
            layer = self.doc.layers.add(name, color=_COLORS[operation.kind], lineweight=50)
            layer.description = _described(operation, sorted(tools[name]))

    def layer(self, name: str, pen: Pen) -> str:
        if name not in self.doc.layers:
            style = PENS[pen]
            color = 5 if pen.startswith("accent") or pen == "sight" else _PLAIN
            self.doc.layers.add(
                name,
                color=color,
                linetype=style.linetype,
                lineweight=round(style.width * 100),
            )
        return name

    def add(self, mark: SimpleMark) -> None:
        if isinstance(mark, Text):
            self.add_text(mark)
            return
        if isinstance(mark, Region):
            self.add_region(mark)
            return
        attributes: dict[str, object] = {"ltscale": PENS[mark.pen].width / NARROW}
        if mark.operation:
            attributes["layer"] = layer_name(mark.operation)
            if PENS[mark.pen].dashes:
                attributes["linetype"] = PENS[mark.pen].linetype
        else:
            attributes["layer"] = self.layer(mark.pen.upper(), mark.pen)
        if isinstance(mark, Line):
            self.space.add_line(mark.start, mark.end, attributes)
        elif isinstance(mark, Circle):
            self.space.add_circle(mark.centre, mark.radius, attributes)
        elif isinstance(mark, Arc):
            self.space.add_arc(
                mark.centre, mark.radius, mark.start_deg, mark.end_deg, dxfattribs=attributes
            )
        else:
            self.space.add_lwpolyline(
                _vertices(mark), format="xyb", close=mark.closed, dxfattribs=attributes
            )

    def add_text(self, text: Text) -> None:
        from ezdxf.enums import TextEntityAlignment

        entity = self.space.add_text(
            harmless(text.text),
            height=text.height / self.scale,
            rotation=text.angle_deg,
            dxfattribs={"layer": self.layer(TEXT_LAYER, "dimension"), "style": "LETTERING"},
        )
        entity.set_placement(
            text.at, align=TextEntityAlignment[_ALIGNMENTS[text.vertical][text.anchor]]
        )

    def add_region(self, region: Region) -> None:
        fill = MATERIALS[region.material]
        if region.material != "ink" and not fill.hatch:
            return  # A plain tint tells a CAD program nothing.
        if region.material == "ink":
            layer = self.layer(region.pen.upper(), region.pen)
        else:
            layer = self.layer(_hatch_layer(region.material), "hatch")
        hatch = self.space.add_hatch(dxfattribs={"layer": layer})
        hatch.dxf.color = 256  # by layer
        if region.material != "ink":
            directions = (fill.angle_deg, fill.angle_deg + 90.0)[: 2 if fill.crossed else 1]
            hatch.set_pattern_fill(
                _hatch_layer(region.material),
                color=256,
                definition=[_hatch_line(deg, fill.spacing / self.scale) for deg in directions],
            )
        for index, shape in enumerate((region.outer, *region.holes)):
            flags = 1 if index == 0 else 16  # external, outermost
            hatch.paths.add_polyline_path(_ring(shape), is_closed=True, flags=flags)


def _hatch_layer(material: Material) -> str:
    return f"HATCH_{material.upper()}"


def _hatch_line(degrees: float, spacing: float) -> list[object]:
    turn = math.radians(degrees)
    offset = (-math.sin(turn) * spacing, math.cos(turn) * spacing)
    return [degrees, (0.0, 0.0), offset, []]


def _vertices(line: Polyline) -> list[tuple[float, float, float]]:
    bulges = line.bulges or (0.0,) * len(line.points)
    return [(x, y, bulge) for (x, y), bulge in zip(line.points, bulges, strict=True)]


def _ring(shape: Polyline | Circle) -> list[tuple[float, float, float]]:
    if isinstance(shape, Circle):
        (x, y), radius = shape.centre, shape.radius
        return [(x - radius, y, 1.0), (x + radius, y, 1.0)]
    return _vertices(shape)


def _described(operation: Operation, tools: list[str]) -> str:
    face = "either face" if operation.face == "both" else f"the {operation.face} face"
    depth = "through" if operation.depth is None else f"{operation.depth:.2f} mm deep"
    words = f"{operation.kind.capitalize()} from {face}, {depth}"
    return harmless(", ".join([words, *tools]))


_ALIGNMENTS: dict[Vertical, dict[Anchor, str]] = {
    "baseline": {"start": "LEFT", "middle": "CENTER", "end": "RIGHT"},
    "middle": {"start": "MIDDLE_LEFT", "middle": "MIDDLE_CENTER", "end": "MIDDLE_RIGHT"},
    "top": {"start": "TOP_LEFT", "middle": "TOP_CENTER", "end": "TOP_RIGHT"},
}

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
