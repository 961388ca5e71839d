"""Boards inside, grooves in the sides, strips behind doors, grooves beside their pieces."""

from __future__ import annotations

import pytest
from tests.checks.bench import applied, box, cures, device, found, subject_of

from casewright.basics.findings import Severity
from casewright.checks.rules import (
    board_loose,
    collision_solid,
    door_closed,
    door_flush,
    door_held,
    door_swing,
    feature_outside,
    groove_depth,
    inner_hangs,
    inner_loose,
    inner_outside,
)
from casewright.geometry.solids import box_of
from casewright.geometry.thicker import stock_takes


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


def test_a_loose_board_that_runs_into_the_base_is_moved_out_of_it():
    """Its lower edge is 5 in a base of 12; lifted by 7 it stands on it: plain geometry."""
    block = {"material": "ply", "plane": "front", "at": [200, 100, 5], "size": [100, 60]}
    data = box(boards={"block": block})
    (finding,) = found(collision_solid, data, collide=True)
    remedy = next(r for r in finding.remedies if r.field)
    assert (remedy.field, remedy.value) == ("boards.block.at.2", pytest.approx(12))
    cures(collision_solid, data, collide=True)


def test_a_door_on_the_wall_side_is_put_elsewhere():
    """On a cabinet that hangs on a wall a door of its back opens nowhere, nor does it lift out."""
    door = {"on": "back", "width": 300, "height": 110, "fixing": "hinges"}
    (finding,) = found(door_swing, box(doors={"door": door}, site={"on": "wall"}))
    assert finding.severity is Severity.STOP
    assert [r.field for r in finding.remedies] == [""]


@pytest.mark.parametrize(
    ("sheet", "grain", "takes"),
    [
        ((1000, 500), "none", True),
        ((500, 1000), "none", True),  # turned
        ((500, 1000), "length", False),  # the grain runs from side to side
        ((586, 310), "none", True),  # 576 × 300 and 5 of trim all round
        ((585, 310), "none", False),
        (None, "none", True),
    ],
)
def test_a_thicker_board_is_proposed_only_where_its_sheets_are_large_enough(sheet, grain, takes):
    """The deck of the box is 576 × 300: between two sides of 12, over front and back."""
    sheets = [{"length": sheet[0], "width": sheet[1]}] if sheet else []
    thick = {"kind": "plywood", "nominal": 18, "grain": grain, "sheets": sheets}
    cabinet = subject_of(box(materials={"thick": thick})).cabinet
    deck = cabinet.piece_by_key["deck"]
    assert (deck.width, deck.height) == pytest.approx((576, 300))
    assert stock_takes(cabinet.project, "thick", deck) is takes


@pytest.mark.parametrize(
    ("door", "field", "value"),
    [
        # 45 + 1.5 of gap + 12 of strip below its middle at 60 are 1.5 over the floor, 10.5 in the base of 12
        ({"height": 90, "v": 60}, "v", 70.5),
        # 179 with its strips, and 176 between base and deck: it has no way; 3.5 in the base, so strips of 8.5
        ({"height": 152, "v": 98}, "lip", 8.5),
        # 9 in the base, and 3 short of the deck: strips of 3 stop nothing, so the door is 18 smaller
        ({"height": 155}, "height", 137),
    ],
)
def test_a_door_whose_strips_meet_base_or_deck(door, field, value):
    """The front is 188 high, the base 12 thick behind it, the deck on its top: plain geometry."""
    data = box(doors={"door": {"on": "front", "width": 300, **door}})
    findings = found(collision_solid, data, collide=True)
    for finding in findings:
        remedy = next(r for r in finding.remedies if r.field)
        assert (remedy.field, remedy.value) == (f"doors.door.{field}", pytest.approx(value))
        assert found(collision_solid, applied(data, remedy), collide=True) == []
    assert findings


def test_a_door_with_a_part_on_it_is_not_made_smaller():
    """A knob 60 from the middle would be left beside a door of half the height."""
    knob = {"kind": "device", "measured": {"width": 20, "height": 20, "depth": 10, "mass_kg": 0.1}}
    knob["placed"] = [{"key": "knob", "on": "door", "u": 288, "v": 160}]
    data = box(doors={"door": {"on": "front", "width": 300, "height": 155}}, parts={"knob": knob})
    findings = found(collision_solid, data, collide=True)
    fields = {r.field for f in findings for r in f.remedies if "knob" not in f.place.names}
    assert findings
    assert fields == {""}


