"""Things in the same place, and room that is taken."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from tests.checks.bench import (
    applied,
    box,
    button,
    cures,
    device,
    found,
    lever,
    merged,
    subject_of,
)
from tests.geometry.pieces_by_hand import body, frame

from casewright.basics.findings import Severity
from casewright.checks import run_checks
from casewright.checks.outer import clearing_move
from casewright.checks.rules import collision_room, collision_solid
from casewright.geometry.model import Box, Cylinder
from casewright.geometry.solids import solid_of
from casewright.projectfile.editing import changed_text
from casewright.workflow import open_project, open_text, work_out

DUEL = Path(__file__).resolve().parents[2] / "examples/library-duel.cabinet.yaml"


def two_devices(apart: float, **measured):
    return box(parts={"a": device("a", 150), "b": device("b", 150 + apart, **measured)})


@pytest.mark.parametrize(("apart", "count"), [(110, 0), (100, 0), (90, 1)])
def test_two_boxes_of_100_side_by_side(apart, count):
    """Plain geometry: boxes 100 wide touch at 100 and overlap by 10 at 90."""
    findings = found(collision_solid, two_devices(apart), collide=True)
    assert len(findings) == count
    for finding in findings:
        assert finding.severity is Severity.STOP
        assert set(finding.place.names) == {"a", "b"}
        assert "⟦10.0000⟧" in finding.message


def test_a_move_along_the_panel_cures_it():
    cures(collision_solid, two_devices(90), collide=True)


def test_no_remedy_moves_a_part_out_of_the_cabinet():
    """A device 100 wide between sides 100 apart: 50 left of the middle is beside its board, outside."""
    data = box(shape={"width": 124}, parts={"a": device("a", 20)})
    findings = found(collision_solid, data, collide=True)
    assert findings
    for remedy in (r for f in findings for r in f.remedies):
        if remedy.field == "parts.a.placed.0.u":
            assert isinstance(remedy.value, float)
            assert 0 <= remedy.value <= 100


def test_a_part_in_both_sides_is_in_the_sides():
    """A device 100 wide between sides 80 apart: 10 in each."""
    data = box(shape={"width": 104}, parts={"a": device("a", 40)})
    (finding,) = found(collision_solid, data, collide=True)
    assert "and the sides overlap by ⟦10.0000⟧" in finding.message
    assert set(finding.place.names) >= {"a", "left", "right"}


def test_a_part_with_many_bodies_is_one_conflict():
    """Plate, body and screws of a lever against a block below the deck."""
    block = {
        "block": {"material": "ply", "plane": "level", "at": [200, 100, 120], "size": [150, 150]}
    }
    data = box(parts={"lever": lever(280, 150)}, boards=block)
    findings = found(collision_solid, data, collide=True)
    assert [set(f.place.names) >= {"lever1", "block"} for f in findings] == [True]


@pytest.mark.parametrize(("apart", "count"), [(140, 0), (130, 0), (120, 1)])
def test_room_for_a_plug(apart, count):
    """Plain geometry: 100 of box and 30 of plug room."""
    data = two_devices(apart, plug_side="left", plug_room=30)
    findings = found(collision_room, data, collide=True)
    assert [f.severity for f in findings] == [Severity.CAUTION] * count
    assert found(collision_solid, data, collide=True) == []
    if count:
        cures(collision_room, data, collide=True)


@pytest.mark.parametrize(("x", "count"), [(133, 0), (132.51, 0), (132, 1)])
def test_a_nut_that_cannot_be_turned_stops(x, count):
    """A nut of 39 with 1 of room all round needs 20.5 from its axis at x = 112."""
    block = {"block": {"material": "ply", "plane": "side", "at": [x, 20, 150], "size": [200, 37]}}
    data = box(parts={"button": button((100, 150))}, boards=block)
    findings = found(collision_room, data, collide=True)
    assert [f.severity for f in findings] == [Severity.STOP] * count


def test_mirrored_conflicts_are_one_finding():
    grips = {
        "kind": "grip",
        "measured": {"cup_depth": 45, "mass_kg": 0.1},
        "placed": [{"key": "grip", "on": "sides", "u": 150, "v": 100}],
    }
    block = {"block": {"material": "ply", "plane": "level", "at": [40, 60, 90], "size": [520, 180]}}
    findings = found(collision_solid, box(parts={"grip": grips}, boards=block), collide=True)
    assert len(findings) == 1
    assert {"grip-left", "grip-right"} <= set(findings[0].place.names)


# ---- the move that clears, against the solids themselves ---------------------------------------------------------

spot = st.floats(-30, 30)
slope = st.floats(0, 90)
box_shape = Box(0, 0, 40, 30, -10, 10)
round_shape = Cylinder(0, 0, 30, -20, 20)


def bodies(shapes):
    return st.builds(
        lambda shape, x, y, z, a: body("one.body", shape, at=frame((x, y, z), a)),
        shapes,
        spot,
        spot,
        spot,
        slope,
    )


boxes = bodies(st.just(box_shape))
things = bodies(st.sampled_from([box_shape, round_shape]))
ways = st.sampled_from([(1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0)])


def shared(a, b, way, by: float) -> float:
    """Volume that two solids share after a move. [mm³]"""
    step = tuple(float(x) for x in np.array(way) * by)
    return float((solid_of(a).manifold.translate(step) ^ solid_of(b).manifold).volume())


@given(things, things, ways)
def test_after_the_move_nothing_is_shared(a, b, way):
    assert shared(a, b, way, clearing_move(a, b, way) + 1e-6) < 1e-3


@given(boxes, boxes, ways)
def test_no_shorter_move_of_a_box_would_do(a, b, way):
    need = clearing_move(a, b, way)
    assume(need > 0.1 and shared(a, b, way, 0.0) > 1)
    assert shared(a, b, way, need - 0.1) > 0


def test_a_light_board_between_cups_is_made_shorter_and_lower():
    """Nothing can slide here: the duel's board, drawn too large, ends before what it meets, and its rows still fit.

    By hand for the length: each cup reaches 45 + 4 inward from the side's inner face, so between them are
    670.6 - 2 × 49 = 572.6, and 1 of play at each end.
    """
    document = open_project(DUEL).document
    sizes = {
        ("parts", "sign", "assumed", "board_length"): 666,
        ("parts", "sign", "assumed", "board_height"): 90,
    }
    worked = work_out(open_text(changed_text(document, sizes)))
    stops = [f for f in worked.findings if f.rule == "collision.solid"]
    assert stops
    cures = {
        remedy.field.rpartition(".")[2]: remedy.value
        for finding in stops
        for remedy in finding.remedies
        if ".board_" in remedy.field
    }
    assert cures["board_length"] == pytest.approx(670.6 - 2 * 49 - 2)
    assert cures["board_height"] >= 32 + 10  # two rows of strip 10 wide, 32 apart
    fields = {("parts", "sign", "assumed", name): value for name, value in cures.items()}
    cured = work_out(open_text(changed_text(worked.opened.document, fields)))
    assert [f.message for f in cured.findings if f.rule == "collision.solid"] == []
    assert not {"sign.rows", "sign.board-room"} & {f.rule for f in cured.findings}


@pytest.mark.parametrize(
    ("sizes", "cure"),
    [
        # Between the sides are 576, less 1 of play at each end: 11 units of 50.
        ({"row_length": 700}, {"row_length": 550}),
        # The front is 176 high inside, less 1 of play at either edge: 17 strips of 10 side by side.
        ({"rows": 20, "row_length": 700}, {"row_length": 550, "rows": 17, "row_pitch": 10}),
    ],
)
def test_rows_of_light_that_run_into_the_sides_are_made_to_lie_on_their_board(sizes, cure):
    """By hand, beside each; 20 rows lie on no board of that height, and the 700 are longer than the cabinet is wide."""
    sign = {
        "kind": "sign",
        "measured": {"opening_width": 500, "opening_height": 60, "board_distance": 50, **sizes},
        "placed": [{"key": "sign", "on": "front"}],
    }
    strip = {"kind": "strip", "measured": {"cut_unit": 50}}
    data = box(parts={"sign": sign, "strip": strip})
    (solid,) = (
        f for f in run_checks(subject_of(data, collide=True)) if f.rule == "collision.solid"
    )
    remedy = next(r for r in solid.remedies if r.field)
    values = {f.rpartition(".")[2]: v for f, v in ((remedy.field, remedy.value), *remedy.also)}
    assert values == cure
    after = run_checks(subject_of(applied(data, remedy), collide=True))
    assert not {"collision.solid", "sign.rows"} & {f.rule for f in after}


def test_in_inches_rows_are_told_so_that_no_unit_is_lost():
    """Nine units of 50 are 450 mm, 17.717 in: 17 11/16 would be one unit less, so 17 23/32 is written. Strips 10 mm
    wide may lie 13/32 in apart, 10.3 mm, not 3/8, 9.5."""
    sign = {
        "kind": "sign",
        "measured": {
            **{"opening_width": 420, "opening_height": 60, "board_distance": 50},
            **{"rows": 20, "row_length": 610},
        },
        "placed": [{"key": "sign", "on": "front"}],
    }
    strip = {"kind": "strip", "measured": {"cut_unit": 50}}
    shape = {"width": 500}
    data = box(unit="mm", writing={"unit": "in"}, shape=shape, parts={"sign": sign, "strip": strip})
    (rows,) = (f for f in run_checks(subject_of(data, collide=True)) if f.rule == "sign.rows")
    remedy = next(r for r in rows.remedies if r.field)
    values = {f.rpartition(".")[2]: v for f, v in ((remedy.field, remedy.value), *remedy.also)}
    assert values["row_length"] == pytest.approx((17 + 23 / 32) * 25.4)
    assert values["row_pitch"] == pytest.approx(13 / 32 * 25.4)
    assert "9 cut units" in remedy.text
    after = subject_of(applied(data, remedy), collide=True)
    assert not {"collision.solid", "sign.rows"} & {f.rule for f in run_checks(after)}
    assert after.cabinet.numbers["sign.row_units"].value == 9


def test_twins_with_the_same_conflict_move_together():
    """Two pairs of equal boxes, each overlapping by 10: one order moves both, and nothing is left to tell."""
    one, two = device("a1", 60), device("b1", 150)
    one["placed"].append({**one["placed"][0], "key": "a2", "u": 360})
    two["placed"].append({**two["placed"][0], "key": "b2", "u": 450})
    data = box(parts={"a": one, "b": two})
    (finding,) = found(collision_solid, data, collide=True)
    remedy = next(r for r in finding.remedies if r.field)
    assert len(remedy.also) == 1
    cures(collision_solid, data, collide=True)


def pipe(length: float, **site) -> dict:
    """A pipe of 50, walls 3, in the front of the box, 300 deep; what may stand there is given."""
    port = {
        "kind": "port",
        "measured": {"width": 50, "wall": 3, "length": length},
        "placed": [{"key": "port", "on": "front"}],
    }
    return box(site={"on": "table", **site}, parts={"port": port})


@pytest.mark.parametrize(("room", "offered"), [(None, True), (322, True), (320, False)])
def test_a_deeper_cabinet_is_offered_where_its_place_has_the_depth(room, offered):
    """A pipe 310 long comes 22 into the back, whose face is 288 behind the front: 322 deep frees it."""
    data = pipe(310, **({} if room is None else {"depth": room}))
    (solid,) = found(collision_solid, data, collide=True)
    text = solid.remedies[0].text
    assert "Move the corners" in text
    assert bool(solid.remedies[0].field) is offered
    if offered:
        after = applied(data, solid.remedies[0])
        assert found(collision_solid, after, collide=True) == []
        assert "site.room" not in {f.rule for f in run_checks(subject_of(after))}
    else:
        assert "a place ⟦322.0000⟧ deep; the one it has allows ⟦320.0000⟧" in text


def test_a_deeper_cabinet_that_no_longer_passes_says_so():
    hatch = {"label": "hatch", "width": 310, "height": 210, "depth": 700}
    data = merged(pipe(310), {"limits": {"passages": [hatch]}})
    (solid,) = found(collision_solid, data, collide=True)
    assert not solid.remedies[0].field
    assert "does not pass hatch any more" in solid.remedies[0].text


def test_what_is_too_wide_between_the_sides_is_not_moved_from_one_into_the_other():
    """A box 590 wide between sides 576 apart: it meets both, and a move only trades one for the other."""
    wide = device("wide", 288, 150, width=590)
    (solid,) = found(collision_solid, box(parts={"wide": wide}), collide=True)
    assert {"wide", "left", "right"} <= set(solid.place.names)
    assert all(not r.field for r in solid.remedies)
    near = device(
        "near", 40, 150
    )  # 100 wide: 10 into the left side alone, and free 10 and a hair to the right
    cures(collision_solid, box(parts={"near": near}), collide=True)


def test_a_board_made_lower_for_two_is_one_order_and_moves_neither():
    """A light board with its middle 110 up, over two boxes 80 high on a base of 12: they reach 92, so 2 × (18 - 1)."""
    sign = {
        "kind": "sign",
        "measured": {
            **{"opening_width": 400, "opening_height": 60, "board_distance": 40},
            **{"rows": 1, "row_length": 400},
        },
        "placed": [{"key": "sign", "on": "front", "v": 110}],
    }
    boxes = device("one", 150, 65, depth=80)
    boxes["placed"].append({"key": "two", "on": "base", "u": 420, "v": 65})
    strip = {"kind": "strip", "measured": {"cut_unit": 50}}
    data = box(parts={"sign": sign, "strip": strip, "boxes": boxes})
    (solid,) = found(collision_solid, data, collide=True)
    lower = next(r for r in solid.remedies if r.field.endswith("board_height"))
    assert lower.value == pytest.approx(34)
    assert lower.also == () and "Move" not in lower.text
    assert found(collision_solid, applied(data, lower), collide=True) == []


def deep_lever(**shape):
    return box(parts={"lever": lever(300, 150)}, shape=shape)


def test_a_lever_that_reaches_into_the_base_lifts_all_but_the_base():
    """Its body hangs 62 below its plate, which lies under a deck of 12: at z 80 it ends at 80 − 12 − 62 = 6, less the
    plate, and the base is 12 thick. The corners C and D go up by what it lacks, and nothing else changes."""
    corners = {"A": [0, 0], "B": [300, 0], "C": [300, 80], "D": [0, 80]}
    data = deep_lever(corners=corners)
    (finding,) = (
        f
        for f in found(collision_solid, data, collide=True)
        if {"lever1", "base"} <= set(f.place.names)
    )
    (remedy,) = (r for r in finding.remedies if r.field)
    told = {remedy.field: remedy.value, **dict(remedy.also)}
    assert set(told) == {"shape.corners.C.1", "shape.corners.D.1"}
    bodies = subject_of(data).cabinet.bodies
    body = next(b for b in bodies if b.key == "lever1.body")
    assert isinstance(body.shape, Box)
    lacks = 12 - (body.frame.origin[2] + body.shape.n_low)
    assert 6 <= lacks <= 9
    assert list(told.values()) == pytest.approx([80 + lacks] * 2, abs=0.1)
    after = found(collision_solid, applied(data, remedy), collide=True)
    assert not [f for f in after if "base" in f.place.names]


def test_what_sits_on_the_back_is_not_lifted_with_the_corners_above_it():
    """Its place is told from the back's lower end, which stays; a stop strip of the door is 1.5 mm above it."""
    known = open_project(DUEL)
    thick = changed_text(known.document, {("materials", "ply12", "measured"): 16.52})
    (finding,) = (
        f
        for f in work_out(open_text(thick)).findings
        if f.rule == "collision.solid" and set(f.place.names) == {"power", "base"}
    )
    assert finding.remedies
    assert not [r for r in finding.remedies if r.field.startswith("shape")]


