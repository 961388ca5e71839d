"""Grips over the centre of gravity: by moments about the hands, and the remedies cure."""

from __future__ import annotations

import math

import pytest
from tests.checks.bench import applied, box, found, subject_of

from casewright.behavior.hanging import LEVEL_DEG
from casewright.checks.rules import feature_outside, grip_balance


def carried(u: float, v: float):
    """The box of the bench, 300 deep and 200 high, with a grip in each side."""
    grip = {
        "kind": "grip",
        "measured": {
            "style": "handle",
            "width": 100,
            "height": 30,
            "screw_spacing": 80,
            "mass_kg": 0.1,
        },
        "placed": [{"key": "grip", "on": "sides", "u": u, "v": v}],
    }
    return box(parts={"grips": grip}, site={"on": "table", "height": 740})


@pytest.mark.parametrize(
    ("u", "v"), [(150.0, 180.0), (60.0, 180.0), (240.0, 170.0), (150.0, 150.0)]
)
def test_at_the_angle_it_hangs_by_the_moments_about_the_hands_are_nothing(u, v):
    """Statics: turned by the angle, the centre of gravity lies straight below the hands."""
    subject = subject_of(carried(u, v))
    (hanging,) = subject.behavior.hangings
    turn = math.radians(hanging.number.value)
    aside = hanging.behind * math.cos(turn) - hanging.under * math.sin(turn)
    assert aside == pytest.approx(0.0, abs=1e-9)
    y = subject.behavior.balance.centre[1]
    assert hanging.behind == pytest.approx(y - hanging.grips[0].frame.origin[1])


def test_over_the_centre_of_gravity_nothing_is_said():
    subject = subject_of(carried(150.0, 180.0))
    right = subject.cabinet.piece_by_key["right"].frame
    data = carried(right.local(subject.behavior.balance.centre)[0], 180.0)
    assert found(grip_balance, data) == []
    (hanging,) = subject_of(data).behavior.hangings
    assert hanging.tilt_deg == pytest.approx(0.0, abs=0.5)


@pytest.mark.parametrize(("u", "v"), [(40.0, 180.0), (260.0, 180.0), (150.0, 60.0), (40.0, 70.0)])
def test_out_of_balance_is_told_and_the_remedies_cure(u, v):
    data = carried(u, v)
    for _ in range(3):
        findings = found(grip_balance, data)
        if not findings:
            break
        data = applied(data, findings[0].remedies[0])
    assert found(grip_balance, data) == []
    (hanging,) = subject_of(data).behavior.hangings
    assert hanging.tilt_deg <= LEVEL_DEG + 1e-6 and not hanging.turns_over


@pytest.mark.parametrize(("u", "v"), [(40.0, 180.0), (40.0, 70.0), (250.0, 90.0)])
def test_the_first_remedy_cures_in_one_go(u, v):
    data = carried(u, v)
    (finding,) = found(grip_balance, data)
    assert found(grip_balance, applied(data, finding.remedies[0])) == []


def test_no_place_off_the_sides_is_told():
    """A flat box, 46 high: 20 over its centre of gravity, near half its height, a hole for a screw meets its edge."""
    data = carried(150.0, 23.0)
    data["shape"]["corners"] = {"A": [0, 0], "B": [300, 0], "C": [300, 46], "D": [0, 46]}
    (finding,) = found(grip_balance, data)
    assert not any(remedy.field for remedy in finding.remedies)
    assert "No place on the sides" in finding.remedies[0].text


def test_a_place_higher_up_is_named_where_the_lowest_is_off_the_sides():
    """A side with a notch before its centre of gravity, 160 to 280 high: below, and behind, no place hangs level."""
    data = carried(260.0, 230.0)
    data["shape"]["corners"] = {
        "A": [0, 0],
        "B": [300, 0],
        "C": [300, 400],
        "D": [0, 400],
        "E": [0, 280],
        "F": [220, 280],
        "G": [220, 160],
        "H": [0, 160],
    }
    data["panels"] = {
        "base": {"run": "A-B", "role": "floor"},
        "back": {"run": "B-C", "role": "back", "fixing": "screwed"},
        "top": {"run": "C-D", "role": "top"},
        "header": {"run": "D-E", "role": "header face"},
        "under": {"run": "E-F", "role": "header underside"},
        "screen": {"run": "F-G", "role": "screen"},
        "deck": {"run": "G-H", "role": "deck"},
        "lip": {"run": "H-A", "role": "front"},
    }
    data["seams"] = []
    (finding,) = found(grip_balance, data)
    remedy = finding.remedies[0]
    assert remedy.field
    mended = applied(data, remedy)
    assert found(grip_balance, mended) == []
    assert found(feature_outside, mended) == []


def test_without_a_pair_nothing_hangs():
    assert subject_of(box()).behavior.hangings == ()


@pytest.mark.parametrize(("u", "way"), [(40.0, "back"), (260.0, "forward")])
def test_a_pair_is_moved_back_or_forward_by_the_files_own_place(u, way):
    """The left one's u runs the other way; the file holds the right one's, counted from the front."""
    finding = found(grip_balance, carried(u, 180.0))[0]
    remedy = finding.remedies[0]
    assert remedy.text.startswith("Move grips on both sides")
    assert f" {way}, to u = ⟦{remedy.value:.4f}⟧ of the right one" in remedy.text
    assert (remedy.value > u) == (way == "back")
