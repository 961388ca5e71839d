"""How often things are set: the order found against brute force, and the bound against every order there is."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.planning.work.arranging import arranged, setup_counts
from casewright.planning.work.bounds import least_settings
from casewright.planning.work.needs import earlier_steps
from casewright.planning.work.step import Setting, Step


def step(key: str, bit: str, stop: str = "", needs: tuple[str, ...] = ()) -> Step:
    return Step(
        key=key,
        stage="shape",
        title=key,
        orders=(key,),
        needs=needs,
        setting=Setting("drill", (bit, stop)) if bit else None,
    )


def runs(row: list[str]) -> int:
    """Changes of a row of settings, the first counted: by hand, without the code under test."""
    real = [name for name in row if name]
    return sum(a != b for a, b in zip([None, *real], real, strict=False))


def workable(order: tuple[Step, ...]) -> bool:
    done: set[str] = set()
    for one in order:
        if not set(one.needs) <= done:
            return False
        done.add(one.key)
    return True


def fewest(steps: list[Step]) -> int:
    """Fewest changes of bit over every order that can be worked."""
    orders = [order for order in permutations(steps) if workable(order)]
    return min(runs([s.setting.values[0] if s.setting else "" for s in order]) for order in orders)


@st.composite
def small_shops(draw: st.DrawFn) -> list[Step]:
    """Up to seven steps with up to three bits, hand work between; each needs some of those before it."""
    made: list[Step] = []
    for index in range(draw(st.integers(1, 7))):
        bit = draw(st.sampled_from(["", "4", "8", "24"]))
        needs = tuple(one.key for one in made if draw(st.integers(0, 3)) == 0)
        made.append(step(f"s{index}", bit, needs=needs))
    return draw(st.permutations(made))


@given(small_shops())
def test_no_order_sets_less_than_the_bound_and_the_order_found_can_be_worked(steps):
    """Against all 5040 orders of seven steps, counted by hand."""
    order = arranged(steps)
    assert sorted(s.key for s in order) == sorted(s.key for s in steps)
    assert workable(order)
    classes = [(s.setting.values[0],) if s.setting else None for s in steps]
    least = least_settings(classes, earlier_steps(steps))
    best = fewest(steps)
    found = runs([s.setting.values[0] if s.setting else "" for s in order])
    assert least <= best <= found
    assert found == best


@given(small_shops())
def test_where_nothing_goes_round_each_bit_is_set_once(steps):
    """Where an order exists that sets every bit once, it is found, and the bound says so."""
    distinct = len({s.setting.values[0] for s in steps if s.setting})
    if fewest(steps) == distinct:
        counts = {c.thing: c for c in setup_counts(arranged(steps))}
        if distinct:
            assert counts["bit"].count == counts["bit"].least == distinct


def test_a_chain_that_comes_back_sets_a_bit_twice():
    """Wide recess, hole through it, recess round that hole: 24, 16, 24, whatever the order."""
    steps = [step("a", "24"), step("b", "16", needs=("a",)), step("c", "24", needs=("b",))]
    (bit,) = [c for c in setup_counts(arranged(steps)) if c.thing == "bit"]
    assert (bit.count, bit.least, bit.distinct) == (3, 3, 2)


def test_a_ring_of_two_bits_sets_one_of_them_twice():
    """Two pieces: on one 24 must come before 16, on the other 16 before 24. No chain comes back, yet it is three."""
    steps = [
        step("p24", "24"),
        step("p16", "16", needs=("p24",)),
        step("q16", "16"),
        step("q24", "24", needs=("q16",)),
    ]
    (bit,) = [c for c in setup_counts(arranged(steps)) if c.thing == "bit"]
    assert (bit.count, bit.least, bit.distinct) == (3, 3, 2)
    assert fewest(steps) == 3


def test_a_ring_over_two_machines_costs_nothing():
    """Drill, router, drill again: the drill keeps its bit meanwhile."""
    first, last = step("a", "8"), step("c", "8", needs=("b",))
    rout = Step(
        key="b",
        stage="shape",
        title="b",
        orders=("b",),
        needs=("a",),
        setting=Setting("router", ("straight 8", "6")),
    )
    counts = {(c.machine, c.thing): c for c in setup_counts(arranged([first, last, rout]))}
    assert counts["drill", "bit"].count == counts["drill", "bit"].least == 1


def test_stops_of_one_bit_stand_together():
    """Two bits with two stops each, mixed: two bits, four stops, as the pairs say."""
    steps = [
        step(f"{bit}{stop}{i}", bit, stop) for i in (1, 2) for stop in "97" for bit in ("2", "4")
    ]
    counts = {c.thing: c.count for c in setup_counts(arranged(steps))}
    assert counts == {"bit": 2, "stop": 4}


def test_a_stop_that_was_taken_off_is_set_anew():
    """Blind, through, blind with one bit, each needing the one before."""
    steps = [step("a", "4", "9"), step("b", "4", "", ("a",)), step("c", "4", "9", ("b",))]
    counts = {c.thing: c for c in setup_counts(arranged(steps))}
    assert counts["bit"].count == 1
    assert counts["stop"].count == 2


@pytest.mark.parametrize("size", [3, 5, 16])
def test_a_long_ring_costs_one_setting_more(size):
    """A ring of n bits is opened by one of them, also past the size that is searched whole."""
    steps = []
    for i in range(size):
        early, late = f"bit{i}", f"bit{(i + 1) % size}"
        steps += [step(f"{i}a", early), step(f"{i}b", late, needs=(f"{i}a",))]
    (bit,) = [c for c in setup_counts(arranged(steps)) if c.thing == "bit"]
    assert bit.least == bit.count == size + 1


def at(key: str, machine: str, needs: tuple[str, ...] = (), rank: float = 0.0) -> Step:
    values = ("10", "") if machine == "drill" else ("wood",)
    setting = Setting(machine, values)  # type: ignore[arg-type]
    return Step(
        key=key, stage="shape", title=key, orders=(key,), needs=needs, rank=rank, setting=setting
    )


def test_all_start_holes_are_bored_before_the_saw_is_taken_up():
    """Three openings, a start hole and a saw cut each: both machines stand set, so only the ways between them count."""
    steps = [
        one
        for n in range(3)
        for one in (
            at(f"start{n}", "drill", rank=n),
            at(f"saw{n}", "jigsaw", (f"start{n}",), rank=n),
        )
    ]
    order = arranged(steps)
    assert workable(order)
    machines = [one.setting.machine for one in order if one.setting]
    least = min(
        runs([one.setting.machine for one in way if one.setting])
        for way in permutations(steps)
        if workable(way)
    )
    assert runs(machines) == least == 2
