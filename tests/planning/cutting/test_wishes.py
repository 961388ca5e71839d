"""What the maker wishes of a layout is kept: stages, strips, pieces one person can handle, what counts first."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from casewright.basics.errors import InputErrors
from casewright.planning.cutting import (
    Blank,
    CutPlan,
    SawLimits,
    Stock,
    Wishes,
    cutting_findings,
    plan_cuts,
)

SHEET = [Stock("sheet", 2440, 1220)]
SIZES = st.integers(8, 60).map(lambda tens: tens * 10.0)
MIXED = [
    *[Blank("side", 720, 400, 2), Blank("top", 864, 380, 2), Blank("rail", 864, 90, 4)],
    *[Blank("shelf", 560, 330, 3), Blank("door", 430, 700, 2), Blank("back", 900, 720, 1)],
]


@settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    sizes=st.lists(st.tuples(SIZES, SIZES, st.booleans()), min_size=2, max_size=14),
    stages=st.integers(2, 4),
    kerf=st.sampled_from([0.0, 3.2]),
)
def test_no_sheet_takes_more_stages_than_wished(assert_sound, layout_report, sizes, stages, kerf):
    """The separate checker counts the stages anew, from the places alone."""
    blanks = [
        Blank(f"p{i}", a, b, 1, "length" if grain else "none")
        for i, (a, b, grain) in enumerate(sizes)
    ]
    plan = plan_cuts(blanks, SHEET, saw=SawLimits(kerf), wishes=Wishes(stages=stages), effort=12)
    assert not plan.unplaced
    assert_sound(plan, blanks, SHEET, kerf)
    violations, report = layout_report(plan, blanks, SHEET, kerf)
    assert violations == []
    assert report["stages_finished"] <= plan.stages <= stages


def test_two_stages_take_another_sheet_where_three_do_not():
    """By hand, on 100 × 100: 60 × 100 is cut off, then 40 × 60, which leaves 40 × 40: two stages.

    Halving that makes a third. With two, whichever way the first cuts run, one half would need a strip 20 wide of its
    own beside 60 and 40.
    """
    blanks = [Blank("a", 60, 100, 1, "length"), Blank("b", 40, 60, 1, "length")]
    two = [*blanks, Blank("c", 40, 40, 1, "length")]
    three = [*blanks, Blank("c", 20, 40, 2, "length")]
    stock, saw = [Stock("s", 100, 100)], SawLimits(0)
    for parts, stages, sheets in ((two, 2, 1), (three, 3, 1), (three, 2, 2)):
        plan = plan_cuts(parts, stock, saw=saw, wishes=Wishes(stages=stages))
        assert (plan.bought, plan.stages <= stages) == (sheets, True)


def strip_of(plan: CutPlan, keys: tuple[str, ...]) -> tuple[list[float], list[float]]:
    """Where the pieces of a strip start, along its length and across."""
    found = {p.blank: p for sheet in plan.sheets for p in sheet.placements if p.blank in keys}
    turned = {p.turned for p in found.values()}
    assert len(turned) == 1
    along = [found[key].y if turned == {True} else found[key].x for key in keys]
    across = [found[key].x if turned == {True} else found[key].y for key in keys]
    return along, across


@pytest.mark.parametrize("grain", ["none", "length"])
def test_pieces_that_belong_together_lie_end_to_end_in_one_strip(assert_sound, grain):
    """The second starts a length and a saw cut after the first, on the same line: 720 + 3.2."""
    left, right = Blank("left", 720, 400, 1, grain), Blank("right", 720, 400, 1, grain)
    blanks = [*MIXED[1:], left, right]
    plan = plan_cuts(
        blanks, SHEET, saw=SawLimits(3.2), wishes=Wishes(together=(("left", "right"),)), effort=40
    )
    assert_sound(plan, blanks, SHEET, 3.2)
    along, across = strip_of(plan, ("left", "right"))
    assert abs(along[1] - along[0]) == pytest.approx(723.2)
    assert across[0] == pytest.approx(across[1])
    sheets = [s.index for s in plan.sheets for p in s.placements if p.blank in ("left", "right")]
    assert len(set(sheets)) == 1
    assert plan.apart == ()


def test_a_strip_longer_than_any_sheet_is_cut_apart_and_said():
    """2 × 1300 + 3.2 = 2603.2 of 2440."""
    blanks = [Blank("left", 1300, 400, 1, "length"), Blank("right", 1300, 400, 1, "length")]
    wishes = Wishes(together=(("left", "right"),))
    plan = plan_cuts(blanks, SHEET, saw=SawLimits(3.2), wishes=wishes)
    assert not plan.unplaced
    assert plan.apart == (("left", "right"),)
    found = cutting_findings(plan, blanks, SHEET, saw=SawLimits(3.2), wishes=wishes)
    (told,) = [f for f in found if f.rule == "cutting.strip-too-long"]
    assert "2603.2" in told.message
    assert told.place.names == ("left", "right")


def heavy(plan: CutPlan, most: float) -> int:
    return sum(
        max(step.length, step.width) > most + 1e-6
        for sheet in plan.sheets
        for step in sheet.cuts
        if not step.trimming
    )


def test_the_first_cut_makes_pieces_that_one_person_can_handle(assert_sound):
    """A sheet of 2440 and arms for 1300: one cut across leaves nothing longer, so one heavy cut is the least."""
    blanks = [Blank("side", 720, 400, 4), Blank("shelf", 500, 300, 3)]
    saw = SawLimits(3.2, longest_carry=1300)
    plan = plan_cuts(blanks, SHEET, saw=saw)
    assert_sound(plan, blanks, SHEET, 3.2)
    assert plan.bought == 1
    assert heavy(plan, 1300) == 1


def test_what_counts_first_is_never_worse_than_where_it_counts_last():
    """Each aim, put first, is at least as well met as with the others before it; sheets always come out lowest."""
    saw = SawLimits(3.2)

    def planned(*order: str) -> CutPlan:
        return plan_cuts(MIXED, SHEET, saw=saw, wishes=Wishes(order=order), effort=60)  # type: ignore[arg-type]

    usual = planned()
    settings_first, cuts_first = planned("settings"), planned("cut length")
    offcut_first = planned("offcut")
    assert settings_first.fence_settings <= usual.fence_settings
    assert cuts_first.cut_length <= usual.cut_length * 1.01
    assert usual.bought == min(
        plan.bought for plan in (usual, settings_first, cuts_first, offcut_first)
    )
    assert offcut_first.largest_offcut is not None
    assert usual.largest_offcut is not None
    assert offcut_first.largest_offcut.area >= 0.97 * usual.largest_offcut.area


def test_wishes_that_cannot_be_are_told():
    wishes = Wishes(stages=1, order=("offcut", "offcut"), together=(("a", "b"), ("b", "c")))
    with pytest.raises(InputErrors) as told:
        plan_cuts(MIXED, SHEET, saw=SawLimits(3.2), wishes=wishes)
    assert {error.field for error in told.value.errors} == {
        "wishes.stages",
        "wishes.order",
        "wishes.together",
    }
