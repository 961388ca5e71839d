"""The grammar of amounts: `19-1/2 in`, `1' 6 1/4"`, `250 g`, read into exact fractions.

Units are rows of a table. For use by `casewright.basics.units`, which adds limits and messages.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal
from unicodedata import numeric

LONGEST_TEXT = 64
"""Longer text is refused unread. [characters]"""

Kind = Literal["angle", "mass", "power", "voltage", "current"]

INCH = Fraction(254, 10)
"""In mm, exact. Source: international yard and pound agreement, 1959; NIST SP 811, B.8."""
FOOT = 12 * INCH
"""In millimeters."""
POUND = Fraction(45359237, 10**8)
"""In kilograms, exact. Source: international yard and pound agreement, 1959."""


@dataclass(frozen=True, eq=False)
class Quantity:
    """How one kind of value is written: a row of the table below; equal only to itself, so that it is a quick key."""

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


LENGTH = Quantity(
    "a length",
    "mm",
    _spelled(
        ("mm millimeter millimeters millimetre millimetres", 1),
        ("cm centimeter centimeters centimetre centimetres", 10),
        ("m meter meters metre metres", 1000),
        ('" in inch inches', INCH),
        ("' ft foot feet", FOOT),
    ),
    '18 mm, 1.8 cm, 3/4", 19 1/2 in or 1\' 6 1/4"',
    0.0,
    100_000.0,
)

QUANTITIES: Mapping[Kind, Quantity] = {
    "angle": Quantity(
        "an angle",
        "°",
        _spelled(("° deg degree degrees", 1)),
        "8.4 or 8.4 deg",
        -360.0,
        360.0,
    ),
    "mass": Quantity(
        "a weight",
        "kg",
        _spelled(("kg", 1), ("g", Fraction(1, 1000)), ("lb lbs", POUND), ("oz", POUND / 16)),
        "3.2 kg, 250 g, 6.6 lb or 8 oz",
        0.0,
        10_000.0,
    ),
    # Case matters below: a milliwatt is no megawatt.
    "power": Quantity(
        "a power",
        "W",
        _spelled(("W", 1), ("mW", Fraction(1, 1000)), ("kW", 1000)),
        "18 W",
        0.0,
        100_000.0,
        any_case=False,
    ),
    "voltage": Quantity(
        "a voltage",
        "V",
        _spelled(("V", 1), ("mV", Fraction(1, 1000)), ("kV", 1000)),
        "12 V",
        0.0,
        1_000.0,
        any_case=False,
    ),
    "current": Quantity(
        "a current",
        "A",
        _spelled(("A", 1), ("mA", Fraction(1, 1000))),
        "2.5 A or 350 mA",
        0.0,
        1_000.0,
        any_case=False,
    ),
}


class UnreadableError(Exception):
    """Text that is no quantity; `want` says what would be, where that can be told."""

    def __init__(self, want: str = "") -> None:
        self.want = want
        super().__init__(want)


_AMOUNT = re.compile(
    r"(?:(?P<whole>[0-9]+)(?:-| ))?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)"
    r"|(?P<plain>[0-9]+\.?[0-9]*|\.[0-9]+)"
)
_EXPONENT = re.compile(r"[0-9.]+[eE][-+]?[0-9]")
_UNIT = re.compile(r" ?([a-zA-Z°]+|[\"'])? ?")
_VULGAR = {sign: str(Fraction(numeric(sign)).limit_denominator(8)) for sign in "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"}
_VULGAR_SIGN = re.compile(f"([0-9])?([{''.join(_VULGAR)}])")
# Dashes that stand for minus or hyphen, marks for feet and inches, the fraction slash.
_PLAIN_SIGNS = str.maketrans(
    dict.fromkeys("−–‐‑", "-")
    | dict.fromkeys("′’‘", "'")
    | {"″": '"', "”": '"', "“": '"', "⁄": "/"}
)


def amount_of_text(text: str, quantity: Quantity, bare: Fraction) -> Fraction:
    """The exact amount that a text states, in the quantity's own unit."""
    if len(text) > LONGEST_TEXT:
        raise UnreadableError(f"{quantity.name} of at most {LONGEST_TEXT} characters")
    rest = " ".join(text.translate(_PLAIN_SIGNS).split()).replace("''", '"')
    rest = _VULGAR_SIGN.sub(lambda m: f"{m[1]} {_VULGAR[m[2]]}" if m[1] else _VULGAR[m[2]], rest)
    if "," in rest:
        raise UnreadableError("a point for the decimals and no comma")
    sign = -1 if rest.startswith("-") else 1
    if rest[:1] in ("-", "+"):
        rest = rest[1:].removeprefix(" ")

    if _EXPONENT.match(rest):
        raise UnreadableError(f"{quantity.name} written out, without an exponent")
    amount, word, rest = _amount_and_unit(rest, quantity)
    if not word:
        factor = bare
    elif word in quantity.factors:
        factor = quantity.factors[word]
    else:
        units = ", ".join(name for name in quantity.factors if len(name) <= 2)
        raise UnreadableError(f"{quantity.name} in one of {units}")
    total = amount * factor
    if rest and factor == FOOT and quantity is LENGTH:
        inches, word, rest = _amount_and_unit(rest.removeprefix("-").removeprefix(" "), quantity)
        if not word or quantity.factors.get(word) != INCH:
            raise UnreadableError("inches after the feet")
        if amount.denominator != 1:
            raise UnreadableError("whole feet before the inches")
        if inches >= 12:
            raise UnreadableError("less than 12 inches after the feet")
        total += inches * INCH
    if rest:
        raise UnreadableError
    return sign * total


def _amount_and_unit(text: str, quantity: Quantity) -> tuple[Fraction, str, str]:
    """The number at the start of a text, the unit after it ("" for none), and what is left."""
    found = _AMOUNT.match(text)
    if not found:
        raise UnreadableError
    if found["plain"]:
        amount = Fraction(found["plain"].rstrip("."))
    else:
        top, bottom = int(found["top"]), int(found["bottom"])
        if bottom == 0:
            raise UnreadableError("a fraction whose lower number is not 0")
        if found["whole"] and top >= bottom:
            raise UnreadableError("a fraction below 1 after a whole number")
        amount = int(found["whole"] or 0) + Fraction(top, bottom)
    unit = _UNIT.match(text, found.end())
    assert unit is not None  # the pattern also matches nothing
    word = unit[1] or ""
    return amount, word.lower() if quantity.any_case else word, text[unit.end() :]


__all__ = [
    "FOOT",
    "INCH",
    "LENGTH",
    "LONGEST_TEXT",
    "POUND",
    "QUANTITIES",
    "Kind",
    "Quantity",
    "UnreadableError",
    "amount_of_text",
]
