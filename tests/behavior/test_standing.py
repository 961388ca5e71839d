"""Tipping, leaning, pushing: against worked examples of statics and against moments taken about the edge."""

from __future__ import annotations

import math

import pytest
from tests.checks.bench import applied, box, found, merged, subject_of

from casewright.basics.findings import Severity
from casewright.behavior.standing import GRAVITY, Standing
from casewright.checks.rules import stand_lean, stand_slope


def standing(data) -> Standing:
    behavior = subject_of(data).behavior
    assert behavior is not None
    return behavior.standing


def with_mass(u: float, v: float, kg: float, depth: float, on: str = "back"):
    """The box with one heavy device on a panel."""
    heavy = {
        "kind": "device",
        "measured": {"width": 40, "height": 40, "depth": depth, "mass_kg": kg},
        "placed": [{"key": "heavy", "on": on, "u": u, "v": v}],
    }
    return box(parts={"heavy": heavy}, site={"on": "table", "height": 740})


def test_slope_that_tips_it_is_the_slope_at_which_the_weight_leaves_the_ground():
    """Turned by just less it still falls back, by just more it does not: moments about the edge, by rotation."""
    data = with_mass(400, 100, 6.0, 60)
    behavior = subject_of(data).behavior
    found_ = behavior.standing
    x, y, z = behavior.balance.centre
    for edge in found_.edges:
        pivot = edge.start
        for beyond, falls in ((-0.01, False), (0.01, True)):
            turn = math.radians(edge.tilt_deg + beyond)
            inside = {
                "front": y - pivot[1],
                "back": pivot[1] - y,
                "left": x - pivot[0],
                "right": pivot[0] - x,
            }
            level = inside[edge.name] * math.cos(turn) - (z - found_.level) * math.sin(turn)
            assert (level < 0) is falls, edge.name


def test_push_that_tips_a_kiosk():
    """Worked example of statics: 12 kg, edge 0.2 m from the line of weight, pushed 1.4 m up: F = m g b ÷ y."""
    assert pytest.approx(16.81, abs=0.01) == 12 * 9.80665 * 0.2 / 1.4
    data = box(site={"on": "floor"})
    behavior = subject_of(data).behavior
    found_ = behavior.standing
    y = behavior.balance.centre[1]
    back = max(p[1] for p in found_.ground)
    moment = behavior.balance.total_kg * 9.80665 * (back - y)
    assert found_.push_force * found_.push_at == pytest.approx(moment, rel=1e-9)
    assert found_.push_at == pytest.approx(200.0)


def test_tilt_of_a_uniform_box_is_by_half_its_depth_and_height():
    """A uniform box tips at arctan(depth ÷ height): any textbook of statics; here thin walls, nearly uniform."""
    data = box(site={"on": "table", "height": 740})
    found_ = standing(data)
    front = next(e for e in found_.edges if e.name == "front")
    back = next(e for e in found_.edges if e.name == "back")
    assert front.arm + back.arm == pytest.approx(300.0)
    assert found_.height == pytest.approx(100.0, abs=5.0)


def test_nothing_tips_on_a_lap_or_a_wall():
    assert not standing(box(site={"on": "lap"})).stands
    assert not standing(box(site={"on": "wall"})).stands


def test_feet_far_in_are_told_and_the_remedy_cures():
    """Four feet close together under a box: it tips over them; moved out by what is said, it stands at 10°."""
    feet = {
        "kind": "foot",
        "measured": {"diameter": 20, "height": 15, "mass_kg": 0.01},
        "placed": [
            {"key": f"foot{i}", "on": "base", "u": u, "v": v}
            for i, (u, v) in enumerate([(260, 120), (340, 120), (260, 170), (340, 170)])
        ],
    }
    data = box(parts={"feet": feet}, site={"on": "table", "height": 740})
    (finding,) = found(stand_slope, data)
    assert "10°" in finding.message
    weakest = standing(data).weakest
    wider = standing(data).height * math.tan(math.radians(10.0)) - weakest.arm
    assert any(f"{wider:.4f}" in remedy.text for remedy in finding.remedies)
    after = applied(data, finding.remedies[0])  # the two at the back
    assert found(stand_slope, after) == []
    assert standing(after).weakest.tilt_deg == pytest.approx(10.0, abs=0.1)


