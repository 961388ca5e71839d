"""Screws through cleats go where the panel is there as deep as they go. Plain trigonometry."""

from __future__ import annotations

import math

import pytest
from tests.checks.bench import box, subject_of

from casewright.checks import run_checks
from casewright.geometry.model import Circle


@pytest.mark.parametrize("high", [70, 80, 90, 100, 140])
def test_pilots_stay_out_of_a_steep_undercut(high):
    """The slanted back covers the upright one at 150°: it takes away tan 60° = 1.73 of it a millimeter deep."""
    corners = {"A": [0, 0], "B": [300, 0], "C": [300, high]}
    corners |= {"D": [200, high + 100 * math.tan(math.radians(60))], "E": [0, high + 150]}
    panels = {
        "base": {"run": "A-B", "role": "floor"},
        "back": {"run": "B-C", "role": "back"},
        "slant": {"run": "C-D", "role": "other"},
        "deck": {"run": "D-E", "role": "deck"},
        "front": {"run": "E-A", "role": "front"},
    }
    seams = [{"between": ["back", "slant"], "rule": "cover", "over": "slant"}]
    data = {**box(), "panels": panels, "seams": seams}
    data["shape"] = {**data["shape"], "corners": corners}
    subject = subject_of(data)
    back = subject.cabinet.piece_by_key["back"]
    upper = max(v for _, v in back.back)
    assert upper - max(v for _, v in back.show) == pytest.approx(12 * math.tan(math.radians(60)))
    pilots = [f for f in back.features if f.kind == "pilot"]
    assert pilots
    for pilot in pilots:
        assert isinstance(pilot.shape, Circle) and pilot.depth is not None
        end = upper - pilot.depth * math.tan(math.radians(60))
        assert pilot.shape.v + pilot.shape.diameter / 2 < end
    told = [f for f in run_checks(subject) if f.rule == "feature.outside"]
    assert not [f for f in told if "back" in f.place.names]
