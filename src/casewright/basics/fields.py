"""Types for the values of a project file: text at the door, floats and short names inside.

Use them as annotations in pydantic models. Each reads numbers and text by `basics.units`, a bare
length in the unit that the validation context names (`{"unit": "in"}`; millimeters if none is
given), and describes itself in the JSON Schema. What cannot be read becomes a pydantic error that
carries an `InputError`'s parts.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable, Mapping
from datetime import date, datetime
from typing import Annotated, Any, Final, TypeAlias, cast

from pydantic import PlainValidator, ValidationInfo, WithJsonSchema
from pydantic_core import PydanticCustomError

from casewright.basics.amounts import Kind
from casewright.basics.errors import InputError
from casewright.basics.units import Unit, parse_length, parse_quantity, quoted

INPUT_ERROR = "casewright_input"
"""Type of the pydantic errors made by `as_pydantic`."""

_LONGEST = 100_000.0  # mm


def as_pydantic(error: InputError) -> PydanticCustomError:
    """The same error in the form that a pydantic validator may raise.

    In a model's own validator, `error.field` is the path from that model ("tilt", "corners.A").
    """
    parts = {
        "field": error.field,
        "got": error.got,
        "want": error.want,
        "example": error.example,
    }
    return PydanticCustomError(INPUT_ERROR, "found {got}; expected {want}", parts)


def _unit(info: ValidationInfo) -> Unit:
    context = info.context
    return cast(Unit, context.get("unit", "mm")) if isinstance(context, Mapping) else "mm"


def _field(
    read: Callable[[Any, ValidationInfo], object], description: str, schema: dict[str, Any]
) -> tuple[PlainValidator, WithJsonSchema]:
    """The two marks that make a plain type a field of ours."""

    def validate(value: Any, info: ValidationInfo) -> Any:
        try:
            return read(value, info)
        except InputError as error:
            raise as_pydantic(error) from None

    return PlainValidator(validate), WithJsonSchema({**schema, "description": description})


def _length_field(
    least: float | None,
    examples: list[str | float],
    *,
    above_zero: bool = False,
    most: float = _LONGEST,
) -> tuple[PlainValidator, WithJsonSchema]:
    def read(value: Any, info: ValidationInfo) -> float:
        length = parse_length(value, unit=_unit(info), least=least, most=most)
        if above_zero and length <= 0:
            raise InputError(
                "", got=quoted(value), want="a length of more than 0", example=str(examples[0])
            )
        return length

    number: dict[str, Any] = {"type": "number"}
    if above_zero:
        number["exclusiveMinimum"] = 0
    elif least is not None:
        number["minimum"] = least
    return _field(
        read,
        "A length: a number in the project's unit, or text with its own unit.",
        {"anyOf": [number, {"type": "string", "maxLength": 64}], "examples": examples},
    )


def _quantity_field(
    kind: Kind, description: str, example: str, *, least: float | None = None
) -> tuple[PlainValidator, WithJsonSchema]:
    def read(value: Any, info: ValidationInfo) -> float:
        return parse_quantity(value, kind, least=least)

    number: dict[str, Any] = {"type": "number"}
    if kind != "angle" or least is not None:
        number["minimum"] = 0
    return _field(
        read,
        description,
        {"anyOf": [number, {"type": "string", "maxLength": 64}], "examples": [example]},
    )


MOST_TILT = 60.0
"""Most that any saw's blade tilts. [degrees] Source: common practice."""


def _read_saw_tilt(value: Any, info: ValidationInfo) -> float:
    tilt = parse_quantity(value, "angle", least=0.0)
    if tilt > MOST_TILT:
        want = f"an angle from 0 to {MOST_TILT:g}°, which is how far saw blades tilt"
        raise InputError("", got=quoted(value), want=want, example="45")
    return tilt


_NUMBER = re.compile(r"[0-9]{1,15}(\.[0-9]{1,15})?")


def _number(value: Any, want: str, example: str, most: float, *, given: Any = None) -> float:
    """A number from 0 to `most`, from YAML or from text; `given` is what the user wrote."""
    got = quoted(value if given is None else given)
    refusal = InputError("", got=got, want=want, example=example)
    if isinstance(value, str) and _NUMBER.fullmatch(value.strip()):
        value = float(value)
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0 <= value <= most:
        raise refusal
    number = float(value)
    assert math.isfinite(number)
    return number + 0.0


