"""Outlines solved from wishes; expected figures are worked by hand beside each test."""

from __future__ import annotations

import math

import pytest
from tests.geometry.recipes.recipe_bench import (
    button,
    display,
    number,
    run_of,
    solved,
)

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Severity
from casewright.basics.units import parse_length


def fields(caught: pytest.ExceptionInfo[InputErrors]) -> list[str]:
    return [error.field for error in caught.value.errors]


# ---- tabletop --------------------------------------------------------------------------------------------------------


def test_tabletop_without_header_by_hand():
    """Everything fixed but what follows: level deck 200, lip 100, screen upright.

    Screen: housing 320 + 2 × 12, and the top covers 12 of it: 356; nothing is lost at the foot at 0°.
    Height 100 + 356 = 456. Depth: the display stands from 200 + 12 + 40, cables 15, back 12 -> 279, the bar of 12 with
    heads of 5 needs 281; the top panel behind the screen asks for 110 -> 310. So 310.
    """
    shape = solved(
        {
            "recipe": "tabletop",
            "header": False,
            "deck_slope_deg": 0,
            "screen_tilt_deg": 0,
            "deck_depth": 200,
            "lip_height": 100,
        },
        {"display": display(), "button": button(v=100)},
    )
    assert shape.corners == {
        "A": (0, 0),
        "B": (pytest.approx(310), 0),
        "C": (pytest.approx(310), pytest.approx(456)),
        "D": (pytest.approx(200), pytest.approx(456)),
        "E": (200, 100),
        "F": (0, 100),
    }
    assert [run.panel for run in shape.runs] == ["base", "back", "top", "screen", "deck", "lip"]
    assert shape.findings == ()


def test_deck_depth_from_a_button_whose_place_is_given():
    """v 140 + half the bezel 15 + 25 for fingers (more than half the nut 15 + 10 of land)."""
    shape = solved({"recipe": "tabletop"}, {"display": display(), "button": button(v=140)})
    assert run_of(shape, "deck").length == pytest.approx(180)


def test_deck_depth_from_a_row_at_the_palm_room():
    """The button sits in the middle with its rim at 75: 2 × (75 + 15)."""
    shape = solved({"recipe": "tabletop"}, {"display": display(), "button": button()})
    assert run_of(shape, "deck").length == pytest.approx(180)
    wider = solved(
        {"recipe": "tabletop", "palm_room": 100}, {"display": display(), "button": button()}
    )
    assert run_of(wider, "deck").length == pytest.approx(230)


def test_screen_loses_its_foot_to_the_deck():
    """Laid back 20° on a deck of 10°: the foot is sawn at 30°, and 12 × tan 30° of the back face is lost."""
    shape = solved(
        {
            "recipe": "tabletop",
            "deck_slope_deg": 10,
            "screen_tilt_deg": 20,
            "screen_margin": 10,
        },
        {"display": display()},
    )
    assert run_of(shape, "screen").length == pytest.approx(320 + 20 + 12 * math.tan(math.pi / 6))


def test_a_turned_display_is_as_high_as_it_was_wide():
    shape = solved(
        {"recipe": "tabletop", "deck_slope_deg": 0, "screen_tilt_deg": 0},
        {"display": display(turn=90)},
    )
    assert run_of(shape, "screen").length == pytest.approx(520 + 24)


def test_width_from_players_abreast():
    """Two shoulder breadths: middle of 509 and 450, the medians of men and women (ANSUR II, bideltoid breadth)."""
    one, two = button(v=120, u=150, player=1), button(v=120, u=650, player=2)
    both = {**one, "placed": [{**one["placed"][0]}, {**two["placed"][0], "key": "second"}]}
    shape = solved({"recipe": "tabletop"}, {"display": display(), "button": both})
    assert shape.width == pytest.approx(2 * (509 + 450) / 2)


def test_width_from_the_display_and_its_rails():
    """520 + 2 × (rail 20 + gap 1 + cleat 20 + 3) + sides 2 × 18 = 644; nobody plays."""
    shape = solved({"recipe": "tabletop"}, {"display": display()})
    assert shape.width == pytest.approx(644)


