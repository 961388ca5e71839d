"""What a remedy shows on paper passes, though it is rounded: projects in tenths and in 32nds of an inch."""

from __future__ import annotations

import pytest
from tests.checks.bench import BUTTON, applied, box, button, hole, merged, subject_of

from casewright.basics.units import shown_length
from casewright.checks import run_checks
from casewright.design.writing import length_style

CASES = {
    "palm too far": ("control.palm-room", {"parts": {"b": button((300, 190.0371))}}),
    "web at an edge": ("feature.web", {"features": [hole(300, 20.0437)]}),
    "past the edge": ("feature.outside", {"features": [hole(8.0437, 150)]}),
    "two too near": ("control.spacing", {"parts": {"b": button((100, 110), (133.3337, 110))}}),
    "strips too wide": (
        "door.closed",
        {
            "doors": {
                "hatch": {
                    "on": "back",
                    "width": 137.123,
                    "height": 137.123,
                    "gap": 0,
                    "lip": 60,
                    "u": 250,
                    "v": 90,
                }
            }
        },
    ),
    "groove too deep": (
        "groove.depth",
        {
            "materials": {"ply": {"measured": 11.837}},
            "panels": {"front": {"joint": "groove", "groove_depth": 7}},
        },
    ),
}


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("case", CASES)
def test_what_is_shown_passes(case, unit):
    rule, sections = CASES[case]
    data = box(**sections, writing={"unit": unit})
    subject = subject_of(data, collide=True)
    style = length_style(subject.cabinet.project)
    finding = next(f for f in run_checks(subject) if f.rule == rule)
    remedy = next(r for r in finding.remedies if r.field)
    assert isinstance(remedy.value, float)
    assert remedy.value == pytest.approx(shown_length(remedy.value, style), abs=1e-6)
    cured = run_checks(subject_of(applied(data, remedy), collide=True))
    assert [f for f in cured if f.rule == rule and f.place.names == finding.place.names] == []


def test_no_further_than_the_next_mark():
    """A rim of 33.3 is 130 behind the edge at v = 130 + 16.65 = 146.65: 146.6 is the next tenth below."""
    measured = {"bezel": 33.3}
    data = box(
        parts={
            "b": merged(
                BUTTON,
                {"measured": measured, "placed": [{"key": "b1", "on": "deck", "u": 300, "v": 190}]},
            )
        }
    )
    finding = next(f for f in run_checks(subject_of(data)) if f.rule == "control.palm-room")
    assert finding.remedies[0].value == pytest.approx(146.6)
