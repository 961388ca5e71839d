"""Units at the door: text becomes millimeters here, and millimeters become text.

Reading runs on exact fractions and turns to a float once, at the end. Writing rounds once, half away from zero, and
`rounding_error` tells what that rounding cost. Units of weight, power and the like are rows of a table.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import gcd
from typing import Literal, NamedTuple
from unicodedata import numeric

from casewright.basics.errors import InputError

MM_PER_INCH = 25.4
"""An inch is exactly 25.4 mm. Source: international yard and pound agreement, 1959; NIST SP 811, appendix B."""

TOUCHING = 0.001
"""Two lengths this close count as equal. [mm] Far below what a saw or a rule can tell apart."""

LONGEST_TEXT = 64
"""Longer text is refused unread. [characters]"""

Unit = Literal["mm", "cm", "m", "in"]
Kind = Literal["angle", "mass", "power", "voltage", "current"]
Glyphs = Literal["plain", "typeset"]

_INCH = Fraction(254, 10)
_FOOT = 12 * _INCH
_POUND = Fraction(45359237, 10**8)  # kg, exact: international yard and pound agreement, 1959
_MM: Mapping[Unit, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": _INCH,
}


@dataclass(frozen=True)
class _Quantity:
    """How one kind of value is written: a row of the table below."""

    name: str
    unit: str
    """What a result is in."""
    factors: Mapping[str, Fraction]
    """By unit as written; in lower case if `any_case`."""
    example: str
    least: float
    most: float
    any_case: bool = True


def _spelled(*rows: tuple[str, Fraction | int]) -> dict[str, Fraction]:
    """One factor for each of several spellings, parted by spaces."""
    return {word: Fraction(factor) for words, factor in rows for word in words.split()}


_LENGTH = _Quantity(
    "length",
    "mm",
    _spelled(
        ("mm millimeter millimeters millimetre millimetres", 1),
        ("cm centimeter centimeters centimetre centimetres", 10),
        ("m meter meters metre metres", 1000),
        ('" in inch inches', _INCH),
        ("' ft foot feet", _FOOT),
    ),
    '18 mm, 1.8 cm, 3/4", 19 1/2 in or 1\' 6 1/4"',
    0.0,
    100_000.0,
)

_QUANTITIES: Mapping[Kind, _Quantity] = {
    "angle": _Quantity(
        "angle",
        "°",
        _spelled(("° deg degree degrees", 1)),
        "8.4 or 8.4 deg",
        -360.0,
        360.0,
    ),
    "mass": _Quantity(
        "weight",
        "kg",
        _spelled(("kg", 1), ("g", Fraction(1, 1000)), ("lb lbs", _POUND), ("oz", _POUND / 16)),
        "3.2 kg, 250 g, 6.6 lb or 8 oz",
        0.0,
        10_000.0,
    ),
    # Case matters below: a milliwatt is no megawatt.
    "power": _Quantity(
        "power",
        "W",
        _spelled(("W", 1), ("mW", Fraction(1, 1000)), ("kW", 1000)),
        "18 W",
        0.0,
        100_000.0,
        any_case=False,
    ),
    "voltage": _Quantity(
        "voltage",
        "V",
        _spelled(("V", 1), ("mV", Fraction(1, 1000)), ("kV", 1000)),
        "12 V",
        0.0,
        1_000.0,
        any_case=False,
    ),
    "current": _Quantity(
        "current",
        "A",
        _spelled(("A", 1), ("mA", Fraction(1, 1000))),
        "2.5 A or 350 mA",
        0.0,
        1_000.0,
        any_case=False,
    ),
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
        value: A number, or text such as `18 mm`, `3/4"`, `19-1/2 in`, `1' 6 1/4"`, `2 ft 3 in`, `½"`.
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
    return _parse(value, _LENGTH, _MM[unit], lowest, most, field)


def parse_quantity(
    value: object,
    kind: Kind,
    *,
    least: float | None = None,
    most: float | None = None,
    field: str = "",
) -> float:
    """Return an angle in degrees, a mass in kg, a power in W, a voltage in V or a current in A.

    A number without a unit is in that unit. `least` and `most` replace the usual limits of the kind.

    Raises:
        InputError: The text is no such quantity, or is out of range.

    Example:
        >>> parse_quantity("250 g", "mass")
        0.25
    """
    quantity = _QUANTITIES[kind]
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
    quantity: _Quantity,
    bare: Fraction,
    least: float,
    most: float,
    field: str,
) -> float:
    """Read one value of any kind; `bare` is the factor of a number without a unit."""

    def refuse(want: str) -> InputError:
        return InputError(field, got=quoted(value), want=want, example=quantity.example)

    limits = f"a {quantity.name} from {least:g} to {most:g} {quantity.unit}"
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise refuse(f"a {quantity.name}, as a number or as text")
    if isinstance(value, str):
        try:
            exact = _amount_of_text(value, quantity, bare)
        except _Unreadable as unreadable:
            raise refuse(unreadable.want or f"a {quantity.name}") from None
    elif not abs(value) < 1e15:  # also catches what is not a number
        raise refuse(limits)
    else:
        exact = _as_written(value) * bare
    if not least <= exact <= most:
        raise refuse(limits)
    return float(exact) + 0.0  # never -0.0


class _Unreadable(Exception):
    """Text that is no quantity; `want` says what would be, where that can be told."""

    def __init__(self, want: str = "") -> None:
        self.want = want
        super().__init__(want)


_AMOUNT = re.compile(
    r"(?:(?P<whole>[0-9]+)(?:-| ))?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)"
    r"|(?P<plain>[0-9]+\.?[0-9]*|\.[0-9]+)"
)
_UNIT = re.compile(r" ?([a-zA-Z°]+|[\"'])? ?")
_VULGAR = {sign: str(Fraction(numeric(sign)).limit_denominator(8)) for sign in "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"}
_VULGAR_SIGN = re.compile(f"([0-9])?([{''.join(_VULGAR)}])")
# Dashes that stand for minus or hyphen, marks for feet and inches, the fraction slash.
_PLAIN_SIGNS = str.maketrans(
    dict.fromkeys("−–‐‑", "-")
    | dict.fromkeys("′’‘", "'")
    | {"″": '"', "”": '"', "“": '"', "⁄": "/"}
)


def _amount_of_text(text: str, quantity: _Quantity, bare: Fraction) -> Fraction:
    """The exact amount that a text states, in the quantity's own unit."""
    if len(text) > LONGEST_TEXT:
        raise _Unreadable(f"a {quantity.name} of at most {LONGEST_TEXT} characters")
    rest = " ".join(text.translate(_PLAIN_SIGNS).split()).replace("''", '"')
    rest = _VULGAR_SIGN.sub(lambda m: f"{m[1]} {_VULGAR[m[2]]}" if m[1] else _VULGAR[m[2]], rest)
    if "," in rest:
        raise _Unreadable("a point for the decimals and no comma")
    sign = -1 if rest.startswith("-") else 1
    if rest[:1] in ("-", "+"):
        rest = rest[1:].removeprefix(" ")

    amount, word, rest = _amount_and_unit(rest, quantity)
    if not word:
        factor = bare
    elif word in quantity.factors:
        factor = quantity.factors[word]
    else:
        units = ", ".join(name for name in quantity.factors if len(name) <= 2)
        raise _Unreadable(f"a {quantity.name} in one of {units}")
    total = amount * factor
    if rest and factor == _FOOT and quantity is _LENGTH:
        inches, word, rest = _amount_and_unit(rest.removeprefix("-").removeprefix(" "), quantity)
        if not word or quantity.factors.get(word) != _INCH:
            raise _Unreadable("inches after the feet")
        if amount.denominator != 1:
            raise _Unreadable("whole feet before the inches")
        if inches >= 12:
            raise _Unreadable("less than 12 inches after the feet")
        total += inches * _INCH
    if rest:
        raise _Unreadable
    return sign * total


