"""Lengths and other units, at the door."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.pace import within

from casewright.basics.errors import InputError
from casewright.basics.units import (
    MM_PER_INCH,
    TOUCHING,
    FractionParts,
    LengthStyle,
    Unit,
    format_fraction_parts,
    format_length,
    parse_angle,
    parse_length,
    parse_mass,
    parse_power,
    parse_quantity,
    quoted,
    rounding_error,
    shown_length,
)

STYLES = [
    *(LengthStyle(unit, decimals) for unit in ("mm", "cm", "m") for decimals in range(5)),
    *(LengthStyle("in", denominator=parts) for parts in (16, 32, 64)),
]
lengths = st.floats(-99_999, 99_999, allow_nan=False)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("3/4 in", "0.75"),
        ('3/4"', "0.75"),
        ("19 1/2 in", "19.5"),
        ('19-1/2"', "19.5"),
        ("1' 6 1/4\"", "18.25"),
        ("1' 6-1/4\"", "18.25"),
        ("1'-6 1/4\"", "18.25"),
        ("1'6\"", "18"),
        ("6'", "72"),
        ("6 ft", "72"),
        ("2 ft 3 in", "27"),
        ("½ in", "0.5"),
        ("19¾″", "19.75"),
        ("1′ 6⅛″", "18.125"),
        ("1’ 6”", "18"),
        ("1/2 ft", "6"),
        ("6''", "6"),
        ("5⁄8 inch", "0.625"),
        ("23/32 IN", "0.71875"),
    ],
)
def test_feet_and_inches(text: str, inches: str) -> None:
    """A foot is 12 in of 25.4 mm: international yard and pound agreement, 1959 (0.9144 m a yard)."""
    assert parse_length(text) == float(Fraction(inches) * Fraction("25.4"))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (18, 18.0),
        (18.5, 18.5),
        ("18", 18.0),
        ("18 mm", 18.0),
        ("18mm", 18.0),
        ("18\u202fmm", 18.0),
        ("1.8 cm", 18.0),
        (".5 m", 500.0),
        ("+3 mm", 3.0),
        ("12 1/2 mm", 12.5),
        (1e3, 1000.0),
    ],
)
def test_metric_lengths(text: object, expected: float) -> None:
    """Centi is 1/100, milli 1/1000: SI brochure, 9th edition, table 7."""
    assert parse_length(text) == expected


def test_a_yard_is_what_the_agreement_of_1959_says() -> None:
    """International yard and pound agreement, 1959: 1 yd = 0.9144 m."""
    assert parse_length("3 ft") == 914.4
    assert math.isclose(MM_PER_INCH * 36, 914.4, rel_tol=1e-12)


@pytest.mark.parametrize(
    ("fraction", "decimal_mm"),
    [
        ("1/64", 0.396875),
        ("1/32", 0.79375),
        ("1/16", 1.5875),
        ("7/64", 2.778125),
        ("11/64", 4.365625),
        ("15/64", 5.953125),
        ("23/32", 18.25625),
        ("47/64", 18.653125),
        ("63/64", 25.003125),
    ],
)
def test_decimal_equivalents_of_a_drill_chart(fraction: str, decimal_mm: float) -> None:
    """Table of decimal equivalents as in machining handbooks, full decimals (from memory)."""
    assert parse_length(f"{fraction} in") == decimal_mm
    fine = LengthStyle("in", denominator=64)
    assert format_length(decimal_mm, fine) == f"{fraction} in"
    assert abs(rounding_error(decimal_mm, fine)) < 1e-12


def test_six_millimeters_on_an_inch_rule() -> None:
    """6 mm = 0.23622 in: 1/4 (0.25) by 1/16 and 1/32, 15/64 (0.234375) by 1/64: drill chart."""
    assert format_length(6, LengthStyle("in", denominator=16)) == "1/4 in"
    assert format_length(6, LengthStyle("in", denominator=32)) == "1/4 in"
    assert format_length(6, LengthStyle("in", denominator=64)) == "15/64 in"
    assert rounding_error(6, LengthStyle("in", denominator=64)) == pytest.approx(-0.046875)


def test_a_number_without_a_unit_is_in_the_projects_unit() -> None:
    assert parse_length("19 1/2", unit="in") == 495.3
    assert parse_length(19.5, unit="in") == 495.3
    assert parse_length(1.8, unit="cm") == 18.0
    assert parse_length("18 mm", unit="in") == 18.0


@pytest.mark.parametrize(
    "text",
    [
        "",
        "   ",
        "minus three",
        "19 1/0",
        "-3 mm",
        "−3 mm",
        "1e9 m",
        "1e3",
        "nan",
        "NaN",
        "inf",
        "-inf",
        "3 kg",
        "1/2/3",
        "1 2",
        "18 mm mm",
        "1,5",
        "1' 14\"",
        "1' 12\"",
        "1.5' 6\"",
        "1' 6",
        "1' 6 mm",
        "1' 6' 3\"",
        "6\" 1'",
        "3 5/4",
        "3 4/4",
        "½½",
        "1.5/2",
        "1.5 1/2 in",
        "19 - 1/2 in",
        "--3",
        "٣ mm",  # Arabic-Indic digit
        "18 mm\x00",
        "101 m",
        "9" * 65,
        pytest.param("1 " * 40_000, id="80,000 characters"),
        pytest.param("." * 100_000, id="100,000 points"),
        math.nan,
        math.inf,
        -math.inf,
        -1,
        1e300,
        pytest.param(10**5000, id="whole number of 5001 digits"),
        True,
        False,
        None,
        [18],
        {"mm": 18},
        b"18",
    ],
)
def test_what_is_no_length_is_refused_with_an_example(text: object) -> None:
    def read() -> None:
        with pytest.raises(InputError) as caught:
            parse_length(text, field="width")
        assert caught.value.field == "width"
        assert caught.value.want and caught.value.example
        assert len(caught.value.got) < 500

    assert within(10, read)


def test_signed_lengths_and_limits() -> None:
    assert parse_length("-3 mm", least=None) == -3
    assert parse_length("−1/2 in", least=None) == -12.7
    assert parse_length("-1' 6\"", least=None) == -457.2
    assert parse_length("12", least=12, most=12) == 12
    for outside in ("11.999", "12.001"):
        with pytest.raises(InputError):
            parse_length(outside, least=12, most=12)
    with pytest.raises(InputError):
        parse_length("-101 m", least=None)
    assert math.copysign(1, parse_length("-0 mm")) == 1


@pytest.mark.parametrize(
    ("kind", "text", "expected"),
    [
        ("angle", "8.4°", 8.4),
        ("angle", "8.4 deg", 8.4),
        ("angle", "-8 1/2 degrees", -8.5),
        ("angle", 8, 8.0),
        ("mass", "3.2 kg", 3.2),
        ("mass", "250 g", 0.25),
        ("mass", 3, 3.0),
        ("power", "18 W", 18.0),
        ("power", "500 mW", 0.5),
        ("voltage", "12 V", 12.0),
        ("current", "350mA", 0.35),
    ],
)
def test_other_quantities(kind: str, text: object, expected: float) -> None:
    """Prefixes: SI brochure, 9th edition, table 7."""
    assert parse_quantity(text, kind) == expected  # type: ignore[arg-type]


def test_pounds_and_ounces() -> None:
    """1 lb = 0.45359237 kg (agreement of 1959); 1 oz = 28.349523125 g (NIST SP 811, B.8)."""
    assert parse_mass("1 lb") == 0.45359237
    assert parse_mass("1 oz") == 0.028349523125


def test_other_quantities_refuse_what_they_are_not() -> None:
    with pytest.raises(InputError):
        parse_angle("361")
    with pytest.raises(InputError):
        parse_mass("3 mm")
    with pytest.raises(InputError):
        parse_power("18 MW")
    with pytest.raises(InputError):
        parse_quantity("12 W", "voltage")
    with pytest.raises(InputError):
        parse_quantity("-1 A", "current")
    with pytest.raises(InputError):
        parse_mass("1 ft 2 in")


@pytest.mark.parametrize(
    ("length", "style", "text"),
    [
        (434.0, LengthStyle("mm"), "434.0 mm"),
        (0.05, LengthStyle("mm"), "0.1 mm"),
        (-0.05, LengthStyle("mm"), "-0.1 mm"),
        (-0.04, LengthStyle("mm"), "0.0 mm"),
        (0.15, LengthStyle("mm"), "0.2 mm"),
        (2.5, LengthStyle("mm", 0), "3 mm"),
        (434.0, LengthStyle("cm"), "43.40 cm"),
        (5.0, LengthStyle("m"), "0.0050 m"),
        (495.3, LengthStyle("in"), "19 1/2 in"),
        (-495.3, LengthStyle("in"), "-19 1/2 in"),
        (19.05, LengthStyle("in"), "3/4 in"),
        (50.8, LengthStyle("in"), "2 in"),
        (25.3, LengthStyle("in"), "1 in"),
        (-0.1, LengthStyle("in"), "0 in"),
    ],
)
def test_writing(length: float, style: LengthStyle, text: str) -> None:
    assert format_length(length, style) == text


def test_writing_for_the_page() -> None:
    assert format_length(-495.3, LengthStyle("in"), glyphs="typeset") == "−19\u00a01/2\u202fin"
    assert format_length(18, LengthStyle("mm"), with_unit=False) == "18.0"
    assert format_fraction_parts(-495.3, LengthStyle("in")) == FractionParts(-1, 19, 1, 2)
    assert format_fraction_parts(0, LengthStyle("in")) == FractionParts(1, 0, 0, 1)
    assert format_fraction_parts(-0.1, LengthStyle("in")) == FractionParts(1, 0, 0, 1)
    with pytest.raises(InputError) as caught:
        format_fraction_parts(1, LengthStyle("mm"))
    assert caught.value.field == "style"


@pytest.mark.parametrize(
    ("field", "values"),
    [
        ("unit", ("yd", 1, 32)),
        ("decimals", ("mm", 5, 32)),
        ("denominator", ("in", 1, 10)),
    ],
)
def test_a_style_that_cannot_be(field: str, values: tuple[object, ...]) -> None:
    with pytest.raises(InputError) as caught:
        LengthStyle(*values)  # type: ignore[arg-type]
    assert caught.value.field == field


@given(
    length=lengths,
    style=st.sampled_from(STYLES),
    glyphs=st.sampled_from(["plain", "typeset"]),
)
def test_what_is_written_reads_back_within_half_a_step(
    length: float, style: LengthStyle, glyphs: str
) -> None:
    text = format_length(length, style, glyphs=glyphs)  # type: ignore[arg-type]
    back = parse_length(text, least=None, most=100_001)
    assert abs(back - length) <= style.step / 2 + 1e-9
    assert back - length == pytest.approx(rounding_error(length, style), abs=1e-9)
    assert back == shown_length(length, style)
    assert not (text.startswith(("-", "−")) and back == 0)


@given(steps=st.integers(-60_000, 60_000), style=st.sampled_from(STYLES))
def test_lengths_on_the_grid_survive_writing_and_reading(steps: int, style: LengthStyle) -> None:
    length = shown_length(steps * style.step, style)
    assert abs(length - steps * style.step) <= TOUCHING / 1000
    text = format_length(length, style)
    assert parse_length(text, least=None) == length
    bare = format_length(length, style, with_unit=False)
    assert parse_length(bare, unit=style.unit, least=None) == length


@given(length=lengths, style=st.sampled_from(STYLES))
def test_writing_is_a_mirror_about_zero(length: float, style: LengthStyle) -> None:
    assert shown_length(-length, style) == -shown_length(length, style)


@given(
    value=st.text(max_size=80) | st.text(alphabet="0123456789 ./-'\"½mcinft", max_size=30),
    unit=st.sampled_from(["mm", "cm", "m", "in"]),
)
def test_any_text_is_a_length_in_range_or_refused(value: str, unit: Unit) -> None:
    try:
        length = parse_length(value, unit=unit)
    except InputError as error:
        assert error.want
    else:
        assert 0 <= length <= 100_000


def test_quoting_shows_what_cannot_be_seen() -> None:
    assert quoted("a\x00b\u202e") == "“a\\x00b\\u202e”"
    assert quoted(None) == "nothing"
    assert quoted(True) == "true"
    assert quoted({}) == "a group of keys"
    assert quoted([]) == "a list"


@pytest.mark.parametrize(
    ("unit", "limits"),
    [("mm", "from 0 to 100000 mm"), ("cm", "from 0 to 10000 cm"), ("in", "from 0 to 3937 in")],
)
def test_limits_are_told_in_the_unit_of_a_bare_number(unit, limits):
    """100 m are 3937.007... inches: 100 000 / 25.4, counted by hand; what is told is taken."""
    with pytest.raises(InputError) as caught:
        parse_length("-1", unit=unit)
    assert caught.value.want.endswith(limits)
    assert parse_length(limits.split()[3], unit=unit) <= 100_000
