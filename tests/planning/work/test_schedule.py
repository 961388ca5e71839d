"""Time: the longest chain against a textbook's method and against brute force, days that never overlap."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import scipy.sparse.csgraph
from hypothesis import given
from hypothesis import strategies as st

from casewright.behavior.painting import Painting
from casewright.planning.work.schedule import critical_path, scheduled, shop_days
from casewright.planning.work.step import Step


def step(key: str, hours: float, needs: tuple[str, ...] = (), *, dry: float = 0.0) -> Step:
    return Step(
        key=key, stage="glue", title=key, orders=(key,), needs=needs, minutes=60 * hours, dry_h=dry
    )


def test_the_textbook_s_network_of_a_small_project():
    """A network in the manner of the critical path method's textbooks (Moder, Phillips and Davis, "Project Management
    with CPM, PERT and Precedence Diagramming"); figures from memory, worked here by hand in two passes.

    Forward: A 3, B 3 + 4 = 7, C 3 + 2 = 5, D 7 + 5 = 12, E max(5, 7) + 1 = 8, F max(12, 8) + 2 = 14; no float: A-B-D-F.
    """
    steps = [
        step("A", 3),
        step("B", 4, ("A",)),
        step("C", 2, ("A",)),
        step("D", 5, ("B",)),
        step("E", 1, ("B", "C")),
        step("F", 2, ("D", "E")),
    ]
    found = critical_path(steps)
    assert found.steps == ("A", "B", "D", "F")
    assert found.hours == pytest.approx(14)


def test_drying_counts_along_the_chain_and_outweighs_work():
    steps = [step("glue", 0.5, dry=12), step("saw", 5), step("sand", 1, ("glue", "saw"))]
    found = critical_path(steps)
    assert found.steps == ("glue", "sand")
    assert (found.busy_h, found.drying_h) == pytest.approx((1.5, 12))


@st.composite
def networks(draw: st.DrawFn) -> list[Step]:
    made: list[Step] = []
    for index in range(draw(st.integers(1, 14))):
        needs = tuple(one.key for one in made if draw(st.integers(0, 3)) == 0)
        hours = draw(st.integers(1, 40)) / 8
        made.append(step(f"s{index}", hours, needs, dry=draw(st.sampled_from([0, 0, 0.75, 12]))))
    return made


@given(networks())
def test_the_longest_chain_is_scipy_s_shortest_of_negated_times(steps):
    """Bellman and Ford in scipy on the same network: weights are negated times, from a source into every step."""
    size = len(steps) + 1
    weights = np.full((size, size), np.inf)
    place = {one.key: index + 1 for index, one in enumerate(steps)}
    for one in steps:
        time = one.minutes / 60 + one.dry_h
        weights[0, place[one.key]] = -time
        for need in one.needs:
            weights[place[need], place[one.key]] = -time
    graph = scipy.sparse.csgraph.csgraph_from_dense(weights, null_value=np.inf)
    distance = scipy.sparse.csgraph.bellman_ford(graph, indices=0)
    assert critical_path(steps).hours == pytest.approx(-min(distance[1:]))


@given(networks(), st.sampled_from([2.0, 3.5, 6.0, 11.0]))
def test_one_person_does_one_thing_at_a_time_in_the_shop_s_hours_on_dry_work(steps, hours):
    order, slots = scheduled(steps, Painting(), hours=hours)
    assert sorted(order) == sorted(one.key for one in steps)
    by_key = {one.key: one for one in steps}
    for before, after in pairwise(slots):
        assert after.start_h >= before.end_h - 1e-9
    ready: dict[str, float] = {}
    begun: dict[str, float] = {}
    busy: dict[str, float] = dict.fromkeys(by_key, 0.0)
    for slot in slots:
        morning = math.floor((slot.start_h + 1e-9) / 24) * 24 + 9
        assert slot.start_h >= morning - 1e-9
        assert slot.end_h <= morning + hours + 1e-6
        begun.setdefault(slot.step, slot.start_h)
        busy[slot.step] += slot.end_h - slot.start_h
        if slot.is_last:
            ready[slot.step] = slot.end_h + by_key[slot.step].dry_h
            assert slot.ready_h == pytest.approx(ready[slot.step])
    for key, one in by_key.items():
        assert busy[key] == pytest.approx(one.minutes / 60)
        assert all(begun[key] >= ready[need] - 1e-6 for need in one.needs)
    whole = max(ready.values()) - min(begun.values())
    assert critical_path([by_key[key] for key in order]).hours <= whole + 1e-6
    assert sum(day.busy_h for day in shop_days(slots)) == pytest.approx(sum(busy.values()))


def test_what_dries_over_night_is_told_with_its_hour():
    """Six hours from nine: work ends at 14:00 after 5 h; 12 h later is 2:00 of the next day."""
    steps = [step("saw", 4.5), step("glue", 0.5, ("saw",), dry=12), step("sand", 1, ("glue",))]
    _, slots = scheduled(steps, Painting(), hours=6)
    first, second = shop_days(slots)
    assert first.drying == (("glue", pytest.approx(26.0)),)
    assert second.steps == ("sand",) and second.drying == ()
    assert slots[-1].start_h == pytest.approx(24 + 9)