def test_screen_square_to_one_pair_of_eyes():
    """The line from the eye to the middle of the screen is square to it: their scalar product is 0."""
    shape = solved(
        {"recipe": "tabletop"},
        {"display": display()},
        people=[{"label": "one", "eye": 1250, "distance": 300}],
    )
    run = run_of(shape, "screen")
    middle = ((run.p[0] + run.q[0]) / 2, (run.p[1] + run.q[1]) / 2)
    eye = (-300, 1250 - 740)
    ey, ez = run.direction
    assert ey * (eye[0] - middle[0]) + ez * (eye[1] - middle[1]) == pytest.approx(0, abs=1e-6)


def test_two_pairs_of_eyes_share_the_error():
    """Highest and lowest eye are equally far off square, on either side; an onlooker does not count."""
    shape = solved(
        {"recipe": "tabletop"},
        {"display": display()},
        people=[
            {"label": "child", "eye": 1100, "distance": 250},
            {"label": "tall", "eye": 1350, "distance": 250},
            {"label": "helper", "eye": 1700, "distance": 900, "plays": False},
        ],
    )
    run = run_of(shape, "screen")
    middle = ((run.p[0] + run.q[0]) / 2, (run.p[1] + run.q[1]) / 2)
    facing = math.degrees(math.atan2(run.normal[1], -run.normal[0]))
    off = [
        math.degrees(math.atan2(eye - 740 - middle[1], middle[0] + 250)) - facing
        for eye in (1100, 1350)
    ]
    assert off[0] == pytest.approx(-off[1], abs=1e-6)
    assert off[1] > 0


def test_usual_seated_eyes_give_the_usual_tilt():
    """A seated adult at a table of 740: the middle is 15 to 25° below the eye (common practice)."""
    shape = solved({"recipe": "tabletop"}, {"display": display(), "button": button(v=120)})
    assert 15 <= number(shape, "shape.screen_tilt").value <= 25


def test_tilt_is_kept_within_limits_and_says_so():
    shape = solved(
        {"recipe": "tabletop"},
        {"display": display()},
        people=[{"label": "giant", "eye": 2300, "distance": 100}],
    )
    assert number(shape, "shape.screen_tilt").value == 45
    (note,) = [f for f in shape.findings if f.rule == "shape.screen-tilt"]
    assert note.severity is Severity.NOTE
    assert float(note.remedies[0].value or 0) > 45


def test_header_underside_stands_square_to_the_screen():
    shape = solved(
        {"recipe": "tabletop", "screen_tilt_deg": 20, "header_tilt_deg": 15},
        {"display": display()},
    )
    under, screen, face = (run_of(shape, key) for key in ("underside", "screen", "header"))
    assert sum(a * b for a, b in zip(under.direction, screen.direction, strict=True)) == (
        pytest.approx(0, abs=1e-12)
    )
    assert math.degrees(math.asin(-face.direction[0])) == pytest.approx(15)


def test_header_takes_its_size_from_sign_and_speaker():
    """Upright screen and face, boards of 12.

    Sign: opening 60 + 2 × (overlap 10 + frame 15 − lip 6) = 98 over all, 3 of play at either end. It is centred on the
    show face less the top's 12; the underside takes 12 more of the back: 98 + 6 + 2 × 12 + 12 = 140.
    Speaker: frame 70 + 2 × 7 + the face's 12 = 96; the sign's light board, unboxed, asks for nothing.
    """
    shape = solved(
        {
            "recipe": "tabletop",
            "deck_slope_deg": 0,
            "screen_tilt_deg": 0,
            "header_tilt_deg": 0,
        },
        {
            "display": display(),
            "sign": {
                "kind": "sign",
                "measured": {"opening_width": 300, "opening_height": 60},
                "placed": [{"key": "sign", "on": "header", "boxed": False}],
            },
            "speaker": {
                "kind": "speaker",
                "measured": {"cutout": 60, "frame": 70, "depth": 30},
                "placed": [{"key": "speaker", "on": "underside"}],
            },
        },
    )
    assert run_of(shape, "header").length == pytest.approx(140)
    assert run_of(shape, "underside").length == pytest.approx(96)


