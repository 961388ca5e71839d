"""Room for a wheelchair and the slope of a deck: against the published dimensions, and cured by their own remedies."""

from __future__ import annotations

import math
from copy import deepcopy
from dataclasses import replace
from typing import Any

import pytest
from tests.checks.bench import applied, box, cures, found, merged, subject_of

from casewright.behavior.wheelchair import KNEES_DEEP, KNEES_HIGH, TOES_DEEP, TOES_HIGH, Chair
from casewright.checks.rules import hand_height, hand_slope, hand_wheelchair
from casewright.checks.rules.hand_slope import slope_of

BUTTON = {
    "kind": "button",
    "measured": {
        "hole": 24,
        "bezel": 28,
        "nut": 30,
        "grip_least": 2,
        "grip_most": 20,
        "body": 24,
        "behind": 40,
        "mass_kg": 0.03,
    },
    "placed": [{"key": "b1", "on": "deck", "u": 288, "v": 120, "player": 1}],
}
PEOPLE = [{"label": "Ada", "posture": "wheelchair", "eye": 1150}]
LOW = {"corners": {"A": [0, 0], "B": [300, 0], "C": [300, 120], "D": [0, 90]}}


def case(height: float = 700, on: str = "wall", **sections: Any) -> dict[str, Any]:
    """A box 90 high in front, 300 deep, 600 wide, with one button, its underside so high over the floor."""
    site = {"on": on, "height": height}
    return box(people=PEOPLE, parts={"button": BUTTON}, site=site, shape=LOW, **sections)


def chair(data: dict[str, Any]) -> Chair:
    behavior = subject_of(data).behavior
    assert behavior is not None
    (one,) = behavior.playing.chairs
    return one


def standing(**shape: Any) -> dict[str, Any]:
    return {
        "name": "Stand",
        "materials": {"ply": {"kind": "plywood", "nominal": 18, "measured": 18}},
        "shape": {
            "recipe": "standing",
            "width": 800,
            "side": {"material": "ply"},
            "board": "ply",
            **shape,
        },
        "people": PEOPLE,
        "parts": {"button": merged(BUTTON, {"placed": [{"key": "b1", "on": "deck", "player": 1}]})},
        "site": {"on": "floor"},
    }


def test_knees_of_nearly_everybody_go_under_what_the_standard_asks() -> None:
    """ANSUR II, knee height sitting, men, 95th percentile 602 mm; shoes 25, common practice. Women 557."""
    assert KNEES_HIGH > 602 + 25
    # The standard's own inches, in whole millimeters: 27, 9, 17, 11 and 8.
    inches = (27, 9, 17, 11, 8)
    ours = (KNEES_HIGH, TOES_HIGH, TOES_DEEP, *KNEES_DEEP)
    for inch, length in zip(inches, ours, strict=True):
        assert length == pytest.approx(25.4 * inch, abs=2.0)


def test_the_depth_that_knees_lose_with_height_is_the_standards() -> None:
    """306.3.4: it may shrink by 25 mm (1 in) for each 150 mm (6 in) of height."""
    shrinks = (KNEES_DEEP[0] - KNEES_DEEP[1]) / (KNEES_HIGH - TOES_HIGH)
    assert shrinks == pytest.approx(1 / 6, abs=0.003)


def test_an_underside_at_the_very_height_passes() -> None:
    assert chair(case(KNEES_HIGH)).fits
    assert replace(chair(case(KNEES_HIGH)), knees_high=KNEES_HIGH - 2e-5).fits  # as inches round
    assert not replace(chair(case(KNEES_HIGH)), knees_high=KNEES_HIGH - 0.01).fits
    assert chair(case(KNEES_HIGH)).knees_high == pytest.approx(KNEES_HIGH)
    low = case(KNEES_HIGH - 1)
    assert not chair(low).fits
    (finding,) = (f for f in found(hand_wheelchair, low) if "knees" in f.message)
    assert finding.severity.value == "caution"


def test_nobody_in_a_wheelchair_nothing_to_tell() -> None:
    data = case(300)
    data["people"] = [{"label": "Bo", "posture": "seated"}]
    assert found(hand_wheelchair, data) == []
    onlooker = case(300)
    onlooker["people"] = [{"label": "Bo", "posture": "seated"}, {**PEOPLE[0], "plays": False}]
    assert found(hand_wheelchair, onlooker) == []


def test_a_low_table_is_cured_by_the_height_that_is_named() -> None:
    """40 mm of top are taken off a table: 724 leaves 684, which is a millimeter short."""
    assert chair(case(725, on="table")).fits
    data = case(724, on="table")
    assert chair(data).knees_high == pytest.approx(684)
    (finding,) = (f for f in found(hand_wheelchair, data) if "knees" in f.message)
    remedy = next(r for r in finding.remedies if r.field)
    assert remedy.value == pytest.approx(725)
    assert not [f for f in found(hand_wheelchair, applied(data, remedy)) if "knees" in f.message]


def test_boards_below_the_deck_take_room_by_plain_geometry() -> None:
    """A board across stands 290 behind the front on the floor: knees go in, for toes it lacks 140."""
    leg = {"material": "ply", "plane": "front", "at": [0, 290, -700], "size": [600, 700]}
    data = case(0, on="floor", boards={"leg": leg})
    one = chair(data)
    assert one.knees_high == pytest.approx(700)
    assert one.toes_deep == pytest.approx(290)
    assert one.knees_lack == 0 and not one.fits
    assert any("toes" in f.message for f in found(hand_wheelchair, data))


