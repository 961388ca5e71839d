"""Doors on hinges: what they meet, whether they bind, whether hinges fit. See tests/geometry/test_hinges.py too."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely
from tests.behavior.test_routes import PLUG
from tests.checks.bench import applied, box, cures, device, found, merged, subject_of

from casewright.basics.findings import Severity
from casewright.checks.rules import (
    collision_solid,
    door_binds,
    door_hinges,
    door_latch,
    door_swing,
    feature_outside,
)

NARROW = {"hinge": {"type": "hinge-butt-40"}}


def hung(parts=NARROW, panels=None, materials=None, **door):
    wish = {"on": "front", "width": 300, "height": 90, "fixing": "hinges", **door}
    return box(doors={"door": wish}, parts=parts, panels=panels or {}, materials=materials or {})


@pytest.mark.parametrize(
    ("fixing", "opens", "severities"),
    [
        ("hinges", 90, []),
        ("hinges", 123, []),
        ("hinges", 124, [Severity.CAUTION]),
        ("magnets", 180, []),
    ],
)
def test_a_flap_that_swings_into_the_table(fixing, opens, severities):
    """Its angle is checked in the geometry's tests; lifted out it meets nothing."""
    data = hung(hinged="bottom", opens_deg=opens, fixing=fixing)
    assert [f.severity for f in found(door_swing, data)] == severities


def test_every_value_that_is_offered_frees_the_flap():
    data = hung(hinged="bottom", opens_deg=150)
    (finding,) = found(door_swing, data)
    values = {r.field: r.value for r in finding.remedies if r.field}
    assert values["doors.door.opens_deg"] == 120
    for remedy in finding.remedies:
        if remedy.field:
            assert found(door_swing, applied(data, remedy)) == [], remedy.text


@pytest.mark.parametrize(("width", "count"), [(300, 0), (80, 0), (70, 1), (40, 1)])
def test_a_door_that_binds(width, count):
    """The back corner of a door of 12 mm, its pin 2.25 in front: sqrt((w + 0.75)² + 14.25² − 2.25²) − w − 0.75.

    That is 0.33 for 300, 1.22 for 80, 1.39 for 70 and 2.40 for 40, reckoned by hand; the gap is 1.5 and 1.3.
    """
    gap = 1.5 if width != 70 else 1.3
    data = hung(width=width, height=120, hinged="left", gap=gap)
    assert len(found(door_binds, data)) == count
    if count:
        cures(door_binds, data)


@pytest.mark.parametrize("edge", ["left", "right", "top", "bottom"])
def test_a_door_that_binds_far_is_bevelled_by_a_value(edge):
    """Of 24 mm, 45 from hinge to free edge: the back corner, 26.25 behind the pin, swings out by
    sqrt(45.75² + 26.25² − 2.25²) − 45.75 = 6.9, more than a gap is made. The bevel takes the edge's back off by its
    tangent, and leaves its show face, its hung edge and the two others as they are."""
    sizes = (
        {"width": 45, "height": 120} if edge in ("left", "right") else {"width": 120, "height": 45}
    )
    board = {"thick": {"kind": "plywood", "nominal": 24, "measured": 24}}
    data = hung(hinged=edge, materials=board, panels={"front": {"material": "thick"}}, **sizes)
    (finding,) = found(door_binds, data)
    assert not any(r.field == "doors.door.gap" for r in finding.remedies)
    remedy = next(r for r in finding.remedies if r.field == "doors.door.bevel_deg")
    after = applied(data, remedy)
    assert found(door_binds, after) == []
    assert isinstance(remedy.value, float)
    less = applied(data, replace(remedy, value=remedy.value - 1))
    assert len(found(door_binds, less)) == 1
    before, door = (subject_of(d).cabinet.piece_by_key["door"] for d in (data, after))
    assert door.show == before.show
    off = 24 * math.tan(math.radians(remedy.value))
    sides = ("left", "bottom", "right", "top")
    box_of = dict(zip(sides, shapely.Polygon(door.back).bounds, strict=True))
    was = dict(zip(sides, shapely.Polygon(before.back).bounds, strict=True))
    free = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}[edge]
    moved = {side: abs(box_of[side] - was[side]) for side in sides}
    assert moved == pytest.approx({side: off if side == free else 0.0 for side in sides})
    assert found(collision_solid, after, collide=True) == []


@pytest.mark.parametrize(
    ("parts", "door", "fields"),
    [
        (NARROW, {}, None),
        # 13 from the pin, 2.25 of it in front: 10.75 deep in 12 mm; 15.5 − 2.5 are 13
        ({"hinge": {"type": "hinge-butt-50"}}, {}, "parts.hinge.type"),
        (NARROW, {"height": 100, "hinged": "left"}, None),  # 2.5 leaves of 40
        (NARROW, {"height": 99, "hinged": "left"}, "doors.door.hinged"),
        ({"hinge": {"type": "hinge-cup-35"}}, {}, "parts.hinge.type"),
        ({"hinge": {"type": "hinge-butt-40", "quantity": 2}}, {}, None),
        ({"hinge": {"type": "hinge-butt-40", "quantity": 1}}, {}, "parts.hinge.quantity"),
        ({"hinge": {"type": "hinge-butt-40", "quantity": 0, "have": 2}}, {}, None),
        ({"hinge": {"type": "hinge-piano", "amount": 0.3}}, {}, None),
        ({"hinge": {"type": "hinge-piano", "amount": 0.2}}, {}, "parts.hinge.amount"),
        ({}, {"height": 20, "hinged": "left"}, None),  # that none is there is told elsewhere
    ],
)
def test_hinges_that_do_not_fit(parts, door, fields):
    data = hung(parts=parts, **door)
    findings = found(door_hinges, data)
    assert [f.remedies[0].field for f in findings] == ([fields] if fields else [])
    if fields:
        cures(door_hinges, data)