def _read_share(value: Any, info: ValidationInfo) -> float:
    if isinstance(value, str) and value.strip().endswith("%"):
        percent = value.strip()[:-1].rstrip()
        if _NUMBER.fullmatch(percent):
            want = "a share from 0 to 100 %"
            return _number(float(percent) / 100, want, "25 %", 1, given=value)
    return _number(value, "a share from 0 to 1", "0.25 or 25 %", 1)


def _read_money(value: Any, info: ValidationInfo) -> float:
    return _number(
        value, "an amount of money, 0 or more, without the currency's sign", "12.50", 1e9
    )


def _read_count(value: Any, info: ValidationInfo) -> int:
    want = "a whole number from 0 to 10000"
    number = _number(value, want, "4", 10_000)
    if isinstance(value, str) or number != int(number):
        raise InputError("", got=quoted(value), want=want, example="4")
    return int(number)


def _plain_text(value: Any, example: str) -> str:
    """Text in one line; a whole number is taken as text too."""
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) < 10**15:
        value = str(int(value))
    if not isinstance(value, str):
        raise InputError("", got=quoted(value), want="text, in quotes if need be", example=example)
    return str(value)


def _name_reader(least: int) -> Callable[[Any, ValidationInfo], str]:
    def read(value: Any, info: ValidationInfo) -> str:
        given = _plain_text(value, '"Left speaker"')
        # A space that does not break the line is a space; every other sign must be one that shows.
        spaced = "".join(" " if unicodedata.category(c) == "Zs" else c for c in given[:1000])
        text = unicodedata.normalize("NFC", spaced).strip()
        if not text.isprintable():
            want = "text in one line, without signs that cannot be seen"
            raise InputError("", got=quoted(given), want=want, example='"Left speaker"')
        if not least <= len(text) <= 80 or len(given) > 1000:
            want = f"text of {least} to 80 characters" if least else "text of at most 80 characters"
            raise InputError("", got=quoted(given), want=want, example='"Left speaker"')
        return text

    return read


_WIRE = re.compile(
    r"([0-9]+(?:\.[0-9]+)?)\s*(?:mm2|mm²|sqmm)?|(?:awg\s*([0-9]+)|([0-9]+)\s*awg)", re.I
)


def _read_wire_size(value: Any, info: ValidationInfo) -> str:
    """A size of wire as it is sold: "0.75 mm²" or "18 AWG"; a bare number is square millimeters."""
    text = str(value) if type(value) in (int, float) else _plain_text(value, "0.75 mm²")
    found = _WIRE.fullmatch(text.strip())
    if found is None:
        want = "a size of wire, in square millimeters or as AWG"
        raise InputError("", got=quoted(text), want=want, example="0.75 mm²")
    gauge = found[2] or found[3]
    return f"{int(gauge)} AWG" if gauge else f"{float(found[1]):g} mm²"


_KEY = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,39}")


def _read_key(value: Any, info: ValidationInfo) -> str:
    text = _plain_text(value, "left-speaker")
    if not _KEY.fullmatch(text):
        want = (
            "a key of at most 40 letters (a to z), digits, - or _, starting with a letter or digit"
        )
        raise InputError("", got=quoted(text), want=want, example="left-speaker")
    return text


_PIECE = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,119}")


def _read_piece(value: Any, info: ValidationInfo) -> str:
    text = _plain_text(value, "deck.cleat-left")
    if not _PIECE.fullmatch(text):
        want = "the key of a piece: letters (a to z), digits, dots, - or _"
        raise InputError("", got=quoted(text), want=want, example="deck.cleat-left")
    return text


def _read_day(value: Any, info: ValidationInfo) -> str:
    """A day as YYYY-MM-DD; YAML may have read it as a date already."""
    text = value.isoformat() if type(value) is date else value
    try:
        if not isinstance(text, str) or not _DAY.fullmatch(text.strip()):
            raise ValueError
        day = date.fromisoformat(text.strip())
        if not 2000 <= day.year < 3000:
            raise ValueError
        return day.isoformat()
    except ValueError:
        want = "a day of the calendar as year-month-day, from the year 2000 on"
        raise InputError("", got=quoted(value), want=want, example="2027-03-05") from None


_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


_STEP = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.+-]{0,239}")


