"""How errors add up, against a general statistics library (scipy.stats) and the worked example of a standard."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from casewright.behavior.chance import DRAWS, odds_of

LIMIT = st.floats(0.01, 3)


def noise(chance: float) -> float:
    """Four standard deviations of a share of so many draws."""
    return 4 * math.sqrt(chance * (1 - chance) / DRAWS) + 1e-9


def one_way(limits, margin):
    return odds_of(tuple(limits), ((1.0,) * len(limits),), (margin,))


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_one_error_is_even_between_its_limits(share):
    exact = stats.uniform(-0.4, 0.8).sf(0.4 * share)
    assert one_way([0.4], 0.4 * share).chance == pytest.approx(exact, abs=noise(exact))


@pytest.mark.parametrize("margin", [0.0, 0.2, 0.35, 0.5])
def test_two_alike_make_a_triangle(margin):
    """The convolution of two even errors is a triangle: scipy.stats.triang."""
    exact = stats.triang(0.5, loc=-0.6, scale=1.2).sf(margin)
    assert one_way([0.3, 0.3], margin).chance == pytest.approx(exact, abs=noise(exact))


@pytest.mark.parametrize("count", [3, 4, 7])
def test_several_alike_are_the_sum_of_even_errors(count):
    """scipy.stats.irwinhall: the sum of `count` even errors, here each between -0.5 and 0.5."""
    exact = stats.irwinhall(count).sf(count / 2 + 0.8)
    assert one_way([0.5] * count, 0.8).chance == pytest.approx(exact, abs=noise(exact))


def test_many_small_ones_are_nearly_normal():
    """Central limit: quantiles of scipy.stats.norm with the root of the sum of squares."""
    odds = one_way([0.2] * 12, 0.0)
    for part in (0.5, 0.9, 0.95, 0.99):
        assert np.quantile(odds.draws(), part) == pytest.approx(
            stats.norm.ppf(part) * odds.sigma, abs=0.04 * odds.sigma
        )


def test_the_guides_example_of_limits_only():
    """JCGM 100, 4.3.7, example (from memory): copper expands by 16.52 ± 0.40 per million; uncertainty 0.23."""
    assert one_way([0.40], 1).sigma == pytest.approx(0.23, abs=0.005)


@given(st.lists(LIMIT, min_size=1, max_size=6))
def test_root_of_the_sum_of_squares(limits):
    odds = one_way(limits, 1)
    assert odds.sigma == pytest.approx(math.sqrt(math.fsum(x * x / 3 for x in limits)))
    assert float(odds.draws().std()) == pytest.approx(odds.sigma, rel=0.05)
    assert math.fsum(odds.shares) == pytest.approx(1)


@given(st.lists(LIMIT, min_size=1, max_size=6))
def test_no_draw_passes_the_worst_case(limits):
    odds = one_way(limits, math.fsum(limits))
    assert odds.worst == pytest.approx(math.fsum(limits))
    assert odds.chance == 0
    assert float(np.abs(odds.draws()).max()) <= odds.worst


@given(st.lists(LIMIT, min_size=2, max_size=5), st.floats(0, 1), st.floats(0.01, 0.4))
def test_the_margin_asked_for_is_just_enough(limits, share, target):
    margin = share * math.fsum(limits)
    more = one_way(limits, margin).more_margin(target)
    assert more >= 0
    assert one_way(limits, margin + more).chance <= target
    if more > 1e-6:
        assert one_way(limits, margin + more * 0.9).chance >= target - noise(target) or more < 0.05


def test_errors_of_nothing_spoil_nothing():
    odds = odds_of((0.0, 0.0), ((1.0, -1.0),), (0.0,))
    assert (odds.chance, odds.worst, odds.sigma) == (0, 0, 0)


def test_two_ways_go_wrong_together_more_often_than_each():
    """An edge too far left or too far right: both tails of the same triangle."""
    both = odds_of((0.3, 0.3), ((1.0, 1.0), (-1.0, -1.0)), (0.4, 0.4))
    exact = 2 * stats.triang(0.5, loc=-0.6, scale=1.2).sf(0.4)
    assert both.chance == pytest.approx(exact, abs=noise(exact))


def test_the_same_errors_give_the_same_chance():
    odds_of.cache_clear()
    first = one_way([0.3, 0.2], 0.25).chance
    odds_of.cache_clear()
    assert one_way([0.3, 0.2], 0.25).chance == first
