"""Every kind of part on a panel: holes by data sheet, screws that stay inside, bodies that go in."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.checks.bench import box, lever, subject_of
from tests.geometry.devices.bench import features, fit, numbers, part, project, stack

from casewright.catalog.kinds import KINDS
from casewright.design.parts import KnownPart
from casewright.geometry.carcass import with_features
from casewright.geometry.devices import FIT
from casewright.geometry.devices.grip import WOOD
from casewright.geometry.devices.lever import HAND_ROOM
from casewright.geometry.devices.mounting import BOLT_BEYOND
from casewright.geometry.devices.screws import (
    CHIPBOARD,
    TAPPING,
    plan_bolt,
    plan_screw,
    screw_for_hole,
)
from casewright.geometry.devices.seat import inscribed_pocket, plastic_hole_growth
from casewright.geometry.devices.speaker import grille_points, hexagonal_pitch
from casewright.geometry.fitting import Fitted, Stack
from casewright.geometry.model import Box, Circle, Cylinder, Rectangle
from casewright.geometry.solids import body_solid, piece_solid

LEVER: dict[str, Any] = {
    "plate_width": 53,
    "plate_height": 95,
    "holes_width": 40,
    "holes_height": 84,
    "body_width": 65,
    "body_height": 65,
    "body_depth": 62,
    "pivot": 6,
    "tilt_deg": 14,
    "shaft": 10,
    "washer": 37,
    "ball_height": 38,
}
BUTTON: dict[str, Any] = {
    "hole": 28.6,
    "bezel": 33.3,
    "nut": 39,
    "grip_least": 4,
    "grip_most": 25,
    "body": 27,
    "behind": 60,
}
PARTS: dict[str, KnownPart] = {
    "button": part("button", **BUTTON),
    "short button": part("button", **{**BUTTON, "grip_least": 1, "grip_most": 10}),
    "lever": part("lever", **LEVER),
    "dial": part("dial"),
    "trackball": part(
        "trackball",
        hole=58,
        plate_width=90,
        plate_height=80,
        holes_width=80,
        holes_height=70,
        body_depth=40,
    ),
    "speaker": part("speaker", cutout=60, frame=67, depth=34, holes_square=48),
    "device": part("device", width=90, height=60, depth=30, holes_width=80, holes_height=50),
    "socket": part(
        "fitting",
        hole=24,
        flange_width=26,
        flange_height=31,
        screws=2,
        screws_width=19,
        screws_height=24,
        behind=30,
    ),
    "inlet": part(
        "fitting",
        cutout_width=27,
        cutout_height=19.3,
        flange_width=50,
        flange_height=24,
        screws=2,
        screws_width=40,
        behind=25,
    ),
    "fan": part("fan", size=60, thickness=15, opening=57, pitch=50),
    "vent": part("vent"),
    "port": part("port", width=50, wall=3, length=120, flange=80),
    "slot port": part("port", shape="slot", width=120, height=20, wall=6, length=150),
    "grip": part("grip"),
    "cup": part("grip", cup_depth=45),
    "handle": part("grip", style="handle", screw_spacing=90, projection=35),
    "foot": part("foot"),
    "magnet": part("hardware", role="magnet", hole=15, hole_depth=3),
}
BACK = {"lever", "dial", "trackball", "speaker", "device", "fan", "magnet"}
STACKS = [stack(11.8), stack(11.8, 3.0), stack(18.0)]


def fitted(name: str, on: Stack, **wish: Any) -> Fitted:
    return fit(PARTS[name], on, face="back" if name in BACK else "show", **wish)


def positions(found: Fitted, kind: str, piece: str = "deck") -> list[tuple[float, float]]:
    shapes = [f.shape for f in features(found, piece).values() if f.kind == kind]
    return sorted((s.u, s.v) for s in shapes if isinstance(s, Circle))


# ---- every kind ------------------------------------------------------------------------------------------------------


def test_the_table_knows_every_kind() -> None:
    assert set(FIT) == set(KINDS.values())


@pytest.mark.parametrize("on", STACKS, ids=["plain", "overlay", "thick"])
@pytest.mark.parametrize("name", PARTS)
def test_bodies_go_into_what_was_cut(name: str, on: Stack) -> None:
    """The cut solids and the part's solids share nothing: hole, pocket and mounting height belong together."""
    found = fitted(name, on, turn=30.0)
    for piece in on.pieces:
        cut = piece_solid(with_features(piece, tuple(features(found, piece.key).values())))
        for body in found.bodies:
            if body.kind == "solid":
                shared = (cut ^ body_solid(body)).volume()
                assert shared < 1.0, f"{body.key} in {piece.key}"