def _read_step(value: Any, info: ValidationInfo) -> str:
    text = _plain_text(value, "panel.deck")
    if not _STEP.fullmatch(text):
        want = "the key of a step: letters (a to z), digits, dots, +, - or _"
        raise InputError("", got=quoted(text), want=want, example="panel.deck")
    return text


_MOMENT = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2} [0-9]{2}:[0-9]{2})(?::[0-9]{2})?")


def _read_moment(value: Any, info: ValidationInfo) -> str:
    """A minute as YYYY-MM-DD HH:MM; seconds are left out."""
    found = _MOMENT.fullmatch(value.strip()) if isinstance(value, str) else None
    try:
        if found is None:
            raise ValueError
        moment = datetime.strptime(found[1], "%Y-%m-%d %H:%M")
        if not 2000 <= moment.year < 3000:
            raise ValueError
        return moment.strftime("%Y-%m-%d %H:%M")
    except ValueError:
        want = "a day and a time of day as year-month-day hours:minutes, from the year 2000 on"
        raise InputError("", got=quoted(value), want=want, example="2027-03-05 14:30") from None


_ADDRESS = re.compile(
    r"http://(?P<host>[a-z0-9](?:[a-z0-9.-]{0,60}[a-z0-9])?|\[[0-9a-f:]{2,39}\])(?::(?P<port>[0-9]{1,5}))?"
)


def read_address(text: str) -> str:
    """The address of a server on the local network, without a path.

    Raises:
        InputError: It is none.

    Example:
        >>> read_address("http://192.168.1.5:8080/")
        'http://192.168.1.5:8080'
    """
    address = text.strip().lower().removesuffix("/")
    found = _ADDRESS.fullmatch(address)
    if found is None or not 0 < int(found["port"] or 80) < 65536:
        want = "the address of this computer on the local network, without a path"
        raise InputError("", got=quoted(text), want=want, example="http://192.168.1.5:8080")
    return address


def _read_bench_address(value: Any, info: ValidationInfo) -> str:
    return read_address(_plain_text(value, "http://192.168.1.5:8080"))


