"""A part that stands in a panel is moved past the panel's cleat, which is cut round it; the move passes when made."""

from __future__ import annotations

import pytest
from tests.checks.bench import applied, box, subject_of

from casewright.checks import run_checks

FAN = {
    "kind": "fan",
    "measured": {"size": 40, "thickness": 10, "opening": 37, "pitch": 32, "screw_hole": 3.5},
}


def told(data) -> list:
    return [
        f
        for f in run_checks(subject_of(data, collide=True))
        if "fan" in f.place.names and f.rule in ("collision.solid", "feature.outside")
    ]


@pytest.mark.parametrize("v", [110, 150])
def test_a_fan_over_a_leaning_front_goes_past_its_cleat(v):
    """The front leans back by 60 in 200. The fan stands half before it, where no cleat is; behind it there is one,
    but it is cut round whatever stands there: the fan has a place farther back, and it is told.
    """
    lean = 60 * v / 200
    placed = [{"key": "fan", "on": "left", "u": 300 - lean, "v": v}]
    corners = {"A": [0, 0], "B": [300, 0], "C": [300, 200], "D": [60, 200]}
    data = box(shape={"corners": corners}, parts={"fan": {**FAN, "placed": placed}})
    found = told(data)
    assert {f.rule for f in found} == {"collision.solid", "feature.outside"}
    for finding in found:
        (remedy,) = finding.remedies
        assert remedy.field == "parts.fan.placed.0.u", finding.message
        assert isinstance(remedy.value, float)
        assert remedy.value < 300 - lean
        cured = told(applied(data, remedy))
        assert not [
            f for f in cured if (f.rule, f.place.names) == (finding.rule, finding.place.names)
        ]
