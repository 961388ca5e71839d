"""What a whole cabinet's cutting tells the maker."""

from __future__ import annotations

import pytest

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Finding, worded
from casewright.catalog.load import load_catalog
from casewright.planning.blanks import plan_cutting
from casewright.projectfile.editing import changed_text
from casewright.workflow import open_text, work_out

CASE = """
casewright: 1
name: Grain
shop: {kerf: 3.2, edge_trim: 0}
materials:
  oak: {kind: plywood, nominal: 18, measured: 18, grain: length, sheets: [{length: 1220, width: 610, price: 40}]}
shape:
  recipe: outline
  width: 500
  side: {material: oak}
  board: oak
  corners: {A: [0, 0], B: [400, 0], C: [400, 600], D: [0, 600]}
boards:
  divider: {material: oak, plane: side, at: [240, 0, 0], size: [400, 600], grain: second}
"""


def told(text: str, rule: str) -> list[Finding]:
    return [f for f in work_out(open_text(text)).findings if f.rule == rule]


def test_grain_matched_sides_take_two_boards_and_turning_would_save_one():
    """Worked by hand: 2 × 600 + 3.2 = 1203.2 of 1220, the third does not fit; turned 3 × 400 + 6.4 = 1206.4."""
    worked = work_out(open_text(CASE))
    (plan,) = worked.cutting.plans
    assert len(plan.plan.sheets) == 2
    (finding,) = told(CASE, "cutting.grain-costs-a-sheet")
    assert "buys 2 sheets; turned, 1 would do" in finding.message
    assert (
        told(
            CASE.replace("grain: length", "grain: none").replace(", grain: second", ""),
            finding.rule,
        )
        == []
    )


def test_a_piece_larger_than_its_sheet_is_a_stop_that_points_at_it():
    """1220 is the longest side; a board of 1900 × 300 does not fit. Plain arithmetic."""
    large = CASE.replace("size: [400, 600], grain: second", "size: [300, 1900], grain: second")
    (finding,) = told(large, "cutting.no-room")
    assert finding.severity.value == "stop"
    assert finding.place.names == ("divider",)
    assert finding.place.point is not None
    assert "1220" in " ".join(
        worded(r.text, lambda x: f"{x:g}") for r in finding.remedies
    ) + worded(finding.message, lambda x: f"{x:g}")


DEEP = (
    CASE.replace("width: 500", "width: 1500")
    .replace("kind: plywood", "kind: plywood, species: plywood-birch")
    .replace(
        "shape:\n",
        "panels: {base: {run: A-B, role: floor}, back: {run: B-C, role: back}, top: {run: C-D, role: top}}\nshape:\n",
    )
)


def with_values(text: str, finding: Finding, number: int = 0) -> str:
    """The project with the values of one remedy that has any."""
    opened = open_text(text)
    remedy = [r for r in finding.remedies if r.field][number]
    values = {
        tuple(int(step) if step.isdigit() else step for step in field.split(".")): value
        for field, value in ((remedy.field, remedy.value), *remedy.also)
    }
    return changed_text(opened.document, values)


def test_pieces_that_one_sheet_is_too_small_for_are_told_once_with_the_sheet_that_cures_all():
    """Three panels of 1500 − 2 × 18 = 1464 from boards of 1220 × 610. Birch plywood is sold as 1525 × 1525 and larger;
    the smallest of its usual sheets that takes 1464 along its grain is asked for, in both its sizes."""
    (finding,) = told(DEEP, "cutting.no-room")
    assert set(finding.place.names) == {"base", "back", "top"}
    assert finding.message.count("1464") == 3
    remedy = finding.remedies[0]
    assert (remedy.field, [f for f, _ in remedy.also]) == (
        "materials.oak.sheets.0.length",
        ["materials.oak.sheets.0.width"],
    )
    sold = [s for s in load_catalog().species["plywood-birch"].sheets if s.length >= 1464]
    least = min(sold, key=lambda s: s.length * s.width)
    assert (remedy.value, remedy.also[0][1]) == (least.length, least.width)
    assert "price" in remedy.text
    assert told(with_values(DEEP, finding), "cutting.no-room") == []


def test_the_sheets_of_pieces_that_are_cut_already_stay_as_they_are():
    (finding,) = told(DEEP + "as_built: {left: {state: cut, sheet: sheet 1}}\n", "cutting.no-room")
    assert not any(r.field for r in finding.remedies)


def test_a_panel_that_fits_with_its_grain_up_is_turned_by_a_value():
    """A top of 964 × 400 from boards 610 long and 1220 wide: along the grain no, across it yes."""
    across = DEEP.replace("width: 1500", "width: 1000").replace(
        "length: 1220, width: 610", "length: 610, width: 1220"
    )
    (finding,) = told(across, "cutting.no-room")
    assert set(finding.place.names) == {"base", "back", "top"}
    turned = next(r for r in finding.remedies if r.text.startswith("Turn"))
    assert {turned.field, *(f for f, _ in turned.also)} == {
        f"panels.{key}.grain" for key in ("base", "back", "top")
    }
    number = [r for r in finding.remedies if r.field].index(turned)
    assert told(with_values(across, finding, number), "cutting.no-room") == []


def test_a_material_without_sheets_is_asked_for():
    bare = CASE.replace(", sheets: [{length: 1220, width: 610, price: 40}]", "")
    (finding,) = told(bare, "cutting.no-sheet-size")
    assert finding.missing == "materials.oak.sheets"


def test_the_plan_is_remembered_by_value():
    cabinet = work_out(open_text(CASE)).cabinet
    assert plan_cutting(cabinet).plans[0].plan is plan_cutting(cabinet).plans[0].plan


STRIP = CASE.replace(
    "boards:",
    "cutting: {stages: 3, steps: 20, together: {left: pair, right: pair}}\nboards:",
)


def test_a_strip_wished_in_the_project_is_kept_or_said_to_be_too_long():
    """2 × 600 + 3.2 = 1203.2 goes on a board of 1220, not on one of 1200."""
    plan = work_out(open_text(STRIP)).cutting.plans[0].plan
    starts = sorted(
        p.x
        for sheet in plan.sheets
        if {"left", "right"} <= {q.blank for q in sheet.placements}
        for p in sheet.placements
        if p.blank != "divider"
    )
    assert starts[1] - starts[0] == pytest.approx(603.2)
    assert plan.stages <= 3
    (finding,) = told(STRIP.replace("length: 1220", "length: 1200"), "cutting.strip-too-long")
    assert set(finding.place.names) == {"left", "right"}


@pytest.mark.parametrize(
    ("wish", "field"),
    [
        ("together: {nowhere: pair}", "cutting.together.nowhere"),
        ("stages: 1", "cutting.stages"),
        ("first: speed", "cutting.first"),
        ("steps: -1", "cutting.steps"),
    ],
)
def test_a_wish_that_cannot_be_is_told_with_its_line(wish, field):
    with pytest.raises(InputErrors) as wrong:
        work_out(open_text(CASE + f"cutting: {{{wish}}}\n"))
    assert [error.field for error in wrong.value.errors] == [field]
    assert wrong.value.errors[0].spot.line == len(CASE.splitlines()) + 1
