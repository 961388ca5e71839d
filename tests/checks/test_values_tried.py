"""Values that are named are tried first: boards that would reach into something, seams that would leave no panel,
wishes that stand against each other. Outside figures: the angles of two boards by plain trigonometry, elbows by hand.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from tests.behavior.test_wheelchair import standing
from tests.checks.bench import applied, box, device, found, lever, merged, subject_of
from tests.checks.test_playing_rules import ROW, played

from casewright.basics.findings import Finding, Severity
from casewright.checks import run_checks
from casewright.checks.rules import hand_height, hand_wheelchair
from casewright.checks.sizes import overall, size_of
from casewright.geometry.model import Cylinder
from casewright.workflow import open_text, work_out

THICK = {"kind": "plywood", "nominal": 18, "measured": 18}
FAN = {
    "kind": "fan",
    "measured": {"size": 40, "thickness": 10, "opening": 37, "pitch": 32, "screw_hole": 3.5},
    "placed": [{"key": "fan", "on": "back", "u": 60, "v": 100}],
}


def told(data: dict[str, Any], rule: str) -> list[Finding]:
    return [f for f in run_checks(subject_of(data, collide=True)) if f.rule == rule]


def thin_back(room: float) -> dict[str, Any]:
    """A back of 5 for a fan that no screw holds in; a device 40 thick on the base stands `room` before it."""
    thin = {"kind": "plywood", "nominal": 5, "measured": 5}
    stands = device("stands", 300, 300 - 5 - 30 - room)
    return box(
        materials={"thin": thin, "thick": THICK},
        panels={"back": {"run": "B-C", "role": "back", "fixing": "screwed", "material": "thin"}},
        seams=[],
        parts={"fan": FAN, "stands": stands},
    )


def test_a_thicker_board_is_a_value_only_where_it_has_room():
    """12 for 5 reaches 7 farther in: with 10 of room it cures, with 4 the words say what stands there."""
    roomy, tight = thin_back(10), thin_back(4)
    (finding,) = told(roomy, "part.bolted")
    (remedy,) = (r for r in finding.remedies if r.field)
    assert (remedy.field, remedy.value) == ("panels.back.material", "ply")
    assert not told(applied(roomy, remedy), "part.bolted")
    assert not told(applied(roomy, remedy), "collision.solid")
    (finding,) = told(tight, "part.bolted")
    assert not any(r.field for r in finding.remedies)
    assert any("7.0000" in r.text and "stands there" in r.text for r in finding.remedies)
    assert told(applied(tight, remedy), "collision.solid")  # as it was said


def test_a_thicker_board_is_no_value_where_its_miter_passes_the_saw():
    """At 100 degrees two boards of 6 miter at 40; with 18 beside it the 6 asks for more, by plain trigonometry:

    x = (18 + 6 cos 100) / sin 100 along the thin board, and x / 6 is the tangent of its tilt: 70.8 degrees.
    """
    theta = math.radians(100)
    tilt = math.degrees(math.atan((18 + 6 * math.cos(theta)) / math.sin(theta) / 6))
    assert tilt == pytest.approx(70.8, abs=0.05)
    foot = 100 + 200 / math.tan(theta)
    corners = {"A": [foot, 0], "B": [500, 0], "C": [500, 200], "D": [100, 200]}
    data = box(
        materials={"ply": {"nominal": 6, "measured": 6}, "thick": THICK},
        shape={"corners": corners, "width": 1500},
        seams=[{"between": ["deck", "front"], "rule": "miter"}],
    )
    (weak,) = (f for f in told(data, "stiff.board") if "deck" in f.place.names)
    assert not any(r.field == "panels.deck.material" for r in weak.remedies)
    assert any("70.8°" in r.text for r in weak.remedies)
    assert not told(data, "seam.tilt")
    assert told(merged(data, {"panels": {"deck": {"material": "thick"}}}), "seam.tilt")


@pytest.mark.parametrize("bezel", [4.0, 8.0])
def test_an_opening_grows_for_its_corners_only_as_far_as_the_housing_laps(bezel):
    """A bit of 12.7 asks for a margin of 6.35 × (1 − 1/√2) = 1.86, so 1.9; 3 of the housing must lap the panel."""
    sizes = {
        "lit_width": 300,
        "lit_height": 120,
        "housing_depth": 20,
        "bezel_left": bezel,
        "bezel_bottom": bezel,
    }
    sizes |= {"housing_width": 300 + 2 * bezel, "housing_height": 120 + 2 * bezel}
    screen = {"kind": "display", "measured": sizes, "placed": [{"key": "screen", "on": "front"}]}
    data = box(parts={"screen": screen})
    (corners,) = told(data, "display.corners")
    margins = [r for r in corners.remedies if r.field.endswith("margin")]
    assert bool(margins) is (bezel - 1.9 >= 3)
    for remedy in margins:
        after = applied(data, remedy)
        assert not told(after, "display.corners")
        assert not told(after, "display.lap")


def people(*elbows: float) -> list[dict[str, Any]]:
    return [
        {"label": f"player {n}", "posture": "standing", "elbow": elbow}
        for n, elbow in enumerate(elbows, start=1)
    ]


def test_one_height_for_all_is_named_where_there_is_one():
    """The deck is 200 over the table. Elbows at 1000 and 1100: controls from 900 to 1075 suit both, so 700 to 875."""
    for height, want in ((600, 700), (950, 875)):
        data = merged(played(*ROW), {"site": {"height": height}})
        data["people"] = people(1000, 1100)
        for finding in found(hand_height, data):
            remedy = next(r for r in finding.remedies if r.field)
            assert remedy.value == pytest.approx(want)
            assert found(hand_height, applied(data, remedy)) == []


@pytest.mark.parametrize("height", [500, 750, 900])
def test_no_one_height_for_two_is_said_and_none_is_named(height):
    """Elbows at 1250 and 700: 1050 and more suits the one, 775 and less the other; 275 between, 1050 - 775."""
    data = merged(played(*ROW), {"site": {"height": height}})
    data["people"] = people(1250, 700)
    findings = found(hand_height, data)
    assert findings
    for finding in findings:
        assert not any(r.field for r in finding.remedies)
        step, middle = finding.remedies
        assert "No one height suits both player 1 and player 2" in step.text
        assert "⟦275.0000↑⟧" in step.text
        assert "⟦712.5000⟧" in middle.text  # (1050 + 775) / 2 - 200


def test_room_for_knees_comes_with_a_cabinet_that_stands():
    """430 of room in a cabinet 530 deep stands on the rear 100; what is named is deeper, and leaves it standing."""
    data = standing()
    (knees,) = (f for f in found(hand_wheelchair, data) if "knees" in f.message)
    remedy = next(r for r in knees.remedies if r.field)
    after = applied(data, remedy)
    assert not [f for f in found(hand_wheelchair, after) if "knees" in f.message]
    falls = [f for f in told(after, "stand.slope") if f.severity is Severity.STOP]
    assert falls == []


def test_a_leg_far_beside_the_cabinet_is_what_is_too_wide():
    leg = {"material": "ply", "plane": "side", "at": [900, 50, 0], "size": [200, 150]}
    data = box(site={"on": "table", "height": 700, "width": 700}, boards={"leg": leg})
    (finding,) = told(data, "site.room")
    assert not any(r.field for r in finding.remedies)
    assert any("leg" in r.text for r in finding.remedies)


def test_no_width_of_nothing_is_named():
    """600 wide in a place of 50."""
    data = box(site={"on": "table", "height": 700, "width": 40})
    (finding,) = told(data, "site.room")
    assert not any(r.field for r in finding.remedies)


@pytest.mark.parametrize("name", ["screen_tilt_deg", "deck_height"])
def test_a_wish_that_stands_against_another_is_said_in_words(name):
    """A recipe refuses heights that do not add up; a remedy that would be refused bears no value."""
    text = """\