def test_only_a_clear_overlay_runs_over_a_display_without_an_opening():
    """Opal or colored acrylic hides the picture; what is said of no species is taken for clear, and told so."""
    display = {
        "kind": "display",
        "measured": {
            **{"lit_width": 200, "lit_height": 100, "housing_width": 220, "housing_height": 120},
            **{"housing_depth": 20, "bezel_left": 10, "bezel_bottom": 10},
        },
        "placed": [{"key": "d", "on": "front"}],
    }

    def covered(species):
        sheet = {"kind": "acrylic", "nominal": 3, **({"species": species} if species else {})}
        return box(
            materials={"film": sheet},
            panels={"front": {"layers": [{"key": "film", "material": "film"}]}},
            parts={"d": display},
        )

    def told(data):
        return [f for f in subject_of(data).cabinet.findings if f.rule == "display.covered"]

    def openings(data):
        film = subject_of(data).cabinet.piece_by_key["front.film"]
        return [f for f in film.features if f.owner == "d" and f.kind == "opening"]

    (clear,) = told(covered("acrylic-clear"))
    assert "is clear" in clear.message and not openings(covered("acrylic-clear"))
    assert told(covered("acrylic-opal")) == [] and openings(covered("acrylic-opal"))
    (unsaid,) = told(covered(None))
    assert "taken for clear" in unsaid.message
    after = applied(covered(None), unsaid.remedies[0])
    assert told(after) == [] and openings(after)


@pytest.mark.parametrize(("joint", "groove"), [("butt", 6), ("groove", 6), ("groove", 8)])
def test_what_lies_in_the_sides_grooves_is_not_clear_for_a_display(joint, groove):
    """Between the sides there are 576, whatever the front is let into them: a housing of 577 is 1 too wide, and a rail
    beside one of 556 keeps out of the sides."""

    def shown(width):
        display = {
            "kind": "display",
            "measured": {
                **{"lit_width": 300, "lit_height": 100, "housing_width": width},
                **{"housing_height": 120, "housing_depth": 20, "bezel_left": (width - 300) / 2},
                "bezel_bottom": 10,
            },
            "placed": [{"key": "d", "on": "front"}],
        }
        front = {"joint": joint, "groove_depth": groove}
        return box(panels={"front": front}, parts={"d": display})

    (room,) = (
        f for f in subject_of(shown(577)).cabinet.findings if f.rule == "display.housing-room"
    )
    assert "⟦576.0000⟧" in room.message
    met = found(collision_solid, shown(556), collide=True)
    assert not [f for f in met if {"left", "right"} & set(f.place.names)]


@pytest.mark.parametrize(
    ("start", "end", "told"),
    [
        ((12, 100), (288, 100), True),
        ((288, 100), (12, 100), False),
        ((12, 90), (288, 140), True),
        ((140, 12), (160, 188), False),
    ],
)
def test_a_shelf_hung_below_its_battens_is_told_and_turned(start, end, told):
    """Written from front to back a board lies above its line, its back up, by plain geometry: so are the battens
    on its back. Written from its upper line the other way round it takes the same place, its battens below."""
    data = shelf(start, end)
    findings = found(inner_hangs, data)
    assert bool(findings) is told
    for finding in findings:
        (remedy,) = finding.remedies
        after = applied(data, remedy)
        assert found(inner_hangs, after) == []
        was, now = (subject_of(d).cabinet for d in (data, after))
        boxes = [box_of(cabinet.piece_by_key["shelf"]) for cabinet in (was, now)]
        for a, b in zip(*boxes, strict=True):
            assert a == pytest.approx(b, abs=1e-3)
        top = boxes[1][1][2]
        cleats = [p for p in now.pieces if p.kind == "cleat" and p.panel == "shelf"]
        assert cleats
        assert all(box_of(cleat)[1][2] <= top + 1e-3 for cleat in cleats)


def test_a_shelf_in_grooves_or_with_something_on_it():
    assert found(inner_hangs, shelf((12, 100), (288, 100), joint="groove")) == []
    data = shelf((12, 100), (288, 100))
    stands = device("stands", 200, 100)
    stands["placed"][0]["on"] = "shelf"
    data["parts"] = {"stands": stands}
    (finding,) = found(inner_hangs, data)
    assert not any(remedy.field for remedy in finding.remedies)
