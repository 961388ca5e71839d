"""Cases worked out by hand."""

from __future__ import annotations

import pytest

from casewright.basics.errors import InputErrors
from casewright.basics.findings import worded
from casewright.planning.cutting import Blank, SawLimits, Stock, cutting_findings, plan_cuts

SAW = SawLimits(kerf=3.2)


def in_mm(text: str) -> str:
    return worded(text, lambda length: f"{length:g} mm")


def test_grain_matched_sides_need_a_second_board(assert_sound):
    """2 × 600 + 3.2 = 1203.2 of 1220, a third does not fit; turned, 3 × 400 + 2 × 3.2 = 1206.4."""
    board = [Stock("board", 1220, 610)]
    upright = [Blank("side", 600, 400, quantity=3, grain="length")]
    plan = plan_cuts(upright, board, saw=SAW)
    assert_sound(plan, upright, board, 3.2)
    assert plan.bought == 2
    assert sorted(len(sheet.placements) for sheet in plan.sheets) == [1, 2]
    free = [Blank("side", 600, 400, quantity=3)]
    turned = plan_cuts(free, board, saw=SAW)
    assert_sound(turned, free, board, 3.2)
    assert turned.bought == turned.lower_bound == 1
    assert all(place.turned for place in turned.sheets[0].placements)
    ends = max(place.x + place.length for place in turned.sheets[0].placements)
    assert ends == pytest.approx(1206.4)


def test_what_turning_would_save_is_said():
    """The same sides: two boards with the grain, one without."""
    board, sides = [Stock("board", 1220, 610)], [Blank("side", 600, 400, 3, "length")]
    plan = plan_cuts(sides, board, saw=SAW)
    found = {f.rule: f for f in cutting_findings(plan, sides, board, saw=SAW)}
    assert "buys 2 sheets" in found["cutting.grain-costs-a-sheet"].message
    assert "1 would do" in found["cutting.grain-costs-a-sheet"].message
    free = [Blank("side", 600, 400, 3)]
    rules = {
        f.rule for f in cutting_findings(plan_cuts(free, board, saw=SAW), free, board, saw=SAW)
    }
    assert not rules & {"cutting.grain-costs-a-sheet", "cutting.fewer-sheets", "cutting.no-room"}


def test_a_part_without_room_stops_the_maker():
    blanks, stock = [Blank("deck", 1900, 300)], [Stock("half", 1220, 1220)]
    found = cutting_findings(plan_cuts(blanks, stock, saw=SAW), blanks, stock, saw=SAW)
    assert [(f.rule, f.severity.value, f.place.names) for f in found] == [
        ("cutting.no-room", "stop", ("deck",))
    ]


def test_a_short_edge_does_not_run_along_the_fence():
    """A strip 60 wide cut to 864: the fence would touch 60 of it. Ripping the sheet is fence work."""
    plan = plan_cuts([Blank("rail", 864, 60, 2)], [Stock("s", 1000, 123.2)], saw=SAW)
    by_means = {(step.direction, step.means) for step in plan.sheets[0].cuts}
    assert ("crosscut", "sled") in by_means
    assert ("rip", "fence") in by_means


@pytest.mark.parametrize(("length", "sheets"), [(1206.4, 1), (1206.39, 2)])
def test_an_exact_fit_fits(length, sheets):
    """3 × 400 + 2 × 3.2 = 1206.4: the last saw cut falls beside the sheet."""
    plan = plan_cuts([Blank("a", 400, 600, 3, "length")], [Stock("s", length, 600)], saw=SAW)
    assert plan.bought == sheets


def test_an_exact_fit_in_inches_fits():
    """Four widths of 5 61/64 in and three 1/8 in cuts: 4 × 381/64 + 24/64 = 1548/64 in."""
    inch = 25.4
    blanks = [Blank("slat", 20 * inch, 381 / 64 * inch, 4, "length")]
    stock = [Stock("board", 20 * inch, 1548 / 64 * inch)]
    assert plan_cuts(blanks, stock, saw=SawLimits(inch / 8)).bought == 1


def test_a_deck_longer_than_the_sheet_is_named_with_what_would_do():
    """Deck 1900 × 300, sheets 1220 × 1220, 10 mm of trim on each edge: two pieces of 950."""
    blanks = [Blank("deck", 1900, 300, label="Deck"), Blank("side", 600, 400, 2)]
    plan = plan_cuts(blanks, [Stock("half", 1220, 1220, trim=10)], saw=SAW)
    (unplaced,) = plan.unplaced
    assert (unplaced.key, unplaced.quantity) == ("deck", 1)
    assert (unplaced.need_length, unplaced.need_width) == (1920, 320)
    reason = in_mm(unplaced.reason)
    for size in ("Deck", "1900 mm", "300 mm", "1200 mm"):
        assert size in reason
    remedies = in_mm(" ".join(unplaced.remedies))
    for size in ("1920 mm", "320 mm", "2 pieces of 950 mm"):
        assert size in remedies
    assert sum(len(sheet.placements) for sheet in plan.sheets) == 2
    assert not plan_cuts(blanks, [Stock("full", 2440, 1220, trim=10)], saw=SAW).unplaced


def test_a_part_that_fits_only_across_the_grain_is_told_so():
    plan = plan_cuts([Blank("side", 900, 500, grain="length")], [Stock("b", 600, 1200)], saw=SAW)
    assert any("Turn side" in remedy for remedy in plan.unplaced[0].remedies)
    assert not plan_cuts([Blank("side", 900, 500)], [Stock("b", 600, 1200)], saw=SAW).unplaced


def test_when_the_stock_runs_out_the_rest_is_counted(assert_sound):
    blanks = [Blank("side", 600, 400, 5, "length")]
    stock = [Stock("board", 1220, 610, quantity=2)]
    plan = plan_cuts(blanks, stock, saw=SAW)
    assert_sound(plan, blanks, stock, 3.2)
    assert plan.unplaced[0].quantity == 1