@pytest.mark.parametrize("on", STACKS, ids=["plain", "overlay", "thick"])
@pytest.mark.parametrize("name", PARTS)
def test_blind_holes_stay_blind(name: str, on: Stack) -> None:
    found = fitted(name, on)
    by_key = {piece.key: piece for piece in on.pieces}
    for key, feature in found.features:
        if feature.depth is not None:
            assert 0 < feature.depth <= by_key[key].thickness - 1.0
    keys = [(piece, feature.key) for piece, feature in found.features]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize("name", PARTS)
def test_screws_stop_short_of_the_show_face(name: str) -> None:
    """Stop 3 mm before a show face: common practice."""
    for on in STACKS:
        for screw in fitted(name, on).fastenings:
            if screw.also:
                continue  # a machine screw right through
            assert screw.bite + screw.left == pytest.approx(
                on.board.thickness - max(0.0, _recess(fitted(name, on)))
            )
            assert screw.length == pytest.approx(screw.head_stack + screw.bite)
            assert screw.left >= (3.0 if name in BACK else 1.0)
            assert screw.bite >= screw.diameter


def _recess(found: Fitted) -> float:
    return max((f.depth or 0.0 for _, f in found.features if f.kind == "pocket"), default=0.0)


def test_a_turned_part_turns_its_holes() -> None:
    straight = positions(fitted("lever", stack(12)), "pilot")
    turned = positions(fitted("lever", stack(12), turn=90.0), "pilot")
    ends = [(su, sv) for su in (-1, 1) for sv in (-1, 1)]
    for got, want in (
        (straight, sorted((300 + su * 20, 120 + sv * 42) for su, sv in ends)),
        (turned, sorted((300 + sv * 42, 120 + su * 20) for su, sv in ends)),
    ):
        for a, b in zip(got, want, strict=True):
            assert a == pytest.approx(b)


# ---- patterns by data sheet ------------------------------------------------------------------------------------------


def test_a_fan_of_92() -> None:
    """San Ace 92 data sheet: holes 82.5 apart, panel hole 4.5, vent opening 90.5."""
    fan = part("fan", size=92, thickness=25, opening=90.5, pitch=82.5, screw_hole=4.3)
    holes = positions(fit(fan, stack(12), face="back"), "pilot")
    assert math.dist(holes[0], holes[-1]) == pytest.approx(82.5 * math.sqrt(2))
    assert math.dist(holes[0], holes[1]) == pytest.approx(82.5)


def test_a_d_type_socket_has_two_screws_on_a_diagonal() -> None:
    """D-type connector: screw offsets 19 across and 24 along (public drawing of a panel)."""
    a, b = positions(fitted("socket", stack(12)), "pilot")
    assert (b[0] - a[0], b[1] - a[1]) == pytest.approx((19, -24))


def test_an_inlet_has_two_screws_40_apart_on_one_line() -> None:
    """IEC 60320 C14 screw-on inlet: cut-out 27 × 19.3, screws 40 apart (public workshop drawing)."""
    found = fitted("inlet", stack(12))
    a, b = positions(found, "pilot")
    assert (b[0] - a[0], b[1] - a[1]) == pytest.approx((40, 0))
    cutout = features(found)["it.cutout"]
    assert isinstance(cutout.shape, Rectangle)
    assert (cutout.shape.width, cutout.shape.height) == (27, 19.3)
    assert cutout.tool == "jigsaw"  # no router bit leaves a square corner


@pytest.mark.parametrize(
    ("hole", "screw"), [(3.2, 2.9), (3.9, 3.5), (4.5, 4.2), (5.5, 4.8), (2.0, None)]
)
def test_the_thickest_screw_that_passes(hole: float, screw: float | None) -> None:
    """Tapping screw sizes of ISO 7049 (from memory): ST2.2, 2.9, 3.5, 4.2, 4.8, 6.3."""
    assert screw_for_hole(hole, TAPPING.lengths) == screw


