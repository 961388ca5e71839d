"""Results are found again for the same arguments, and only for them. Checked by counting calls."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import pytest

from casewright.basics.remembering import Kept, Latest, let_go, remembered


@dataclass(frozen=True)
class Thing:
    size: float


def counted(most=8, **options):
    calls = []

    @remembered(most, **options)
    def made(*given, **named):
        calls.append((given, named))
        return object()

    return made, calls


@pytest.mark.parametrize("given", [(1.5,), ("a", None), ((1.5, (2.5, "b")),), ({"a": [1.5, 2.5]},)])
def test_plain_values_count_by_value(given):
    made, calls = counted()
    copied = tuple({**g} if isinstance(g, dict) else g for g in given)
    assert made(*given) is made(*copied)
    assert len(calls) == 1


def test_objects_count_by_which_one_they_are():
    made, calls = counted()
    one, other = Thing(1.0), Thing(1.0)
    assert one == other
    assert made(one) is made(one)
    assert made(one) is not made(other)
    assert made([one, other]) is made((one, other))
    assert made([one, other]) is not made([other, one])
    assert len(calls) == 4


def test_what_is_equal_but_of_another_sort_is_told_apart():
    """In Python True == 1 == 1.0; what a file says by them is not the same."""
    made, calls = counted()
    results = {id(made(value)) for value in (True, 1, 1.0)}
    assert len(results) == len(calls) == 3


def test_days_count_by_value():
    made, _ = counted()
    assert made({"start": date(2027, 3, 5)}) is made({"start": date(2027, 3, 5)})
    assert made({"start": date(2027, 3, 5)}) is not made({"start": date(2027, 3, 6)})


def test_a_list_that_grows_later_is_another_one():
    made, calls = counted()
    values = [1.5]
    first = made(values)
    values.append(2.5)
    assert made(values) is not first
    assert made([1.5]) is first
    assert len(calls) == 2


def test_a_result_holds_on_to_what_it_was_made_from():
    """An identity is given again once its object is gone; while a result is remembered, none of its own may go."""
    made, calls = counted(most=4096)
    for size in range(2000):
        made(Thing(float(size)))
    assert len(calls) == 2000


def test_arguments_left_out_do_not_count():
    made, calls = counted(besides=("more",))
    one = Thing(1.0)
    assert made(one, more=Thing(2.0)) is made(one, more=Thing(3.0))
    assert calls == [((one,), {"more": Thing(2.0)})]


def test_failures_are_not_remembered():
    calls = []

    @remembered(8)
    def half(value):
        calls.append(value)
        raise ValueError

    for _ in range(2):
        with pytest.raises(ValueError):
            half(1.0)
    assert calls == [1.0, 1.0]


def test_kept_gives_back_the_earlier_of_two_equal_values():
    kept = Kept()
    one = kept.same(Thing(1.0), "here")
    assert kept.same(Thing(1.0), "here") is one
    assert kept.same(Thing(1.0), "there") is not one
    assert kept.same(Thing(2.0), "here") == Thing(2.0)
    assert kept.same(Thing(1.0), "here") is one


def test_kept_and_latest_are_bounded_and_can_be_emptied():
    kept, latest = Kept(4, each=2), Latest(2)
    first = kept.same(Thing(0.0), 0)
    for at in range(1, 5):
        kept.same(Thing(0.0), at)
    assert kept.same(Thing(0.0), 0) is not first
    for value in (1, 2, 3):
        latest.add(value)
    assert list(latest) == [3, 2]
    latest.cache_clear()
    kept.cache_clear()
    assert not list(latest)
    assert kept.same(Thing(0.0), 4) is not first


def test_what_no_cabinet_of_the_last_few_asked_for_is_let_go():
    """Looking back on three: what one of them asked for stays, what none asked for is made anew."""
    made, calls = counted()
    kept: Kept[Thing] = Kept()
    old = kept.same(Thing(1.0), "old")
    made("old")
    for _ in range(3):
        made("used")
        kept.same(Thing(2.0), "used")
        let_go(3)
    used = kept.same(Thing(2.0), "used")
    made("old")
    assert kept.same(Thing(1.0), "old") is old
    assert len(calls) == 2  # all that was there is still found
    for _ in range(4):
        made("used")
        assert kept.same(Thing(2.0), "used") is used
        let_go(3)
    assert kept.same(Thing(1.0), "old") is not old
    made("used")
    assert len(calls) == 2
    made("old")
    assert len(calls) == 3


def test_letting_go_counts_with_what_is_kept_at_most():
    """Marks of moments push results out no further than a memory's size; forgetting all is harmless."""
    made, calls = counted(most=4)
    for number in range(12):
        made(number)
        let_go(2)
    assert made(11) is made(11)
    assert len(calls) == 12
    made.cache_clear()
    let_go(2)
    made(11)
    assert len(calls) == 13