def test_a_door_too_short_for_two_hinges_is_made_as_long_as_they_ask_where_it_has_room():
    """A flap of 110 × 80 hung on its left edge: 2.5 leaves of 40 are 100. Its top would meet a shelf behind it."""
    shelf = {"material": "ply", "start": [12, 141.5], "end": [200, 141.5]}
    door = {"hinged": "left", "width": 80, "height": 80}
    (finding,) = found(door_hinges, hung(**door))
    remedy = next(r for r in finding.remedies if r.field == "doors.door.height")
    assert remedy.value == 100.0
    assert found(door_hinges, applied(hung(**door), remedy)) == []
    tight = hung(**door)
    tight["inner"] = {"shelf": shelf}
    tight["doors"]["door"]["v"] = 100
    (finding,) = found(door_hinges, tight)
    assert finding.remedies
    for remedy in finding.remedies:
        assert remedy.field and remedy.field != "doors.door.height"
        assert found(door_hinges, applied(tight, remedy)) == []


def test_screws_find_no_wood_between_a_door_and_a_hole():
    """A hole of 30 whose edge is 9 from the opening. The shortest 3 mm screw that bites 10.8 (0.9 × 4 × 3) is 12 long:
    11 of it are in the wood behind a leaf of 1, and 3 stay before its tip."""
    data = hung(hinged="left", height=110, width=200)
    left = 288 - 100 - 1.5
    data["features"] = [
        {"shape": "hole", "on": "front", "u": left - 9 - 15, "v": 100, "diameter": 30},
        {"shape": "hole", "on": "front", "u": left - 9 - 15, "v": 140, "diameter": 30},
    ]
    (finding,) = found(door_hinges, data)
    assert "⟦14.0000↑⟧" in finding.message
    cures(door_hinges, data)


@pytest.mark.parametrize(
    ("part", "height", "amount", "unit", "screws"),
    [
        ({"type": "hinge-butt-40"}, 110, 2, "piece", 8),  # two hinges, two leaves each, two screws
        ({"type": "hinge-butt-40", "quantity": 4}, 110, 4, "piece", 8),
        (
            {"type": "hinge-piano"},
            110,
            0.5,
            "m",
            8,
        ),  # 110 of it: twice two in each 100, both leaves
    ],
)
def test_hinges_and_their_screws_are_bought(part, height, amount, unit, screws):
    cabinet = subject_of(hung(parts={"hinge": part}, hinged="left", height=height)).cabinet
    mine = [f for f in cabinet.fastenings if f.through == "hinge"]
    assert sum(f.count for f in mine) == screws
    assert {f.into for f in mine} == {"door", "front"}
    assert all(f.left >= 3 for f in mine)


def switch_at(u: float, v: float = 94.0):
    """A switch 20 × 20, 30 deep, on a door of 300 × 90 in the middle of a front of 576 × 188, hung on its left edge."""
    switch = {
        "kind": "fitting",
        "measured": {
            **{"cutout_width": 20, "cutout_height": 20, "flange_width": 24, "flange_height": 24},
            **{"behind": 30, "mass_kg": 0.02},
        },
        "placed": [{"key": "switch", "on": "door", "u": u, "v": v}],
    }
    return hung(parts={**NARROW, "switch": switch}, hinged="left", lip=0)


def test_what_is_on_a_door_and_meets_the_panel_round_it_is_moved_into_the_opening():
    """The door reaches from u 138 to 438: the switch's body from 136.5, its middle at 146.5, goes to 148 at least; and
    it would turn into a hinge, which is told by that name."""
    data = switch_at(145.0)
    solid = next(
        f
        for f in found(collision_solid, data, collide=True)
        if {"switch", "front"} <= set(f.place.names)
    )
    remedy = next(r for r in solid.remedies if r.field)
    assert remedy.field == "parts.switch.placed.0.u"
    assert isinstance(remedy.value, float) and 148.0 <= remedy.value < 149.0
    after = found(collision_solid, applied(data, remedy), collide=True)
    assert not [f for f in after if "switch" in f.place.names]


def test_a_part_that_turns_into_its_doors_hinge_is_told_so():
    (finding,) = found(door_swing, switch_at(149.0, 60.0))
    assert "meets a hinge of door" in finding.message
    assert finding.remedies[-1].text.endswith("away from the hinge.")