def test_an_offcut_is_used_only_where_it_saves_a_sheet():
    """Board 1220 × 610 takes two 600 × 400 sides; an offcut of 700 × 450 takes the third."""
    board, old = Stock("board", 1220, 610), Stock("old", 700, 450, offcut=True)
    sides = Blank("side", 600, 400, 3, "length")
    plan = plan_cuts([sides], [board, old], saw=SAW)
    assert sorted(sheet.stock for sheet in plan.sheets) == ["board", "old"]
    assert plan.bought == 1
    two = plan_cuts([Blank("side", 600, 400, 2, "length")], [board, old], saw=SAW)
    assert [sheet.stock for sheet in two.sheets] == ["board"]
    one = plan_cuts([Blank("side", 600, 400, 1, "length")], [board, old], saw=SAW)
    assert [sheet.stock for sheet in one.sheets] == ["old"]
    assert one.bought == 0


@pytest.mark.parametrize(
    ("half_price", "parts", "price"),
    [(33, 1, 33), (33, 3, 60), (33, 5, 93), (29, 4, 58)],
)
def test_the_lowest_price_is_found(half_price, parts, price):
    """Parts of 600 × 1200: two on a half sheet, four on a full one at 60."""
    stock = [Stock("full", 2440, 1220, price=60), Stock("half", 1220, 1220, price=half_price)]
    plan = plan_cuts([Blank("p", 600, 1200, parts, "length")], stock, saw=SAW)
    assert plan.price == price


def test_what_is_left_of_the_last_sheet_stays_in_one_piece():
    """Two 600 × 400 parts on 2440 × 1220, worked out by hand.

    Turned end to end they span 2 × 600 + 3.2 = 1203.2 of the width 1220 and leave 2440 − 400 − 3.2
    over all of it; in the other direction a strip is at least 400 wide and twice as long.
    """
    plan = plan_cuts([Blank("p", 600, 400, 2)], [Stock("full", 2440, 1220)], saw=SAW)
    assert plan.largest_offcut is not None
    assert plan.largest_offcut.area >= 2036.8 * 1220 - 1


def test_equal_rails_are_ripped_with_one_fence_setting():
    blanks = [Blank("rail", 864, 60, 10)]
    plan = plan_cuts(blanks, [Stock("s", 864, 1220)], saw=SAW)
    assert plan.fence_settings == 1
    assert {step.fence for step in plan.sheets[0].cuts} == {60.0}
    assert len(plan.sheets[0].cuts) == 10


def test_trimming_comes_first_and_a_far_fence_becomes_a_guide():
    plan = plan_cuts(
        [Blank("p", 700, 500, 4)],
        [Stock("full", 2440, 1220, trim=10)],
        saw=SawLimits(3.2, fence_reach=800),
    )
    steps = plan.sheets[0].cuts
    assert [step.trimming for step in steps] == [True] * 4 + [False] * (len(steps) - 4)
    assert [(step.direction, step.fence) for step in steps[:4]] == [
        ("rip", 1210),
        ("rip", 1200),
        ("crosscut", 2430),
        ("crosscut", 2420),
    ]
    assert all(step.guide for step in steps if step.fence > 800)
    assert any(step.means == "fence" for step in steps)


def test_a_sheet_too_long_to_carry_is_halved_first():
    """Six parts of 400 × 1200 in a row on 2440: the cut nearest the middle leaves 3 × 400 + 2 × 3.2 = 1206.4."""
    blanks, stock = [Blank("p", 400, 1200, 6, "length")], [Stock("full", 2440, 1220)]
    plain = plan_cuts(blanks, stock, saw=SAW).sheets[0].cuts[0]
    eased = plan_cuts(blanks, stock, saw=SawLimits(3.2, longest_carry=1300)).sheets[0].cuts[0]
    assert plain.fence == 400
    assert eased.fence == pytest.approx(1206.4)
    assert all(max(result.length, result.width) <= 1300 for result in eased.results)


def test_a_shaving_that_stays_on_is_counted_once(assert_sound):
    """258.8 and 258.7625 in one strip: the second keeps 0.0375 mm that no saw takes off."""
    blanks = [
        Blank("a", 20, 258.8),
        Blank("b", 101 * 25.4 / 64, 300.0),
        Blank("c", 20, 258.7625),
    ]
    stock = [Stock("full", 2440, 1220)]
    plan = plan_cuts(blanks, stock, saw=SawLimits(0), effort=12)
    assert_sound(plan, blanks, stock, 0)


def test_nothing_to_cut_is_an_empty_plan():
    plan = plan_cuts([], [Stock("full", 2440, 1220)], saw=SAW)
    assert (plan.sheets, plan.unplaced, plan.bought, plan.lower_bound) == ((), (), 0, 0)
    bare = plan_cuts([Blank("p", 100, 100)], [], saw=SAW)
    assert [u.key for u in bare.unplaced] == ["p"]


def test_all_that_is_wrong_is_told_at_once():
    blanks = [Blank("a", 0, 100), Blank("a", 100, float("nan")), Blank("b", 1, 1, quantity=-1)]
    stock = [Stock("s", 100, 100, trim=50), Stock("t", -1, 100)]
    with pytest.raises(InputErrors) as caught:
        plan_cuts(blanks, stock, saw=SawLimits(-1), effort=-1)
    assert {error.field for error in caught.value.errors} == {
        "blanks.a",
        "blanks.a.length",
        "blanks.a.width",
        "blanks.b.quantity",
        "stock.s.trim",
        "stock.t.length",
        "stock.t.trim",
        "saw.kerf",
        "effort",
    }