casewright: 1
name: Tall
unit: mm
materials:
  board: {kind: plywood, nominal: 12, measured: 12}
site: {on: floor}
people:
  - {label: Ada, posture: wheelchair, eye: 1150, distance: 300}
shape:
  recipe: standing
  side: {material: board}
  board: board
  deck_height: 200
  header_height: 80
  screen_length: 300
  screen_tilt_deg: 10
  width: 600
parts:
  button: {type: button-24-screw, placed: [{key: b, on: deck, player: 1}]}
"""
    worked = work_out(open_text(text))
    fields = [r.field for f in worked.findings for r in f.remedies]
    for finding in worked.findings:
        for remedy in finding.remedies:
            if remedy.field == f"shape.{name}":
                changed = text.replace(
                    f"  {name}: {200 if name == 'deck_height' else 10}\n",
                    f"  {name}: {remedy.value}\n",
                )
                assert work_out(open_text(changed)), fields


def test_a_doors_strips_go_along_with_a_thicker_panel():
    """The same back with a door in it: its strips lie on the thicker board then, and stand in nobody's way."""
    door = {"on": "back", "width": 120, "height": 60, "u": 470, "fixing": "screwed"}
    data = merged(thin_back(10), {"doors": {"hatch": door}})
    (finding,) = told(data, "part.bolted")
    (remedy,) = (r for r in finding.remedies if r.field)
    assert (remedy.field, remedy.value) == ("panels.back.material", "ply")
    assert not told(applied(data, remedy), "collision.solid")


