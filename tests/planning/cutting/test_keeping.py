"""Layouts kept as text: made again just so, as long as the same pieces come from the same sheets."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.planning.cutting.conftest import check_places, check_replay

from casewright.planning.cutting import Blank, CutPlan, SawLimits, Stock, Wishes, plan_cuts

SAW = SawLimits(kerf=3.2)
STOCK = [Stock("sheet 1", 2440, 1220, trim=5), Stock("offcut 2", 900, 500, quantity=1, offcut=True)]


def parts(seed: int, count: int = 12) -> list[Blank]:
    chance = random.Random(seed)
    return [
        Blank(
            f"p{n}",
            chance.randrange(150, 900),
            chance.randrange(100, 600),
            quantity=chance.choice((1, 1, 2)),
            grain="length" if n % 2 else "none",
        )
        for n in range(count)
    ]


def places(plan: CutPlan) -> list[tuple[object, ...]]:
    return sorted(((sheet.stock, sheet.placements) for sheet in plan.sheets), key=repr)


@settings(deadline=None, max_examples=20)
@given(seed=st.integers(0, 10_000))
def test_a_kept_plan_is_made_again_just_so(seed: int) -> None:
    """The laws of sawing, and the layout itself: nothing is searched, whatever the effort."""
    blanks = parts(seed)
    plan = plan_cuts(blanks, STOCK, saw=SAW, effort=60)
    again = plan_cuts(blanks, STOCK, saw=SAW, effort=0, kept=plan.texts)
    assert again.kept == len(plan.sheets) == len(plan.texts)
    assert places(again) == places(plan)
    assert again.cut_length == pytest.approx(plan.cut_length)
    for sheet in again.sheets:
        check_places(sheet, SAW.kerf)
        check_replay(sheet, SAW.kerf)


@settings(deadline=None, max_examples=20)
@given(seed=st.integers(0, 10_000), which=st.integers(0, 11))
def test_where_a_piece_has_changed_its_sheet_is_laid_out_anew_and_no_other(
    seed: int, which: int
) -> None:
    blanks = parts(seed, 24)
    plan = plan_cuts(blanks, STOCK, saw=SAW, effort=20)
    changed = list(blanks)
    changed[which] = replace(blanks[which], length=blanks[which].length + 1)
    touched = {s.index for s in plan.sheets for p in s.placements if p.blank == blanks[which].key}
    again = plan_cuts(changed, STOCK, saw=SAW, effort=20, kept=plan.texts)
    assert again.kept == len(plan.sheets) - len(touched)
    whole = [(s.stock, s.placements) for s in again.sheets]
    for sheet in plan.sheets:
        if sheet.index not in touched and not any(b.quantity > 1 for b in blanks):
            assert (sheet.stock, sheet.placements) in whole
    laid = sum(len(sheet.placements) for sheet in again.sheets)
    assert laid == sum(blank.quantity for blank in changed)
    for sheet in again.sheets:
        check_places(sheet, SAW.kerf)
        check_replay(sheet, SAW.kerf)


def test_pieces_that_are_cut_already_leave_the_other_sheets_as_they_were() -> None:
    blanks = [Blank(f"p{n}", 1200, 590, grain="length") for n in range(8)]
    plan = plan_cuts(blanks, STOCK[:1], saw=SAW)
    first, second = plan.sheets
    left = [b for b in blanks if b.key not in {p.blank for p in first.placements}]
    again = plan_cuts(left, STOCK[:1], saw=SAW, kept=plan.texts)
    assert again.kept == 1 and places(again) == [(second.stock, second.placements)]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "sheet 1",
        "sheet 9 | along: 600 a",
        "sheet 1 | sideways: 600 a",
        "sheet 1 | along: 600 a,",
        "sheet 1 | along: 600 (300 a",
        "sheet 1 | along: 600 a) ",
        "sheet 1 | along: wide a",
        "sheet 1 | along: nan a",
        "sheet 1 | along: 1e400 a",
        "sheet 1 | along: -600 (300 a)",
        "sheet 1 | along: 600 (300 b)",
        "sheet 1 | along: 601 (300 a)",
        "sheet 1 | along: 300 (600 a turned)",
        "sheet 1 | along: 600 (300 a), 1900 (300 a)",
        "sheet 1 | along: 600 (300 a, 300 a)",
        "sheet 1 | whole: a",
        "sheet 1 | along: " + "1 (" * 200,
    ],
)
def test_what_does_not_hold_is_laid_out_anew(text: str) -> None:
    """One blank a, 600 × 300 with the grain; the one sheet takes it once as written, never as here."""
    blanks = [Blank("a", 600, 300, grain="length")]
    sheet = [Stock("sheet 1", 2440, 1220)]
    good = plan_cuts(blanks, sheet, saw=SAW, kept=["sheet 1 | along: 600 (300 a)"])
    assert good.kept == 1
    plan = plan_cuts(blanks, sheet, saw=SAW, kept=[text])
    assert plan.kept == 0
    assert plan == plan_cuts(blanks, sheet, saw=SAW)


def test_a_kerf_that_leaves_no_room_or_a_sheet_too_few_is_no_plan_any_more() -> None:
    blanks = [Blank("a", 600, 300, quantity=2)]
    line = "sheet 1 | along: 600 (300 a, 300 a)"
    tight = [Stock("sheet 1", 603, 603, quantity=1)]
    assert plan_cuts(blanks, tight, saw=SawLimits(kerf=3), kept=[line]).kept == 1
    assert plan_cuts(blanks, tight, saw=SawLimits(kerf=3.2), kept=[line]).kept == 0
    two = plan_cuts(
        [Blank("a", 600, 300, quantity=4)], tight, saw=SawLimits(kerf=3), kept=[line] * 2
    )
    assert two.kept == 1 and sum(left.quantity for left in two.unplaced) == 2


def test_a_kept_sheet_keeps_to_the_wishes_of_now() -> None:
    """Two pieces are to be cut from one strip, in this order; and at most so many stages."""
    blanks = [Blank("a", 600, 300), Blank("b", 600, 300)]
    sheet = [Stock("sheet 1", 2440, 1220)]
    strip = Wishes(together=(("a", "b"),))
    for line, holds in (
        ("sheet 1 | across: 300 (600 a, 600 b)", 1),
        ("sheet 1 | across: 300 (600 b, 600 a)", 0),
        ("sheet 1 | across: 300 (600 a), 300 (600 b)", 0),
    ):
        assert plan_cuts(blanks, sheet, saw=SAW, kept=[line], wishes=strip).kept == holds
    deep = "sheet 1 | along: 700 (300 (600 a), 300 (600 b))"
    assert plan_cuts(blanks, sheet, saw=SAW, kept=[deep]).kept == 1
    assert plan_cuts(blanks, sheet, saw=SAW, kept=[deep], wishes=Wishes(stages=2)).kept == 0
