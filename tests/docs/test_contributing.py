"""The worked examples of CONTRIBUTING.md, run as they stand there."""

from __future__ import annotations

import csv
import importlib
import io
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from shapely import Polygon
from tests.checks.bench import CATALOG, box, subject_of
from tests.docs.running import blocks

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.sources import is_source
from casewright.basics.units import TOUCHING
from casewright.catalog.load import load_catalog
from casewright.checks import Subject
from casewright.design.known import know_parts
from casewright.design.panels import Panel, Seam
from casewright.design.parts import KnownPart
from casewright.design.project import Project
from casewright.design.shape import AnyShape
from casewright.geometry.build import build_cabinet
from casewright.geometry.model import Cabinet, SolvedShape
from casewright.geometry.recipes.assembly import assemble, merged_panels
from casewright.geometry.recipes.ledger import Ledger
from casewright.geometry.recipes.widths import solve_width
from casewright.outputs.exports.tables import table_csv
from casewright.workflow import read_catalogs, screw_sizes

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = {
    block.text.partition("\n")[0].removeprefix("# "): block.text
    for block in blocks((ROOT / "CONTRIBUTING.md").read_text(encoding="utf-8"))
}
GIVEN: dict[str, Any] = {
    one.__name__: one
    for one in (
        AnyShape,
        Cabinet,
        Callable,
        Finding,
        Iterator,
        KnownPart,
        Ledger,
        Mapping,
        Panel,
        Project,
        Remedy,
        Rule,
        Seam,
        Severity,
        SolvedShape,
        Subject,
        assemble,
        merged_panels,
        mm,
        solve_width,
        table_csv,
    )
} | {"TOUCHING": TOUCHING}
"""What the examples import; they leave it out."""


def example(name: str) -> dict[str, Any]:
    """The names that an example makes."""
    made = dict(GIVEN)
    exec(compile(EXAMPLES[name], name, "exec"), made)
    return made


def test_there_are_four_examples_of_about_ten_lines():
    assert list(EXAMPLES) == [
        "my.toml",
        "checks/rules/width_bench.py",
        "geometry/recipes/tray.py",
        "outputs/exports/centres.py",
    ]
    lines = [
        len([line for line in text.splitlines() if line.strip()]) for text in EXAMPLES.values()
    ]
    assert max(lines) <= 17


def test_the_folders_they_name_are_there():
    for name in EXAMPLES:
        assert (ROOT / "src/casewright" / name).parent.is_dir()


def test_a_part_type(tmp_path):
    (tmp_path / "my.toml").write_text(EXAMPLES["my.toml"], encoding="utf-8")
    catalog = read_catalogs([tmp_path / "my.toml"])
    entry = catalog.types["palm-button-45"]
    assert entry.data.hole == 45
    assert entry.data.grip_most == load_catalog().types["button-30-screw"].data.grip_most
    assert is_source(entry.source("hole"))
    placed = [{"key": "palm", "on": "deck", "u": 200, "v": 100}]
    data = box(parts={"palm": {"type": "palm-button-45", "placed": placed}})
    project = Project.model_validate(data)
    cabinet = build_cabinet(project, know_parts(project, catalog), screw_sizes(catalog, "mm"))
    holes = [f for f in cabinet.piece_by_key["deck"].features if f.key.startswith("palm")]
    assert [f.shape.diameter for f in holes] == [45]


@pytest.mark.parametrize(("width", "over"), [(500, None), (600, None), (640, 40.0)])
def test_a_rule(width, over):
    """Passes, exactly on the limit, found: by 640 - 600."""
    made = example("checks/rules/width_bench.py")
    found = list(made["find"](subject_of(box(shape={"width": width}))))
    if over is None:
        assert found == []
        return
    (one,) = found
    assert one.rule == "width.bench"
    assert mm(over) in one.message
    assert mm(over) in one.remedies[0].text


def test_a_recipe(monkeypatch):
    """Built in place of the box's own; the tray's side is a trapezoid 300 deep, 80 and 40 high."""
    made = example("geometry/recipes/tray.py")
    build = importlib.import_module("casewright.geometry.build")

    def solved(project: Project, parts: Mapping[str, KnownPart]) -> SolvedShape:
        shape: SolvedShape = made["solve_tray"](project, parts, project.shape)
        return shape

    monkeypatch.setattr(build, "solve_shape", solved)
    shape = {"recipe": "box", "width": 500, "side": {"material": "ply"}, "board": "ply"}
    data = {**box(), "shape": shape, "panels": {"back": {"label": "tray's back"}}, "seams": []}
    project = Project.model_validate(data)
    cabinet = build_cabinet(project, know_parts(project, CATALOG), screw_sizes(CATALOG, "mm"))
    assert cabinet.shape.width == 500
    panels = {piece.key: piece for piece in cabinet.pieces if piece.kind == "panel"}
    assert panels.keys() == {"base", "back", "front"}
    assert panels["back"].label == "tray's back"
    side = Polygon(cabinet.piece_by_key["left"].show)
    assert side.area == pytest.approx((80 + 40) / 2 * 300, rel=1e-9)  # a trapezoid's


def test_an_output():
    made = example("outputs/exports/centres.py")
    placed = [{"key": "palm", "on": "deck", "u": 200, "v": 100}]
    cabinet = subject_of(box(parts={"b": {"type": "button-30-screw", "placed": placed}})).cabinet
    data = made["centres_csv"](cabinet, lambda length: f"{length:.1f}")
    rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"))))
    assert rows[0] == ["id", "part", "right", "up"]
    assert [(row[0], *row[2:]) for row in rows[1:]] == [("palm", "200.0", "100.0")]
