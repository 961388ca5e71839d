"""What is left of a sheet that is begun, held against areas and places reckoned with a general geometry library."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from casewright.planning.cutting import Blank, CutPlan, SawLimits, Stock, left_of, plan_cuts

SAW = SawLimits(kerf=3.0)


def layout(sizes: list[tuple[float, float]]) -> CutPlan:
    blanks = [Blank(f"p{n}", *size) for n, size in enumerate(sizes)]
    return plan_cuts(blanks, [Stock("sheet 1", 1500, 750, trim=10.0)], saw=SAW, effort=5)


@settings(deadline=None, max_examples=25)
@given(
    sizes=st.lists(st.tuples(st.integers(60, 700), st.integers(60, 600)), min_size=2, max_size=9),
    which=st.integers(0, 8),
)
def test_parts_and_rests_share_the_sheet_and_nothing_lies_on_another(
    sizes: list[tuple[float, float]], which: int
) -> None:
    """Shapely: what is off and what lies on the bench is inside the sheet, less saw cuts, trim and waste."""
    plan = layout(sizes)
    key = f"p{which % len(sizes)}"
    sheet = next(one for one in plan.sheets if key in {p.blank for p in one.placements})
    left = left_of(sheet, {key})
    assert left is not None and left.last == key and left.stock == "sheet 1"
    part = next(p for p in sheet.placements if p.blank == key)
    free = shapely.area(box(10, 10, 1490, 740)) - part.length * part.width
    assert sum(a * b for a, b in left.rests) <= free + 1e-6
    # Whatever else lies on that sheet still has a rectangle it is laid in, and can be laid out there by itself.
    others = [p for p in sheet.placements if p.blank != key]
    stock = [
        Stock(f"left {n}", length, width, quantity=1, offcut=True)
        for n, (length, width) in enumerate(left.rests)
    ]
    fits = [
        any(o.length <= s.length + 1e-6 and o.width <= s.width + 1e-6 for s in stock)
        for o in others
    ]
    assert all(fits)


def test_all_parts_off_leave_the_offcuts() -> None:
    sheet = layout([(700, 400), (600, 300)]).sheets[0]
    left = left_of(sheet, {"p0", "p1"})
    assert left is not None
    assert sorted(left.rests) == sorted((o.length, o.width) for o in sheet.offcuts)
    assert left_of(sheet, {"elsewhere"}) is None


def test_one_rip_by_hand() -> None:
    """A board of 1000 by 500 without trim, one part of 1000 by 200, kerf 3: 297 are left."""
    plan = plan_cuts([Blank("lip", 1000, 200)], [Stock("board", 1000, 500)], saw=SAW)
    left = left_of(plan.sheets[0], {"lip"})
    assert left is not None
    assert left.rests == (pytest.approx((1000.0, 297.0)),)
