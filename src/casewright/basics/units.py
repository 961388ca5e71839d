"""Units at the door: text becomes millimeters here, and millimeters become text.

Reading runs on exact fractions and turns to a float once, at the end. Writing rounds once, half
away from zero, and `rounding_error` tells what that rounding cost.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import gcd
from typing import Literal, NamedTuple

from casewright.basics.amounts import (
    INCH,
    LENGTH,
    LONGEST_TEXT,
    QUANTITIES,
    Kind,
    Quantity,
    UnreadableError,
    amount_of_text,
)
from casewright.basics.errors import InputError

MM_PER_INCH = 25.4
"""Exact. Source: international yard and pound agreement, 1959; NIST SP 811, B.8."""

TOUCHING = 0.001
"""Two lengths this close count as equal. [mm] Far below what a saw or a rule can tell apart."""

Unit = Literal["mm", "cm", "m", "in"]
Glyphs = Literal["plain", "typeset"]

_MM: Mapping[Unit, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": INCH,
}


def parse_length(
    value: object,
    *,
    unit: Unit = "mm",
    least: float | None = 0.0,
    most: float = 100_000.0,
    field: str = "",
) -> float:
    """Return a length in millimeters.

    Args:
        value: A number, or text such as `18 mm`, `3/4"`, `19-1/2 in`, `1' 6 1/4"`, `½"`.
        unit: What a number without a unit is in.
        least: Smallest length taken [mm]; None takes negative ones down to `-most`.
        most: Largest length taken. [mm]
        field: Path of the value, for the message.

    Raises:
        InputError: The text is no length, or is out of range.

    Source:
        Inch: international yard and pound agreement, 1959.

    Example:
        >>> parse_length("19 1/2 in")
        495.3
    """
    lowest = -most if least is None else least
    return _parse(value, LENGTH, _MM[unit], lowest, most, field)


def parse_quantity(
    value: object,
    kind: Kind,
    *,
    least: float | None = None,
    most: float | None = None,
    field: str = "",
) -> float:
    """Return an angle in degrees, a mass in kg, a power in W, a voltage in V or a current in A.

    A number without a unit is in that unit. `least` and `most` replace the kind's usual limits.

    Raises:
        InputError: The text is no such quantity, or is out of range.

    Example:
        >>> parse_quantity("250 g", "mass")
        0.25
    """
    quantity = QUANTITIES[kind]
    lowest = quantity.least if least is None else least
    highest = quantity.most if most is None else most
    return _parse(value, quantity, Fraction(1), lowest, highest, field)


def parse_angle(value: object, *, field: str = "") -> float:
    """Return an angle in degrees, from `8.4`, `8.4°` or `8.4 deg`; -360 to 360."""
    return parse_quantity(value, "angle", field=field)


def parse_mass(value: object, *, field: str = "") -> float:
    """Return a mass in kilograms, from `3.2`, `3.2 kg`, `250 g`, `6.6 lb` or `8 oz`."""
    return parse_quantity(value, "mass", field=field)


def parse_power(value: object, *, field: str = "") -> float:
    """Return a power in watts, from `18` or `18 W`."""
    return parse_quantity(value, "power", field=field)


def _parse(
    value: object,
    quantity: Quantity,
    bare: Fraction,
    least: float,
    most: float,
    field: str,
) -> float:
    """Read one value of any kind; `bare` is the factor of a number without a unit."""
    if type(value) in (str, int, float):
        return _parse_plain(value, quantity, bare, least, most, field)
    return _parse_new(value, quantity, bare, least, most, field)


def _limits(quantity: Quantity, bare: Fraction, least: float, most: float) -> str:
    """What is taken, in the unit that a bare number is in; large limits in others than the usual one are cut short."""
    units = {factor: unit for unit, factor in _MM.items()} if quantity is LENGTH else {}
    low, high = (
        f"{int(limit) if bare != 1 and 100 <= abs(limit) < math.inf else limit:g}"
        for limit in (least / float(bare), most / float(bare))
    )
    return f"{quantity.name} from {low} to {high} {units.get(bare, quantity.unit)}"


def _parse_new(
    value: object,
    quantity: Quantity,
    bare: Fraction,
    least: float,
    most: float,
    field: str,
) -> float:
    def refuse(want: str) -> InputError:
        return InputError(field, got=quoted(value), want=want, example=quantity.example)

    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise refuse(f"{quantity.name}, as a number or as text")
    if isinstance(value, str):
        try:
            exact = amount_of_text(value, quantity, bare)
        except UnreadableError as unreadable:
            raise refuse(unreadable.want or quantity.name) from None
    elif not abs(value) < 1e15:  # also catches what is not a number
        raise refuse(_limits(quantity, bare, least, most))
    else:
        exact = _as_written(value) * bare
    if not least <= exact <= most:
        raise refuse(_limits(quantity, bare, least, most))
    return float(exact) + 0.0  # never -0.0


_parse_plain = lru_cache(maxsize=8192, typed=True)(_parse_new)
"""A file is read again after each edit, and nearly all of its values were there before."""


def _as_written(value: float) -> Fraction:
    """A float as the decimal number that it is written as: 0.1 is one tenth."""
    return Fraction(int(value)) if isinstance(value, int) else Fraction(float.__repr__(value))


def quoted(value: object) -> str:
    """A value as shown in a message: short, in quotes if text, control characters made visible."""
    if isinstance(value, str):
        short = value if len(value) <= LONGEST_TEXT else value[: LONGEST_TEXT - 1] + "…"
        return f"“{''.join(c if c.isprintable() else ascii(c)[1:-1] for c in short)}”"
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        return "a group of keys"
    if isinstance(value, (list, tuple)):
        return "a list"
    if isinstance(value, int) and abs(value) >= 10**20:
        return "a whole number of more than 20 digits"
    return str(value)


@dataclass(frozen=True)
class LengthStyle:
    """How lengths are written.

    Attributes:
        unit: The unit shown.
        decimals: Decimals of a millimeter that are kept, 0 to 4; a length shown in cm gets one
            more, one in m three more.
        denominator: Finest fraction of an inch.
    """

    unit: Unit = "mm"
    decimals: int = 1
    denominator: Literal[16, 32, 64] = 32

    def __post_init__(self) -> None:
        if self.unit not in _MM:
            raise InputError("unit", got=self.unit, want="one of mm, cm, m, in", example="mm")
        if self.decimals not in range(5):
            raise InputError("decimals", got=self.decimals, want="0, 1, 2, 3 or 4", example="1")
        if self.denominator not in (16, 32, 64):
            raise InputError("denominator", got=self.denominator, want="16, 32 or 64", example="32")

    @property
    def step(self) -> float:
        """The smallest difference that shows. [mm]"""
        return float(self._exact_step)

    @property
    def _exact_step(self) -> Fraction:
        if self.unit == "in":
            return INCH / self.denominator
        return Fraction(1, 10**self.decimals)


class FractionParts(NamedTuple):
    """Inches as set in type: sign, whole inches, and a reduced fraction (0/1 for none)."""

    sign: Literal[-1, 1]
    whole: int
    top: int
    bottom: int


def format_length(
    length: float,
    style: LengthStyle,
    *,
    with_unit: bool = True,
    glyphs: Glyphs = "plain",
) -> str:
    """Return a length as text, rounded once, half away from zero.

    Args:
        length: What to write. [mm]
        style: The unit and how fine.
        with_unit: Whether the unit follows.
        glyphs: "plain" for files and terminals; "typeset" has a true minus sign, spaces that do
            not break the line, and a thin one before the unit.

    Example:
        >>> format_length(495.3, LengthStyle("in")), format_length(18.04, LengthStyle("mm"))
        ('19 1/2 in', '18.0 mm')
    """
    parts = _inch_parts(length, style) if style.unit == "in" else None
    steps = _steps(length, style)
    if parts is not None:
        fraction = f"{parts.top}/{parts.bottom}" if parts.top else ""
        whole = str(parts.whole) if parts.whole or not fraction else ""
        number = " ".join(part for part in (whole, fraction) if part)
    else:
        places = style.decimals + {"mm": 0, "cm": 1, "m": 3}[style.unit]
        digits = str(abs(steps)).rjust(places + 1, "0")
        number = f"{digits[:-places]}.{digits[-places:]}" if places else digits
    minus, gap, inner = ("-", " ", " ") if glyphs == "plain" else ("−", "\u202f", "\u00a0")
    signed = (minus if steps < 0 else "") + number.replace(" ", inner)
    return f"{signed}{gap}{style.unit}" if with_unit else signed


def format_fraction_parts(length: float, style: LengthStyle) -> FractionParts:
    """Return a length's sign, whole inches and reduced fraction, for setting it in type.

    Args:
        length: What to write. [mm]
        style: One in inches.

    Raises:
        InputError: The style is not in inches.

    Example:
        >>> format_fraction_parts(495.3, LengthStyle("in"))
        FractionParts(sign=1, whole=19, top=1, bottom=2)
    """
    if style.unit != "in":
        raise InputError("style", got=style.unit, want="a style in inches", example="in")
    return _inch_parts(length, style)


def rounding_error(length: float, style: LengthStyle) -> float:
    """Return the length as shown minus the true one, at most half a step. [mm]"""
    return float(_steps(length, style) * style._exact_step - _as_written(length))


def shown_length(length: float, style: LengthStyle) -> float:
    """Return the length that a reader of `format_length` gets. [mm]"""
    return float(_steps(length, style) * style._exact_step) + 0.0


def shown_beyond(length: float, style: LengthStyle, *, up: bool) -> float:
    """Return the next length at or beyond this one that shows as it is: at or above it with `up`, else at or below.

    Lengths within `TOUCHING` of one that shows count as it. [mm]

    Example:
        >>> shown_beyond(146.65, LengthStyle("mm"), up=False), shown_beyond(219.999, LengthStyle("mm"), up=False)
        (146.6, 220.0)
    """
    step = style._exact_step
    count = _steps(length, style)
    short = float(_as_written(length) - count * step)
    if up and short > TOUCHING * 1.01:
        count += 1
    elif not up and short < -TOUCHING * 1.01:
        count -= 1
    return float(count * step) + 0.0


def _inch_parts(length: float, style: LengthStyle) -> FractionParts:
    steps = _steps(length, style)
    whole, top = divmod(abs(steps), style.denominator)
    shared = gcd(top, style.denominator)
    return FractionParts(-1 if steps < 0 else 1, whole, top // shared, style.denominator // shared)


@lru_cache(maxsize=16384)  # tables and drawings write the same lengths over and over
def _steps(length: float, style: LengthStyle) -> int:
    """How many steps of the style the length is, rounded half away from zero."""
    exact = abs(_as_written(length)) / style._exact_step
    count = int(exact + Fraction(1, 2))
    return -count if length < 0 else count


__all__ = [
    "MM_PER_INCH",
    "TOUCHING",
    "FractionParts",
    "Glyphs",
    "LengthStyle",
    "Unit",
    "format_fraction_parts",
    "format_length",
    "parse_angle",
    "parse_length",
    "parse_mass",
    "parse_power",
    "parse_quantity",
    "quoted",
    "rounding_error",
    "shown_beyond",
    "shown_length",
]