def test_a_lap_box_too_low_for_its_lever_is_told_the_height_of_its_lip():
    text = """\
casewright: 1
name: Low
materials:
  board: {kind: plywood, nominal: 12, measured: 12}
shape: {recipe: lap, side: {material: board}, board: board, width: 460, front_height: 55}
parts:
  lever: {type: lever-ball, placed: [{key: lever, on: deck, player: 1}]}
"""
    worked = work_out(open_text(text))
    met = [
        f
        for f in worked.findings
        if f.rule == "collision.solid" and {"lever", "base"} <= set(f.place.names)
    ]
    assert met
    remedy = next(r for r in met[0].remedies if r.field)
    assert remedy.field == "shape.front_height"
    cured = work_out(open_text(text.replace("front_height: 55", f"front_height: {remedy.value}")))
    assert not [
        f
        for f in cured.findings
        if f.rule == "collision.solid" and {"lever", "base"} <= set(f.place.names)
    ]


def test_rows_that_run_into_the_sides_are_told_beside_a_frame_without_room():
    """A row of 700 between sides 576 apart reaches 62 past each; that the frame has no seat says nothing of it."""
    sign = {
        "kind": "sign",
        "measured": {"opening_width": 570, "opening_height": 60, "rows": 1, "row_length": 700},
        "placed": [{"key": "sign", "on": "front"}],
    }
    strip = {"kind": "strip", "measured": {"cut_unit": 50, "lights_per_m": 60, "width": 10}}
    told = run_checks(subject_of(box(parts={"sign": sign, "strip": strip}), collide=True))
    rules = {f.rule for f in told if "sign" in f.place.names}
    assert {"sign.frame-room", "collision.solid"} <= rules