def test_a_table_that_turns_the_screen_is_a_value_only_where_the_cabinet_still_passes():
    """On a table 80 lower the eyes see the screen from higher: it turns to them, and the cabinet grows."""
    data = {
        **{"name": "Turned", "unit": "mm", "materials": box()["materials"]},
        "site": {"on": "table", "height": 800},
        "shape": {"recipe": "tabletop", "width": 700, "side": {"material": "ply"}, "board": "ply"},
        "people": [{"label": "one", "posture": "seated"}],
        "parts": {
            "screen": {"type": "display-21-5", "placed": [{"key": "screen", "on": "screen"}]},
            "b": {"type": "button-30-screw", "placed": [{"key": "b", "on": "deck", "player": 1}]},
        },
    }
    (plain,) = told(data, "hand.height")
    remedy = next(r for r in plain.remedies if r.field == "site.height")
    now, then = (size_of(overall(subject_of(d).cabinet)) for d in (data, applied(data, remedy)))
    assert any(b > a + 1 for a, b in zip(now, then, strict=True))
    grown = [max(a, b) for a, b in zip(now, then, strict=True)]
    tight = {"label": "bay", "width": now[0] + 20, "height": now[2] + 20, "depth": now[1] + 20}
    roomy = {
        "label": "bay",
        "width": grown[0] + 20,
        "height": grown[2] + 20,
        "depth": grown[1] + 20,
    }
    for bay, offered in ((tight, False), (roomy, True)):
        (finding,) = told(merged(data, {"limits": {"passages": [bay]}}), "hand.height")
        assert any(r.field == "site.height" for r in finding.remedies) is offered
        assert offered or any("does not pass bay any more" in r.text for r in finding.remedies)


@pytest.mark.parametrize("inside", [150, 200])
def test_a_covered_corner_of_unequal_boards_is_cured_by_a_miter_with_another_board(inside):
    """A butt at 150° (200°) asks for 60 (70) of the saw; a miter of 12 and 6, by plain trigonometry, for
    atan((12 + 6 cos 150) / (6 sin 150)) = 66.2 (72.1) in the thin one; of 12 and 12, for 15 (10)."""
    theta = math.radians(inside)
    thin = math.degrees(math.atan((12 + 6 * math.cos(theta)) / (6 * math.sin(theta))))
    assert abs(thin) > 45
    turn = math.radians(180 - inside)
    # front up from A, then deck from D to C, turned by that much: both slope backward
    a, d = (0.0, 0.0), (100.0, 100.0)
    way = math.radians(45) - turn
    c = (d[0] + 160 * math.cos(way), d[1] + 160 * math.sin(way))
    data = box(
        materials={"thin": {"kind": "plywood", "nominal": 6, "measured": 6}},
        shape={"corners": {"A": a, "B": [400, 0], "C": c, "D": d}},
        panels={"deck": {"material": "thin"}},
        seams=[{"between": ["deck", "front"], "rule": "cover", "over": "front"}],
    )
    steep = [f for f in told(data, "seam.tilt") if set(f.place.names) == {"deck", "front"}]
    assert steep
    both = [r for r in steep[0].remedies if r.also]
    assert [(r.field, r.value, r.also) for r in both] == [
        ("seams.deck/front.rule", "miter", (("panels.deck.material", "ply"),))
    ]
    assert f"{abs(90 - inside / 2):.1f}°" in both[0].text
    assert not [
        f
        for f in told(applied(data, both[0]), "seam.tilt")
        if {"deck", "front"} <= set(f.place.names)
    ]