def test_lip_height_clears_a_deep_control():
    """Level deck: 50 below its show face, 10 free, base 12 = 72; the cleats ask for 12 + 40 + 30 + 12 = 94."""
    parts = {"display": display(), "button": button(v=100)}
    shape = solved({"recipe": "tabletop", "deck_slope_deg": 0}, parts)
    assert run_of(shape, "lip").length == pytest.approx(94)
    deep = button(v=100)
    deep["measured"] = {**deep["measured"], "behind": 90}
    shape = solved({"recipe": "tabletop", "deck_slope_deg": 0}, {**parts, "button": deep})
    assert run_of(shape, "lip").length == pytest.approx(112)


@pytest.mark.parametrize(
    ("field", "value", "panel"),
    [
        ("deck_depth", 260.0, "deck"),
        ("lip_height", 120.0, "lip"),
        ("screen_length", 400.0, "screen"),
        ("header_height", 200.0, "header"),
        ("header_overhang", 150.0, "underside"),
        ("depth", 500.0, "base"),
    ],
)
def test_every_length_can_be_fixed(field: str, value: float, panel: str):
    shape = solved(
        {"recipe": "tabletop", field: value}, {"display": display(), "button": button(v=120)}
    )
    assert run_of(shape, panel).length == pytest.approx(value)
    assert number(shape, f"shape.{field}").value == value
    assert shape.findings == ()


def test_a_wished_height_comes_out_of_the_header():
    shape = solved({"recipe": "tabletop", "height": 700}, {"display": display()})
    assert shape.corners["C"][1] == pytest.approx(700)
    assert shape.findings == ()


def test_a_wished_height_without_header_comes_out_of_the_lip():
    parts = {"display": display()}
    shape = solved({"recipe": "tabletop", "header": False, "height": 520}, parts)
    assert shape.corners["C"][1] == pytest.approx(520)
    assert number(shape, "shape.lip_height").value == pytest.approx(run_of(shape, "lip").length)


def test_a_height_that_is_too_low_names_the_one_that_passes():
    parts = {"display": display()}
    free = solved({"recipe": "tabletop"}, parts).corners["C"][1]
    shape = solved({"recipe": "tabletop", "height": free - 50}, parts)
    (stop,) = shape.findings
    assert (stop.rule, stop.severity) == ("shape.height", Severity.STOP)
    again = solved({"recipe": "tabletop", "height": stop.remedies[0].value}, parts)
    assert again.findings == ()


def test_height_against_all_its_parts_is_an_error():
    wishes = {"recipe": "tabletop", "header": False, "lip_height": 100, "height": 900}
    with pytest.raises(InputErrors) as caught:
        solved(wishes, {"display": display()})
    assert fields(caught) == ["shape.height"]


def test_a_deck_too_shallow_names_the_depth_that_passes():
    """v 140 + half the bezel 15 + 10 of land is the least: 165."""
    parts = {"display": display(), "button": button(v=140)}
    shape = solved({"recipe": "tabletop", "deck_depth": 150}, parts)
    (stop,) = shape.findings
    assert (stop.rule, stop.severity) == ("shape.deck-depth", Severity.STOP)
    assert stop.remedies[0].field == "shape.deck_depth"
    assert stop.remedies[0].value == pytest.approx(165)
    assert solved({"recipe": "tabletop", "deck_depth": 165}, parts).findings == ()


def test_a_depth_that_cuts_the_screen_off_is_an_error():
    with pytest.raises(InputErrors) as caught:
        solved({"recipe": "tabletop", "depth": 200}, {"display": display()})
    assert fields(caught) == ["shape.depth"]


def test_a_width_below_the_shoulders_is_for_a_check_to_judge():
    pair = button(v=120, u=100, player=1)
    pair["placed"].append({"key": "second", "on": "deck", "u": 450, "v": 120, "player": 2})
    shape = solved({"recipe": "tabletop", "width": 700}, {"display": display(), "button": pair})
    assert shape.findings == ()
    assert number(shape, "shape.width_needed").value == pytest.approx(959)


def test_a_cabinet_too_narrow_for_its_display_is_a_stop():
    """Without cleats, and with rails of 8: 520 + 2 × (8 + 1) + 2 × 18 = 574."""
    shape = solved({"recipe": "tabletop", "width": 500}, {"display": display()})
    (stop,) = shape.findings
    assert (stop.rule, stop.severity) == ("shape.width", Severity.STOP)
    assert stop.remedies[0].value == pytest.approx(574)