@given(st.sampled_from([3.2, 4.0, 4.5, 5.5]), st.floats(0, 20), st.floats(3, 30))
def test_the_longest_stock_length_that_stays_inside(hole: float, head: float, board: float) -> None:
    screw = plan_screw(hole, head_stack=head, board=board)
    for family in (TAPPING, CHIPBOARD):
        sold = family.lengths
        diameter = screw_for_hole(hole, sold)
        if screw is None and diameter is not None:
            assert not any(diameter <= n - head <= board - 3 for n in sold[diameter])
        if screw is not None and ("chipboard" in screw.name) == (family is CHIPBOARD):
            assert diameter == screw.diameter
            longer = [n for n in sold[diameter] if n > screw.length]
            assert not longer or longer[0] - head > board - 3
    if screw is not None:
        assert screw.left >= 3 - 1e-6
        assert screw.bite >= screw.diameter - 1e-6
        assert screw.diameter <= hole - 0.2 + 1e-6


@pytest.mark.parametrize(
    ("hole", "head", "board", "name"),
    [
        (4.5, 1.5, 11.9, "No. 8 × 3/8 in pan head"),
        (4.3, 25, 12, "No. 6 × 1 1/4 in pan head wood screw"),
    ],
)
def test_an_inch_shop_buys_by_number(hole: float, head: float, board: float, name: str) -> None:
    """ST4.2 is No. 8 and 9.5 is 3/8 in (ISO 1478 and 7049, from memory); No. 8 is 0.164 in (ASME
    B18.6.1), 4.17, which leaves less than 0.2 in a hole of 4.3.
    """
    screw = plan_screw(hole, head_stack=head, board=board, inches=True)
    assert screw is not None
    assert screw.name == name
    assert screw.left >= 3


# ---- plastics --------------------------------------------------------------------------------------------------------


def test_acrylic_grows() -> None:
    """Acrylic sheet data page: 7.2e-5 per kelvin; over 500 mm and 20 K that is 0.72 mm, so over 670 and 15 K 0.7236."""
    cover = stack(12, 3).pieces[0]
    assert plastic_hole_growth(cover) == pytest.approx(0.5 + 0.7236)


def test_a_button_s_hole_is_wider_in_the_acrylic_and_still_covered() -> None:
    found = fitted("button", stack(11.8, 3.0))
    wood, clear = features(found)["it.hole"], features(found, "deck.cover")["it.hole"]
    assert isinstance(wood.shape, Circle)
    assert isinstance(clear.shape, Circle)
    assert (wood.shape.diameter, wood.tool) == (28.6, "forstner")
    assert 28.6 + 1.2236 <= clear.shape.diameter <= 33.3 - 1.0


# ---- one by one ------------------------------------------------------------------------------------------------------


def test_a_long_thread_needs_no_counterbore() -> None:
    found = fitted("button", stack(11.8, 3.0))
    assert "it.counterbore" not in features(found)
    assert numbers(found)["it.grip"] == pytest.approx(14.8)


def test_a_short_thread_gets_a_counterbore_from_behind() -> None:
    """11.8 for a grip of 1 to 10, less 0.5: 2.3 deep, room for a nut of 39."""
    bore = features(fitted("short button", stack(11.8)))["it.counterbore"]
    assert bore.depth == pytest.approx(2.3)
    assert bore.face == "back"
    assert isinstance(bore.shape, Circle)
    assert bore.shape.diameter >= 39 + 2


def test_nuts_of_neighbors_stand_1_apart() -> None:
    """Smallest pitch is the nut and 1 (common practice): the next nut just touches this one's room."""
    room = next(b for b in fitted("button", stack(12)).bodies if b.key == "it.nut room")
    assert isinstance(room.shape, Cylinder)
    assert room.shape.diameter / 2 + 39 / 2 == 39 + 1


def test_the_lip_is_thinned_to_5_for_a_dial_s_thread() -> None:
    """By hand: thread 8, nut 2, toothed washer 0.5 and 0.5 for the pocket's error leave 5."""
    found = fit(part("dial", thread=8, nut_thickness=2), stack(11.8), face="back")
    assert numbers(found)["it.grip"] == pytest.approx(5.0)
    pocket = features(found)["it.pocket"]
    assert (pocket.face, pocket.depth) == ("back", pytest.approx(6.8))


def test_a_dial_s_nut_sinks_through_an_overlay_that_its_knob_hides() -> None:
    """Thread 8 under 11.8 and 3: thinned through it would leave 2 of wood; below the overlay it leaves 5."""
    on = stack(11.8, 3.0)
    found = fit(part("dial", thread=8, nut_thickness=2, knob=50), on, face="back")
    assert [f.rule for f in found.findings] == ["dial.sunk-nut"]
    assert numbers(found)["it.grip"] == pytest.approx(5.0)
    clear = features(found, "deck.cover")["it.hole"]
    assert isinstance(clear.shape, Circle)
    assert 7 * 1.7 < clear.shape.diameter < 50
    small = fit(part("dial", thread=8, nut_thickness=2, knob=20), on, face="back")
    assert [f.rule for f in small.findings] == ["part.metal-plate"]


