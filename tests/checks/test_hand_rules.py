"""Controls, hands and players."""

from __future__ import annotations

import math

import pytest
from tests.checks.bench import BUTTON, board, box, button, cures, found, lever, merged

from casewright.basics.findings import Severity
from casewright.checks.rules import (
    control_side,
    control_spacing,
    lever_land,
    lever_neighbors,
    palm_room,
    part_grip,
    players_abreast,
)

PERSON = {"label": "somebody", "posture": "seated"}


@pytest.mark.parametrize(
    ("pitch", "severity"),
    [(43, None), (40, None), (39.5, Severity.CAUTION), (38.5, Severity.STOP)],
)
def test_nuts_of_39(pitch, severity):
    """Long-barrel buttons: nut 39, so pitch 40 or more (common practice)."""
    data = box(parts={"b": button((200, 150), (200 + pitch, 150))})
    findings = found(control_spacing, data)
    assert [f.severity for f in findings] == ([severity] if severity else [])
    if severity:
        cures(control_spacing, data)


@pytest.mark.parametrize(("hand", "pitch"), [("small", 32), ("middle", 36), ("large", 40)])
def test_comfortable_pitch_by_hand(hand, pitch):
    """Common practice: 36 to 40 between buttons of 30."""

    def at(apart):
        small = button((200, 150), (200 + apart, 150), hole=16, bezel=18, nut=22)
        return box(parts={"b": small}, people=[{**PERSON, "hand": hand}])

    assert found(control_spacing, at(pitch)) == []
    assert [f.severity for f in found(control_spacing, at(pitch - 0.5))] == [Severity.CAUTION]


def test_close_pairs_of_a_panel_are_one_finding():
    data = box(parts={"b": button((200, 150), (239.5, 150), (279, 150))})
    (finding,) = found(control_spacing, data)
    assert set(finding.place.names) == {"b1", "b2", "b3"}


def test_a_slanted_pair_is_measured_along_its_slant():
    data = box(parts={"b": button((200, 150), (230, 175))})  # 39.05 apart
    assert [f.severity for f in found(control_spacing, data)] == [Severity.CAUTION]
    cures(control_spacing, data)


# ---- levers --------------------------------------------------------------------------------------------------------

SWEEP = (6 + 38 + 17.5) * math.sin(math.radians(14)) + 17.5
"""Plain geometry: pivot 6 below the plate, ball of 35 with its underside 38 above it, tilted 14 degrees."""


@pytest.mark.parametrize(("spare", "count"), [(5, 0), (0, 0), (-1, 1)])
def test_full_tilt_and_a_finger_clear_the_next_button(spare, count):
    apart = SWEEP + 20 + 33.3 / 2 + spare
    data = box(parts={"lever": lever(150, 150), "b": button((150 + apart, 150))})
    assert len(found(lever_neighbors, data)) == count
    if count:
        cures(lever_neighbors, data)


@pytest.mark.parametrize(
    ("reveal", "spare", "count"), [(0, -1, 0), (10, 5, 0), (10, 0, 0), (10, -1, 1)]
)
def test_hand_beside_a_proud_side(reveal, spare, count):
    left = min(u for u, _ in board(box(), "deck").show)
    data = box(
        panels={"deck": {"reveal": reveal}},
        parts={"lever": lever(left + SWEEP + 20 + spare, 150)},
    )
    assert len(found(control_side, data)) == count
    if count:
        cures(control_side, data)


def test_between_sides_too_near_for_a_hand_no_move_is_named():
    """A hand that needs `room` on either side of the axis needs twice that between the sides."""
    data = box(
        shape={"width": 100}, panels={"deck": {"reveal": 10}}, parts={"lever": lever(38, 150)}
    )
    (finding,) = found(control_side, data)
    assert [r.field for r in finding.remedies] == [""]
    wider = 2 * (SWEEP + 20) - 76
    assert f"⟦{wider:.4f}↑⟧ wider" in finding.remedies[0].text


