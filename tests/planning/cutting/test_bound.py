"""The bound is never too high, and sees more than area."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.planning.cutting import Blank, SawLimits, Stock, plan_cuts
from casewright.planning.cutting.bound import least_sheets


@pytest.mark.parametrize(
    ("part", "count", "grain", "kerf", "sheets"),
    [
        ((60, 60), 5, "none", 0, 5),  # two of them lie neither side by side nor end to end
        ((50, 100), 6, "length", 0, 3),  # exact halves
        ((49, 100), 6, "length", 1.9, 3),  # 2 × 49 + 1.9 = 99.9
        ((49, 100), 6, "length", 2.1, 6),  # 2 × 49 + 2.1 = 100.1
        ((34, 60), 4, "length", 0, 2),  # two side by side, none above: area alone says 1
    ],
)
def test_bounds_worked_out_by_hand(part, count, grain, kerf, sheets):
    blanks = [Blank("p", *part, count, grain)]
    assert least_sheets(blanks, [Stock("s", 100, 100)], kerf) == sheets


@given(
    cuts=st.lists(
        st.tuples(st.booleans(), st.floats(0.15, 0.85), st.integers(0, 30)), min_size=1, max_size=12
    ),
    kerf=st.sampled_from([0.0, 3.2]),
    sheets=st.integers(1, 3),
    grain=st.sampled_from(["none", "length"]),
)
def test_parts_sawn_from_so_many_sheets_are_never_said_to_need_more(cuts, kerf, sheets, grain):
    """Saw real sheets up at random; what comes off them can be cut from them."""
    pieces = [(2440.0, 1220.0)] * sheets
    for lengthwise, share, which in cuts:
        length, width = pieces.pop(which % len(pieces))
        side = length if lengthwise else width
        near = round((side - kerf) * share, 1)
        if near < 10 or side - kerf - near < 10:
            pieces.append((length, width))
            continue
        for part in (near, side - kerf - near):
            pieces.append((part, width) if lengthwise else (length, part))
    blanks = [Blank(f"p{i}", length, width, 1, grain) for i, (length, width) in enumerate(pieces)]
    assert least_sheets(blanks, [Stock("s", 2440, 1220)], kerf) <= sheets


def test_offcuts_lower_the_bound_on_what_is_bought():
    blanks = [Blank("p", 60, 60, 5)]
    stock = [Stock("s", 100, 100), Stock("old", 70, 70, quantity=2, offcut=True)]
    assert least_sheets(blanks, stock, 0) == 3
    plan = plan_cuts(blanks, stock, saw=SawLimits(0))
    assert (plan.bought, plan.lower_bound) == (3, 3)


def test_a_published_instance():
    """Class 1, 20 parts, number 1 of J. O. Berkey, P. Y. Wang, J. Oper. Res. Soc. 38 (1987) 423-429.

    Best known, any arrangement: 8 sheets with fixed parts, 7 if they may turn (table of the open packing library
    of F. Fontan, L. Libralesso); the area alone says 7 (648 / 100).
    """
    parts = [
        *[(5, 9), (4, 2), (10, 6), (5, 7), (6, 3), (10, 7), (1, 5), (3, 5), (6, 9), (2, 4)],
        *[(6, 7), (7, 2), (8, 3), (4, 10), (4, 5), (10, 3), (8, 3), (7, 8), (8, 3), (8, 7)],
    ]
    stock = [Stock("s", 10, 10)]
    fixed = [Blank(f"p{i}", w, h, 1, "length") for i, (w, h) in enumerate(parts)]
    turning = [Blank(f"p{i}", w, h) for i, (w, h) in enumerate(parts)]
    plan = plan_cuts(fixed, stock, saw=SawLimits(0))
    assert plan.bought == 8
    assert plan.lower_bound <= 8
    plan = plan_cuts(turning, stock, saw=SawLimits(0))
    assert plan.bought == 7 == plan.lower_bound