def test_without_a_display_there_is_a_lectern():
    shape = solved({"recipe": "tabletop"}, {"button": button(v=100)})
    assert [run.panel for run in shape.runs] == ["base", "back", "deck", "lip"]
    with pytest.raises(InputErrors) as caught:
        solved({"recipe": "tabletop", "header": True}, {"button": button(v=100)})
    assert fields(caught) == ["shape.screen_length"]


def test_a_screen_panel_without_a_display():
    shape = solved({"recipe": "tabletop", "screen_length": 300}, {"button": button(v=100)})
    assert run_of(shape, "screen").length == pytest.approx(300)


# ---- panels ----------------------------------------------------------------------------------------------------------


def test_the_projects_own_words_win_over_the_recipes():
    shape = solved(
        {"recipe": "tabletop"},
        {"display": display()},
        panels={"back": {"label": "rear door", "reveal": 2}, "deck": {"fixing": "screwed"}},
    )
    back, deck = shape.panels["back"], shape.panels["deck"]
    assert (back.label, back.reveal, back.fixing, back.role) == ("rear door", 2, "screwed", "back")
    assert (deck.fixing, deck.role) == ("screwed", "deck")
    assert back.run == "B-C"


def test_an_overlay_counts_in_what_the_panel_takes():
    """A screen of 12 + 3: the deep display stands upright, so the depth grows by the 3."""
    wishes = {"recipe": "tabletop", "deck_slope_deg": 0, "screen_tilt_deg": 0, "header": False}
    deep = display()
    deep["measured"] = {**deep["measured"], "housing_depth": 120}
    plain = solved(wishes, {"display": deep})
    layered = solved(
        wishes,
        {"display": deep},
        panels={"screen": {"layers": [{"key": "cover", "material": "clear"}]}},
    )
    assert layered.corners["B"][0] - plain.corners["B"][0] == pytest.approx(3)


def test_a_panel_may_be_left_open():
    shape = solved(
        {"recipe": "tabletop"}, {"display": display()}, panels={"back": {"role": "open"}}
    )
    assert "back" not in shape.panels
    assert shape.runs[1].panel == ""
    assert all("back" not in seam.between for seam in shape.seams)


def test_an_unknown_panel_names_the_nearest():
    with pytest.raises(InputErrors) as caught:
        solved({"recipe": "tabletop"}, {"display": display()}, panels={"dekc": {}})
    (error,) = caught.value.errors
    assert error.field == "panels.dekc"
    assert error.example == "deck"


def test_a_run_of_ones_own_is_refused():
    with pytest.raises(InputErrors) as caught:
        solved({"recipe": "tabletop"}, {"display": display()}, panels={"deck": {"run": "A-B"}})
    assert fields(caught) == ["panels.deck.run"]


def test_a_saw_that_cannot_tilt_so_far_gets_a_miter():
    """Screen back 40° on a deck of 8°: a foot sawn at 48° is past 45°."""

    def between(tilt: float) -> str:
        shape = solved({"recipe": "tabletop", "screen_tilt_deg": tilt}, {"display": display()})
        return next(s.rule for s in shape.seams if set(s.between) == {"screen", "deck"})

    assert between(37) == "cover"
    assert between(40) == "miter"


# ---- standing --------------------------------------------------------------------------------------------------------

FLOOR = {"on": "floor"}


def test_deck_of_a_standing_adult():
    """125 below the elbow: (1104 + 1022) / 2 (ANSUR II) + 25 for shoes − 125 = 963; common decks are 900 to 970."""
    shape = solved({"recipe": "standing"}, {"button": button(v=120)}, site=FLOOR)
    assert run_of(shape, "riser").length == pytest.approx(963)


def test_deck_for_a_wheelchair_stays_within_the_standard():
    """2010 ADA Standards, 902.3: work surfaces 710 to 865 mm (28 to 34 in)."""
    chair = {"label": "chair", "posture": "wheelchair"}
    tall = {"label": "tall", "posture": "standing", "elbow": 1190}
    shape = solved(
        {"recipe": "standing"}, {"button": button(v=120)}, site=FLOOR, people=[chair, tall]
    )
    assert run_of(shape, "riser").length == pytest.approx(865)
    alone = solved({"recipe": "standing"}, {"button": button(v=120)}, site=FLOOR, people=[chair])
    assert 710 <= run_of(alone, "riser").length <= 865


