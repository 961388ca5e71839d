"""Long names of panels on the sides' marking-out: nothing on top of another, and each footprint told."""

import re
from functools import cache

import pytest
from shapely.geometry import Point, Polygon
from tests.outputs.drawings.sheets_bench import EXAMPLES, crossing_words

from casewright.outputs.documents.book import PAPERS, part_room
from casewright.outputs.drawings import marks
from casewright.outputs.drawings.part_files import dxf_files, keyed, svg_files
from casewright.outputs.drawings.part_view import PartSheet, part_drawings
from casewright.workflow import open_text, work_out

TAIL = " of the reading-corner cabinet, as in the second plan"


@cache
def sheets() -> tuple[PartSheet, ...]:
    """The main demo, each panel with a name of 55 signs and more."""
    text = (EXAMPLES / "library-duel.cabinet.yaml").read_text(encoding="utf-8")
    head, rest = text.split("\npanels:\n", 1)
    panels, tail = rest.split("\nseams:\n", 1)
    panels = re.sub(r"label: ([^,}\n]+)", rf'label: "\1{TAIL}"', panels)
    worked = work_out(open_text("\npanels:\n".join((head, "\nseams:\n".join((panels, tail))))))
    room = part_room(PAPERS["A4"])
    return part_drawings(worked.cabinet, worked.opened.style, room=room)


@pytest.mark.parametrize("key", ["left", "right"])
def test_names_and_numbers_of_footprints_stand_clear(key):
    """Boxes of lettering by shapely (GEOS): none on another; a number stands on its piece's footprint or beside it."""
    sheet = next(s for s in sheets() if (s.piece, s.face) == (key, "back"))
    assert crossing_words(sheet.drawing) == []
    texts = {m.text: m for m in sheet.drawing.simple() if isinstance(m, marks.Text)}
    assert [row.number for row in sheet.mark_rows] == [
        str(n) for n in range(1, len(sheet.mark_rows) + 1)
    ]
    named = 0
    for row in sheet.mark_rows:
        if "overlay" in row.label:
            continue  # it lies on its panel
        name = row.label.removesuffix(", left").removesuffix(", right")
        assert (name in texts) != (row.number in texts), row
        named += name in texts
        if row.number in texts:
            corners = [tuple(map(float, corner)) for corner in row.corners]
            away = Polygon(corners).distance(Point(texts[row.number].at)) * sheet.scale
            assert away < 8.0, row  # on paper: within a finger's breadth [mm]
    assert 0 < named < len(sheet.mark_rows)


@pytest.mark.parametrize("key", ["left", "right"])
def test_files_of_sides_name_the_numbers_on_them(key):
    """The SVG says below what each number stands for, clear of all else; the DXF has names and no numbers."""
    sheet = next(s for s in sheets() if (s.piece, s.face) == (key, "back"))
    drawn = {m.text for m in sheet.drawing.simple() if isinstance(m, marks.Text)}
    numbered = [row for row in sheet.mark_rows if row.number in drawn]
    assert numbered
    svg = " ".join(svg_files([sheet])[f"{key}-back.svg"].decode("utf-8").split())
    words = " ".join(re.findall(r">([^<>]+)</text>", svg))
    for row in numbered:
        assert f"{row.number} = {row.label}" in words
    more = keyed(sheet)
    assert crossing_words(more) == []
    assert more.bounds.bottom < sheet.drawing.bounds.bottom
    assert more.bounds.right == sheet.drawing.bounds.right
    bare = {m.text for m in sheet.bare.simple() if isinstance(m, marks.Text)}
    assert not bare & {row.number for row in numbered}
    assert dxf_files([sheet])
