"""Remedies become edits of the file."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.session.projects import DEMO, SMALL, small_in

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Finding, Remedy, Severity
from casewright.basics.units import Unit, parse_length
from casewright.planning.savings import OVER_BUDGET
from casewright.session import REMOVE, Session
from casewright.workflow import KeyPath, open_text, remedy_edits, written_length

INCHES = SMALL.replace("unit: mm", "unit: in").replace(
    "length: 1220, width: 610", "length: 96, width: 48"
)
for old, new in (
    ("12\n", "1/2\n"),
    ("11.8 ", "15/32 "),
    ("300 ", "12 "),
    ("28.6", "1 1/8"),
    ("33.3", "1 1/4"),
):
    INCHES = INCHES.replace(old, new)
INCHES = INCHES.replace("[200, 0], C: [200, 150], D: [0, 150]", "[8, 0], C: [8, 6], D: [0, 6]")
INCHES = INCHES.replace("u: 100, v: 60", "u: 4, v: 2 1/2 in")


def edits(field: str, value: float | str | None, text: str = SMALL) -> dict[KeyPath, Any]:
    opened = open_text(text)
    return remedy_edits(Remedy("Do it.", field, value), opened.document, opened)


@pytest.mark.parametrize(
    ("field", "value", "path", "written"),
    [
        ("parts.button.placed.0.v", 71.25, ("parts", "button", "placed", 0, "v"), 71.25),
        ("parts.button.placed.0.dv", -3.0, ("parts", "button", "placed", 0, "dv"), "-3 mm"),
        ("parts.button.measured.hole", 29.0, ("parts", "button", "measured", "hole"), 29),
        ("parts.button.measured.nut", 39.5, ("parts", "button", "measured", "nut"), "39.5 mm"),
        ("limits.budget", 90, ("limits",), {"budget": 90}),
        ("limits.mass_kg", 12.5, ("limits",), {"mass_kg": 12.5}),
        ("shape.width", 433.99999999999994, ("shape", "width"), 434),
        ("shape.corners.C.1", 151.0, ("shape", "corners", "C", 1), 151),
        ("panels.front.cleats.screw", "4.0 × 30", ("panels", "front", "cleats"), {"screw": "4.0 × 30"}),
        ("panels.front.cleats.counterbore", 5.5, ("panels", "front", "cleats"), {"counterbore": "5.5 mm"}),
        ("panels.lid.fixing", "screwed", ("panels", "lid"), {"fixing": "screwed"}),
        ("seams.top/front.rule", "miter", ("seams", 0, "rule"), "miter"),
        ("shop.tilt_most", 47.0, ("shop",), {"tilt_most": 47}),
    ],
)  # fmt: skip
def test_the_edit_of_a_remedy(field: str, value: float | str, path: KeyPath, written: Any) -> None:
    assert edits(field, value)[path] == written


def test_a_remedy_of_two_values_is_one_edit() -> None:
    """Both go into the same new group; in the file they stand side by side."""
    opened = open_text(SMALL)
    remedy = Remedy(
        "Do both.", "limits.budget", 90, also=(("limits.mass_kg", 12.5), ("shape.width", 434.0))
    )
    made = remedy_edits(remedy, opened.document, opened)
    assert made[("limits",)] == {"budget": 90, "mass_kg": 12.5}
    assert made[("shape", "width")] == 434
    assert len(made) == 2


def test_seams() -> None:
    both: KeyPath = ("seams", 0)
    assert edits("seams.front/top.over", "front") == {(*both, "over"): "front"}
    assert edits("seams.top/front.rule", "miter") == {
        (*both, "rule"): "miter",
        (*both, "over"): REMOVE,
    }
    new = {"between": ["base", "back"], "rule": "cover", "over": "back"}
    assert edits("seams.base/back.over", "back") == {("seams", 1): new}
    bare = SMALL.replace("seams:\n  - {between: [top, front], rule: cover, over: top}\n", "")
    assert edits("seams.base/back.over", "back", bare) == {("seams",): [new]}
    mitered = SMALL.replace("rule: cover, over: top", "rule: miter")
    assert edits("seams.top/front.over", "top", mitered) == {
        (*both, "rule"): "cover",
        (*both, "over"): "top",
    }
    gap = SMALL.replace("rule: cover", "rule: gap, gap: 2")
    assert edits("seams.top/front.over", "front", gap) == {(*both, "over"): "front"}
    assert edits("seams.top/front.gap", 3.0, gap) == {(*both, "gap"): 3}


def test_a_seam_and_a_board_are_one_edit() -> None:
    """Whichever of the two comes first; a seam that is not in the file is written out once."""
    opened = open_text(SMALL)
    rule, board = ("seams.top/front.rule", "miter"), ("panels.front.material", "board")
    for first, second in ((rule, board), (board, rule)):
        made = remedy_edits(Remedy("Do both.", *first, also=(second,)), opened.document, opened)
        assert made == {
            ("seams", 0, "rule"): "miter",
            ("seams", 0, "over"): REMOVE,
            ("panels", "front", "material"): "board",
        }
    also = (("seams.base/back.setback.back", 4.5), ("seams.base/back.tilt.back", 12.0))
    remedy = Remedy("End it there.", "seams.base/back.rule", "free", also=also)
    written = {
        "between": ["base", "back"],
        "rule": "free",
        "setback": {"back": "4.5 mm"},
        "tilt": {"back": 12},
    }
    assert remedy_edits(remedy, opened.document, opened) == {("seams", 1): written}
    free = SMALL.replace("rule: cover, over: top", "rule: free, setback: {top: 3}")
    assert edits("seams.top/front.setback.top", 5.25, free) == {
        ("seams", 0, "setback", "top"): 5.25
    }
    assert edits("seams.top/front.setback.front", 2.0, free) == {
        ("seams", 0, "setback", "front"): "2 mm"
    }


@pytest.mark.parametrize(
    ("field", "value", "written"),
    [
        ("parts.button.placed.0.u", 3.125 * 25.4, 3.125),  # a bare number stays one, in inches
        ("parts.button.placed.0.v", 17.0625 * 25.4, "17 1/16 in"),
        ("parts.button.placed.0.v", 434.0, "434 mm"),  # no whole 64th
        ("parts.button.placed.0.u", 434.0, "434 mm"),
        ("parts.button.placed.0.v", -0.75 * 25.4, "-3/4 in"),
    ],
)
def test_inches_are_exact_or_millimeters(field: str, value: float, written: Any) -> None:
    assert list(edits(field, value, INCHES).values()) == [written]


@given(
    length=st.floats(-5000, 5000),
    unit=st.sampled_from(["mm", "cm", "m", "in"]),
    like=st.sampled_from([None, 5, "5 mm"]),
)
def test_a_written_length_reads_back(length: float, unit: Unit, like: object) -> None:
    written = written_length(length, unit, like=like)
    assert abs(parse_length(written, unit=unit, least=None) - length) <= 0.5001e-4


@given(st.integers(-64 * 300, 64 * 300))
def test_64ths_are_written_as_such(steps: int) -> None:
    """1 in = 25.4 mm exactly: international yard and pound agreement, 1959."""
    length = float(Fraction(steps, 64) * Fraction(254, 10))
    written = written_length(length, "in")
    assert str(written).endswith(" in")
    assert parse_length(written, least=None) == pytest.approx(length, abs=1e-9)


@pytest.mark.parametrize(("field", "value"), [("", 5.0), ("shape.width", None), ("", None)])
def test_what_is_no_single_value_is_not_applied(
    tmp_path: Path, field: str, value: float | None
) -> None:
    session = Session.open(small_in(tmp_path))
    finding = Finding("some.rule", Severity.NOTE, "It is so.")
    assert session.edits_of(Remedy("Think.", field, value)) == {}
    with pytest.raises(InputErrors):
        session.apply(finding, Remedy("Think.", field, value))
    assert session.text == SMALL


def test_a_remedy_cures_its_finding(tmp_path: Path) -> None:
    session = Session.open(
        small_in(
            tmp_path,
            SMALL.replace("width: 610}", "width: 610, price: 36}") + "limits: {budget: 1}\n",
        )
    )
    assert session.worked is not None
    finding = next(f for f in session.worked.findings if f.rule == OVER_BUDGET.id)
    (remedy,) = finding.remedies
    changes = session.apply(finding, remedy)
    assert finding in changes.findings_gone
    assert session.undo_label.startswith("Save ")
    session.undo()
    assert finding in session.worked.findings


def test_each_remedy_of_the_demo_with_a_value_can_be_applied(tmp_path: Path) -> None:
    """Spoil the demo in several ways; whatever cure is offered can be carried out on the file."""
    text = DEMO.read_text(encoding="utf-8")
    spoiled = text.replace("u: 140.3, v: 140", "u: 72, v: 131").replace("budget: 560", "budget: 60")
    spoiled = spoiled.replace("chamfer: 8", "chamfer: 1").replace(
        "rule: cover, over: deck}", "rule: miter}"
    )
    path = tmp_path / "demo.cabinet.yaml"
    path.write_bytes(spoiled.encode())
    session = Session.open(path)
    assert session.worked is not None
    cures = [
        (f, r)
        for f in session.worked.findings
        for r in f.remedies
        if r.field and r.value is not None
    ]
    assert len({remedy.field for _, remedy in cures}) >= 3
    for finding, remedy in cures:
        session.apply(finding, remedy)
        assert session.errors is None
        session.undo()
    assert session.text == spoiled