def test_where_parts_sit_on_both_boards_the_thicker_one_is_named_with_a_word_of_them():
    """The corner of 150° above, buttons on both: the deck goes from 6 to 12, and its buttons hold elsewhere."""
    way = math.radians(45 - 30)
    c = (100 + 160 * math.cos(way), 100 + 160 * math.sin(way))
    button = {"type": "button-24-screw"}
    data = box(
        materials={"thin": {"kind": "plywood", "nominal": 6, "measured": 6}},
        shape={"corners": {"A": [0, 0], "B": [400, 0], "C": c, "D": [100, 100]}},
        panels={"deck": {"material": "thin"}},
        seams=[{"between": ["deck", "front"], "rule": "cover", "over": "front"}],
        parts={
            on: {**button, "placed": [{"key": f"on-{on}", "on": on}]} for on in ("deck", "front")
        },
    )
    (steep,) = (f for f in told(data, "seam.tilt") if set(f.place.names) == {"deck", "front"})
    assert "each need" in steep.message
    (both,) = (r for r in steep.remedies if r.also)
    assert (both.value, both.also) == ("miter", (("panels.deck.material", "ply"),))
    assert "sits on it" in both.text


def test_what_is_said_first_does_not_begin_with_or():
    """A hinge too wide for a door of 6 whose only order was an alternative to others that do not do here."""
    data = thin_back(30)
    data["doors"] = {"hatch": {"on": "back", "width": 200, "height": 120, "fixing": "hinges"}}
    data["parts"] = {"hinge": {"type": "hinge-butt-40"}}
    for finding in run_checks(subject_of(data)):
        if finding.remedies:
            assert not finding.remedies[0].text.startswith("Or "), finding.message


@pytest.mark.parametrize("room", [4, 10])
def test_a_thicker_shelf_is_a_value_only_where_it_has_room(room):
    """A shelf of 6 that sags; of 12 it reaches 6 higher, toward a board `room` above it."""
    thin = {"kind": "plywood", "nominal": 6, "measured": 6}
    data = box(
        materials={"thin": thin},
        inner={"shelf": {"material": "thin", "start": [40, 60], "end": [250, 60]}},
        boards={
            "above": {
                "material": "ply",
                "plane": "level",
                "at": [200, 40, 66 + room],
                "size": [150, 150],
            }
        },
    )
    sags = [f for f in told(data, "stiff.board") if "shelf" in f.place.names]
    thicker = [r for f in sags for r in f.remedies if "Make shelf of ply" in r.text]
    assert thicker
    assert [bool(r.field) for r in thicker] == [room > 6] * len(thicker)
    wide = merged(data, {"inner": {"shelf": {"material": "ply"}}})
    assert bool([f for f in told(wide, "collision.solid") if "shelf" in f.place.names]) is (
        room < 6
    )


def test_a_shelf_just_below_a_round_basket_does_not_grow_into_it():
    """A basket of 90 stands 0.2 over the shelf: less than what its outer shape, corners set round it, is larger by."""
    speaker = {
        "kind": "speaker",
        "measured": {"cutout": 90, "frame": 100, "depth": 60, "holes_square": 80, "mass_kg": 0.3},
        "placed": [{"key": "s", "on": "front", "v": 120}],
    }
    cabinet = subject_of(box(parts={"s": speaker})).cabinet
    basket = next(b for b in cabinet.bodies if b.key == "s.basket")
    assert isinstance(basket.shape, Cylinder)
    middle = basket.frame.point(basket.shape.u, basket.shape.v)[2]
    low = middle - max(basket.shape.diameter, basket.shape.top_diameter or 0.0) / 2
    thin = {"kind": "plywood", "nominal": 6, "measured": 6}
    data = box(
        materials={"thin": thin},
        parts={"s": speaker},
        inner={"shelf": {"material": "thin", "start": [20, low - 6.2], "end": [250, low - 6.2]}},
    )
    assert not [f for f in told(data, "collision.solid") if "shelf" in f.place.names]
    (sags,) = (f for f in told(data, "stiff.board") if "shelf" in f.place.names)
    thicker = next(r for r in sags.remedies if "Make shelf of ply" in r.text)
    assert not thicker.field
    assert "stands there" in thicker.text


def test_a_reflex_miter_of_unequal_boards_is_told_the_board_that_cures():
    """At 200° 6 and 12 ask for 72.1 of the saw, by the trigonometry above; 12 and 12 for 10."""
    way = math.radians(45 + 20)
    c = (100 + 160 * math.cos(way), 100 + 160 * math.sin(way))
    data = box(
        materials={"thin": {"kind": "plywood", "nominal": 6, "measured": 6}},
        shape={"corners": {"A": [0, 0], "B": [400, 0], "C": c, "D": [100, 100]}},
        panels={"deck": {"material": "thin"}},
        seams=[{"between": ["deck", "front"], "rule": "miter"}],
    )
    steep = [f for f in told(data, "seam.tilt") if {"deck", "front"} <= set(f.place.names)]
    assert any("72.1°" in f.message for f in steep)
    remedy = next(r for r in steep[0].remedies if r.field)
    assert (remedy.field, remedy.value) == ("panels.deck.material", "ply")
    after = told(applied(data, remedy), "seam.tilt")
    assert not [f for f in after if {"deck", "front"} <= set(f.place.names)]


