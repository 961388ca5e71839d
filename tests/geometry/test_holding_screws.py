from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.basics.errors import InputError
from casewright.geometry.holding_screws import (
    MACHINE_LENGTHS,
    NUMBERS,
    machine_screw,
    packing_for,
    spaced,
    wood_screw,
)


def test_screw_of_the_library_display() -> None:
    """By hand: bar 11.8 + washer 1.0 = 12.8; thread 9: 12.8 + 9 = 21.8, so 20 long, 7.2 in the thread.

    Clearance hole 4.5: ISO 273, medium series.
    """
    screw = machine_screw("M4", 11.8, 9.0)
    assert screw is not None
    assert (screw.name, screw.clearance) == ("M4 × 20", 4.5)
    assert screw.bite == pytest.approx(7.2)
    assert screw.left == pytest.approx(1.8)


@given(st.sampled_from(["M3", "M4", "M5", "M6"]), st.floats(2, 40), st.floats(1, 15))
def test_a_machine_screw_never_reaches_past_its_thread(
    thread: str, bar: float, depth: float
) -> None:
    screw = machine_screw(thread, bar, depth)
    if screw is None:
        packing = packing_for(thread, bar, depth)
        if packing is not None:
            assert machine_screw(thread, bar + packing, depth) is not None
    else:
        assert screw.length in MACHINE_LENGTHS
        assert screw.diameter - 0.002 <= screw.bite <= depth - 0.49
        assert screw.head_stack + screw.bite == pytest.approx(screw.length)


def test_unknown_thread() -> None:
    with pytest.raises(InputError) as caught:
        machine_screw("W3", 10, 8)
    assert caught.value.field == "pattern_screw"


@given(st.floats(3, 60), st.floats(3, 30), st.booleans(), st.floats(0, 12))
def test_a_wood_screw_keeps_off_the_far_face(
    head: float, into: float, glued: bool, bore: float
) -> None:
    screw = wood_screw(head, into, glued=glued, counterbore_most=bore)
    if screw is not None:
        assert screw.left >= 3.0 - 1e-6
        assert screw.counterbore <= bore + 1e-9
        assert screw.head_stack + screw.bite == pytest.approx(screw.length)


def test_a_rail_of_20_on_a_board_of_18() -> None:
    """By hand: 20 + 18 − 3 = 35 at most; 4.0 × 35 bites 15, over 2.5 × 4."""
    screw = wood_screw(20, 18)
    assert screw is not None
    assert (screw.name, screw.bite, screw.left) == ("4.0 × 35", 15.0, 3.0)


def test_in_inches_the_same_rail_takes_a_number_8() -> None:
    """By hand: 20 + 18 − 3 = 35 mm at most: 1 1/4 in is 31.75, bites 11.75, over 2.5 × 4.17.

    Diameter 0.164 in: ASME B18.6.1.
    """
    screw = wood_screw(20, 18, unit="in")
    assert screw is not None
    assert screw.name == "No. 8 × 1 1/4"
    assert screw.diameter / 25.4 == pytest.approx(0.164)
    assert screw.bite == pytest.approx(11.75)


@pytest.mark.parametrize("size", sorted(NUMBERS))
def test_numbers_are_the_nearest_that_shops_keep(size: float) -> None:
    """Even numbers are what shops keep (common practice); ASME B18.6.1: D = 0.060 + 0.013 × number. [in]"""
    nearest = min(range(2, 15, 2), key=lambda n: abs((0.060 + 0.013 * n) * 25.4 - size))
    assert NUMBERS[size] == nearest


def test_no_screw_for_a_thin_board() -> None:
    assert wood_screw(20, 5, counterbore_most=10) is None


@given(st.floats(0, 2000))
def test_screws_are_spread(length: float) -> None:
    places = spaced(0, length)
    assert all(0 <= place <= length for place in places)
    assert all(b - a <= 150.2 for a, b in itertools.pairwise(places))
