"""Boards inside, grooves in the sides, strips behind doors, grooves beside their pieces."""

from __future__ import annotations

import pytest
from tests.checks.bench import box, cures, found

from casewright.basics.findings import Severity
from casewright.checks.rules import (
    board_loose,
    door_closed,
    door_flush,
    door_held,
    feature_outside,
    groove_depth,
    inner_loose,
    inner_outside,
)


def shelf(start, end, **more):
    return box(inner={"shelf": {"material": "ply", "start": start, "end": end, **more}})


@pytest.mark.parametrize(
    ("start", "count"), [((12, 100), 0), ((0, 100), 0), ((-0.01, 100), 1), ((-30, 100), 1)]
)
def test_an_inner_board_past_the_outline(start, count):
    """The box is 300 deep, y from 0: plain geometry."""
    findings = found(inner_outside, shelf(start, (250, 100)))
    assert [f.place.names for f in findings] == [("shelf",)] * count


def test_an_inner_board_past_the_outline_is_cured():
    data = shelf((-30, 100), (250, 100))
    assert "⟦30.0000⟧" in found(inner_outside, data)[0].message
    cures(inner_outside, data)


@pytest.mark.parametrize(
    ("more", "count"),
    [
        ({}, 0),  # from side to side
        ({"left": 100}, 0),
        ({"left": 100, "right": 500}, 1),
        ({"left": 100, "right": 500, "until": "panels"}, 0),
        ({"clearance": 2}, 0),
        ({"clearance": 2.5, "cleats": False}, 1),
        ({"clearance": 2.5}, 0),  # it lies on its battens along the sides
        ({"clearance": 2.5, "left": 100, "right": 500}, 1),
    ],
)
def test_a_board_that_hangs_in_the_air(more, count):
    """In the middle of a box 600 wide and 300 deep; 2 mm are bridged (common practice)."""
    data = shelf((200, 100), (100, 100), **more)
    assert len(found(inner_loose, data)) == count
    if count:
        cures(inner_loose, data)


def test_a_board_that_stands_on_another_is_held():
    data = shelf((200, 100), (100, 100), left=100, right=500)
    leg = {"material": "ply", "plane": "side", "at": [300, 120, 12], "size": [60, 76]}
    assert found(inner_loose, {**data, "boards": {"leg": leg}}) == []


@pytest.mark.parametrize(
    ("depth", "severities"),
    [
        (6, []),
        (6.01, [Severity.CAUTION]),
        (11.9, [Severity.CAUTION]),
        (12, [Severity.STOP]),
        (40, [Severity.STOP]),
    ],
)
def test_grooves_in_sides_of_12(depth, severities):
    """Half of 12 is on the limit; from 12 on the groove goes through."""
    data = box(panels={"deck": {"joint": "groove", "groove_depth": depth}})
    assert [f.severity for f in found(groove_depth, data)] == severities
    if severities:
        cures(groove_depth, data)


def test_a_groove_of_an_inner_board_counts_too():
    data = shelf((50, 100), (250, 100), joint="groove", groove_depth=14)
    assert found(groove_depth, data)[0].remedies[0].field == "inner.shelf.groove_depth"
    cures(groove_depth, data)


@pytest.mark.parametrize(("lip", "count"), [(0, 0), (25.5, 0), (26, 1), (60, 1)])
def test_strips_behind_a_door(lip, count):
    """A door 99 high with a gap of 1.5 fills an opening of 102; a quarter of that is 25.5."""
    door = {"on": "front", "width": 300, "height": 99, "gap": 1.5, "lip": lip}
    data = box(doors={"door": door})
    assert len(found(door_closed, data)) == count
    if count:
        cures(door_closed, data)


THICKER = {"thick": {"kind": "plywood", "nominal": 18}, "same": {"kind": "mdf", "nominal": 12.4}}
OVERLAID = {"front": {"layers": [{"key": "sheet", "material": "same"}]}}


