"""Which of several parts of one name a finding is about can be read in its own words."""

from __future__ import annotations

import re

import pytest
from tests.checks.bench import BUTTON, box, merged, subject_of

from casewright.basics.findings import some, worded
from casewright.checks import run_checks


def row(*spots: tuple[float, float, str]) -> dict:
    placed = [{"key": key, "on": "deck", "u": u, "v": v} for u, v, key in spots]
    return {"b": merged(BUTTON, {"placed": placed, "label": "push button"})}


def messages(rule: str, **sections) -> list:
    return [
        f for f in run_checks(subject_of(box(**sections), collide=True)) if f.rule.startswith(rule)
    ]


def test_two_of_a_row_of_three_are_named():
    """Buttons with rims of 33.3 at 100, 135 and 400: the first two are 1.7 apart, and it is they that are named."""
    (finding,) = messages(
        "control.spacing", parts=row((100, 110, "left1"), (135, 110, "mid1"), (400, 110, "far1"))
    )
    said = re.findall("“(.*?)”", finding.message)
    assert sorted(said) == ["left1", "mid1"]
    assert finding.message.startswith("push button “left1” and “mid1” stand")
    for remedy in finding.remedies:
        if not remedy.field:
            continue
        place = int(remedy.field.split(".")[3])
        assert f"“{('left1', 'mid1', 'far1')[place]}”" in remedy.text
    # In the order of the names that pictures point at.
    assert said == [name for name in finding.place.names if name in said]


def test_a_part_of_a_name_of_its_own_is_called_by_that_alone():
    parts = row((100, 110, "one"))
    (finding,) = messages("control.palm", parts=merged(parts, {})) or [None]
    assert finding is None or "“" not in finding.message
    two = row((100, 110, "a1"), (133, 110, "a2"))
    two["b"]["placed"][0]["label"] = "start"
    two["b"]["placed"][1]["label"] = "stop"
    for finding in messages("control.spacing", parts=two):
        assert "“" not in finding.message


@pytest.mark.parametrize(
    ("length", "shown"), [(0.02, "0.1 mm"), (-0.02, "-0.1 mm"), (5.04, "5.0 mm")]
)
def test_what_is_there_is_not_written_as_nothing(length, shown):
    assert worded(some(length), lambda x: f"{x:.1f} mm") == shown


def test_an_overlap_too_small_to_show_is_told_as_the_least():
    """A board 0.03 into the front: 0.0 mm would say that all is well."""
    board = {"material": "ply", "plane": "level", "at": [100, 11.97, 90], "size": [80, 60]}
    found = messages("collision.solid", boards={"shelf": board})
    (finding,) = [f for f in found if "shelf" in f.place.names]
    assert "overlap by 0.1 mm" in worded(finding.message, lambda x: f"{x:.1f} mm")
