"""A panel too short for its display: what is above its run is lifted, as far as plain geometry asks."""

from __future__ import annotations

import math
from typing import Any

import pytest
from tests.checks.bench import applied, box, subject_of

from casewright.geometry.larger import longer_run


def screen(height: float, **placed: Any) -> dict[str, Any]:
    """A display with a housing so high, its picture 10 lower, on the front."""
    sizes = {
        "lit_width": 200,
        "lit_height": height - 20,
        "housing_width": 220,
        "housing_height": height,
        "housing_depth": 20,
        "bezel_left": 10,
        "bezel_bottom": 10,
    }
    place = {"key": "d", "on": "front", **placed}
    return {"screen": {"kind": "display", "measured": sizes, "placed": [place]}}


def told(data: dict[str, Any], rule: str) -> list[Any]:
    return [f for f in subject_of(data).cabinet.findings if f.rule == rule]


def test_an_upright_front_too_low_is_lifted_with_the_top():
    """Inside the box 200 high there are 200 − 2 × 12 = 176: a housing of 220 lacks 44, so C and D go to 244."""
    data = box(parts=screen(220))
    (finding,) = told(data, "display.housing-room")
    remedy = finding.remedies[0]
    assert {remedy.field: remedy.value, **dict(remedy.also)} == {
        "shape.corners.C.1": 244.0,
        "shape.corners.D.1": 244.0,
    }
    assert told(applied(data, remedy), "display.housing-room") == []


def test_a_display_with_a_place_of_its_own_is_not_helped_by_a_longer_run():
    (finding,) = told(box(parts=screen(220, v=90)), "display.housing-room")
    assert not any(r.field for r in finding.remedies)


@pytest.mark.parametrize("lean", [10, 30, 55])
def test_a_sloped_front_is_longer_along_its_slope(lean):
    """Leaned back from A, D goes up and back along the slope, C up only: both faces get as much longer."""
    lean_rad = math.radians(lean)
    top = [200 * math.tan(lean_rad), 200]
    corners = {"A": [0, 0], "B": [500, 0], "C": [500, 200], "D": top}
    data = box(shape={"corners": corners})
    remedy = longer_run(subject_of(data).cabinet.project, "front", 25.0)
    assert remedy is not None
    after = applied(data, remedy)
    slabs = [subject_of(d).cabinet.slab_by_panel["front"] for d in (data, after)]
    grown = [
        b - a
        for a, b in zip(
            (slabs[0].show_length, slabs[0].back_length),
            (slabs[1].show_length, slabs[1].back_length),
            strict=True,
        )
    ]
    assert grown == pytest.approx([25.0, 25.0], abs=0.25)
    assert min(grown) >= 25.0 - 1e-3
    moved = after["shape"]["corners"]
    assert moved["C"][0] == 500
    rise, back = moved["D"][1] - 200, moved["D"][0] - top[0]
    assert back / rise == pytest.approx(math.tan(lean_rad), abs=0.02)
    assert moved["C"][1] - 200 == pytest.approx(rise, abs=1e-6)
