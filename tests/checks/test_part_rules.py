"""Displays, and what is measured."""

from __future__ import annotations

import pytest
from tests.checks.bench import box, button, cures, found, merged

from casewright.basics.findings import Severity
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
