"""Short names of features in titles of steps: our own orders are left out, the maker's words never."""

from __future__ import annotations

import pytest

from casewright.geometry.model import Circle, Feature
from casewright.geometry.orders import ORDERS
from casewright.planning.work.feature_words import short_name


def named(label: str) -> Feature:
    return Feature("f", "hole", Circle(0.0, 0.0, 10.0), "show", None, "brad", "part", label)


@pytest.mark.parametrize(
    "words", ["red", "Button: red; left", "C:\\x", "edge, edges filed", "a: b: c", ";", ":"]
)
def test_the_makers_words_stay_whole(words: str) -> None:
    """A label was cut at its first colon once."""
    assert short_name(named(words)) == words
    for order in ORDERS:
        assert short_name(named(f"opening for {words}{order}")) == f"opening for {words}"


def test_without_a_label_it_is_its_kind() -> None:
    assert short_name(named("")) == "hole"
