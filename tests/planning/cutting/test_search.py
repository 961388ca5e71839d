"""The search itself: the same in both forms, no worse with more time, done as soon as nothing better is possible."""

from __future__ import annotations

import math
import random

import pytest

from casewright.planning.cutting import Blank, SawLimits, Stock, grove, plan_cuts
from casewright.planning.cutting.compiled import PLAIN, Engine
from casewright.planning.cutting.filling import Filler, ready_engine
from casewright.planning.cutting.grove import HEAVIER, HEAVIEST, WEIGHED
from casewright.planning.cutting.job import Job, Layout, Patience, Supply, empty_sheet
from casewright.planning.cutting.tree import Box, Item


def tight_job(*, stages: int = 0) -> Job:
    """Forty parts, seeded, for four sheets of 2440 × 1220 that they would fill to nine tenths."""
    chance = random.Random(7)
    sizes = [(chance.randrange(150, 900), chance.randrange(100, 500)) for _ in range(40)]
    area = sum(a * b for a, b in sizes)
    scale = math.sqrt(0.9 * 4 * 2440 * 1220 / area)
    items = tuple(
        Item(i, round(a * scale) * 1e6, round(b * scale) * 1e6, i % 3 > 0)
        for i, (a, b) in enumerate(sizes)
    )
    sheet = Supply(2440e6, 1220e6, None, 1.0, False)
    return Job(items, (sheet,), 3.2e6, 4, (150e6, 300e6), stages)


def shape(box: Box) -> tuple[object, ...]:
    part = box.item.kind if box.item else -1
    return (tuple(box.size), box.axis, part, box.turned, tuple(shape(kid) for kid in box.kids))


def searched(job: Job, engine: Engine, steps: int) -> Layout:
    sheets = tuple((0, empty_sheet(job, 0)) for _ in range(4))
    filler = Filler(job, engine)
    return filler.refill(sheets, job.items, steps=steps, patience=Patience(0))


@pytest.mark.parametrize("stages", [0, 3])
def test_compiled_and_plain_search_give_the_same_layout(stages):
    engine = ready_engine()
    if not engine.compiled:
        pytest.skip("numba is not installed")
    job = tight_job(stages=stages)
    plain, compiled = searched(job, PLAIN, 60), searched(job, engine, 60)
    assert [shape(root) for _, root in plain.roots] == [shape(root) for _, root in compiled.roots]
    assert [item.kind for item in plain.left] == [item.kind for item in compiled.left]


def test_both_forms_weigh_what_stays_outside_alike():
    """Twelve parts that fill a sheet one and a fifth times: some stay outside, however long the search."""
    engine = ready_engine()
    if not engine.compiled:
        pytest.skip("numba is not installed")
    job = tight_job()
    items = tuple(sorted(job.items, key=lambda item: -item.area)[8:20])
    side = math.sqrt(sum(item.area for item in items) / 1.2)
    job = Job(items, (Supply(side, side, None, 1.0, False),), 3.2e6, 1, (150e6, 300e6), 0)
    empty = ((0, empty_sheet(job, 0)),)
    plain, compiled = (
        Filler(job, each).refill(empty, items, steps=2 * WEIGHED + 100, patience=Patience(0))
        for each in (PLAIN, engine)
    )
    assert plain.left
    assert [shape(root) for _, root in plain.roots] == [shape(root) for _, root in compiled.roots]
    assert [item.kind for item in plain.left] == [item.kind for item in compiled.left]


def test_what_stays_outside_gets_heavier_and_no_weight_grows_without_end():
    job = tight_job()
    filler = Filler(job, PLAIN)
    g, desk = filler._empty(1, job.items[:2]), filler._desk
    assert HEAVIER > 1
    for times in (1, 2):
        grove._weigh(g, desk)
        assert desk.weights[:3] == pytest.approx([HEAVIER**times, HEAVIER**times, 1.0])
    assert grove._weight_outside(g, filler._parts, desk) == pytest.approx(
        HEAVIER**2 * sum(item.area for item in job.items[:2])
    )
    for _ in range(1000):
        grove._weigh(g, desk)
    assert 1.0 < desk.weights[0] == desk.weights[1] <= HEAVIEST
    assert desk.weights[2] == 1.0


def test_more_steps_never_leave_more_outside():
    """The best so far is kept, and the same chances come first."""
    job = tight_job()
    outside = [
        sum(item.area for item in searched(job, PLAIN, steps).left) for steps in (0, 40, 120)
    ]
    assert outside[0] >= outside[1] >= outside[2]


def test_a_proven_number_of_sheets_ends_the_search_before_its_time():
    """Five parts of which no two go on one sheet: five sheets, and the bound says so; a minute is not used."""
    looks = 0

    def clock() -> float:
        nonlocal looks
        looks += 1
        return looks / 10

    blanks = [Blank("p", 60, 60, 5)]
    plan = plan_cuts(blanks, [Stock("s", 100, 100)], saw=SawLimits(0), seconds=60, clock=clock)
    assert plan.bought == plan.lower_bound == 5
    assert looks < 200, "of some 600 that a minute has"


def test_time_is_kept_by_the_clock_given():
    """It runs a tenth of a second a look: a search of one second looks some ten times at it, whatever it finds."""
    looks = 0

    def clock() -> float:
        nonlocal looks
        looks += 1
        return looks / 10

    blanks = [Blank("a", 34, 34, 5), Blank("b", 40, 30, 4), Blank("c", 51, 20, 6)]
    plan = plan_cuts(blanks, [Stock("s", 100, 70)], saw=SawLimits(1), seconds=1, clock=clock)
    assert not plan.unplaced
    assert looks < 100