@pytest.mark.parametrize("low", [70, 90])
def test_what_hangs_behind_a_board_does_not_go_into_the_base_with_a_thicker_one(low):
    """A lever's body reaches 62 behind the deck: with 6 of deck it ends 68 below its face, with 12, 74; the base is 12
    thick. Under a deck at 82 it clears it with the one and not with the other, under one at 102 with both."""
    corners = {"A": [0, 0], "B": [300, 0], "C": [300, low + 12], "D": [0, low + 12]}
    data = box(
        materials={"thin": {"kind": "plywood", "nominal": 6, "measured": 6}},
        shape={"corners": corners},
        panels={"deck": {"material": "thin"}},
        parts={"lever": lever(288, 150)},
    )
    sags = [f for f in told(data, "stiff.board") if "deck" in f.place.names]
    thicker = [r for f in sags for r in f.remedies if "Make deck of ply" in r.text]
    assert thicker
    assert [bool(r.field) for r in thicker] == [low == 90] * len(thicker)
    after = merged(data, {"panels": {"deck": {"material": "ply"}}})
    meets = [f for f in told(after, "collision.solid") if "base" in f.place.names]
    assert bool(meets) is (low == 70)


@pytest.mark.parametrize(("free", "width"), [(8, None), (10, 10)])
def test_a_smaller_batten_is_no_value_where_a_screws_head_would_split_it_elsewhere(free, width):
    """A device on the base leaves `free` beside the right end of the front. The deck's screws 4.0 × 30 have a head of 8
    let into its cleats, a bore of 9 by common practice: battens of 8 would be split by it, those of 10 are not."""
    sizes = {"width": 30, "height": 60, "depth": 150, "mass_kg": 0.3}
    spot = {"key": "tall", "on": "base", "u": 576 - 15 - free, "v": 40}
    data = box(
        parts={"tall": {"kind": "device", "measured": sizes, "placed": [spot]}},
        panels={"deck": {"cleats": {"screw": "4.0 x 30", "counterbore": 6}}},
    )
    (finding,) = (f for f in told(data, "cleat.no-room") if "front" in f.place.names)
    values = [r for r in finding.remedies if r.field.startswith("batten.")]
    assert [r.value for r in values] == ([] if width is None else [width])
    small = merged(data, {"batten": {"width": free}})
    assert bool(told(small, "feature.outside")) is (width is None)
    assert not [f for f in told(small, "cleat.no-room") if "front" in f.place.names]


@pytest.mark.parametrize(("rear", "words"), [(480, True), (300, False)])
def test_a_box_of_a_wished_volume_that_gets_shallower_says_which_feet_to_bring_in(rear, words):
    """17 litres, 236 wide and 126 high inside, are 572 deep; with 186 of height 387, 184 less (17e6 / 236 / 186)."""
    spots = [{"key": f"f{n}", "on": "base", "u": 60 + 120 * n, "v": rear} for n in range(2)]
    data = {
        **{"name": "Loud", "materials": box()["materials"]},
        "shape": {"recipe": "box", "net_litres": 17, "height": 150, "width": 260},
        "parts": {
            "loud": {"type": "speaker-6-5", "placed": [{"key": "loud", "on": "front"}]},
            "feet": {"type": "foot-rubber-30", "placed": spots},
        },
    }
    data["shape"] |= {"side": {"material": "ply"}, "board": "ply"}
    (low,) = told(data, "shape.height")
    remedy = next(r for r in low.remedies if r.field)
    after = told(applied(data, remedy), "feature.outside")
    assert bool(after) is words
    shorter = 17e6 / 236 * (1 / 126 - 1 / (remedy.value - 24))
    said = f"Base gets ⟦{shorter:.4f}⟧ shorter with it: then bring 2 × Rubber foot 30 mm in."
    assert remedy.text.endswith(said) is words
    less = f"gets ⟦{shorter:.4f}⟧ shallower with it: see then that all in it has room."
    assert remedy.text.endswith(less) is not words