Length: TypeAlias = Annotated[float, *_length_field(0.0, ["18 mm", "19 1/2 in", 18.0])]
"""0 or more. [mm]"""
PositiveLength: TypeAlias = Annotated[
    float, *_length_field(0.0, ["18 mm", "19 1/2 in", 18.0], above_zero=True)
]
"""More than 0. [mm]"""
SignedLength: TypeAlias = Annotated[float, *_length_field(None, ["-3 mm", "1/8 in", -3.0])]
"""Of either sign. [mm]"""
Kerf: TypeAlias = Annotated[
    float, *_length_field(0.0, ["3.2 mm", "1/8 in", 3.2], above_zero=True, most=25.0)
]
"""More than 0 and at most 25: no hand or table saw cuts wider. [mm] Source: common practice."""
Angle: TypeAlias = Annotated[
    float, *_quantity_field("angle", "An angle in degrees, 0 to 360.", "8.4 deg", least=0.0)
]
"""0 to 360. [degrees]"""
SawTilt: TypeAlias = Annotated[
    float,
    *_field(
        _read_saw_tilt,
        "A saw blade's tilt in degrees, 0 to 60.",
        {
            "anyOf": [
                {"type": "number", "minimum": 0, "maximum": MOST_TILT},
                {"type": "string", "maxLength": 64},
            ],
            "examples": ["45 deg"],
        },
    ),
]
"""0 to 60: past it no blade of a table, track or hand-held saw tilts. [degrees] Source: common practice."""
SignedAngle: TypeAlias = Annotated[
    float, *_quantity_field("angle", "An angle in degrees, -360 to 360.", "-8.4 deg")
]
"""-360 to 360. [degrees]"""
Mass: TypeAlias = Annotated[
    float, *_quantity_field("mass", "A mass in kg, or text with g, lb or oz.", "250 g")
]
"""0 or more. [kg]"""
Power: TypeAlias = Annotated[float, *_quantity_field("power", "A power in watts.", "18 W")]
"""0 or more. [W]"""
Volts: TypeAlias = Annotated[float, *_quantity_field("voltage", "A voltage in volts.", "12 V")]
"""0 or more. [V]"""
Amps: TypeAlias = Annotated[float, *_quantity_field("current", "A current in amperes.", "2.5 A")]
"""0 or more. [A]"""
Share: TypeAlias = Annotated[
    float,
    *_field(
        _read_share,
        "A share from 0 to 1, or text in percent.",
        {
            "anyOf": [{"type": "number", "minimum": 0, "maximum": 1}, {"type": "string"}],
            "examples": [0.25, "25 %"],
        },
    ),
]
"""0 to 1."""
Count: TypeAlias = Annotated[
    int,
    *_field(_read_count, "A whole number.", {"type": "integer", "minimum": 0, "maximum": 10_000}),
]
"""A whole number, 0 to 10000."""
Money: TypeAlias = Annotated[
    float,
    *_field(
        _read_money,
        "An amount in the project's currency.",
        {"anyOf": [{"type": "number", "minimum": 0}, {"type": "string"}], "examples": [12.5]},
    ),
]
"""0 or more, in the project's currency."""
Name: TypeAlias = Annotated[
    str,
    *_field(
        _name_reader(0),
        "A short text in one line.",
        {"type": ["string", "integer"], "maxLength": 80},
    ),
]
"""Text of at most 80 characters, all of which show; it may be empty."""
Title: TypeAlias = Annotated[
    str,
    *_field(
        _name_reader(1),
        "A short text in one line, not empty.",
        {"type": ["string", "integer"], "minLength": 1, "maxLength": 80},
    ),
]
"""A `Name` that is not empty."""
WireSize: TypeAlias = Annotated[
    str,
    *_field(
        _read_wire_size,
        "A size of wire in square millimeters or as AWG.",
        {"type": ["string", "number"], "maxLength": 20, "examples": ["0.75 mm²", "18 AWG"]},
    ),
]
"""A size of wire as it is sold: "0.75 mm²" or "18 AWG"."""
Day: TypeAlias = Annotated[
    str,
    *_field(
        _read_day,
        "A day as year-month-day.",
        {"type": "string", "format": "date", "examples": ["2027-03-05"]},
    ),
]
"""A day as "2027-03-05"."""
Moment: TypeAlias = Annotated[
    str,
    *_field(
        _read_moment,
        "A day and a time of day.",
        {"type": "string", "maxLength": 20, "examples": ["2027-03-05 14:30"]},
    ),
]
"""A minute as "2027-03-05 14:30", by the clock on the wall."""
BenchAddress: TypeAlias = Annotated[
    str,
    *_field(
        _read_bench_address,
        "The address of a computer on the local network, without a path.",
        {"type": "string", "maxLength": 80, "examples": ["http://192.168.1.5:8080"]},
    ),
]
"""Such as "http://192.168.1.5:8080"."""
StepKey: TypeAlias = Annotated[
    str,
    *_field(
        _read_step,
        "The key of a step: letters, digits, dots, +, - and _.",
        {"type": "string", "pattern": "^[A-Za-z0-9][A-Za-z0-9_.+-]{0,239}$"},
    ),
]
"""A key that casewright gave a step of the order of work, such as "panel.deck"."""
Key: TypeAlias = Annotated[
    str,
    *_field(
        _read_key,
        "A key: letters, digits, - and _.",
        {"type": "string", "pattern": "^[A-Za-z0-9][A-Za-z0-9_-]{0,39}$"},
    ),
]
"""What a piece is called elsewhere in the file: at most 40 letters, digits, - or _."""
PieceKey: TypeAlias = Annotated[
    str,
    *_field(
        _read_piece,
        "The key of a piece or of something worked into it: letters, digits, dots, - and _.",
        {"type": "string", "pattern": "^[A-Za-z0-9][A-Za-z0-9_.-]{0,119}$"},
    ),
]
"""A key that casewright gave, such as "deck.cleat-left" or "lever1.hole"."""

LENGTHS: Final = (Length, PositiveLength, SignedLength, Kerf)
"""Types of lengths."""

__all__ = [
    "INPUT_ERROR",
    "LENGTHS",
    "Amps",
    "Angle",
    "BenchAddress",
    "Count",
    "Day",
    "Kerf",
    "Key",
    "Length",
    "Mass",
    "Moment",
    "Money",
    "Name",
    "PieceKey",
    "PositiveLength",
    "Power",
    "SawTilt",
    "Share",
    "SignedAngle",
    "SignedLength",
    "StepKey",
    "Title",
    "Volts",
    "as_pydantic",
    "read_address",
]
