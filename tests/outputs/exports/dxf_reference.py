"""The same DXF files by the general library ezdxf: what ours are held against, byte for byte.

Run by itself it writes the frame that ships with the package (`casewright/assets/dxf/frame.dxf`): an empty drawing by
ezdxf, with names in angle brackets where a drawing's own lines go.
"""

from __future__ import annotations

import io
import re
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

import ezdxf
from ezdxf.document import Drawing as Document
from ezdxf.enums import TextEntityAlignment

from casewright.outputs.drawings.marks import Drawing
from casewright.outputs.drawings.style import PENS
from casewright.outputs.exports import dxf
from casewright.outputs.exports.dxf_text import Look, PatternLine, Point, Vertex


def reference_dxf(drawing: Drawing) -> bytes:
    """The drawing as ezdxf writes it."""
    with _fixed_meta_data():
        page = Page(dxf.harmless(drawing.title), 1.0 / drawing.scale)
        dxf.draw(page, drawing)  # type: ignore[arg-type]  # it takes the same calls
        return _written(page.doc)


class Page:
    """Takes the calls of `DxfFile` to a document of the library."""

    def __init__(self, title: str, patterns: float) -> None:
        self.doc = _empty(title, patterns)
        self.space = self.doc.modelspace()

    def has_layer(self, name: str) -> bool:
        return name in self.doc.layers

    def layer(
        self,
        name: str,
        *,
        color: int,
        lineweight: int,
        linetype: str = "Continuous",
        description: str = "",
    ) -> None:
        layer = self.doc.layers.add(name, color=color, linetype=linetype, lineweight=lineweight)
        if description:
            layer.description = description

    def line(self, start: Point, end: Point, look: Look) -> None:
        self.space.add_line(start, end, _looks(look))

    def circle(self, centre: Point, radius: float, look: Look) -> None:
        self.space.add_circle(centre, radius, _looks(look))

    def arc(
        self, centre: Point, radius: float, start_deg: float, end_deg: float, look: Look
    ) -> None:
        self.space.add_arc(centre, radius, start_deg, end_deg, dxfattribs=_looks(look))

    def polyline(self, vertices: Sequence[Vertex], look: Look, *, closed: bool) -> None:
        self.space.add_lwpolyline(vertices, format="xyb", close=closed, dxfattribs=_looks(look))

    def text(
        self,
        text: str,
        at: Point,
        look: Look,
        *,
        height: float,
        angle_deg: float,
        across: int,
        upright: int,
    ) -> None:
        entity = self.space.add_text(
            text,
            height=height,
            rotation=angle_deg,
            dxfattribs={**_looks(look), "style": "LETTERING"},
        )
        rows = {0: ("LEFT", "CENTER", "RIGHT")}
        for code, word in ((2, "MIDDLE"), (3, "TOP")):
            rows[code] = (f"{word}_LEFT", f"{word}_CENTER", f"{word}_RIGHT")
        entity.set_placement(at, align=TextEntityAlignment[rows[upright][across]])

    def hatch(
        self, rings: Sequence[Sequence[Vertex]], look: Look, pattern: Sequence[PatternLine] = ()
    ) -> None:
        hatch = self.space.add_hatch(dxfattribs={"layer": look.layer})
        hatch.dxf.color = 256  # by layer
        if pattern:
            lines = [[line.angle_deg, (0.0, 0.0), line.offset, []] for line in pattern]
            hatch.set_pattern_fill(look.layer, color=256, definition=lines)
        for index, ring in enumerate(rings):
            flags = 1 if index == 0 else 16  # external, outermost
            hatch.paths.add_polyline_path(ring, is_closed=True, flags=flags)


def _looks(look: Look) -> dict[str, object]:
    own = {"linetype": look.linetype} if look.linetype else {}
    return {"layer": look.layer, "ltscale": look.patterns, **own}


def frame() -> str:
    """An empty drawing with named gaps."""
    with _fixed_meta_data():
        text = _written(_empty("<title>", 1.0)).decode("utf-8")
    seed = re.search(r"\$HANDSEED\n  5\n(\w+)\n", text)
    assert seed
    # The library numbers what it adds at the end after all else: two applications, and a note about itself.
    last = int(seed[1], 16) - 1
    for name, number in (("note", last), ("library", last - 1), ("hatching", last - 2)):
        text = re.sub(rf"\n{number:X}\n", f"\n<{name}>\n", text)
    text = text.replace(seed[0], "$HANDSEED\n  5\n<seed>\n")
    text = text.replace("$LTSCALE\n 40\n1.0\n", "$LTSCALE\n 40\n<patterns>\n")
    text = _once(r"(  2\nLAYER\n(?:.*\n)*? 70\n)2\n", r"\1<layer-count>\n", text)
    text = _once(r"(  2\nDefpoints\n(?:.*\n)*?)(  0\nENDTAB\n)", r"\1<layers>\n\2", text)
    text = _once(r"(  2\nAPPID\n(?:.*\n)*? 70\n)3\n", r"\1<application-count>\n", text)
    text = _once(r"(  2\nACAD\n 70\n0\n)(  0\nAPPID\n)", r"\1<described>\n\2", text)
    return _once(r"(  2\nENTITIES\n)(  0\nENDSEC\n)", r"\1<entities>\n\2", text)


def _once(pattern: str, to: str, text: str) -> str:
    changed, count = re.subn(pattern, to, text, count=1)
    assert count == 1, pattern
    return changed


def _empty(title: str, patterns: float) -> Document:
    doc = ezdxf.new("R2010", units=ezdxf.units.MM)
    doc.header["$MEASUREMENT"] = 1  # metric patterns
    doc.header["$LTSCALE"] = patterns
    doc.header.custom_vars.append("Title", title)
    for pen in PENS.values():
        if pen.dashes and pen.linetype not in doc.linetypes:
            # A DXF pattern starts with its whole length; gaps are negative.
            steps = [dash if index % 2 == 0 else -dash for index, dash in enumerate(pen.dashes)]
            doc.linetypes.add(
                pen.linetype, pattern=[sum(pen.dashes), *steps], description=pen.linetype.title()
            )
    doc.styles.add("LETTERING", font="DejaVuSansCondensed.ttf")
    return doc


def _written(doc: Document) -> bytes:
    # Class definitions in order: the library takes them from a set, whose order changes from run to run.
    section = doc.classes
    section.add_required_classes(doc.dxfversion)
    kept = sorted(section.classes.items())
    section.classes.clear()
    section.classes.update(kept)
    stream = io.StringIO()
    doc.write(stream)
    return doc.encode(stream.getvalue())


@contextmanager
def _fixed_meta_data() -> Iterator[None]:
    """No time stamps and no random ids."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


if __name__ == "__main__":
    sys.stdout.buffer.write(frame().encode())