def test_a_clip_for_thin_sheet_goes_on_a_metal_plate() -> None:
    rocker = part(
        "fitting",
        cutout_width=19.2,
        cutout_height=12.9,
        flange_width=21,
        flange_height=15,
        grip_least=0.8,
        grip_most=3,
        behind=20,
    )
    found = fit(rocker, stack(11.8))
    assert [f.rule for f in found.findings] == ["part.metal-plate"]
    assert "it.pocket" not in features(found)
    on_plate = fit(
        part(
            "fitting",
            cutout_width=50,
            cutout_height=30,
            flange_width=60,
            flange_height=40,
            behind=20,
        ),
        stack(11.8),
    )
    assert on_plate.findings == ()


def test_a_lever_under_an_acrylic_sheet() -> None:
    found = fitted("lever", stack(11.8, 3.0))
    values = numbers(found)
    assert values["it.hole_least"] == pytest.approx(20.7, abs=0.05)
    assert values["it.hole_most"] == pytest.approx(26.6, abs=0.05)
    assert values["it.hole"] == 24
    assert values["it.recess"] == 0
    assert values["it.ball_height"] == pytest.approx(38 - 14.8)
    clear = features(found, "deck.cover")["it.hole"]
    assert isinstance(clear.shape, Circle)
    assert 24 < clear.shape.diameter <= values["it.hole_most"]
    assert found.findings == ()


def test_the_why_of_a_lever_s_hole_comes_from_its_terms() -> None:
    found = fitted("lever", stack(11.8, 3.0))
    number = next(n for n in found.numbers if n.key == "it.hole_least")
    h, tilt, shaft = (term.value for term in number.terms)
    theta = math.radians(tilt)
    assert 2 * h * math.tan(theta) + shaft / math.cos(theta) == pytest.approx(number.value)


def test_a_lever_in_a_thick_panel_sits_in_a_pocket() -> None:
    found = fitted("lever", stack(18, 3))
    assert [f.rule for f in found.findings] == ["lever.recess"]
    pocket = features(found)["it.pocket"]
    values = numbers(found)
    assert pocket.depth == values["it.recess"]
    assert pocket.face == "back"
    plate = next(b for b in found.bodies if b.key == "it.plate")
    assert isinstance(plate.shape, Box)
    assert plate.shape.n_high == values["it.recess"]
    pilots = [f for f in features(found).values() if f.kind == "pilot"]
    assert all(f.depth is not None and f.depth > values["it.recess"] for f in pilots)


def test_a_lever_that_no_hole_serves_is_told_which_washer_would() -> None:
    """Thickness 30 of which 12 is board; a washer of the stated size opens the window."""
    found = fitted("lever", stack(12, 18))
    assert [f.rule for f in found.findings] == ["lever.no-hole"]
    # By hand: h = 36, 2 × 36 × tan 14° = 17.952, twice that and 10.306 is 46.21.
    assert "⟦46.2" in found.findings[0].remedies[0].text
    washer = part("lever", **{**LEVER, "washer": 46.3})
    assert fit(washer, stack(12, 18), face="back").findings == ()


@pytest.mark.parametrize("bit", [3.0, 8.0, 12.7])
def test_a_square_plate_drops_into_its_rounded_pocket(bit: float) -> None:
    width, height = inscribed_pocket(53, 95, bit, play=0.0)
    # The plate's corner against the middle of the pocket's corner arc.
    corner = ((width - 53) / 2, (height - 95) / 2)
    radius = bit / 2
    assert math.hypot(radius - corner[0], radius - corner[1]) == pytest.approx(radius)


def test_the_tilted_ball_stays_in_its_room() -> None:
    """Ball of 35 on an arm of 6 + 38 + 17.5, swung in space by 14°: every point of it lies in the swept room."""
    room = next(b for b in fitted("lever", stack(12)).bodies if b.key == "it.ball sweep")
    assert isinstance(room.shape, Cylinder)
    theta, arm = math.radians(14), 61.5
    middle = (arm * math.sin(theta), -6 + arm * math.cos(theta))
    for step in range(360):
        angle = math.radians(step)
        u = middle[0] + 17.5 * math.cos(angle)
        n = middle[1] + 17.5 * math.sin(angle)
        assert abs(u) <= room.shape.diameter / 2 - HAND_ROOM + 1e-9
        assert room.shape.n_low - 1e-9 <= n <= room.shape.n_high


