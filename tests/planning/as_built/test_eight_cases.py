"""What shops run into once wood is cut, each against its own arithmetic."""

from __future__ import annotations

import math

import pytest
from tests.planning.as_built.records_by_hand import (
    DUEL,
    answer,
    changed,
    duel,
    told,
    ways_of,
    wedge,
    with_records,
)

from casewright.planning.as_built import Way
from casewright.workflow import open_project, work_out

OVERLAY = [{"key": "overlay", "material": "clear3", "label": "deck overlay"}]
BARE = {("panels", "deck", "layers"): []}
LATE = {("panels", "deck", "layers"): OVERLAY}
DECK_DEG = math.degrees(math.atan2(37, 250))  # of the example's outline, G (250, 132) to H (0, 95)
SCREEN_DEG = math.degrees(math.atan2(320, 112))  # F (362, 452) to G


def changed_values(way: Way) -> dict[str, object]:
    return {".".join(map(str, path)): value for path, value in way.changes}


def test_an_overlay_comes_late_and_the_sides_are_cut() -> None:
    # Plain trigonometry: a plane that sinks by 3.0 shortens the upright lip by 3 / cos 8.4°, and one that rises by
    # 3.0 shortens the sloped screen panel by 3 over the sine of the angle between the two.
    worked = with_records(
        changed(duel(), BARE),
        {"lip": "painted", "screen": "painted", "left": "shaped", "right": "shaped"},
        LATE,
    )
    plan = ways_of(worked)
    kept = answer(plan.kept, "lip")
    assert (kept.verdict, kept.edge, kept.painted) == ("trim", "the upper edge", True)
    assert kept.by == pytest.approx(3 / math.cos(math.radians(DECK_DEG)), abs=0.01)  # 3.03
    assert kept.tilt_deg == pytest.approx(DECK_DEG, abs=0.05)  # 8.4
    assert any("touch up" in order for order in kept.orders)
    assert answer(plan.kept, "screen").verdict == "unchanged"

    proud = next(way for way in plan.ways if changed_values(way) == {"panels.deck.reveal": -3.0})
    assert answer(proud, "lip").verdict == "unchanged"
    assert answer(proud, "left").verdict == "unchanged"
    screen = answer(proud, "screen")
    assert screen.verdict == "trim" and screen.edge == "the lower edge" and screen.painted
    assert screen.by == pytest.approx(
        3 / math.sin(math.radians(SCREEN_DEG - DECK_DEG)), abs=0.01
    )  # 3.39
    assert answer(proud, "deck").verdict == "new size"


def test_a_replacement_display_keeps_the_opening_and_moves_its_rails() -> None:
    # Another 23.8 in display: housing 539 x 317 x 58, bezels 6 and 14.2 where 7 and 20 were.
    worked = with_records(
        duel(),
        {"screen": "painted", "left": "fitted", "right": "fitted", "deck": "fitted"},
        {
            ("parts", "screen-display", "measured", name): value
            for name, value in {
                "housing_width": 539,
                "housing_height": 317,
                "housing_depth": 58,
                "bezel_left": 6,
                "bezel_bottom": 14.2,
            }.items()
        },
    )
    kept = ways_of(worked).kept
    screen = answer(kept, "screen")
    assert screen.verdict == "work on" and not screen.wood
    assert "screw hole" in screen.reason and "opening" not in screen.reason
    rails = {a.piece for a in kept.answers if a.verdict == "new size"}
    assert rails <= {p.key for p in worked.cabinet.pieces}
    assert answer(kept, "left").verdict in ("unchanged", "work on")


def test_a_larger_display_than_the_opening_is_told_by_the_ordinary_checks() -> None:
    # 27 in class: lit 597.7 x 336.2, housing 612 x 364, where the screen's run is 339 long.
    sizes = {
        "lit_width": 597.7,
        "lit_height": 336.2,
        "housing_width": 612,
        "housing_height": 364,
        "bezel_left": 7.2,
        "bezel_bottom": 18,
    }
    worked = with_records(
        duel(),
        {"screen": "painted", "left": "fitted", "right": "fitted"},
        {("parts", "screen-display", "measured", name): value for name, value in sizes.items()},
    )
    assert any("display" in finding.message for finding in worked.stops)


def test_a_thinner_batch_after_the_sides_are_cut_changes_only_what_is_not_cut() -> None:
    thinner = {("materials", "ply15", "measured"): 14.1}
    worked = with_records(duel(), {"left": "shaped", "right": "shaped", "base": "cut"}, thinner)
    # The sides are of that batch: the room between them grows by 2 x 0.6, so each spanning panel does.
    assert worked.cabinet.piece_by_key["deck"].width == pytest.approx(700 - 2 * 14.1)
    kept = ways_of(worked).kept
    assert answer(kept, "left").verdict == "unchanged"
    base = answer(kept, "base")
    assert base.verdict == "shim" and base.by == pytest.approx(1.2, abs=0.01)
    # Sides from the old batch say so by their own thickness; then nothing else moves.
    sides = {(*("as built", key), "thickness"): 14.7 for key in ("left", "right")}
    worked = with_records(duel(), {"left": "shaped", "right": "shaped", "base": "cut"}, thinner)
    again = work_out(changed(worked.opened, sides))
    assert again.cabinet.piece_by_key["deck"].width == pytest.approx(700 - 2 * 14.7)
    assert answer(ways_of(again).kept, "base").verdict == "unchanged"


