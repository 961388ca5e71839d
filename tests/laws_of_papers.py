"""What always holds of files: what each says is what the model has. For any project's data."""

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
from ruamel.yaml import YAML
from tests.strategies import written

from casewright.basics.errors import InputErrors
from casewright.geometry.solids import solid_of
from casewright.outputs.exports.tables import layout_json, pieces_csv
from casewright.workflow import Worked, open_text, work_out

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


def every_blank_is_laid_once_inside_its_sheet_and_a_kerf_from_the_next(made: Worked) -> None:
    """Read from the files themselves, and checked with nothing but comparisons."""
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


def papers_are_whole(made: Worked, files: dict[str, bytes]) -> None:
    """What there is of PDF has pages, and every piece is told of."""
    for name in ("bench-book.pdf", "templates-A4.pdf"):
        if name in files:
            with pdfplumber.open(io.BytesIO(files[name])) as book:
                assert book.pages
    assert {p["key"] for p in json.loads(files["cabinet.json"])["pieces"]} == set(
        made.cabinet.piece_by_key
    )