@pytest.mark.parametrize("key", ["wall", "ground", "divider"])
def test_a_board_is_told_by_its_name_whatever_that_is(key):
    """A board in the way of the door: no wall behind the cabinet and no ground, though it may be called so."""
    data = hung(hinged="left", opens_deg=170)
    leg = {"material": "ply", "plane": "side", "at": [60, -100, 12], "size": [99, 160]}
    data["boards"] = {key: leg}
    (finding,) = found(door_swing, data)
    assert f"meets {key}" in finding.message
    assert key in finding.place.names


def test_a_door_past_its_panel_goes_where_its_strips_have_room():
    """A door 150 high in a front of 188, its middle at 120: it runs out above. Its strips reach 12 farther than its
    opening, and meet the deck; so it is moved where they do not, or made smaller in the middle of the front."""
    for height, middle in ((100, 160), (150, 120), (178, 94)):
        door = {"on": "front", "width": 300, "height": height, "v": middle}
        data = box(doors={"door": door})
        outs = [f for f in found(feature_outside, data) if "door" in f.place.names]
        for finding in outs:
            remedy = next(r for r in finding.remedies if r.field)
            after = applied(data, remedy)
            assert not [f for f in found(feature_outside, after) if "door" in f.place.names]
            assert not [
                f
                for f in found(collision_solid, after, collide=True)
                if any(n.startswith("door") for n in f.place.names)
            ]
        assert bool(outs) is (middle + height / 2 + 1.5 > 188)


@pytest.mark.parametrize(
    ("edge", "spot", "told"),
    [
        ("left", (170, 100), True),
        ("left", (400, 100), False),
        ("right", (400, 100), True),
        ("right", (288, 100), False),
        ("bottom", (288, 70), True),
        ("top", (288, 70), False),
    ],
)
def test_a_lock_on_the_edge_that_a_door_hangs_on_is_moved_to_the_free_one(edge, spot, told):
    """A door 300 × 90 about (288, 100) of the front: from 138 to 438, and from 55 to 145. At u = 170 the lock is 32
    from the left edge, less than a third of 300, so it goes 32 from the right one, to 406; in the middle it holds."""
    u, v = spot
    lock = {"type": "lock-cam-19", "placed": [{"key": "lock", "on": "door", "u": u, "v": v}]}
    data = hung(parts={**NARROW, "lock": lock}, hinged=edge)
    low, _, high, _ = subject_of(data).cabinet.piece_by_key["door"].extent
    assert ((low + high) / 2, high - low) == (288, 300)
    findings = found(door_latch, data)
    assert bool(findings) is told
    for finding in findings:
        assert (
            finding.remedies[0].field == f"parts.lock.placed.0.{'v' if edge == 'bottom' else 'u'}"
        )
        if edge == "left":
            assert finding.remedies[0].value == pytest.approx(406)
        for remedy in finding.remedies:
            if remedy.field:
                assert found(door_latch, applied(data, remedy)) == [], remedy.text


def test_all_that_a_door_meets_is_told_and_pointed_at():
    """Two bars stand before a door of 300 that opens to the front, 60 and 20 from it: it meets the nearer one first."""
    bars = {
        name: {"material": "ply", "plane": "front", "at": [x, y, 60], "size": [30, 60]}
        for name, x, y in (("near", 380, -32), ("far", 300, -150))
    }
    data = hung(hinged="left", opens_deg=90)
    data["boards"] = bars
    (finding,) = found(door_swing, data)
    assert {"door", "near", "far"} <= set(finding.place.names)
    assert finding.message.index("meets near") < finding.message.index("Farther on it meets far")


def test_what_is_on_a_door_and_meets_its_panel_is_to_be_moved_not_the_panel():
    """A device 100 wide whose middle is 30 from the door's edge at u = 438 reaches 20 past it, behind the front."""
    stands = device("stands", 408, 100)
    stands["placed"][0] |= {"on": "door"}
    data = hung(parts={**NARROW, "stands": stands}, hinged="left")
    texts = [r.text for f in found(door_swing, data) for r in f.remedies]
    assert not any("move front out" in text.lower() for text in texts)
    assert any("stands on it to where it clears front" in text for text in texts)


def test_what_was_put_beside_its_door_is_brought_onto_it():
    """Counted from the door's own corner, 50 and 40 lie at u 238 and v 100 of the back; plain sums.

    The back is 576 wide, so the door of 200 begins at 188; its lower edge is at 60.
    """
    plug = merged(PLUG, {"placed": [{"key": "plug", "on": "hatch", "u": 50, "v": 40}]})
    door = {"on": "back", "v": 110, "width": 200, "height": 100, "fixing": "magnets"}
    data = box(parts={"plug": plug}, doors={"hatch": door})
    (finding,) = found(feature_outside, data)
    assert "count from the edges of its panel" in finding.message
    (remedy,) = finding.remedies
    assert (remedy.value, *(value for _, value in remedy.also)) == (238, 100)
    mended = applied(data, remedy)
    assert found(feature_outside, mended) == []
    assert found(collision_solid, mended, collide=True) == []
    (clash,) = found(collision_solid, data, collide=True)
    mended = applied(data, clash.remedies[0])
    assert found(collision_solid, mended, collide=True) == []
