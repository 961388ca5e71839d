"""Hands: layouts keep their pitch, reach grows with the hand, and known hands reach what their fingers measure."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.basics.errors import InputError
from casewright.behavior.hands import CURL, HANDS, STYLES, best_reach, layout

PITCH = st.floats(25.0, 60.0)


def test_sizes_of_hands_are_those_measured():
    """ANSUR II (2012), computed from the public subject table: hand length, breadth and palm length.

    Women's 5th: 165, 72, 100; men's 95th: 210, 96, 127; 50th: women 180, 78, 108, men 193, 88, 116.
    """
    small, middle, large = (HANDS[name] for name in ("small", "middle", "large"))
    assert (small.length, small.breadth, small.palm) == (165.0, 72.0, 100.0)
    assert (large.length, large.breadth, large.palm) == (210.0, 96.0, 127.0)
    assert middle.length == pytest.approx((180 + 193) / 2)
    assert middle.breadth == pytest.approx((78 + 88) / 2)
    assert middle.palm == pytest.approx((108 + 116) / 2)
    # Middle finger by subject (the same source): men 76.8 ± 6.3, women 72.4 ± 6.0
    assert 72.4 - 6.0 < middle.finger < 76.8 + 6.3


@given(
    style=st.sampled_from(STYLES),
    count=st.integers(1, 12),
    pitch=PITCH,
    hand=st.sampled_from(sorted(HANDS)),
    thumb=st.booleans(),
    which=st.sampled_from(["left", "right"]),
)
def test_no_two_buttons_are_nearer_than_the_pitch(style, count, pitch, hand, thumb, which):
    try:
        places = layout(style, count, HANDS[hand], pitch=pitch, which=which, thumb=thumb)
    except InputError as error:
        most = {"two rows": 8, "three rows": 12}.get(style, 4)
        assert count - thumb > most or count - thumb < 1
        assert error.want
        return
    assert len(places) == count
    for a, b in itertools.combinations(places, 2):
        assert math.dist(a, b) >= pitch - 1e-6


@given(pitch=PITCH, hand=st.sampled_from(sorted(HANDS)))
def test_neighbors_of_an_arc_stand_a_pitch_apart(pitch, hand):
    places = layout("arc", 4, HANDS[hand], pitch=pitch)
    for a, b in itertools.pairwise(places):
        assert math.dist(a, b) == pytest.approx(pitch)
    assert max(places, key=lambda p: p[1]) == (0.0, 0.0)  # the middle finger is the longest
    assert places[3][1] < places[0][1]  # the little finger falls back most


def test_a_left_hand_is_the_right_one_mirrored():
    for style in STYLES:
        right = layout(style, 3, HANDS["middle"], pitch=36.0)
        left = layout(style, 3, HANDS["middle"], pitch=36.0, which="left")
        assert left == tuple((-u, v) for u, v in right)
        a, b = best_reach(right, HANDS["middle"]), best_reach(left, HANDS["middle"], "left")
        assert a.short == b.short and a.turn_deg == -b.turn_deg


def test_relaxed_arcs_lie_within_reach_of_the_hands_they_are_made_for():
    """36 mm is the pitch makers use for 30 mm buttons (common practice)."""
    for name in ("small", "middle", "large"):
        for style, count in (("arc", 4), ("straight", 4), ("two rows", 6)):
            places = layout(style, count, HANDS[name], pitch=36.0)
            assert best_reach(places, HANDS[name]).worst < 5.0, (name, style)


@pytest.mark.parametrize("apart", [60.0, 120.0, 200.0, 400.0])
def test_two_buttons_far_apart_are_out_of_reach_by_what_no_hand_spans(apart):
    """Brute force over palms: no place leaves less out of reach than the one found, but for the grid's own step."""
    hand = HANDS["middle"]
    found = best_reach([(0.0, 0.0), (apart, 0.0)], hand)
    # Fingers span at most their breadth and both outer fingers' way aside, the thumb less than a hand's length more.
    span = hand.breadth + 2 * hand.finger * CURL[1] + hand.length
    assert found.worst >= (apart - span) / 2 - 1e-9
    if apart <= hand.breadth:
        assert found.worst == pytest.approx(0.0, abs=1e-6)


@given(
    st.lists(st.tuples(st.floats(-80, 80), st.floats(-60, 60)), min_size=1, max_size=6),
    st.floats(-200, 200),
    st.floats(-200, 200),
)
def test_moving_all_buttons_moves_the_palm_with_them(buttons, du, dv):
    hand = HANDS["middle"]
    here = best_reach(buttons, hand)
    there = best_reach([(u + du, v + dv) for u, v in buttons], hand)
    assert np.allclose(here.short, there.short, atol=0.05)


def test_nothing_to_reach():
    assert best_reach([], HANDS["middle"]).worst == 0.0
