"""Which bit makes which hole."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.basics.findings import mm
from casewright.design.project import Bit
from casewright.geometry.bits import (
    LOOSE,
    SNUG,
    choose_bit,
    choose_within,
    router_bit,
    usual_drill,
)

INCH = 25.4


def forstner(*sizes: float) -> tuple[Bit, ...]:
    return (Bit(kind="forstner", sizes=sizes),)


@pytest.mark.parametrize(
    ("wanted", "inches", "error"),
    [
        (24, 15 / 16, -0.1875),  # 23.8125
        (24, 61 / 64, 0.209375),  # 24.209375
        (24, 1, 1.4),  # 25.4
        (28, 1 + 1 / 8, 0.575),  # 28.575
        (30, 1 + 3 / 16, 0.1625),  # 30.1625
    ],
)
def test_an_inch_bit_in_a_metric_hole(wanted: float, inches: float, error: float) -> None:
    """The inch is 25.4 mm exactly (NIST SP 811, appendix B); sizes worked out by hand beside each row."""
    assert choose_bit(wanted, forstner(inches * INCH)).error == pytest.approx(error)


def test_a_hole_of_24_takes_the_bit_of_61_64() -> None:
    sizes = (15 / 16 * INCH, 61 / 64 * INCH, INCH)
    choice = choose_bit(24, forstner(*sizes))
    assert choice.bit == pytest.approx(24.209375)
    assert choice.size == choice.bit
    assert choice.advice == ""


def test_a_bit_too_small_is_helped_by_a_file() -> None:
    choice = choose_bit(24, forstner(15 / 16 * INCH, INCH))
    assert choice.bit == pytest.approx(23.8125)
    assert choice.size == 24
    assert choice.advice == f"file out {mm(0.1875)}"


def test_a_bit_far_too_large_is_not_offered() -> None:
    choice = choose_bit(24, forstner(INCH))
    assert not choice.fits
    assert choice.size == 24
    assert choice.error == pytest.approx(1.4)


def test_one_and_an_eighth_serves_a_hole_of_28_6() -> None:
    """1 1/8 in is 28.575, 0.025 under its metric name."""
    choice = choose_bit(28.6, forstner(28.575))
    assert choice.bit == 28.575
    assert choice.advice == ""


def test_a_rim_may_allow_more() -> None:
    assert choose_bit(24, forstner(INCH), most=26).bit == INCH


def test_nothing_listed_asks_for_nothing() -> None:
    choice = choose_bit(24, ())
    assert (choice.kind, choice.size, choice.error, choice.advice) == ("forstner", 24, 0, "")


def test_router_bits_drill_no_holes() -> None:
    assert not choose_bit(12.7, [Bit(kind="straight", sizes=(12.7,))]).fits


@given(
    st.floats(3, 80),
    st.lists(st.floats(1, 100), min_size=1, max_size=8).map(tuple),
)
def test_a_chosen_bit_never_makes_the_hole_too_small_or_too_loose(
    wanted: float, sizes: tuple[float, ...]
) -> None:
    choice = choose_bit(wanted, forstner(*sizes))
    assert wanted - SNUG - 0.0011 <= choice.size <= wanted + LOOSE + 0.0011
    if choice.bit is not None:
        assert choice.bit in sizes
        assert choice.size >= choice.bit


@given(st.floats(3, 60), st.floats(0, 10), st.lists(st.floats(1, 80), max_size=8).map(tuple))
def test_a_hole_in_a_window_stays_in_it(
    least: float, width: float, sizes: tuple[float, ...]
) -> None:
    most = least + width
    choice = choose_within(least, most, forstner(*sizes) if sizes else ())
    assert least - 0.0011 <= choice.size <= most + 0.0011
    inside = [s for s in sizes if least <= s <= most]
    assert not inside or choice.bit is not None


def test_router_bit_is_the_largest_that_turns_the_corner() -> None:
    bits = (Bit(kind="straight", sizes=(6, 8)), Bit(kind="flush trim", sizes=(12.7,)))
    assert router_bit(bits, ("straight", "flush trim"), most=20) == 12.7
    assert router_bit(bits, ("straight", "flush trim"), most=10) == 8
    assert router_bit(bits, ("straight",), most=5) is None
    assert router_bit((), ("straight",), most=20) == 12.7


def test_usual_drills() -> None:
    """Common practice: forstner bits are sold to some 50, hole saws to some 150."""
    assert [usual_drill(d) for d in (4, 28.6, 60, 200)] == [
        "brad",
        "forstner",
        "hole saw",
        "jigsaw",
    ]