def test_a_console_to_the_floor_is_cured_by_room_for_knees() -> None:
    data = standing()
    assert chair(data).toes_deep < 50
    knees = [f for f in found(hand_wheelchair, data) if "knees" in f.message]
    assert knees
    remedy = next(r for r in knees[0].remedies if r.field)
    assert remedy.field == "shape.knee_room"
    cured = applied(data, remedy)
    assert chair(cured).toes_deep >= TOES_DEEP - 1e-6
    for _ in range(2):  # first room, then height
        left = [f for f in found(hand_wheelchair, cured) if "knees" in f.message]
        if not left:
            break
        remedy = next(r for r in left[0].remedies if r.field)
        cured = applied(cured, remedy)
    assert chair(cured).fits


def test_the_decks_edge_is_told_and_cured() -> None:
    """902.3: 28 to 34 in, 710 to 865 mm. A table of 800 puts the edge of this box at 890."""
    data = case(800, on="table")
    (finding,) = found(hand_wheelchair, data)
    assert finding.severity.value == "note"
    cures(hand_wheelchair, data)
    assert found(hand_wheelchair, case(775, on="table")) == []  # 775 + 90 = 865, the limit itself


def test_controls_beyond_reach_are_counted() -> None:
    """308.2: 15 to 48 in. The box hangs so high that its button is over 1220 mm."""
    one = chair(case(1200))
    ((key, over),) = one.beyond
    subject = subject_of(case(1200))
    z = subject.cabinet.placed_by_key["b1"].frame.origin[2] + 1200
    assert (key, over) == ("b1", pytest.approx(z - 1220))
    assert chair(case(1000)).beyond == ()


# ---- slope ----


def sloped(degrees: float) -> dict[str, Any]:
    """The box's deck from D to C, so steep."""
    data = deepcopy(case(700))
    rise = 300 * math.tan(math.radians(degrees))
    data["shape"]["corners"]["C"] = [300, 90 + rise]
    return data


def test_slope_is_that_of_the_corners() -> None:
    subject = subject_of(sloped(11))
    assert slope_of(subject.cabinet.piece_by_key["deck"]) == pytest.approx(11, abs=1e-6)


@pytest.mark.parametrize(
    ("degrees", "told"), [(0, False), (8, False), (15, False), (16, True), (-3, True)]
)
def test_slope_against_the_keyboard_standard(degrees: float, told: bool) -> None:
    """ISO 9241-4: 0 to 15°, 5 to 12° preferred (as a keyboard maker's page quotes it)."""
    assert bool(found(hand_slope, sloped(degrees))) is told


def test_the_named_move_of_the_back_edge_gives_the_slope() -> None:
    """Its length stays: back edge lower by length × (sin 20° − sin 12°)."""
    (finding,) = found(hand_slope, sloped(20))
    deck = subject_of(sloped(20)).cabinet.piece_by_key["deck"]
    fall = deck.height * (math.sin(math.radians(20)) - math.sin(math.radians(12)))
    assert f"{fall:.4f}" in finding.remedies[0].text


def test_a_recipes_slope_is_cured_by_its_value() -> None:
    data = standing(deck_slope_deg=22)
    assert found(hand_slope, data)
    cures(hand_slope, data)


def test_a_deck_without_controls_may_slope_as_it_likes() -> None:
    data = sloped(30)
    data["parts"] = {}
    assert found(hand_slope, data) == []


# ---- who stands beside a chair ----


def test_a_riser_at_the_front_asks_for_room_not_for_a_deck_under_the_ceiling() -> None:
    """The box of the deck takes some 100 mm: at 865, 34 in, there are 685 under it; at 710 it lacks less than that."""
    high, low = standing(deck_height=865), standing()
    for data, most in ((high, 865), (low, 710 + 100)):
        assert chair(data).knees_high < 1
        finding = next(f for f in found(hand_wheelchair, data) if "knees" in f.message)
        remedy = next(r for r in finding.remedies if r.field)
        written = dict(remedy.also)
        assert written.get("shape.deck_height", 0) <= most
        assert chair(applied(data, remedy)).fits
    assert "shape.deck_height" in written


def test_nobody_is_lifted_in_a_wheelchair() -> None:
    """Elbows of Ada and of a tall one are far apart: the height is hers, he sits down on a stool."""
    data = case(700, on="wall")
    data["people"] = [*PEOPLE, {"label": "Til", "posture": "standing", "eye": 1900, "elbow": 1300}]
    findings = found(hand_height, data)
    texts = [remedy.text for finding in findings for remedy in finding.remedies]
    assert any("give Til a stool" in text for text in texts)
    assert not any("Ada a" in text or "Ada as much higher" in text for text in texts)


def test_an_overlay_counts_to_the_height_of_the_decks_edge():
    """A deck's show face is the outline's: its front edge stays where it is, with a cover of 4 on it or not."""
    sheet = {"kind": "acrylic", "nominal": 4, "measured": 4}
    covered = {"layers": [{"key": "cover", "material": "clear"}]}
    data = case()
    for panels in ({}, {"deck": covered}):
        made = merged(data, {"materials": {"clear": sheet}, "panels": panels})
        assert chair(made).front_edge == pytest.approx(700 + 90, abs=0.01)
