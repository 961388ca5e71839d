"""What is varied, and the variants that come of it."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.basics.errors import InputError
from casewright.planning.exploring import Space, space_of, variation_at, variation_of
from casewright.planning.exploring.variations import place_named

DATA = {
    "shape": {"width": 300, "corners": {"A": [0, 0]}},
    "people": [{"label": "tall adult", "eye": 1340}],
    "parts": {"button": {"placed": [{"key": "go", "u": 100}, {"key": "stop", "u": 140}]}},
}


def space(*sizes: int) -> Space:
    fields = ("parts.button.placed.go.u", "shape.width", "extras.wire", "parts.button.type")
    return space_of(
        [
            variation_at(DATA, field, list(range(size)), where="vary")
            for field, size in zip(fields, sizes, strict=False)
        ]
    )


def test_places_are_named_by_key_label_or_position() -> None:
    assert place_named(DATA, "shape.width", where="x") == ("shape", "width")
    assert place_named(DATA, "shape.corners.A.1", where="x") == ("shape", "corners", "A", 1)
    go = ("parts", "button", "placed", 0, "u")
    assert place_named(DATA, "parts.button.placed.go.u", where="x") == go
    assert place_named(DATA, "parts.button.placed.0.u", where="x") == go
    assert place_named(DATA, "people.tall adult.eye", where="x") == ("people", 0, "eye")
    with pytest.raises(InputError) as told:
        place_named(DATA, "parts.button.placed.gone.u", where="--vary")
    assert told.value.field == "--vary" and "go, stop" in told.value.want


@given(st.lists(st.integers(1, 5), min_size=1, max_size=4))
def test_numbers_count_every_combination_once_the_last_one_first(sizes: list[int]) -> None:
    """Against itertools.product, whose last iterable goes round first (Python's documentation)."""
    made = space(*sizes)
    values = [
        tuple(made.variant(n).edits[path] for v in made.variations for path in v.paths)
        for n in range(1, made.count + 1)
    ]
    assert values == list(product(*(range(size) for size in sizes)))


@given(st.lists(st.integers(1, 5), min_size=1, max_size=4), st.integers(1, 50), st.integers(0, 9))
def test_a_walk_and_a_sample_lose_nothing(sizes: list[int], most: int, seed: int) -> None:
    made = space(*sizes)
    sample = made.sample(most, seed=seed)
    assert sample == made.sample(most, seed=seed) == tuple(sorted(set(sample)))
    assert len(sample) == min(most, made.count)
    walk = made.walk(sample)
    assert sorted(walk) == list(sample)
    for most_in_one in (1, 3, 7, 100):
        chunks = made.chunks(sample, most_in_one)
        assert [n for chunk in chunks for n in chunk] == list(walk)
        assert all(0 < len(chunk) <= most_in_one for chunk in chunks)


def test_the_carcass_changes_slowest_and_places_last_wherever_they_are_named() -> None:
    made = space(3, 2, 1, 2)  # a place, the width, a price, a type
    places = [
        (v.edits["shape", "width"], v.edits["parts", "button", "type"])
        for v in map(made.variant, made.walk(range(1, made.count + 1)))
    ]
    assert places == sorted(places), "each width once, in it each type once"


def test_a_carcass_stays_with_one_worker_where_there_is_room() -> None:
    made = space(3, 4, 1, 2)  # 4 widths, 6 variants of each
    for most, sizes in ((6, [6, 6, 6, 6]), (13, [12, 12]), (5, [5, 1, 5, 1, 5, 1, 5, 1])):
        chunks = made.chunks(range(1, made.count + 1), most)
        assert [len(chunk) for chunk in chunks] == sizes, "counted by hand"
    widths = [
        {made.variant(n).choices["shape.width"] for n in chunk}
        for chunk in made.chunks(range(1, made.count + 1), 6)
    ]
    assert [len(one) for one in widths] == [1, 1, 1, 1]


def test_marks_are_those_of_the_changes_and_not_of_their_number() -> None:
    wide = space_of([variation_at(DATA, "shape.width", "300 to 340 by 20", where="vary")])
    wider = space_of([variation_at(DATA, "shape.width", "280 to 340 by 20", where="vary")])
    assert wide.variant(1).mark == wider.variant(2).mark != wider.variant(1).mark


@pytest.mark.parametrize(
    "entry",
    [
        "shape.width",
        {"at": "shape.width"},
        {"at": "shape.width", "values": "300 to 340 by 20", "step": 3},
        {"label": "x", "choices": {}},
        {"label": "x", "choices": {"a": 3}},
    ],
)
def test_entries_written_otherwise_are_told(entry: object) -> None:
    with pytest.raises(InputError) as told:
        variation_of(DATA, entry, where="vary.0")
    assert told.value.field.startswith("vary.0")


def test_a_value_is_varied_by_one_alone() -> None:
    width = variation_at(DATA, "shape.width", [1, 2], where="vary")
    both = {"label": "shapes", "choices": {"a": {"shape.width": 3}}}
    for other in (width, variation_of(DATA, both, where="vary.1")):
        with pytest.raises(InputError):
            space_of([width, other])
    whole = variation_of(DATA, {"label": "all", "choices": {"b": {"shape": {}}}}, where="vary.1")
    with pytest.raises(InputError):
        space_of([width, whole])
    with pytest.raises(InputError):
        space_of([])