def test_the_limit_that_an_error_names_is_within_it():
    """Depths and heights are seldom whole tenths; the one that is read must be taken when it is written."""
    shape = {"recipe": "standing", "knee_room": 2000, "deck_height": 900, "screen_tilt_deg": 17.3}
    parts = {"display": display(), "button": button()}
    with pytest.raises(InputErrors) as caught:
        solved(shape, parts)
    (error,) = caught.value.errors
    assert error.want.startswith(f"at most {error.example}")
    tight = solved({**shape, "knee_room": error.example}, parts)
    assert run_of(tight, "knee").length == pytest.approx(parse_length(error.example))
    deep = error.want.rpartition("a depth of ")[2].removesuffix(" and more")
    assert run_of(solved({**shape, "depth": deep}, parts), "knee").length == pytest.approx(2000)


def test_a_box_too_shallow_for_its_volume_says_how_deep():
    """Inside 164 × 276, 10 litres: 10e6 / (164 × 276) = 220.9, and front and back of 12: 244.9, 245.0 by a rule."""
    wish = {"recipe": "box", "net_litres": 10, "height": 300, "depth": 200, "width": 200}
    shape = solved(wish)
    (finding,) = [f for f in shape.findings if f.rule == "shape.net-litres"]
    remedy = finding.remedies[0]
    assert remedy.value == pytest.approx(10e6 / (164 * 276) + 24)
    assert f"⟦{remedy.value:.4f}⟧" in remedy.text
    deep = solved({**wish, "depth": remedy.value})
    assert [f for f in deep.findings if f.rule == "shape.net-litres"] == []


def test_a_width_that_is_told_leaves_room_to_turn_a_nut():
    """A nut of 30 at u = 200 in a lap case: 200 + 15 + 1 of room to turn it, and two sides of 18."""
    shape = solved({"recipe": "lap", "width": 200}, {"button": button(u=200, v=80)})
    (finding,) = [f for f in shape.findings if f.rule == "shape.width"]
    assert finding.remedies[0].value == pytest.approx(200 + 15 + 1 + 36)


def test_knee_room_sets_the_riser_back():
    shape = solved(
        {"recipe": "standing", "knee_room": 200, "deck_height": 900},
        {"display": display(turn=90), "button": button(v=120)},
        site=FLOOR,
    )
    assert shape.corners["A"] == (200, 0)
    assert run_of(shape, "riser").p[0] == 200
    assert run_of(shape, "knee").length == pytest.approx(200)
    assert [run.panel for run in shape.runs][-4:] == ["deck", "lip", "knee", "riser"]
    with pytest.raises(InputErrors) as caught:
        solved(
            {"recipe": "standing", "knee_room": 2000},
            {"display": display(), "button": button(v=120)},
            site=FLOOR,
        )
    assert fields(caught) == ["shape.knee_room"]


def test_feet_lower_the_deck_over_the_underside():
    """A foot of 12: the deck is 900 over the floor, so 888 over the underside."""
    foot = {
        "kind": "foot",
        "measured": {"height": 12},
        "placed": [{"key": "foot", "on": "base", "v": 40}],
    }
    shape = solved(
        {"recipe": "standing", "deck_height": 900},
        {"button": button(v=120), "foot": foot},
        site=FLOOR,
    )
    assert run_of(shape, "riser").length == pytest.approx(888)


# ---- lap -------------------------------------------------------------------------------------------------------------


def test_a_wedge_by_hand():
    """Slope 10°: the deck is 140 + 15 + 25 = 180, and 12 ÷ cos 10° for the back below its rear end."""
    shape = solved(
        {"recipe": "lap", "slope_deg": 10, "front_height": 95}, {"button": button(v=140)}
    )
    cos, sin = math.cos(math.radians(10)), math.sin(math.radians(10))
    deck = 180 + 12 / cos
    assert run_of(shape, "deck").length == pytest.approx(deck)
    assert shape.corners["C"] == (pytest.approx(deck * cos), pytest.approx(95 + deck * sin))


def test_a_wedge_too_short_names_the_depth_that_passes():
    shape = solved({"recipe": "lap", "depth": 120}, {"button": button(v=140)})
    (stop,) = shape.findings
    assert (stop.rule, stop.remedies[0].field) == ("shape.deck-depth", "shape.depth")
    again = solved({"recipe": "lap", "depth": stop.remedies[0].value}, {"button": button(v=140)})
    assert again.findings == ()


