"""The revised NIOSH equation against the published examples of its manual."""

from __future__ import annotations

import pytest
from tests.checks.bench import box, found, subject_of

from casewright.behavior.lifting import Lift
from casewright.checks.rules import lift_limit

IN = 25.4
LB = 0.45359237


@pytest.mark.parametrize(
    ("lift", "pounds"),
    [
        # NIOSH applications manual, example 4 (package inspection): printed 34.9 and 15.2 lb; frequency 0.88
        (Lift(10 * IN, 22 * IN, 37 * IN, 0, "fair", 0.88), 34.9),
        (Lift(20 * IN, 59 * IN, 37 * IN, 0, "fair", 0.88), 15.2),
        # Example 3 (bags into a hopper): printed 18.9 lb, which exact multipliers make 18.52; from memory
        (Lift(18 * IN, 15 * IN, 21 * IN, 45, "fair"), 18.52),
    ],
)
def test_published_examples(lift, pounds):
    """The metric and the inch form of the equation differ by rounding (51 lb is 23.13 kg, 30 in is 76.2 cm)."""
    assert lift.limit_kg / LB == pytest.approx(pounds, rel=0.03)


@pytest.mark.parametrize(
    ("lift", "kilograms"),
    [
        # computed with the equation in its metric form by an independent script
        (Lift(350, 750, 250, 0, "fair"), 16.4286),
        (Lift(400, 400, 350, 0, "fair"), 11.5938),
        (Lift(500, 200, 550, 30, "poor"), 7.0455),
        (Lift(400, 750, 500, 0, "good"), 13.0812),
    ],
)
def test_metric_form(lift, kilograms):
    assert lift.limit_kg == pytest.approx(kilograms, abs=1e-4)


def test_out_of_reach_nothing_may_be_lifted():
    """Its limits: hands past 63 cm, over 175 cm, or turned past 135° give 0."""
    assert Lift(631, 750, 250).limit_kg == 0
    assert Lift(300, 1751, 250).limit_kg == 0
    assert Lift(300, 750, 250, 136).limit_kg == 0


def test_a_heavy_box_is_told_with_how_many_lift_it():
    def with_mass(kg):
        heavy = {
            "kind": "device",
            "measured": {"width": 100, "height": 100, "depth": 50, "mass_kg": kg},
            "placed": [{"key": "heavy", "on": "base", "u": 300, "v": 150}],
        }
        return box(parts={"heavy": heavy}, site={"on": "table", "height": 740})

    assert found(lift_limit, with_mass(1.0)) == []
    lifting = subject_of(with_mass(1.0)).behavior.lifting
    own = lifting.mass_kg - 1.0
    (two,) = found(lift_limit, with_mass(lifting.limit_kg - own + 0.5))
    assert two.severity.value == "note"
    (many,) = found(lift_limit, with_mass(lifting.pair_limit_kg - own + 0.5))
    assert many.severity.value == "caution"
    assert found(lift_limit, with_mass(lifting.limit_kg - own - 0.01)) == []


def test_what_nobody_can_hold_is_not_told_as_nothing_to_lift():
    """NIOSH applications manual: with the hands beyond 25 in (635 mm) from the body the multiplier is 0."""
    corners = {"A": [0, 0], "B": [1600, 0], "C": [1600, 200], "D": [0, 200]}
    data = box(site={"on": "table", "height": 740})
    data["shape"] = {**data["shape"], "corners": corners, "width": 1600}
    assert subject_of(data).behavior.lifting.limit_kg < 0.1
    (finding,) = found(lift_limit, data)
    told = " ".join((finding.message, *(remedy.text for remedy in finding.remedies)))
    assert "0.00" not in told and "0.0 " not in told
    assert "no one person should lift it" in told