@pytest.mark.parametrize(("high", "past"), [(200, 5.5547), (215, None)])
def test_an_opening_is_made_larger_by_a_value_only_where_its_panel_has_room(high, past):
    """A picture 170 high in the middle between z = 12 and the deck's underside: of 200, 188 - 100 - 85 = 3 of front are
    left above it, and 8.55 are asked for eyes that look down; of 215, 10.5."""
    sizes = {"lit_width": 300, "lit_height": 170, "housing_width": 330, "housing_height": 200}
    sizes |= {"housing_depth": 30, "bezel_left": 15, "bezel_bottom": 15}
    data = box(
        shape={"corners": {"A": [0, 0], "B": [300, 0], "C": [300, high], "D": [0, high]}},
        people=[{"label": "Ada", "posture": "standing", "eye": 1250, "distance": 500}],
        site={"on": "table", "height": 700},
        parts={
            "screen": {
                "kind": "display",
                "measured": sizes,
                "placed": [{"key": "screen", "on": "front"}],
            },
            "b": {"type": "button-24-screw", "placed": [{"key": "b", "on": "deck", "player": 1}]},
        },
    )
    (hidden,) = told(data, "sight.throat")
    (larger,) = (r for r in hidden.remedies if r.text.startswith("Make the opening"))
    assert bool(larger.field) is (past is None)
    if past is None:
        assert not told(applied(data, larger), "display.opening-room")
    else:
        assert (
            f"First give it room: it would run ⟦{past:.4f}⟧ past the edge of front." in larger.text
        )
        cut = {**data["parts"]["screen"]["placed"][0], "opening": {"margin": 8.6}}
        data["parts"]["screen"]["placed"] = [cut]
        assert told(data, "display.opening-room")


@pytest.mark.parametrize(("sheet", "said"), [(293, True), (296, False)])
def test_a_seam_that_makes_a_board_too_long_for_its_sheets_says_so(sheet, said):
    """At 120 degrees the deck of 12 over a front of 24 would miter at atan((24 - 6) / sin 120 / 12) = 60; as it covers
    the front, its back is 12 tan 30 = 6.9 longer than its show face of 288, before the back of 12."""
    data = box(
        materials={"ply": {"sheets": [{"length": 1000, "width": sheet + 10}]}, "thick": THICK},
        shape={"corners": {"A": [0, 0], "B": [415.47, 0], "C": [415.47, 200], "D": [115.47, 200]}},
        panels={"front": {"material": "thick"}},
    )
    data["materials"]["thick"] = {"kind": "plywood", "nominal": 24, "measured": 24}
    data["seams"] = [
        {"between": ["deck", "front"], "rule": "miter"},
        {"between": ["deck", "back"], "rule": "cover", "over": "back"},
    ]
    (steep,) = (f for f in told(data, "seam.tilt") if set(f.place.names) == {"deck", "front"})
    assert "60.0°" in steep.message
    covers = next(r for r in steep.remedies if r.value == "deck")
    length = 300 - 12 + 12 * math.tan(math.radians(30))
    words = f"But deck is ⟦{length:.4f}⟧ from end to end then, for which no sheet is large enough."
    assert covers.text.endswith(words) is said


def test_a_seam_that_makes_a_panel_too_short_for_what_is_in_its_middle_says_so():
    """At 110 degrees a front of 12 that the deck covers is 12 / tan 70 = 4.4 shorter in front than one that covers the
    deck; a picture in its middle whose opening reaches to 1 from the edges has no room any more."""
    lean = 200 / math.tan(math.radians(70))
    data = box(
        shape={"corners": {"A": [0, 0], "B": [400, 0], "C": [400, 200], "D": [lean, 200]}},
        seams=[{"between": ["deck", "front"], "rule": "miter"}],
    )
    plain = subject_of(data).cabinet.slab_by_panel["front"]
    lit = min(plain.show_length, plain.back_length) - 2
    sizes = {"lit_width": 300, "lit_height": lit, "housing_width": 330, "housing_height": lit + 20}
    screen = {
        "kind": "display",
        "measured": {**sizes, "housing_depth": 30},
        "placed": [{"key": "screen", "on": "front"}],
    }
    data = merged(data, {"parts": {"screen": screen}, "shop": {"tilt_most": 20}})
    (steep,) = (f for f in told(data, "seam.tilt") if "front" in f.place.names)
    over = next(r for r in steep.remedies if r.value == "deck")
    assert "too short for" in over.text
    assert told(applied(data, over), "display.opening-room")