@pytest.mark.parametrize(("recess", "count"), [(5, 0), (6, 0), (7, 1)])
def test_land_over_a_levers_pocket(recess, count):
    """Common practice: 6 mm stay, of 12."""
    data = box(parts={"lever": lever(150, 150, recess=recess)})
    findings = found(lever_land, data)
    assert [f.remedies[0].value for f in findings] == [pytest.approx(6)] * count
    if count:
        cures(lever_land, data)


# ---- grip ----------------------------------------------------------------------------------------------------------


def gripping(recess=None, **measured):
    data = button((200, 150), **measured)
    data["placed"][0]["recess"] = recess
    return box(parts={"b": data})


@pytest.mark.parametrize(
    ("recess", "severity"), [(5, None), (4, None), (3, Severity.STOP), (9.5, Severity.CAUTION)]
)
def test_counterbore_for_a_thread_of_8_in_12(recess, severity):
    """Plain arithmetic: 4 at least; more than 9 leaves less than 3 of wood, and 2.5 is less than the part grips."""
    data = gripping(recess, grip_most=8, grip_least=1)
    findings = found(part_grip, data)
    assert [f.severity for f in findings] == ([severity] if severity else [])
    if severity:
        cures(part_grip, data)


@pytest.mark.parametrize(("least", "count"), [(10, 0), (12, 0), (15, 1)])
def test_a_panel_thinner_than_the_part_grips(least, count):
    findings = found(part_grip, gripping(grip_least=least))
    assert [f.severity for f in findings] == [Severity.CAUTION] * count


def test_geometry_cures_a_short_thread_by_itself():
    assert found(part_grip, gripping(grip_most=8)) == []


# ---- palms and players ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("room", "count"), [(100, 0), (75, 0), (74, 1), (130, 0), (131, 1)])
def test_palm_room(room, count):
    """Common practice: 75 to 130 from the front edge to the rim of the nearest control."""
    front = min(v for _, v in board(box(), "deck").show)
    data = box(parts={"b": button((200, front + room + 33.3 / 2))})
    findings = found(palm_room, data)
    assert [f.severity for f in findings] == [Severity.NOTE] * count
    if count:
        cures(palm_room, data)


def players(*us: float, people=()):
    placed = [
        {"key": f"b{n}", "on": "deck", "u": u, "v": 150, "player": n}
        for n, u in enumerate(us, start=1)
    ]
    return box(
        shape={"width": 1200},
        parts={"b": merged(BUTTON, {"placed": placed})},
        people=list(people),
    )


@pytest.mark.parametrize(
    ("apart", "severity"),
    [
        (500, None),
        (499.5, None),
        (490, Severity.NOTE),
        (479.5, Severity.NOTE),
        (470, Severity.CAUTION),
    ],
)
def test_two_usual_adults(apart, severity):
    """ANSUR II, bideltoid breadth: 50th percentiles of men 509 and women 450, middle 479.5; 500 is easy."""
    findings = found(players_abreast, players(300, 300 + apart))
    assert [f.severity for f in findings] == ([severity] if severity else [])


def test_an_adult_and_a_child_need_less():
    """Half of 479.5 and half of 370: 424.75."""
    pair = [{**PERSON, "aside": -200}, {**PERSON, "label": "child", "child": True, "aside": 200}]
    assert found(players_abreast, players(300, 745, people=pair)) == []
    (finding,) = found(players_abreast, players(300, 700, people=pair))
    assert finding.severity is Severity.CAUTION
    assert "⟦424.7500⟧" in finding.message


def test_the_closest_neighbors_tell():
    (finding,) = found(players_abreast, players(100, 575, 1040))
    assert set(finding.place.names) == {"b2", "b3"}


def test_one_player_has_no_neighbor():
    assert found(players_abreast, players(300)) == []