def _amount_and_unit(text: str, quantity: _Quantity) -> tuple[Fraction, str, str]:
    """The number at the start of a text, the unit after it ("" for none), and what is left."""
    found = _AMOUNT.match(text)
    if not found:
        raise _Unreadable
    if found["plain"]:
        amount = Fraction(found["plain"].rstrip("."))
    else:
        top, bottom = int(found["top"]), int(found["bottom"])
        if bottom == 0:
            raise _Unreadable("a fraction whose lower number is not 0")
        if found["whole"] and top >= bottom:
            raise _Unreadable("a fraction below 1 after a whole number")
        amount = int(found["whole"] or 0) + Fraction(top, bottom)
    unit = _UNIT.match(text, found.end())
    assert unit is not None  # the pattern also matches nothing
    word = unit[1] or ""
    return amount, word.lower() if quantity.any_case else word, text[unit.end() :]


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
        decimals: Decimals of a millimeter that are kept, 0 to 4; a centimeter gets one more, a meter three.
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
            return _INCH / self.denominator
        return Fraction(1, 10**self.decimals)


class FractionParts(NamedTuple):
    """A length in inches as it is set in type: sign, whole inches, and a reduced fraction (0/1 for none)."""

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
        glyphs: "plain" for files and terminals; "typeset" has a true minus sign, spaces that do not break the
            line, and a thin one before the unit.

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


def _inch_parts(length: float, style: LengthStyle) -> FractionParts:
    steps = _steps(length, style)
    whole, top = divmod(abs(steps), style.denominator)
    shared = gcd(top, style.denominator)
    return FractionParts(-1 if steps < 0 else 1, whole, top // shared, style.denominator // shared)


def _steps(length: float, style: LengthStyle) -> int:
    """How many steps of the style the length is, rounded half away from zero."""
    exact = abs(_as_written(length)) / style._exact_step
    count = int(exact + Fraction(1, 2))
    return -count if length < 0 else count


__all__ = [
    "LONGEST_TEXT",
    "MM_PER_INCH",
    "TOUCHING",
    "FractionParts",
    "Glyphs",
    "Kind",
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
    "shown_length",
]
