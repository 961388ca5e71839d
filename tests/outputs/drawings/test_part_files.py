"""Sheets as files: read back by other programs' readers, names that stay in their folder."""

import io
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import PurePosixPath

import ezdxf
import ezdxf.recover
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.outputs.drawings.sheets_bench import board, example, sheets_of

from casewright.basics.units import LengthStyle
from casewright.geometry.model import Circle, Feature
from casewright.outputs.documents.templates import BACK_FACE_UP, SHOW_FACE_UP, plan_template
from casewright.outputs.documents.tiles import PAPERS
from casewright.outputs.drawings.part_files import (
    dxf_files,
    file_names,
    slug,
    svg_files,
    template_sheets,
    worth_a_template,
)
from casewright.outputs.drawings.part_view import known_labels, part_drawings, part_sheet
from casewright.outputs.drawings.scales import ROOM
from casewright.outputs.drawings.svg import write_svg
from casewright.outputs.exports.dxf import write_dxf

MM = LengthStyle("mm")


@pytest.fixture(scope="module")
def worked():
    return example("library-duel")


def read_dxf(data):
    doc, auditor = ezdxf.recover.read(io.BytesIO(data))
    assert not auditor.has_errors
    assert not auditor.has_fixes
    assert doc.units == ezdxf.units.MM
    return doc


def test_a_hundred_millimeters_are_a_hundred_millimeters():
    """Read back with ezdxf and as XML; the outline is 100.00 mm, the hole where it was put."""
    features = (
        Feature("a", "hole", Circle(25.0, 40.0, 24.0), "show", None, "forstner"),
        Feature("b", "pilot", Circle(10.0, 10.0, 2.5), "back", 9.0, "brad"),
    )
    piece = board(100.0, 100.0, *features)
    cabinet = example("library-duel").cabinet
    labels = known_labels(cabinet)
    show, back = (
        part_sheet(cabinet, (piece,), face, MM, labels=labels, room=ROOM)
        for face in ("show", "back")
    )
    doc = read_dxf(write_dxf(show.bare))
    outline = doc.modelspace().query('LWPOLYLINE[layer=="CUT_THROUGH"]')[0]
    assert sorted(outline.get_points("xy")) == [
        pytest.approx(p) for p in ((0, 0), (0, 100), (100, 0), (100, 100))
    ]
    holes = doc.modelspace().query('CIRCLE[layer=="BORE_SHOW_THROUGH"]')
    assert [(c.dxf.center.x, c.dxf.center.y, c.dxf.radius) for c in holes] == [(25.0, 40.0, 12.0)]
    behind = read_dxf(write_dxf(back.bare)).modelspace().query('CIRCLE[layer=="BORE_BACK_9.00MM"]')
    assert [(c.dxf.center.x, c.dxf.center.y) for c in behind] == [(90.0, 10.0)]

    root = ET.fromstring(write_svg(show.bare))
    width = float(root.get("width").removesuffix("mm"))
    assert width == pytest.approx(float(root.get("viewBox").split()[2]))  # one unit is one mm
    (bored,) = [e for e in root.iterfind(".//{*}circle") if e.get("data-operation") == "bore"]
    (cut,) = [e for e in root.iterfind(".//{*}path") if e.get("data-operation") == "cut"]
    numbers = [float(n) for n in re.findall(r"-?\d+\.?\d*", cut.get("d"))]
    xs, ys = numbers[0::2], numbers[1::2]
    assert max(xs) - min(xs) == pytest.approx(100.0, abs=0.005)
    assert max(ys) - min(ys) == pytest.approx(100.0, abs=0.005)
    assert float(bored.get("cx")) - min(xs) == pytest.approx(25.0, abs=0.005)
    assert max(ys) - float(bored.get("cy")) == pytest.approx(40.0, abs=0.005)
    assert float(bored.get("r")) == pytest.approx(12.0, abs=0.005)


