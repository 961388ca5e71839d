"""Sets from the literature, typed in: no kerf, no trim, each part as often as said.

`area` is the parts' area over the sheet's, rounded up: a layout on so few sheets is proven best.
"""

from __future__ import annotations

import math

import pytest

from casewright.planning.cutting import Blank, SawLimits, Stock, plan_cuts

Parts = list[tuple[int, int, int]]  # width, height, quantity

# J. E. Beasley, "An exact two-dimensional non-guillotine cutting tree search procedure",
# Operations Research 33 (1985) 49-64, problems 3, 5, 7, 9, 11; as in the OR-Library, set ngcut.
NGCUT03 = (
    (10, 10),
    [
        *[(3, 2, 2), (7, 2, 3), (4, 5, 2), (4, 1, 2), (1, 10, 1)],
        *[(8, 4, 1), (4, 2, 2), (3, 7, 3), (6, 2, 3), (9, 1, 2)],
    ],
)
NGCUT05 = (
    (15, 10),
    [(10, 3, 2), (9, 3, 1), (12, 2, 3), (11, 3, 1), (12, 3, 3), (11, 1, 3), (2, 10, 1)],
)
NGCUT07 = ((20, 20), [(1, 9, 3), (16, 3, 1), (18, 3, 1), (20, 2, 1), (3, 1, 2)])
NGCUT09 = (
    (20, 20),
    [
        *[(14, 2, 1), (1, 5, 1), (20, 4, 2), (12, 3, 3), (11, 8, 2)],
        *[(11, 6, 2), (7, 9, 1), (17, 5, 1), (7, 14, 2), (1, 7, 3)],
    ],
)
NGCUT11 = (
    (30, 30),
    [(3, 23, 3), (29, 5, 1), (21, 2, 3), (17, 11, 3), (14, 7, 2), (8, 5, 2), (21, 8, 1)],
)
# N. Christofides, C. Whitlock, "An algorithm for two-dimensional cutting problems",
# Operations Research 25 (1977) 30-44, problem 1; as in the OR-Library, set cgcut.
CGCUT01 = (
    (15, 10),
    [(8, 4, 2), (3, 7, 1), (8, 2, 3), (3, 4, 5), (3, 3, 2), (3, 2, 2), (2, 1, 1)],
)


def area_bound(sheet: tuple[int, int], parts: Parts) -> int:
    return math.ceil(sum(w * h * n for w, h, n in parts) / (sheet[0] * sheet[1]))


@pytest.mark.parametrize(
    ("instance", "grain", "best"),
    [
        (NGCUT03, "none", 3),
        (NGCUT05, "none", 3),
        (NGCUT07, "length", 1),
        (NGCUT07, "none", 1),
        (NGCUT09, "none", 3),
        (NGCUT11, "none", 2),
        (CGCUT01, "length", 2),
        (CGCUT01, "none", 2),
    ],
)
def test_sets_whose_area_bound_is_reached(assert_sound, instance, grain, best):
    (width, height), parts = instance
    assert area_bound((width, height), parts) == best
    blanks = [Blank(f"p{i}", w, h, n, grain) for i, (w, h, n) in enumerate(parts, start=1)]
    stock = [Stock("sheet", width, height)]
    plan = plan_cuts(blanks, stock, saw=SawLimits(0), keepable=(1, 1))
    assert_sound(plan, blanks, stock, 0)
    assert plan.bought == best
    assert plan.lower_bound == best


@pytest.mark.parametrize("instance", [NGCUT03, NGCUT09, CGCUT01])
def test_the_separate_checker_agrees(layout_checker, instance):
    (width, height), parts = instance
    blanks = [Blank(f"p{i}", w, h, n) for i, (w, h, n) in enumerate(parts, start=1)]
    stock = [Stock("sheet", width, height)]
    plan = plan_cuts(blanks, stock, saw=SawLimits(0))
    assert layout_checker(plan, blanks, stock, 0) == []
