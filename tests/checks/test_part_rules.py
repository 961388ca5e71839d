"""Displays, and what is measured."""

from __future__ import annotations

import pytest
from tests.checks.bench import applied, box, button, cures, found, merged, subject_of

from casewright.basics.findings import Severity
from casewright.checks import run_checks
from casewright.checks.rules import (
    display_lap,
    display_measured,
    display_wakes,
    mains_inside,
    part_measured,
    sheet_measured,
)

DISPLAY = {
    "kind": "display",
    "measured": {
        "lit_width": 300,
        "lit_height": 170,
        "housing_width": 320,
        "housing_height": 190,
        "housing_depth": 30,
        "bezel_left": 10,
        "bezel_bottom": 10,
        "mass_kg": 2,
    },
    "placed": [{"key": "display", "on": "deck"}],
}


def shown(placed=None, **measured):
    data = merged(DISPLAY, {"measured": measured})
    if placed:
        data["placed"] = [{"key": "display", "on": "deck", **placed}]
    return box(parts={"screen": data})


@pytest.mark.parametrize(("bezel", "count"), [(4, 0), (3, 0), (2.5, 1)])
def test_housing_laps_the_panel(bezel, count):
    """Common practice: 3 mm. One bezel of 2.5 suffices."""
    data = shown(bezel_left=bezel)
    findings = found(display_lap, data)
    assert [f.severity for f in findings] == [Severity.STOP] * count
    if count:
        assert findings[0].remedies[0].value == pytest.approx(299)
        cures(display_lap, data)


def test_a_housing_that_laps_too_little_both_ways_is_cured_at_once():
    """2 on the left ask 2 less of 300; 190 less 170 less 18.5 leave 1.5 above, which ask 3 less of 170."""
    data = shown(bezel_left=2, bezel_bottom=18.5)
    (remedy,) = found(display_lap, data)[0].remedies
    assert [remedy.value, *(value for _, value in remedy.also)] == pytest.approx([298, 167])
    cures(display_lap, data)


def leaning_screen(overlay):
    """The main demo's side profile; an overlay pushes the display back toward the cabinet's back."""
    sizes = {"lit_width": 527, "lit_height": 296.5, "housing_width": 541, "housing_height": 323}
    sizes |= {"housing_depth": 45, "bezel_left": 7, "bezel_bottom": 20}
    placed = [{"key": "display", "on": "screen"}]
    parts = {"screen": merged(DISPLAY, {"measured": sizes, "placed": placed})}
    data = box(parts=parts, materials={"over": {"kind": "plywood", "nominal": overlay}})
    corners = (
        (0, 0),
        (430, 0),
        (430, 572),
        (298, 572),
        (272, 480),
        (362, 452),
        (250, 132),
        (0, 95),
    )
    names = "ABCDEFGH"
    data["shape"] |= {"width": 700, "corners": dict(zip(names, map(list, corners), strict=True))}
    data["panels"] = {
        "back": {"run": "B-C", "role": "back", "fixing": "screwed"},
        "top": {"run": "C-D", "role": "top"},
        "face": {"run": "D-E", "role": "header face"},
        "under": {"run": "E-F", "role": "header underside"},
        "screen": {"run": "F-G", "role": "screen", "layers": [{"key": "o", "material": "over"}]},
        "deck": {"run": "G-H", "role": "deck"},
    }
    data["seams"] = []
    return data


@pytest.mark.parametrize(
    ("overlay", "field"), [(4, "parts.screen.placed.0.v"), (6, "shape.corners.B.0")]
)
def test_a_display_is_not_moved_off_its_panel_to_end_a_collision(overlay, field):
    """With 4 it may come down; with 6 it would come down onto the deck's end, so the cabinet has to be deeper."""
    data = leaning_screen(overlay)
    stops = [f for f in run_checks(subject_of(data, collide=True)) if f.severity is Severity.STOP]
    assert [f.rule for f in stops] == ["collision.solid"]
    remedies = [r for r in stops[0].remedies if r.field]
    assert [remedy.field for remedy in remedies] == [field]
    for remedy in remedies:
        after = run_checks(subject_of(applied(data, remedy), collide=True))
        assert [f for f in after if f.severity is Severity.STOP] == []


def test_an_opening_past_the_housing_is_told_once():
    """display.past-housing tells it, in geometry."""
    assert found(display_lap, shown({"opening": {"width": 330}})) == []


@pytest.mark.parametrize(
    ("wakes", "severity"), [(True, None), (None, Severity.NOTE), (False, Severity.CAUTION)]
)
def test_waking(wakes, severity):
    findings = found(display_wakes, shown(**({} if wakes is None else {"wakes_by_itself": wakes})))
    assert [f.severity for f in findings] == ([severity] if severity else [])
    if wakes is None:
        assert findings[0].missing == "parts.screen.measured.wakes_by_itself"


def test_a_display_measured_all_over():
    assert found(display_measured, shown()) == []


def test_a_display_with_one_size_assumed():
    data = shown()
    screen = data["parts"]["screen"]
    screen["assumed"] = {"bezel_bottom": screen["measured"].pop("bezel_bottom")}
    (finding,) = found(display_measured, data)
    assert finding.missing == "parts.screen.measured.bezel_bottom"


def test_a_display_that_is_not_placed_is_not_asked_for():
    data = shown()
    data["parts"]["screen"]["assumed"] = {"lit_width": 300}
    del data["parts"]["screen"]["measured"]["lit_width"]
    data["parts"]["screen"]["placed"] = []
    assert found(display_measured, data) == []


def test_sheet_by_its_name():
    assert found(sheet_measured, box()) == []
    (finding,) = found(sheet_measured, box(materials={"ply": {"measured": None}}))
    assert finding.missing == "materials.ply.measured"


def test_sheet_that_nothing_is_cut_from():
    assert found(sheet_measured, box(materials={"mdf": {"kind": "mdf", "nominal": 6}})) == []


def test_part_with_a_hole_not_measured():
    assert found(part_measured, box(parts={"b": button((200, 150))})) == []
    data = box(parts={"b": button((200, 150))})
    data["parts"]["b"]["assumed"] = {"hole": data["parts"]["b"]["measured"].pop("hole")}
    (finding,) = found(part_measured, data)
    assert finding.severity is Severity.NOTE
    assert finding.missing == "parts.b.measured.hole"


def supply(**measured):
    data = {"kind": "device", "measured": {"width": 90, "height": 50, "depth": 30, **measured}}
    return box(
        parts={"s": {**data, "placed": [{"key": "supply", "on": "base", "u": 200, "v": 150}]}}
    )


def test_mains_inside_is_a_caution_and_outside_is_not():
    assert [f.severity for f in found(mains_inside, supply(mains=True))] == [Severity.CAUTION]
    assert found(mains_inside, supply(mains=True, outside=True)) == []


@pytest.mark.parametrize(("volts", "count"), [(12, 1), (60, 1), (61, 0)])
def test_extra_low_voltage_is_a_note(volts, count):
    """From memory: IEC 61140, up to 60 V of direct current in dry places."""
    findings = found(mains_inside, supply(volts=volts))
    assert [f.severity for f in findings] == [Severity.NOTE] * count
