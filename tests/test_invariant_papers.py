"""What always holds for files, on random cabinets: projects load back, papers read back, layouts can be sawn."""

from __future__ import annotations

import csv
import io
import itertools
import json
import re
import xml.etree.ElementTree as ET
from typing import Any

import ezdxf
import pdfplumber
import pytest
import trimesh
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML
from tests.strategies import as_project, examples, project_data, written
from tests.wild import extreme_data, wild_data

from casewright.basics.errors import InputErrors
from casewright.geometry.solids import solid_of
from casewright.outputs.exports.tables import layout_json, pieces_csv
from casewright.workflow import (
    Worked,
    changed_document,
    make_papers,
    open_project,
    open_text,
    paper_named,
    save_text,
    work_out,
)

SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.function_scoped_fixture]
UNSHRUNK = [Phase.explicit, Phase.generate]
"""Making all papers takes a second or more; a failure is told as it was found."""
SHEETS = [{"length": "2440 mm", "width": "1220 mm"}]


def as_yaml(data: Any) -> str:
    """A project file as a maker would have it, with a comment after each of its sections."""
    file = io.StringIO()
    YAML().dump({**written(data, "mm"), "unit": "mm"}, file)
    lines, notes = [], itertools.count()
    for line in file.getvalue().splitlines():
        if re.match(r"[a-z]", line):
            lines.append(f"# note {next(notes)}")
        lines.append(line)
    return "\n".join(lines) + "\n"


def worked(data: Any) -> Worked | None:
    """Everything worked out, with sheets to cut from; None where the project is refused in words."""
    materials = {key: {**m, "sheets": SHEETS} for key, m in data["materials"].items()}
    try:
        return work_out(open_text(as_yaml({**data, "materials": materials})))
    except InputErrors as errors:
        assert all(error.spot is not None and error.spot.line > 0 for error in errors.errors)
        return None


# ---- project files ---------------------------------------------------------------------------------------------------


@settings(max_examples=examples(40), suppress_health_check=SLOW)
@given(data=project_data())
def test_a_saved_project_loads_back_equal_with_its_comments(tmp_path, data):
    text = as_yaml(data)
    opened = open_text(text)
    assert opened.project == as_project(data)
    changed = changed_document(opened.document, {("name",): "Another", ("notes",): "two\nlines"})
    path = tmp_path / "p.cabinet.yaml"
    save_text(path, changed.text)
    again = open_project(path)
    assert again.project == opened.project.model_copy(
        update={"name": "Another", "notes": "two\nlines"}
    )
    assert re.findall(r"# note \d+", changed.text) == re.findall(r"# note \d+", text)


@settings(max_examples=examples(40), suppress_health_check=SLOW)
@given(data=project_data(), draw=st.data())
def test_a_wrong_value_names_its_line(data, draw):
    """Any length of the file written as none: the error stands on that line and says what was found."""
    lines = as_yaml(data).splitlines()
    places = [i for i, line in enumerate(lines) if re.search(r"\w+: \S+ mm$", line)]
    at = draw.draw(st.sampled_from(places))
    lines[at] = re.sub(r": \S+ mm$", ": twelve", lines[at])
    with pytest.raises(InputErrors) as caught:
        open_text("\n".join(lines) + "\n")
    (error,) = [e for e in caught.value.errors if "twelve" in e.got]
    assert error.spot is not None
    assert error.spot.line == at + 1
    assert error.want
    assert error.example


# ---- cutting ---------------------------------------------------------------------------------------------------------


@settings(max_examples=examples(60), suppress_health_check=SLOW)
@given(data=project_data())
def test_every_blank_is_laid_once_inside_its_sheet_and_a_kerf_from_the_next(data):
    """Read from the files themselves, and checked with nothing but comparisons."""
    made = worked(data)
    if made is None:
        return
    layout = json.loads(layout_json(made.cutting, kerf=made.opened.project.shop.kerf))
    text = pieces_csv(made.cabinet, made.cutting, made.opened.write_length).decode("utf-8-sig")
    asked = {row["id"]: row for row in csv.DictReader(io.StringIO(text))}
    laid: dict[str, int] = {}
    for sheet in layout["sheets"]:
        rooms = []
        for place in sheet["placements"]:
            row = asked[place["part"]]
            laid[place["part"]] = laid.get(place["part"], 0) + 1
            size = [float(row["width_mm"]), float(row["height_mm"])]
            if place["rotated"]:
                assert row["grain"] == "none"
                size.reverse()
            assert [place["width_mm"], place["height_mm"]] == pytest.approx(size, abs=0.01)
            x, y = place["x_mm"], place["y_mm"]
            trim = sheet["trim_mm"]
            assert min(x, y) >= trim - 0.01
            assert x + size[0] <= sheet["width_mm"] - trim + 0.01
            assert y + size[1] <= sheet["height_mm"] - trim + 0.01
            rooms.append((x, y, x + size[0], y + size[1]))
        for a, b in itertools.combinations(rooms, 2):
            gap = max(b[0] - a[2], a[0] - b[2], b[1] - a[3], a[1] - b[3])
            assert gap >= layout["kerf_mm"] - 0.01
    unplaced = {left.key for plan in made.cutting.plans for left in plan.plan.unplaced}
    for key, row in asked.items():
        assert laid.get(key, 0) == (0 if key in unplaced else int(row["quantity"])), key
    pieces = made.cabinet.piece_by_key
    for key, row in asked.items():
        sizes = sorted((float(row["width_mm"]), float(row["height_mm"])))
        assert sizes == pytest.approx(sorted((pieces[key].width, pieces[key].height)), abs=0.001)