def test_plug_and_body_of_a_lever_reach_where_the_data_says() -> None:
    """Lever at v 240 with a body of 65: its rear face at 272.5; plug room of 15 beyond it."""
    found = fitted("lever", stack(12), v=240.0)
    plug = next(b for b in found.bodies if b.key == "it.plug")
    assert isinstance(plug.shape, Box)
    assert 240 + plug.shape.v - plug.shape.height / 2 == pytest.approx(272.5)
    assert plug.shape.height == 15


def test_open_share_of_staggered_holes() -> None:
    """π ÷ (2·√3) × (4 ÷ 6)² = 40.31 % (exact geometry; any perforated-metal handbook)."""
    assert hexagonal_pitch(4, 0.403067) == pytest.approx(6.0, abs=1e-4)
    many = len(grille_points(600, 4, 6))
    assert many * 4**2 / 600**2 == pytest.approx(0.403, abs=0.01)


def test_a_drilled_grille() -> None:
    found = fitted("speaker", stack(11.8), grille="drilled")
    holes = positions(found, "hole")
    assert "it.cutout" not in features(found)
    assert len(holes) > 30
    assert all(math.dist(h, (300, 120)) <= 30 - 2.5 + 1e-6 for h in holes)
    near = min(math.dist(a, b) for i, a in enumerate(holes) for b in holes[i + 1 :])
    assert near >= 5 + 2
    # Holes are counted anew from what was drilled.
    assert numbers(found)["it.grille_open"] == pytest.approx(len(holes) * 25 / 3600)


def test_a_speaker_s_frame_lies_behind_and_its_cutout_takes_the_hole_saw() -> None:
    found = fitted("speaker", stack(11.8))
    assert features(found)["it.cutout"].tool == "hole saw"
    frame = next(b for b in found.bodies if b.key == "it.frame")
    assert isinstance(frame.shape, Cylinder)
    assert (frame.shape.n_low, frame.shape.n_high) == (-4, 0)


def test_vent_slots_and_their_area() -> None:
    """By hand: 5 slots of 60 × 6 with round ends: 5 × (54 × 6 + 28.27) = 1761.4 mm²."""
    found = fitted("vent", stack(12), turn=90.0)
    slots = [f.shape for f in features(found).values()]
    assert len(slots) == 5
    assert numbers(found)["it.area"] == pytest.approx(17.614, abs=0.001)
    us = [s.u for s in slots if isinstance(s, Rectangle)]
    assert max(us) - min(us) == pytest.approx(4 * 14)


def test_a_hand_hole_with_a_cup_is_closed_all_round() -> None:
    found = fitted("cup", stack(14.7))
    walls = [b for b in found.bodies if b.kind == "solid"]
    union = body_solid(walls[0])
    for wall in walls[1:]:
        union = union + body_solid(wall)
    outer = (100 + 12) * (36 + 12) * (45 + 6)
    assert union.volume() == pytest.approx(outer - 100 * 36 * 45)


def test_a_device_off_its_board_keeps_its_plugs_free() -> None:
    board = part(
        "device", width=74, height=50, depth=25, plug_side="right", plug_room=30, air_room=20
    )
    found = fit(board, stack(12), face="back", standoff=10)
    rooms = {b.key: b.shape for b in found.bodies}
    body, plugs, air = rooms["it.body"], rooms["it.plugs"], rooms["it.air"]
    assert isinstance(body, Box)
    assert isinstance(plugs, Box)
    assert isinstance(air, Box)
    assert (body.n_low, body.n_high) == (-35, -10)
    assert plugs.u - plugs.width / 2 == 37
    assert (air.n_low, air.n_high) == (-55, -35)


def test_a_device_outside_takes_no_room() -> None:
    outside = part("device", width=170, height=70, depth=40, outside=True)
    assert fit(outside, stack(12), face="back") == Fitted()


def test_a_magnet_s_hole_is_blind() -> None:
    hole = features(fitted("magnet", stack(8.8)))["it.hole"]
    assert (hole.kind, hole.depth, hole.face, hole.tool) == ("pocket", 3, "back", "forstner")