def test_a_wedge_of_nothing_wants_a_width():
    with pytest.raises(InputErrors) as caught:
        solved({"recipe": "lap"})
    assert fields(caught) == ["shape.width"]
    assert solved({"recipe": "lap", "width": 300}).width == 300


# ---- box -------------------------------------------------------------------------------------------------------------


def test_a_boxs_depth_from_its_volume():
    """20 litres in a box 236 wide and 400 high.

    Width 236 − 2 × 18 = 200, height 400 − 2 × 12 = 376: 20 000 000 ÷ 75 200 = 265.957, and front and back of 12 each.
    """
    shape = solved({"recipe": "box", "width": 236, "height": 400, "net_litres": 20})
    assert shape.corners["B"][0] == pytest.approx(20e6 / 75_200 + 24)


def test_a_box_with_a_leaning_front_holds_its_volume():
    """The inside, corner by corner: its area times the inner width is the wished volume."""
    shape = solved(
        {"recipe": "box", "width": 236, "height": 400, "net_litres": 20, "front_tilt_deg": 10}
    )
    t, depth = math.radians(10), shape.corners["B"][0]
    y = [
        z * math.tan(t) + 12 / math.cos(t) for z in (12, 388)
    ]  # back of the front, below and above
    area = ((depth - 12 - y[0]) + (depth - 12 - y[1])) / 2 * 376
    assert area * 200 == pytest.approx(20e6)


def test_a_box_of_given_depth_says_what_it_lacks():
    wishes = {"recipe": "box", "width": 236, "height": 400, "net_litres": 20}
    shape = solved({**wishes, "depth": 200})
    (caution,) = shape.findings
    assert (caution.rule, caution.severity) == ("shape.net-litres", Severity.CAUTION)
    assert caution.remedies[0].value == pytest.approx(20e6 / 75_200 + 24)


def test_a_box_round_a_loudspeaker():
    """Frame 142: height 142 + 2 × (12 + 10) = 186; depth 12 + 58 + 40 + 12 = 122."""
    woofer = {"type": "speaker-5-25", "placed": [{"key": "woofer", "on": "front"}]}
    shape = solved({"recipe": "box"}, {"woofer": woofer})
    assert shape.corners["C"] == (pytest.approx(122), pytest.approx(186))


def test_a_box_of_nothing_wants_its_sizes():
    with pytest.raises(InputErrors) as caught:
        solved({"recipe": "box"})
    assert fields(caught) == ["shape.height", "shape.width"]


@pytest.mark.parametrize(
    ("shape", "field"),
    [
        ({"recipe": "tabletop", "deck_slope_deg": 60}, "deck_slope_deg"),
        ({"recipe": "tabletop", "screen_tilt_deg": 90}, "screen_tilt_deg"),
        ({"recipe": "standing", "header_tilt_deg": 80}, "header_tilt_deg"),
        ({"recipe": "lap", "slope_deg": 45}, "slope_deg"),
        ({"recipe": "lap", "width": 400, "front_height": 10}, "front_height"),
        ({"recipe": "tabletop", "lip_height": 10}, "lip_height"),
        ({"recipe": "tabletop", "height": 100}, "height"),
    ],
)
def test_wishes_that_no_outline_can_be_made_of(shape: dict[str, object], field: str):
    with pytest.raises(InputErrors) as caught:
        solved(shape, {} if shape["recipe"] == "lap" else {"display": display()})
    assert f"shape.{field}" in fields(caught)


def test_a_speaker_put_at_a_place_of_its_own_keeps_clear_of_the_header_face():
    """Upright, square: 50 from the lower edge, half of 70, a land of 7; the face's 12 stand on the other end: 104."""
    parts = {
        "display": display(),
        "speaker": {
            "kind": "speaker",
            "measured": {"cutout": 60, "frame": 70, "depth": 30},
            "placed": [{"key": "speaker", "on": "underside", "v": 50}],
        },
    }
    shape = {"recipe": "tabletop", "deck_slope_deg": 0, "screen_tilt_deg": 0, "header_tilt_deg": 0}
    assert run_of(solved(shape, parts), "underside").length == pytest.approx(104)
