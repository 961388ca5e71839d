"""Field types: what a project file's values become."""

from __future__ import annotations

import math
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from casewright.basics.errors import InputError
from casewright.basics.fields import (
    INPUT_ERROR,
    Amps,
    Angle,
    Count,
    Day,
    Key,
    Length,
    Mass,
    Money,
    Name,
    PositiveLength,
    Power,
    Share,
    SignedAngle,
    SignedLength,
    Title,
    Volts,
    as_pydantic,
)

FIELDS: dict[str, Any] = {
    "Amps": Amps,
    "Angle": Angle,
    "Count": Count,
    "Day": Day,
    "Key": Key,
    "Length": Length,
    "Mass": Mass,
    "Money": Money,
    "Name": Name,
    "PositiveLength": PositiveLength,
    "Power": Power,
    "Share": Share,
    "SignedAngle": SignedAngle,
    "SignedLength": SignedLength,
    "Title": Title,
    "Volts": Volts,
}
ADAPTERS: dict[str, TypeAdapter[Any]] = {name: TypeAdapter(kind) for name, kind in FIELDS.items()}


@pytest.mark.parametrize(
    ("name", "value", "expected"),
    [
        ("Length", "3/4 in", 19.05),
        ("Length", 0, 0.0),
        ("SignedLength", "−3 mm", -3.0),
        ("PositiveLength", 0.001, 0.001),
        ("Angle", "8.4°", 8.4),
        ("SignedAngle", -8.4, -8.4),
        ("Mass", "250 g", 0.25),
        ("Power", "18 W", 18.0),
        ("Volts", 12, 12.0),
        ("Amps", "350 mA", 0.35),
        ("Share", "25 %", 0.25),
        ("Share", 1, 1.0),
        ("Count", 4, 4),
        ("Count", 4.0, 4),
        ("Day", "2028-02-29", "2028-02-29"),
        ("Day", date(2027, 3, 5), "2027-03-05"),
        ("Money", "12.50", 12.5),
        ("Name", "  Left speaker ", "Left speaker"),
        ("Name", "Left\u00a0speaker", "Left speaker"),
        ("Name", 12, "12"),
        ("Name", "", ""),
        ("Name", "Lautsprecher für Zoë ½", "Lautsprecher für Zoë ½"),
        ("Key", "left-speaker_2", "left-speaker_2"),
    ],
)
def test_what_is_read(name: str, value: object, expected: object) -> None:
    read = ADAPTERS[name].validate_python(value)
    assert read == expected
    assert type(read) is type(expected)
    assert ADAPTERS[name].validate_python(read) == expected  # what was read reads as itself


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("Length", -1),
        ("PositiveLength", 0),
        ("PositiveLength", "0 in"),
        ("SignedLength", "-101 m"),
        ("Angle", -1),
        ("SignedAngle", 361),
        ("Mass", "-1 kg"),
        ("Share", 1.01),
        ("Share", "101 %"),
        ("Share", "-5 %"),
        ("Count", -1),
        ("Count", 4.5),
        ("Count", True),
        ("Count", "4"),
        ("Day", "2027-02-29"),
        ("Day", "1999-12-31"),
        ("Day", "5 March"),
        ("Day", 20270305),
        ("Money", math.nan),
        ("Money", math.inf),
        ("Money", "1,50"),
        ("Name", "two\nlines"),
        ("Name", "evil\u202etxt"),
        ("Name", "x" * 81),
        ("Name", "x" * 10_000_000),
        ("Name", None),
        ("Name", 1.5),
        ("Title", ""),
        ("Title", "  "),
        ("Key", ""),
        ("Key", "left speaker"),
        ("Key", "-x"),
        ("Key", "ä"),
        ("Key", "x\n"),
        ("Key", "x" * 41),
        ("Key", "a.b"),
        ("Key", "../x"),
    ],
    ids=lambda value: str(value)[:20].encode("unicode_escape").decode(),
)
def test_what_is_refused(name: str, value: object) -> None:
    with pytest.raises(ValidationError) as caught:
        ADAPTERS[name].validate_python(value)
    (error,) = caught.value.errors()
    assert error["type"] == INPUT_ERROR
    assert error["ctx"]["want"]
    assert len(error["ctx"]["got"]) < 300


def test_a_bare_number_is_in_the_unit_of_the_context() -> None:
    inches = {"unit": "in"}
    assert ADAPTERS["Length"].validate_python("19 1/2", context=inches) == 495.3
    assert ADAPTERS["SignedLength"].validate_python(-1, context=inches) == -25.4
    assert ADAPTERS["PositiveLength"].validate_python(1) == 1.0


anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text() | st.binary(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=5,
)


@pytest.mark.parametrize("name", FIELDS)
@given(value=anything)
def test_anything_is_read_or_refused(name: str, value: object) -> None:
    try:
        read = ADAPTERS[name].validate_python(value)
    except ValidationError as refused:
        assert refused.errors()[0]["type"] == INPUT_ERROR
    else:
        assert ADAPTERS[name].validate_python(read) == read
        if isinstance(read, float):
            assert math.isfinite(read)


@pytest.mark.parametrize("name", FIELDS)
def test_each_field_describes_itself(name: str) -> None:
    schema = ADAPTERS[name].json_schema()
    assert schema["description"]
    assert "type" in schema or "anyOf" in schema


def test_an_input_error_keeps_its_parts() -> None:
    error = as_pydantic(InputError("tilt", got="50°", want="at most 45°", example="45"))
    assert error.type == INPUT_ERROR
    assert error.context == {
        "field": "tilt",
        "got": "50°",
        "want": "at most 45°",
        "example": "45",
    }