@pytest.mark.parametrize(
    ("board", "count", "remedy"), [(12.4, 1, "thick"), (12.5, 1, "thick"), (12.6, 0, None)]
)
def test_a_cup_deeper_than_its_door_is_told(board, count, remedy) -> None:
    """A cup hinge's hole is 12.5 deep (the catalog's, common practice); 3 mm are to stay below it, so 16 serves."""
    hinge = {
        "type": "hinge-cup-35",
        "placed": [{"key": "h1", "on": "flap", "u": 200, "v": 100}],
    }
    door = {"on": "back", "width": 300, "height": 120, "fixing": "hinges", "material": "ply"}
    materials = {
        "ply": {"nominal": board, "measured": board},
        "thick": {"kind": "plywood", "species": "plywood-birch", "nominal": 16},
    }
    cabinet = subject_of(
        box(parts={"hinge": hinge}, doors={"flap": door}, materials=materials)
    ).cabinet
    told = [f for f in cabinet.findings if f.rule == "part.hole-through"]
    assert len(told) == count
    for finding in told:
        assert finding.remedies[0].field == "doors.flap.material"
        assert finding.remedies[0].value == remedy


def test_a_thin_board_holds_no_screw_and_says_so() -> None:
    found = fitted("lever", stack(4.0))
    assert "part.no-screw" in [f.rule for f in found.findings]
    assert found.fastenings == ()


def test_no_thicker_board_is_offered_under_a_pocket_that_is_worked_out() -> None:
    """At 25° the hole asks for 6.8 of wood whatever the board: what is thicker only gets a deeper pocket."""
    steep = lever(300, 200)
    steep["measured"]["tilt_deg"] = 25
    materials = {"thick": {"kind": "plywood", "species": "plywood-birch", "nominal": 18}}
    cabinet = subject_of(box(parts={"l": steep}, materials=materials)).cabinet
    assert cabinet.placed_by_key["lever1"].recess > 0
    told = [f for f in cabinet.findings if f.rule == "part.no-screw"]
    assert [r.field for f in told for r in f.remedies] == [""]


def test_a_fan_too_thick_for_the_stock_screws_is_bolted() -> None:
    """15 of fan and 6.5 of board, 3 kept: 18.5 at most, and a stock length of 16 bites 1, less than the screw's 4."""
    found = fitted("fan", stack(6.5))
    assert [f.rule for f in found.findings] == ["part.bolted"]
    bolts = positions(found, "clearance")
    assert len(bolts) == 4
    (fastening,) = found.fastenings
    # Machine screws: one size of thread, nuts and two washers each (common practice), long enough for all of it.
    assert fastening.count == 4
    assert fastening.name.endswith("machine screw")
    thread = fastening.name.split(" × ")[0]
    assert dict(fastening.also) == {f"{thread} nut": 1, f"{thread} washer": 2}
    assert fastening.length >= fastening.head_stack + BOLT_BEYOND


@pytest.mark.parametrize(
    ("hole", "least", "metric", "inch"),
    [
        (3.2, 19.8, "M3 × 20", "No. 4-40 × 1 in"),
        (4.5, 20.1, "M4 × 25", "No. 8-32 × 1 in"),
        (5.5, 31.0, "M5 × 35", "No. 10-24 × 1 1/4 in"),
        (6.6, 40.0, "M6 × 40", "1/4-20 × 1 3/4 in"),
    ],
)
def test_bolts_by_hole_and_length(hole: float, least: float, metric: str, inch: str) -> None:
    """Clearance holes of ISO 273: 3.2 and 3.4 for M3, 4.5 for M4, 5.5 for M5, 6.6 for M6; lengths of ISO 4762."""
    found = plan_bolt(hole, least=least)
    assert found is not None and found.name == f"{metric} machine screw"
    found = plan_bolt(hole, least=least, inches=True)
    assert found is not None and found.name == f"{inch} machine screw"


def test_no_bolt_for_a_pinhole() -> None:
    assert plan_bolt(2.0, least=20) is None
    assert plan_bolt(4.5, least=500) is None


def test_blind_cups_are_of_wood() -> None:
    found = fitted("cup", STACKS[0])
    cups = [body for body in found.bodies if ".cup" in body.key]
    assert len(cups) == 5
    assert {body.color for body in cups} == {WOOD}
    assert all(f.depth is None for f in features(found).values())


def test_a_strip_has_whole_cut_units() -> None:
    """1.1 m in units of 50 is 22 units; one placed piece of two has 11, which is 550."""
    shop = project(
        parts={
            "thing": {
                "kind": "strip",
                "amount": 1.1,
                "placed": [{"key": "a", "on": "deck"}, {"key": "b", "on": "deck"}],
            }
        }
    )
    assert numbers(fit(part("strip"), stack(12), face="back", shop=shop))["it.length"] == 550