def test_one_panel_cut_short_makes_the_cabinet_narrower_or_takes_a_strip() -> None:
    worked = with_records(duel(), {"deck": ("cut", {"length": 669.6})})
    plan = ways_of(worked)
    first = plan.ways[0]
    assert changed_values(first) == {"shape.width": pytest.approx(699.0)}
    assert answer(first, "deck").verdict == "unchanged" and first.minutes == 0
    assert answer(first, "base").verdict == "new size"
    assert "669.60" in told(answer(first, "base").reason)
    assert answer(plan.kept, "deck").verdict == "shim"
    assert answer(plan.kept, "deck").by == pytest.approx(1.0)
    # With every other panel cut as well, a strip is the least work.
    others = {
        "base": "cut",
        "back": "cut",
        "top": "cut",
        "header": "cut",
        "underside": "cut",
        "screen": "cut",
        "lip": "cut",
    }
    cut = with_records(duel(), {"deck": ("cut", {"length": 669.6}), **others})
    assert ways_of(cut).ways[0].key == "keep"


def test_a_bevel_sawn_at_33_instead_of_35_5() -> None:
    # 109° inside: equal boards miter at (180 - 109) / 2 = 35.5°; the wedge is 18 (tan 35.5 - tan 33).
    worked = with_records(wedge(109), {"face": ("cut", {"bevels": {"upper": 33}})})
    wedge_mm = 18 * (math.tan(math.radians(35.5)) - math.tan(math.radians(33)))
    plan = ways_of(worked)
    kept = answer(plan.kept, "face")
    assert kept.verdict == "trim" and kept.by == pytest.approx(wedge_mm, abs=0.01)
    assert "35.5" in kept.orders[0] and "33.0" in kept.orders[0]
    met = next(way for way in plan.ways if "seams" in changed_values(way))
    assert "38.0°" in met.title  # 71 - 33
    assert answer(met, "face").verdict == "unchanged" and not met.stops
    after = work_out(
        changed(
            worked.opened,
            {
                ("seams",): [
                    s.model_dump(mode="json", exclude_defaults=True) for s in met.changes[0][1]
                ]
            },
        )  # type: ignore[attr-defined]
    )
    # The top ends at the corner where the face begins.
    assert abs(after.cabinet.slab_by_panel["top"].end_tilt_deg) == pytest.approx(38.0, abs=0.01)
    assert not ways_of(after).kept.touched


def test_a_bevel_sawn_too_steep_leaves_a_wedge_that_only_the_inside_sees() -> None:
    worked = with_records(wedge(109), {"face": ("cut", {"bevels": {"upper": 38}}), "top": "cut"})
    kept = answer(ways_of(worked).kept, "face")
    lacks = 18 * (math.tan(math.radians(38)) - math.tan(math.radians(35.5)))
    assert kept.verdict == "shim" and kept.by == pytest.approx(lacks, abs=0.01)
    assert "show face" in kept.orders[0]


def test_a_button_hole_four_off_moves_the_button_or_is_plugged() -> None:
    worked = with_records(duel(), {"deck": ("drilled", {"holes": {"red1": {"u": 144.3}}})})
    plan = ways_of(worked)
    first = plan.ways[0]
    values = changed_values(first)
    assert values["parts.button.placed.0.u"] == pytest.approx(144.3)
    # The other player's button follows the first; its hole is made, so it stays where it is.
    assert values["parts.button.placed.5.du"] == pytest.approx(335.3 - 4)
    assert answer(first, "deck").verdict == "unchanged"
    assert answer(first, "deck.overlay").verdict == "new size"
    kept = answer(plan.kept, "deck")
    assert kept.verdict == "plug" and kept.by == pytest.approx(4.0)


def test_a_groove_in_the_wrong_face_makes_the_other_side_of_it() -> None:
    grooved = changed(
        duel(), {("panels", "back", "joint"): "groove", ("panels", "back", "groove_depth"): 6}
    )
    wrong = ("shaped", {"holes": {"back.groove": {"face": "show"}}})
    swapped = answer(ways_of(with_records(grooved, {"left": wrong})).kept, "left")
    assert swapped.verdict == "other place" and "right side" in swapped.reason and not swapped.wood
    # Once the right one is made as well, there is no place for it.
    both = answer(ways_of(with_records(grooved, {"left": wrong, "right": "shaped"})).kept, "left")
    assert both.verdict == "plug" and "wrong face" in both.reason


def test_a_deck_widened_after_the_sides_were_cut_leaves_the_sides_alone() -> None:
    worked = with_records(
        duel(), {"left": "painted", "right": "painted", "base": "cut"}, {("shape", "width"): 1000}
    )
    plan = ways_of(worked)
    for side in ("left", "right"):
        assert answer(plan.kept, side).verdict in ("unchanged", "work on")
        assert not answer(plan.kept, side).wood
    base = answer(plan.kept, "base")
    assert base.verdict == "remake" and base.by == pytest.approx(300)
    assert "670.60 mm × 409.40 mm" in told(base.orders[0])  # what the old one is still good for
    assert "base" in plan.conflict
    keys = {blank.key for one in worked.cutting.plans for blank in one.blanks}
    assert "base" in keys and "deck" in keys and "left" not in keys


def test_a_recipe_gives_by_its_wishes() -> None:
    # A lid cut 0.9 short up the slope: the recipe's depth gives, and the slope and width stay.
    lap = changed(
        open_project(DUEL.with_name("lap-controller.cabinet.yaml")), {("shape", "depth"): "230 mm"}
    )
    planned = work_out(lap).cabinet.piece_by_key["deck"]
    worked = with_records(lap, {"deck": ("cut", {"width": f"{planned.height - 0.9:.3f} mm"})})
    plan = ways_of(worked)
    way = next(w for w in plan.ways if list(changed_values(w)) == ["shape.depth"])
    assert answer(way, "deck").verdict == "unchanged" and not way.stops
    after = work_out(changed(lap, {path: f"{value} mm" for path, value in way.changes}))
    assert after.cabinet.piece_by_key["deck"].height == pytest.approx(planned.height - 0.9, abs=0.1)