# ---- papers ----------------------------------------------------------------------------------------------------------


@settings(max_examples=examples(6), suppress_health_check=SLOW, phases=UNSHRUNK)
@given(data=project_data())
def test_papers_of_any_cabinet_read_back_as_the_model(data):
    made = worked(data)
    if made is None:
        return
    files = make_papers(made, paper=paper_named("A4"), step=False)
    agree(made, files)


@settings(max_examples=examples(5), suppress_health_check=SLOW, phases=UNSHRUNK)
@given(data=st.one_of(wild_data(), extreme_data()))
def test_papers_of_anything_the_file_allows_are_made(data):
    made = worked(data)
    if made is None:
        return
    files = make_papers(made, paper=paper_named("A4"), step=False)
    for name in ("bench-book.pdf", "templates-A4.pdf"):
        if name in files:
            with pdfplumber.open(io.BytesIO(files[name])) as book:
                assert book.pages
    assert {p["key"] for p in json.loads(files["cabinet.json"])["pieces"]} == set(
        made.cabinet.piece_by_key
    )


def agree(made: Worked, files: dict[str, bytes]) -> None:
    """JSON, DXF and glTF say the sizes that the model has (glTF 2.0, 3.4: meters); SVG counts in its own mm."""
    pieces = made.cabinet.piece_by_key
    for row in json.loads(files["cabinet.json"])["pieces"]:
        piece = pieces[row["key"]]
        assert row["blank"] == pytest.approx([piece.width, piece.height], abs=1e-3)
    found = 0
    for name, data in files.items():
        stem = name.removeprefix("drawings/").rpartition(".")[0].rpartition("-")[0]
        piece = pieces.get(stem)
        if piece is None or piece.kind not in ("panel", "side"):
            continue
        size = [piece.width, piece.height]  # the blank, before its edges are bevelled
        if name.endswith(".dxf"):
            document = ezdxf.read(io.StringIO(data.decode("utf-8")))
            assert document.units == ezdxf.units.MM
            cuts = [
                [max(c) - min(c) for c in zip(*shape.get_points("xy"), strict=True)]
                for shape in document.modelspace().query("LWPOLYLINE")
                if shape.closed
            ]
            assert any(cut == pytest.approx(size, abs=0.005) for cut in cuts), (name, size, cuts)
            found += 1
        elif name.endswith(".svg"):
            root = ET.fromstring(data)
            across = float(root.get("width", "").removesuffix("mm"))
            assert across == pytest.approx(float(root.get("viewBox", "").split()[2]))
            assert across > 0
            found += 1
    assert found >= 4
    scene = trimesh.load(io.BytesIO(files["cabinet.glb"]), file_type="glb")
    for node in scene.graph.nodes_geometry:
        if node in pieces:
            matrix, geometry = scene.graph[node]
            mesh = scene.geometry[geometry].copy()
            mesh.apply_transform(matrix)
            low, high = solid_of(pieces[node]).box
            extents = sorted((b - a) / 1000 for a, b in zip(low, high, strict=True))
            assert sorted(mesh.extents) == pytest.approx(extents, abs=1e-5)


def test_a_hundred_millimeters_are_a_hundred_in_every_file():
    """A side 100 deep and 100 high, in files read by other programs. A PDF point is 1/72 in (ISO 32000-1, 8.3.2.3)."""
    data = {
        "name": "hundred",
        "materials": {"board": {"kind": "mdf", "nominal": "10 mm", "sheets": SHEETS}},
        "shape": {
            "recipe": "outline",
            "width": "120 mm",
            "side": {"material": "board"},
            "board": "board",
            "corners": {"A": [0, 0], "B": [100, 0], "C": [100, 100], "D": [0, 100]},
        },
        "panels": {"base": {"run": "A-B", "role": "floor", "cleats": {"along": "none"}}},
        "features": [
            {"shape": "hole", "on": "base", "u": 50, "v": 50, "diameter": 30},
            {"shape": "hole", "on": "left", "u": 50, "v": 60, "diameter": 30},
        ],
    }
    made = worked(data)
    assert made is not None
    assert made.cabinet.piece_by_key["base"].width == pytest.approx(100)
    files = make_papers(made, paper=paper_named("A4"), step=False)
    agree(made, files)
    document = ezdxf.read(io.StringIO(files["drawings/base-show.dxf"].decode("utf-8")))
    (hole,) = document.modelspace().query('CIRCLE[layer=="BORE_SHOW_THROUGH"]')
    assert 2 * hole.dxf.radius == pytest.approx(30.0, abs=0.005)
    with pdfplumber.open(io.BytesIO(files["templates-A4.pdf"])) as book:
        squares = [
            shape
            for page in book.pages
            for shape in (*page.rects, *page.curves, *page.lines)
            if (shape["width"] * 25.4 / 72, shape["height"] * 25.4 / 72)
            == (pytest.approx(100.0, abs=0.02), pytest.approx(100.0, abs=0.02))
        ]
    assert squares