@pytest.mark.parametrize(
    ("material", "panels", "severity", "remedy"),
    [
        (None, {}, None, None),
        ("same", {}, None, None),  # 0.4 proud is within 0.5
        ("thick", {}, Severity.CAUTION, "ply"),
        (
            None,
            OVERLAID,
            Severity.NOTE,
            None,
        ),  # 12.4 of overlay round it; no board here is 24.4 thick
    ],
)
def test_a_door_of_another_thickness(material, panels, severity, remedy):
    """Common practice: flush within 0.5 mm; a door's back lies on the strips behind its panel of 12."""
    door = {"on": "front", "width": 300, "height": 90, "material": material}
    data = box(materials=THICKER, panels=panels, doors={"door": door})
    findings = found(door_flush, data)
    assert [f.severity for f in findings] == [severity] * (severity is not None)
    assert [f.remedies[0].value for f in findings] == [remedy] * len(findings)
    if remedy:
        assert "⟦6.0000⟧" in findings[0].message
        cures(door_flush, data)


@pytest.mark.parametrize(
    ("fixing", "lip", "bought", "severities"),
    [
        ("hinges", 12, {"type": "hinge-butt-50", "quantity": 2}, []),
        ("hinges", 0, {"type": "hinge-butt-50", "quantity": 2}, []),
        ("hinges", 12, {"type": "hinge-butt-50", "quantity": 0}, [Severity.NOTE]),
        ("hinges", 12, {"type": "hinge-butt-50", "quantity": 0, "have": 2}, []),
        ("hinges", 12, {"type": "magnet-15"}, [Severity.NOTE]),
        ("magnets", 12, {"type": "magnet-15"}, []),
        ("locks", 12, {"type": "lock-cam-19"}, []),
        ("screwed", 12, {"type": "magnet-15"}, []),
        ("screwed", 0, {"type": "magnet-15"}, [Severity.CAUTION]),
        ("magnets", 0, {"type": "magnet-15"}, [Severity.CAUTION]),
    ],
)
def test_what_holds_and_stops_a_door(fixing, lip, bought, severities):
    door = {"on": "front", "width": 300, "height": 90, "fixing": fixing, "lip": lip}
    data = box(doors={"door": door}, parts={"bought": bought})
    assert [f.severity for f in found(door_held, data)] == severities
    if severities == [Severity.CAUTION]:
        cures(door_held, data)


@pytest.mark.parametrize(("u", "count"), [(100, 0), (570, 0), (620, 1)])
def test_a_groove_may_run_out_of_an_edge_but_not_miss_the_board(u, count):
    """The deck is 576 long: a groove from 570 runs out of its end, one from 620 is beside it."""
    groove = {"shape": "groove", "on": "deck", "u": u, "v": 150, "to": [u + 80, 150]}
    data = box(features=[{**groove, "width": 6, "depth": 4}])
    assert len(found(feature_outside, data)) == count


@pytest.mark.parametrize(
    ("at", "count"),
    [
        ((200, 100, 50), 1),  # in the middle of the air
        ((200, 100, 12), 0),  # on the base of 12
        ((200, 100, 13.9), 0),  # 2 mm are bridged (common practice)
        ((200, 100, 14.1), 1),
        ((200, -40, -60), 1),  # below and before the cabinet
        ((12, 100, 50), 0),  # at the left side
    ],
)
def test_a_loose_board_that_touches_nothing(at, count):
    """A board 100 × 60 standing across, 12 thick, in a box 600 × 300 × 200 of 12 mm boards: plain geometry."""
    block = {"material": "ply", "plane": "front", "at": list(at), "size": [100, 60]}
    data = box(boards={"block": block})
    assert [f.place.names for f in found(board_loose, data)] == [("block",)] * count
    if count and at[2] > 0:
        cures(board_loose, data)


def test_boards_that_only_hold_each_other_are_both_told():
    """One stands on the other, and neither on anything; set on the base both are held."""
    lower = {"material": "ply", "plane": "level", "at": [200, 100, 60], "size": [100, 60]}
    upper = {"material": "ply", "plane": "front", "at": [200, 100, 72], "size": [100, 60]}
    data = box(boards={"lower": lower, "upper": upper})
    assert [f.place.names for f in found(board_loose, data)] == [("lower",), ("upper",)]
    down = box(
        boards={"lower": {**lower, "at": [200, 100, 12]}, "upper": {**upper, "at": [200, 100, 24]}}
    )
    assert found(board_loose, down) == []
