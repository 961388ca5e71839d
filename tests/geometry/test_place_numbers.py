"""Places of parts with their reasons: the terms make up what the placing itself came to, for every part."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.checks.bench import box, button, merged, subject_of

from casewright.geometry.build import build_cabinet
from casewright.geometry.fastening import screw_sizes
from casewright.geometry.place_numbers import place_numbers
from casewright.workflow import open_project

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.cabinet.yaml"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.name.partition(".")[0])
def test_the_terms_make_up_every_place(path):
    opened = open_project(path)
    sizes = screw_sizes(opened.catalog, opened.project.unit)
    cabinet = build_cabinet(opened.project, opened.parts, sizes)
    numbers = {number.key: number for number in place_numbers(cabinet)}
    assert len(numbers) == 2 * len(cabinet.placed)
    for placed in cabinet.placed:
        for axis in ("u", "v"):
            number = numbers[f"{placed.key}.{axis}"]
            assert number.terms
            assert number.value == pytest.approx(getattr(placed, axis), abs=1e-9)
            for term in number.terms:
                assert not term.key or term.key in numbers


def test_what_follows_says_whom_and_by_how_much():
    """100 as given and twice 40 to the right are 180; v is the leader's 150."""
    data = box(parts={"b": button((100, 150))})
    placed = data["parts"]["b"]["placed"]
    placed += [{"key": f"b{n}", "on": "deck", "like": f"b{n - 1}", "du": 40} for n in (2, 3)]
    numbers = {n.key: n for n in place_numbers(subject_of(data).cabinet)}
    told = [(term.label, term.value) for term in numbers["b3.u"].terms]
    assert told == [("u of b1, as given", 100), ("shift of b2", 40), ("shift", 40)]
    assert [(t.label, t.value) for t in numbers["b3.v"].terms] == [("v of b1, as given", 150)]


def test_where_nothing_is_given_the_middle_is_told():
    """576 between sides of 12: the middle is 288, less 30."""
    data = box(parts={"b": merged(button(), {"placed": [{"key": "b", "on": "deck", "du": -30}]})})
    number = next(n for n in place_numbers(subject_of(data).cabinet) if n.key == "b.u")
    assert [(t.label, t.value) for t in number.terms] == [("middle of deck", 288), ("shift", -30)]


def test_of_a_pair_the_left_one_is_the_mirror_image():
    """A side 300 deep: what is 100 from its front on the right is 200 from its left edge on the left."""
    grip = {"type": "hand-hole", "placed": [{"key": "grip", "on": "sides", "u": 100, "v": 90}]}
    numbers = {n.key: n for n in place_numbers(subject_of(box(parts={"g": grip})).cabinet)}
    left = numbers["grip-left.u"]
    assert (left.value, [t.value * t.times for t in left.terms]) == (200, [300, -100])
    assert numbers["grip-right.u"].terms[0].value == 100
