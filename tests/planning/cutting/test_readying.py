"""Compiled functions got ready beside other work: there when they are asked for, and no plan differs by them."""

from __future__ import annotations

import threading

import pytest

from casewright.planning.cutting import Blank, SawLimits, Stock, plan_cuts, readying
from casewright.planning.cutting.compiled import PLAIN, fast_engine
from casewright.planning.cutting.filling import Filler, ready_engine
from casewright.planning.cutting.readying import ready_beside


def plan():
    sizes = ((720, 400, 2), (864, 380, 2), (864, 90, 4), (560, 330, 3), (430, 700, 2))
    blanks = [Blank(f"p{i}", *size) for i, size in enumerate(sizes)]
    return plan_cuts(blanks, [Stock("sheet", 2440, 1220)], saw=SawLimits(3.2), effort=80)


def test_plans_are_the_same_before_and_after(monkeypatch):
    ready_engine.cache_clear()
    monkeypatch.setattr(readying, "_is_asked_for", threading.Event())
    before = plan()
    assert ready_engine.cache_info().currsize == 0, "a plan of this size loads nothing"
    quiet = iter([False, False, True])
    thread = ready_beside(lambda: next(quiet))
    if thread is None:
        pytest.skip("numba is not installed")
    thread.join()
    assert next(quiet, None) is None, "it waits for a quiet moment"
    assert ready_engine.cache_info().currsize == 1
    assert ready_beside() is None, "once in a process"
    assert plan() == before


@pytest.fixture
def afresh():
    """Engines made anew, before and after."""
    fast_engine.cache_clear()
    ready_engine.cache_clear()
    yield
    fast_engine.cache_clear()
    ready_engine.cache_clear()


def test_where_nothing_can_be_kept_the_plain_functions_serve(monkeypatch, afresh):
    """numba's own complaint where neither its folder nor the user's can be written: "no locator available"."""
    numba = pytest.importorskip("numba")

    def refused(**options):
        raise RuntimeError("cannot cache function 'draw': no locator available")

    monkeypatch.setattr(numba, "njit", refused)
    assert ready_engine() is PLAIN


def test_a_full_disk_leaves_the_plain_functions(monkeypatch, afresh):
    if not fast_engine().compiled:
        pytest.skip("numba is not installed")

    def full(*arguments):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Filler, "lay", full)
    assert ready_engine() is PLAIN
