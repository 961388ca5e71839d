"""The whole set of papers: everything that is written reads back and agrees with the model."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from datetime import date
from pathlib import Path

import ezdxf
import icalendar
import jsonschema
import pytest
import trimesh
from tests.outputs.drawings.sheets_bench import example
from tests.outputs.pages import MM, read_pages

from casewright.geometry.solids import solid_of
from casewright.workflow import (
    Worked,
    day_named,
    make_papers,
    open_project,
    open_text,
    paper_named,
    schema_of_results,
    starter_text,
    work_out,
)

ROOT = Path(__file__).resolve().parents[1]
CHECKER = ROOT.parent / "shared" / "tools" / "check_layout.py"
START = "2027-03-05"
HOSTILE = """=1+1 <b>x</b> #set $y$ *z* "q" 'r' %%c \\\\P ${jndi} <script>alert(1)</script>"""


@pytest.fixture(scope="module")
def lap():
    worked = example("lap-controller")
    return worked, papers_of(worked, step=True)


def papers_of(worked: Worked, *, step: bool) -> dict[str, bytes]:
    return make_papers(worked, paper=paper_named("Letter"), step=step, start=day_named(START))


def test_every_promised_file_is_there(lap):
    _, files = lap
    assert {
        "bench-book.pdf",
        "bench-drawings.pdf",
        "service-sheet.pdf",
        "templates-Letter.pdf",
        "cabinet.json",
        "cutting.json",
        "parts.csv",
        "battens.csv",
        "shopping.csv",
        "steps.csv",
        "cabinet.glb",
        "calendar.ics",
    } <= set(files)
    assert any(name.startswith("drawings/") and name.endswith(".svg") for name in files)
    assert any(name.startswith("drawings/") and name.endswith(".dxf") for name in files)
    assert "cabinet.step" in files


def test_the_same_input_gives_the_same_bytes(lap):
    """The second time from the file on, with nothing that the first has left."""
    _, files = lap
    worked = work_out(open_project(ROOT / "examples" / "lap-controller.cabinet.yaml"))
    again = papers_of(worked, step=False)
    assert set(files) - set(again) == {"cabinet.step"}
    for name, data in again.items():
        assert data == files[name], name


def test_results_follow_their_schema_and_agree_with_the_model(lap):
    worked, files = lap
    data = json.loads(files["cabinet.json"])
    jsonschema.validate(data, schema_of_results())
    assert {p["key"] for p in data["pieces"]} == set(worked.cabinet.piece_by_key)
    for piece in data["pieces"]:
        model = worked.cabinet.piece_by_key[piece["key"]]
        assert piece["blank"] == pytest.approx([model.width, model.height], abs=1e-3)
        assert len(piece["features"]) == len(model.features)


def test_the_steps_read_back_as_planned(lap):
    """In both files: as many, in the same order, each after what it needs, at its minutes."""
    worked, files = lap
    steps = worked.work.steps
    data = json.loads(files["cabinet.json"])["work"]
    assert [one["key"] for one in data["steps"]] == [step.key for step in steps]
    rows = list(csv.DictReader(io.StringIO(files["steps.csv"].decode("utf-8-sig"))))
    assert [row["key"] for row in rows] == [step.key for step in steps]
    for row, step in zip(rows, steps, strict=True):
        assert float(row["minutes"]) == pytest.approx(step.minutes, abs=0.05)
        assert all(int(number) < int(row["step"]) for number in row["after_steps"].split())
        assert "⟦" not in "".join(row.values())


def test_the_calendar_begins_on_the_day_that_was_asked_for(lap):
    _, files = lap
    events = icalendar.Calendar.from_ical(files["calendar.ics"]).walk("VEVENT")
    assert events[0]["DTSTART"].dt.date() == date.fromisoformat(START)


def test_solids_read_back_with_the_models_volumes(lap):
    """Read by trimesh, which knows nothing of the model."""
    worked, files = lap
    scene = trimesh.load(io.BytesIO(files["cabinet.glb"]), file_type="glb")
    volumes = {}
    for node in scene.graph.nodes_geometry:
        matrix, geometry = scene.graph[node]
        mesh = scene.geometry[geometry].copy()
        mesh.apply_transform(matrix)
        mesh.merge_vertices(merge_norm=True, merge_tex=True)
        volumes[node] = abs(mesh.volume) * 1e9
    for piece in worked.cabinet.pieces:
        solid = solid_of(piece)
        found = [v for name, v in volumes.items() if name in (piece.key, piece.label)]
        assert any(v == pytest.approx(solid.volume, rel=1e-3) for v in found), piece.key


def test_every_dxf_is_clean_and_in_millimeters(lap):
    _, files = lap
    for name, data in files.items():
        if name.endswith(".dxf"):
            document = ezdxf.read(io.StringIO(data.decode("utf-8")))
            assert not document.audit().has_errors, name
            assert document.units == ezdxf.units.MM, name


def test_pages_have_the_papers_size(lap):
    """ANSI/ASME Y14.1 size A: 8.5 × 11 in, 612 × 792 points."""
    _, files = lap
    for name in (
        "bench-book.pdf",
        "bench-drawings.pdf",
        "service-sheet.pdf",
        "templates-Letter.pdf",
    ):
        sizes = {
            tuple(sorted((round(page.width / MM, 1), round(page.height / MM, 1))))
            for page in read_pages(files[name]).pages
        }
        assert sizes == {(612.0, 792.0)}, name


@pytest.mark.parametrize(
    "name", ["library-duel", "mill-console", "lap-controller", "speaker-case", "kiosk"]
)
def test_layouts_pass_the_independent_checker(tmp_path, name):
    if not CHECKER.exists():
        pytest.skip("the independent layout checker is not beside the repository")
    from casewright.outputs.exports.tables import layout_json, pieces_csv

    worked = example(name)
    kerf = worked.opened.project.shop.kerf
    (tmp_path / "cutting.json").write_bytes(layout_json(worked.cutting, kerf=kerf))
    parts = pieces_csv(worked.cabinet, worked.cutting, worked.opened.write_length)
    (tmp_path / "parts.csv").write_bytes(parts)
    done = subprocess.run(
        [sys.executable, CHECKER, tmp_path / "cutting.json", tmp_path / "parts.csv"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_hostile_names_reach_every_output_as_plain_text():
    """CSV injection as in OWASP's page of that name; markup of HTML, typst, DXF."""
    text = starter_text("box", name="Case")
    named = text.replace("name: Case", f"name: {json.dumps(HOSTILE[:78])}", 1)
    assert named != text
    worked = work_out(open_text(named))
    files = make_papers(worked, paper=paper_named("A4"), step=False)
    for data in (
        files["parts.csv"],
        files["shopping.csv"],
        files["battens.csv"],
        files["steps.csv"],
    ):
        for row in csv.reader(io.StringIO(data.decode("utf-8-sig"))):
            assert not any(cell[:1] in "=@" for cell in row if cell)
    for name, data in files.items():
        if name.endswith(".svg"):
            assert b"<script" not in data
        assert ".." not in name
    assert "=1+1 <b>x</b>" in read_pages(files["bench-book.pdf"]).texts[0].replace("\n", " ")


def test_step_names_every_piece(lap):
    worked, files = lap
    text = files["cabinet.step"].decode("utf-8", "replace")
    for piece in worked.cabinet.pieces:
        assert f"'{piece.key}'" in text or f"'{piece.label}'" in text, piece.key
