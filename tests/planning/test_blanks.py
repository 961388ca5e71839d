"""What a whole cabinet's cutting tells the maker."""

from __future__ import annotations

import pytest

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Finding, worded
from casewright.planning.blanks import plan_cutting
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
