"""Screw lengths against the rules of the trade, worked by hand."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.geometry.fastening import (
    BITE_GLUED,
    END_DISTANCE,
    NEARLY,
    SHOW_FACE_ROOM,
    SPACING,
    ScrewSize,
    choose_screw,
    judge_screw,
    screw_places,
)


def stock(
    diameter: float = 4.0, lengths: tuple[int, ...] = (16, 20, 25, 30, 35, 40)
) -> list[ScrewSize]:
    return [
        ScrewSize(f"{diameter} × {x}", diameter, x, 0.7 * diameter, 2 * diameter) for x in lengths
    ]


def test_twenty_cleat_into_fifteen_board_takes_a_thirty():
    """Common practice, worked by hand: 20 + 15 − 3 = 32, so 30 is the longest stock length; it bites 10 = 2.5 × 4."""
    choice = choose_screw(stock(), 20, 15)
    assert choice is not None
    assert (choice.screw.length, choice.bite, choice.left, choice.counterbore) == (30, 10, 5, 0)
    assert choice.holds
    assert choice.safe


def test_twenty_cleat_into_twelve_board_needs_the_head_sunk():
    """Worked by hand: 20 + 12 − 3 = 29, so 25 is the longest and bites only 5; sunk by 4 it bites 9, leaving 3."""
    plain = judge_screw(stock()[2], 20, 12, counterbore=0, keep=SHOW_FACE_ROOM, glued=True)
    assert (plain.bite, plain.left, plain.holds) == (5, 7, False)
    choice = choose_screw(stock(), 20, 12)
    assert choice is not None
    assert (choice.screw.length, choice.counterbore, choice.bite, choice.left) == (25, 4, 9, 3)


def test_a_head_sunk_six_brings_the_tip_too_near():
    """Worked by hand: 25 − (20 − 6) = 11 into 11.8 leaves 0.8, where 3 is asked; 3.8 is the deepest that passes."""
    choice = judge_screw(stock()[2], 20, 11.8, counterbore=6, keep=SHOW_FACE_ROOM, glued=True)
    assert choice.left == pytest.approx(0.8)
    assert not choice.safe
    assert judge_screw(stock()[2], 20, 11.8, counterbore=3.8, keep=3.0, glued=True).safe


def test_the_sheet_that_is_not_what_it_says():
    """Worked by hand: 20 + 17.4 = 37.4, so a 35 leaves 2.4 to the show face; a 30 leaves 7.4."""
    screws = stock()
    assert judge_screw(
        screws[4], 20, 17.4, counterbore=0, keep=3, glued=True
    ).left == pytest.approx(2.4)
    choice = choose_screw(screws, 20, 17.4)
    assert choice is not None
    assert choice.screw.length == 30


@given(
    head=st.floats(8, 40),
    last=st.floats(3, 30),
    diameter=st.sampled_from([3.5, 4.0]),
    glued=st.booleans(),
)
def test_a_chosen_screw_never_comes_through(head, last, diameter, glued):
    choice = choose_screw(stock(diameter), head, last, glued=glued)
    if choice is None:
        return
    assert choice.safe
    assert choice.left >= SHOW_FACE_ROOM - 1e-6
    assert choice.bite + choice.left == pytest.approx(last)
    assert choice.bite + choice.head_stack == pytest.approx(choice.screw.length)
    if choice.holds and glued:
        assert choice.bite >= NEARLY * BITE_GLUED * diameter - 1e-6


@given(length=st.floats(20, 3000))
def test_screws_are_spaced_and_off_the_ends(length):
    places = screw_places(length)
    assert list(places) == sorted(places)
    assert all(0 < place < length for place in places)
    if len(places) > 2:
        gaps = [b - a for a, b in itertools.pairwise(places)]
        assert max(gaps) <= SPACING + 1e-6
        assert places[0] == END_DISTANCE
        assert places[-1] == pytest.approx(length - END_DISTANCE)