def test_every_bored_hole_of_the_cabinet_is_in_its_file(worked):
    cabinet = worked.cabinet
    sheets = sheets_of("library-duel")
    files = dxf_files(sheets)
    assert len(files) == len(sheets)
    for name, sheet in zip(file_names(sheets), sheets, strict=True):
        if not name.startswith(("deck", "right", "base")):
            continue
        piece = cabinet.piece_by_key[sheet.piece]
        low_u, low_v, high_u, _ = piece.extent
        wanted = sorted(
            (
                round(f.shape.u - low_u if sheet.face == "show" else high_u - f.shape.u, 2),
                round(f.shape.v - low_v, 2),
                round(f.shape.diameter, 2),
            )
            for f in piece.features
            if f.face == sheet.face and isinstance(f.shape, Circle)
        )
        bored = read_dxf(files[f"{name}.dxf"]).modelspace().query("CIRCLE")
        found = sorted(
            (round(c.dxf.center.x, 2), round(c.dxf.center.y, 2), round(2 * c.dxf.radius, 2))
            for c in bored
            if c.dxf.layer.startswith(f"BORE_{sheet.face.upper()}")
        )
        assert found == wanted, name


def test_svg_files_are_xml_with_the_same_names_as_the_dxf_files():
    svg = svg_files(sheets_of("library-duel"))
    dxf = dxf_files(sheets_of("library-duel"))
    assert "deck-show.svg" in svg
    assert "deck-overlay-show.svg" in svg
    assert [n.removesuffix(".svg") for n in svg] == [n.removesuffix(".dxf") for n in dxf]
    for data in svg.values():
        assert ET.fromstring(data).tag.endswith("svg")


def test_the_same_cabinet_gives_the_same_bytes(worked):
    again = part_drawings(worked.cabinet, worked.opened.style)
    assert svg_files(again) == svg_files(sheets_of("library-duel"))


@given(st.text(max_size=90))
def test_a_name_stays_in_its_folder(text):
    name = slug(text)
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", name)
    assert len(name) <= 70
    assert PurePosixPath(name).name == name
    assert name not in ("con", "nul", "aux", "prn", "com1", "lpt1")


def test_names_are_unique():
    sheets = sheets_of("library-duel")
    names = file_names([*sheets, *sheets])
    assert len(set(names)) == 2 * len(sheets)


def test_templates_are_true_size_and_say_which_face_is_up(worked):
    sheets = template_sheets(worked.cabinet)
    titles = {(sheet.title, sheet.face) for sheet in sheets}
    assert ("deck", SHOW_FACE_UP) in titles
    assert ("left side", BACK_FACE_UP) in titles
    assert not any("cleat" in title or "stop strip" in title for title, _ in titles)
    # Its own holes tell where the screws of a deck's back go, and the inner face shows a side's whole profile.
    assert ("deck", BACK_FACE_UP) not in titles
    assert ("left side", SHOW_FACE_UP) not in titles
    for sheet in sheets:
        assert sheet.drawing.scale == 1.0
        assert plan_template(sheet, PAPERS["A4"]).printed


def test_screw_holes_alone_are_not_worth_a_template_but_a_sunk_side_is(worked):
    cabinet = worked.cabinet
    sheets = {(s.piece, s.face): s for s in sheets_of("library-duel")}
    deck, left = sheets["deck", "back"], sheets["left", "show"]
    assert {row.kind for row in deck.hole_rows} <= {"pilot", "clearance", "countersink"}
    assert not worth_a_template(deck, cabinet)
    assert not worth_a_template(left, cabinet)
    pocket = Feature("p", "pocket", Circle(9.0, 9.0, 8.0), "show", 5.0, "straight")
    sunk = replace(left.hole_rows[0], feature=pocket)
    assert worth_a_template(replace(left, hole_rows=(sunk,)), cabinet)
    assert worth_a_template(replace(deck, hole_rows=(sunk,)), cabinet)
