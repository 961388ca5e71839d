"""Values to try, as people write them."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.basics.errors import InputError
from casewright.basics.units import parse_length
from casewright.planning.exploring import values_of


@pytest.mark.parametrize(
    ("written", "values"),
    [
        ("660 to 740 by 20", (660, 680, 700, 720, 740)),
        ("11.2 to 12 by 0.2", (11.2, 11.4, 11.6, 11.8, 12)),
        ("740 to 660 by -40", (740, 700, 660)),
        ("5 to 5 by 1", (5,)),
        ("5 from 0 to 1", (0, 0.25, 0.5, 0.75, 1)),
        ("1/2 in to 1 in by 1/8", ("0.5 in", "0.625 in", "0.75 in", "0.875 in", "1 in")),
        ('26 1/2" to 27" by 1/4"', ('26.5"', '26.75"', '27"')),
        ("18 kg to 20 kg by 1", ("18 kg", "19 kg", "20 kg")),
        (["a", None, 3], ("a", None, 3)),
    ],
)
def test_ranges_and_lists(written: object, values: tuple[object, ...]) -> None:
    """Counted by hand."""
    assert values_of("width", written) == values


@pytest.mark.parametrize(
    "written",
    [
        "660",
        [],
        {"a": 1},
        "660 to 740 by 0",
        "660 to 740 by -20",
        "26 in to 740 mm by 1",
        "1 from 1 to 2",
        "1.5 from 1 to 2",
        "3 from 1 to 2 by 1",
        "1 to 2",
        "a to b by c",
        "1/0 to 2 by 1",
        "0 to 1e9 by 1",
        "0 to 20000 by 1",
    ],
)
def test_what_is_no_range_is_told(written: object) -> None:
    with pytest.raises(InputError) as told:
        values_of("shape.width", written)
    assert told.value.field == "shape.width" and told.value.example


@given(st.integers(-4000, 4000), st.integers(1, 400), st.integers(0, 40))
def test_every_value_is_its_fraction_rounded_once(first: int, step: int, count: int) -> None:
    """Against Python's own fractions: no step adds the errors of those before it."""
    low, by = Fraction(first, 32), Fraction(step, 32)
    values = values_of("x", f"{float(low)} to {float(low + count * by)} by {float(by)}")
    assert values == tuple(pytest.approx(float(low + i * by), abs=5e-10) for i in range(count + 1))


@given(st.integers(16, 1600), st.integers(1, 64), st.integers(1, 12))
def test_inches_in_fractions_are_read_as_the_project_file_reads_them(
    first: int, step: int, count: int
) -> None:
    """An inch is 25.4 mm exactly (international yard and pound agreement, 1959)."""
    last = Fraction(first + step * count, 16)
    values = values_of("x", f"{Fraction(first, 16)} in to {last} in by {Fraction(step, 16)}")
    assert [parse_length(value) for value in values] == [
        pytest.approx(25.4 * (first + step * i) / 16, abs=1e-6) for i in range(count + 1)
    ]
