"""Layouts found with more time stand in the project, and so on every paper; they are held against the pieces anew."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from casewright.faces.cli.app import app
from casewright.outputs.exports.tables import layout_json
from casewright.planning.blanks import KEPT, plans_by_material
from casewright.planning.cutting import CutPlan
from casewright.session import Session
from casewright.session.keeping import PLACE, StoppableClock, keeping_edits, looked_longer
from casewright.session.making import StoppedError
from casewright.workflow import REMOVE, open_project, work_out

EXAMPLE = Path(__file__).parents[2] / "examples" / "mill-console.cabinet.yaml"
HURRIED = "cutting:\n  steps: 0  # hardly any search\n"
"""So little that a longer search finds a better layout of the half-inch plywood."""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "mill.cabinet.yaml"
    path.write_text(EXAMPLE.read_text(encoding="utf-8") + HURRIED, encoding="utf-8")
    return path


def plan_of(file: Path) -> CutPlan:
    return plans_by_material(work_out(open_project(file)).cutting)["ply12"].plan


def test_the_kept_layout_is_the_one_that_was_found_and_stands_on_the_papers(file: Path) -> None:
    before = plan_of(file)
    told = CliRunner().invoke(app, ["cut", str(file), "--steps", "50", "--keep", "--json"])
    assert told.exit_code == 0, told.output
    said = json.loads(told.stdout)
    assert said["kept"] == ["ply12"]
    text = file.read_text(encoding="utf-8")
    assert "steps: 0  # hardly any search" in text  # the maker's own words stay
    worked = work_out(open_project(file))
    plan = plans_by_material(worked.cutting)["ply12"].plan
    assert plan.kept == len(plan.sheets) == before.bought
    asked = next(one for one in said["materials"] if one["material"] == "ply12")
    offcut, was = plan.largest_offcut, before.largest_offcut
    assert offcut is not None and was is not None
    assert asked["largest_offcut_mm"] == pytest.approx([offcut.length, offcut.width])
    assert offcut.area > 1.02 * was.area or plan.fence_settings < before.fence_settings
    # What other programs are given is that layout, and the same each time.
    laid = [
        (p["part"], p["x_mm"], p["y_mm"])
        for s in json.loads(layout_json(worked.cutting, kerf=worked.opened.project.shop.kerf))[
            "sheets"
        ]
        if s["material"] == "ply12"
        for p in s["placements"]
    ]
    assert laid == [
        (p.blank, round(p.x, 3), round(p.y, 3)) for s in plan.sheets for p in s.placements
    ]
    assert plan_of(file) == plan


def test_once_pieces_change_a_note_says_so_and_they_are_laid_out_anew(file: Path) -> None:
    session = Session.open(file)
    try:
        assert session.worked is not None
        edits = keeping_edits(session.worked, looked_longer(session.worked, steps=50))
        assert set(edits) == {(*PLACE, "ply12")}
        session.edit(edits)
        assert not [f for f in session.worked.findings if f.rule == KEPT.id]
        session.edit({("shape", "width"): "33 in"})
        worked = session.worked
        assert [f for f in worked.findings if f.rule == KEPT.id]
        plan = plans_by_material(worked.cutting)["ply12"]
        assert plan.plan.kept == 0 and not plan.plan.unplaced
        lengths = {blank.key: blank.length for blank in plan.blanks}
        for sheet in plan.plan.sheets:
            for place in sheet.placements:
                assert max(place.length, place.width) == pytest.approx(
                    max(lengths[place.blank], min(place.length, place.width))
                )
        session.edit({PLACE: REMOVE})
        assert not [f for f in session.worked.findings if f.rule == KEPT.id]
    finally:
        session.close(discard=True)


def test_where_nothing_better_is_found_nothing_is_kept(file: Path) -> None:
    file.write_text(EXAMPLE.read_text(encoding="utf-8"), encoding="utf-8")
    before = file.read_bytes()
    told = CliRunner().invoke(app, ["cut", str(file), "--steps", "0", "--keep"])
    assert told.exit_code == 0 and "nothing is kept" in " ".join(told.output.split())
    assert file.read_bytes() == before


def test_how_long_to_look_has_to_be_said(file: Path) -> None:
    told = CliRunner().invoke(app, ["cut", str(file), "--keep", "--json"])
    assert told.exit_code != 0 and "--seconds" in told.output


def test_a_long_search_that_is_stopped_ends_with_what_it_has(file: Path) -> None:
    """An hour for each material by a clock that stands still: only the stop ends it. Every piece has its place."""
    worked = work_out(open_project(file))
    seen: list[str] = []
    looks = 0

    def standing() -> float:
        nonlocal looks
        looks += 1
        if looks == 20:
            clock.stop()
        return 0.0

    clock = StoppableClock(standing)
    found = looked_longer(worked, seconds=3600, clock=clock, tell=seen.append)
    assert clock.is_stopped and seen == [plan.label for plan in found.plans]
    for plan in found.plans:
        placed = [p for sheet in plan.plan.sheets for p in sheet.placements]
        assert len(placed) == sum(blank.quantity for blank in plan.blanks)
        assert not plan.plan.unplaced


def test_what_is_told_of_may_end_the_planning(file: Path) -> None:
    def no_more(label: str) -> None:
        raise StoppedError

    with pytest.raises(StoppedError):
        looked_longer(work_out(open_project(file)), steps=1, tell=no_more)