def test_a_wall_tie_that_was_bought_is_told_how_to_be_used():
    """Common practice: it holds in the wall's structure only; one that is not there yet is named."""
    feet = {
        "kind": "foot",
        "measured": {"diameter": 20, "height": 15, "mass_kg": 0.01},
        "placed": [{"key": f"f{u}{v}", "on": "base", "u": u, "v": v} for u in (260, 340) for v in (120, 170)],
    }  # fmt: skip
    without = box(parts={"feet": feet}, site={"on": "table", "height": 740})
    bought = merged(without, {"parts": {"tie": {"type": "wall-tie"}}})
    for data, words in (
        (without, "the catalog's wall-tie"),
        (bought, "Wall tie holds it only where"),
    ):
        (finding,) = found(stand_slope, data)
        assert words in finding.remedies[-1].text


def test_feet_too_near_on_all_sides_go_out_both_ways():
    """Four of them 20 apart under the middle: each goes out along both edges, by one order; one follows another."""
    placed = [
        {"key": "foot1", "on": "base", "u": 290, "v": 140},
        {"key": "foot2", "on": "base", "u": 310, "v": 140},
        {"key": "foot3", "on": "base", "like": "foot1", "dv": 20},
        {"key": "foot4", "on": "base", "like": "foot2", "dv": 20},
    ]
    sizes = {"diameter": 20, "height": 15, "mass_kg": 0.01}
    feet = {"kind": "foot", "measured": sizes, "placed": placed}
    data = box(parts={"feet": feet}, site={"on": "table", "height": 740})
    (finding,) = found(stand_slope, data)
    after = applied(data, finding.remedies[0])
    assert found(stand_slope, after) == []
    assert standing(after).weakest.tilt_deg == pytest.approx(10.0, abs=0.2)


def test_what_falls_as_it_stands_is_a_stop():
    """All four feet at the front: the centre of gravity lies behind the last of them."""
    feet = {
        "kind": "foot",
        "measured": {"diameter": 20, "height": 15, "mass_kg": 0.01},
        "placed": [
            {"key": f"foot{i}", "on": "base", "u": u, "v": v}
            for i, (u, v) in enumerate([(60, 20), (540, 20), (60, 60), (540, 60)])
        ],
    }
    data = box(parts={"feet": feet}, site={"on": "table", "height": 740})
    (finding,) = found(stand_slope, data)
    weakest = standing(data).weakest
    assert weakest.arm < 0
    assert finding.severity is Severity.STOP
    assert "falls over to the back" in finding.message
    assert f"{-weakest.arm:.4f}" in finding.message


def test_leaning_on_an_overhanging_edge():
    """Moments about the front feet: weight × arm = force × overhang."""
    feet = {
        "kind": "foot",
        "measured": {"diameter": 20, "height": 15, "mass_kg": 0.01},
        "placed": [
            {"key": f"foot{i}", "on": "base", "u": u, "v": v}
            for i, (u, v) in enumerate([(50, 150), (550, 150), (50, 20), (550, 20)])
        ],
    }
    data = box(parts={"feet": feet}, site={"on": "table", "height": 740})
    behavior = subject_of(data).behavior
    found_ = behavior.standing
    front = min(p[1] for p in found_.ground)
    y = behavior.balance.centre[1]
    weight = behavior.balance.total_kg * GRAVITY
    assert found_.lean_force * (front - found_.lean_at[1]) == pytest.approx(weight * (y - front))
    lean = found_.lean_force
    data["limits"] = {"lean_n": lean * 0.99}
    assert found(stand_lean, data) == []
    data["limits"] = {"lean_n": lean * 1.2}
    assert len(found(stand_lean, data)) == 1


def test_what_falls_by_itself_is_told_once():
    """All four feet in the back half: it falls to the front without a hand on it, and no force is told."""
    feet = {
        "kind": "foot",
        "measured": {"diameter": 20, "height": 15, "mass_kg": 0.01},
        "placed": [
            {"key": f"foot{i}", "on": "base", "u": u, "v": v}
            for i, (u, v) in enumerate([(50, 220), (550, 220), (50, 270), (550, 270)])
        ],
    }
    data = box(parts={"feet": feet}, site={"on": "table", "height": 740})
    assert "falls over to the front" in found(stand_slope, data)[0].message
    assert found(stand_lean, data) == []
