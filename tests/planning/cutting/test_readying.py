"""Compiled functions got ready beside other work: there when they are asked for, and no plan differs by them."""

from __future__ import annotations

import pytest

from casewright.planning.cutting import Blank, SawLimits, Stock, plan_cuts
from casewright.planning.cutting.filling import ready_engine
from casewright.planning.cutting.readying import ready_beside


def plan():
    sizes = ((720, 400, 2), (864, 380, 2), (864, 90, 4), (560, 330, 3), (430, 700, 2))
    blanks = [Blank(f"p{i}", *size) for i, size in enumerate(sizes)]
    return plan_cuts(blanks, [Stock("sheet", 2440, 1220)], saw=SawLimits(3.2), effort=80)


def test_plans_are_the_same_before_and_after():
    ready_engine.cache_clear()
    ready_beside.cache_clear()
    before = plan()
    assert ready_engine.cache_info().currsize == 0, "a plan of this size loads nothing"
    thread = ready_beside()
    if thread is None:
        pytest.skip("numba is not installed")
    thread.join()
    assert ready_engine.cache_info().currsize == 1
    assert ready_beside() is thread, "once in a process"
    assert plan() == before
