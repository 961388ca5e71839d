"""Texts of findings with their lengths written out."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.basics.findings import ALIKE, at_least, at_most, mm, some, worded
from casewright.basics.units import LengthStyle, format_length, parse_length


def inches(length: float) -> str:
    return format_length(length, LengthStyle("in", denominator=16))


def metric(length: float) -> str:
    return format_length(length, LengthStyle("mm", decimals=1))


@pytest.mark.parametrize(
    ("text", "in_inches", "in_mm"),
    [
        # 5/16 in is 7.94 mm: 7.6 and 8.0 are both nearest to it on a tape in sixteenths.
        (
            f"{mm(7.6)} left; {mm(8.0)} is asked.",
            "5/16 in (7.6 mm) left; 5/16 in (8.0 mm) is asked.",
            "7.6 mm left; 8.0 mm is asked.",
        ),
        (
            f"{mm(7.96)} left; {mm(8.04)} is asked.",
            "5/16 in (7.96 mm) left; 5/16 in (8.04 mm) is asked.",
            "8.0 mm (7.96 mm) left; 8.0 mm (8.04 mm) is asked.",
        ),
        (f"{mm(8.0)} and {mm(8.0)}.", "5/16 in and 5/16 in.", "8.0 mm and 8.0 mm."),
        (f"{mm(8.0)} and {mm(8.004)}.", "5/16 in and 5/16 in.", "8.0 mm and 8.0 mm."),
        (
            f"{mm(8.0)}, {mm(7.7)}, {mm(25.4)}.",
            "5/16 in (8.0 mm), 5/16 in (7.7 mm), 1 in.",
            "8.0 mm, 7.7 mm, 25.4 mm.",
        ),
        ("No length.", "No length.", "No length."),
    ],
)
def test_lengths_that_are_written_alike_show_their_millimeters(
    text: str, in_inches: str, in_mm: str
) -> None:
    """An inch is exactly 25.4 mm; the rest is rounding by hand."""
    assert worded(text, inches) == in_inches
    assert worded(text, metric) == in_mm


@given(st.lists(st.floats(0, 3000).map(lambda x: round(x, 4)), min_size=2, max_size=4))
def test_no_two_different_lengths_read_the_same(lengths: list[float]) -> None:
    """Law: what differs by more than can be measured is told apart in both units."""
    text = "|".join(mm(length) for length in lengths)
    for write in (inches, metric):
        said = worded(text, write).split("|")
        assert len(said) == len(lengths)
        for a, x in zip(said, lengths, strict=True):
            assert re.match(r"[\d /.]+ (in|mm)", a)
            for b, y in zip(said, lengths, strict=True):
                if a == b:
                    assert abs(x - y) <= ALIKE + 1e-9


@pytest.mark.parametrize(
    ("text", "in_inches", "in_mm"),
    [
        # 28.23 mm is 17.78 sixteenths of an inch.
        (f"at least {at_least(28.23)}", "at least 1 1/8 in", "at least 28.3 mm"),
        (f"at most {at_most(28.28)}", "at most 1 1/16 in", "at most 28.2 mm"),
        (f"{at_least(25.4)} to {at_most(25.4)}", "1 in to 1 in", "25.4 mm to 25.4 mm"),
        (f"{at_most(-28.23)}", "-1 1/8 in", "-28.3 mm"),
    ],
)
def test_limits_are_rounded_to_the_side_that_passes(text, in_inches, in_mm):
    assert worded(text, inches) == in_inches
    assert worded(text, metric) == in_mm


@given(
    length=st.floats(-500, 5000),
    unit=st.sampled_from(["mm", "in", "cm", "m"]),
    fine=st.sampled_from([16, 32, 64]),
)
def test_a_limit_never_shows_past_itself(length, unit, fine):
    style = LengthStyle(unit, denominator=fine)
    low, high = (
        parse_length(worded(mark(length), lambda x: format_length(x, style)), least=None)
        for mark in (at_most, at_least)
    )
    assert low - 0.002 <= length <= high + 0.002
    assert high - low <= style.step + 0.004


@pytest.mark.parametrize(
    ("mark", "shown"),
    [
        (at_least(100_019.02), "100019.1 mm"),
        (at_most(123_456.78), "123456.7 mm"),
        (some(0.01), "0.1 mm"),
    ],
)
def test_a_length_past_what_a_file_may_say_is_written_all_the_same(mark, shown):
    """A part 99999 off its panel is told with a limit beyond 100000, which no file may say; tenths, rounded by hand."""
    assert worded(f"{mark} is asked.", metric) == f"{shown} is asked."
