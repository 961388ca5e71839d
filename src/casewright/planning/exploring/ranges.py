"""Values to try, as people write them: a list, or a range with a step."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any, Final

from casewright.basics.errors import InputError
from casewright.basics.units import quoted

MOST_VALUES: Final = 10_000
"""Values of one range."""

_RANGE = re.compile(
    r"\s*(?:(?P<count>\S+)\s+from\s+)?(?P<first>.+?)\s+to\s+(?P<last>.+?)(?:\s+by\s+(?P<step>.+?))?\s*"
)
_NUMBER = re.compile(
    r"(?P<sign>[-−]?)(?:(?P<whole>\d+)[ -](?=\d+/))?(?P<part>\d+/\d+|\d*\.?\d+)\s*(?P<unit>[^\d\s].*)?"
)
EXAMPLE: Final = "660 to 740 by 20"


def values_of(field: str, written: object) -> tuple[Any, ...]:
    """Return the values that a list or a range stands for, as a project file would write them.

    `A to B by S` counts from A to B in steps of S, B included where a step meets it; `N from A to B` gives N
    values evenly apart. Numbers may carry a unit, the same one for all; a step without one has that of the ends. Each
    value is worked out in whole fractions and rounded once.

    Args:
        field: Where it stands, for messages.
        written: A list of values, or a range.

    Raises:
        InputError: It is neither.

    Example:
        >>> values_of("width", "11.2 to 11.8 by 0.2")
        (11.2, 11.4, 11.6, 11.8)
        >>> values_of("width", "26 in to 27 in by 1/2")
        ('26 in', '26.5 in', '27 in')
        >>> values_of("width", "3 from 10 to 20")
        (10, 15, 20)
    """
    if isinstance(written, list | tuple):
        if not written:
            raise InputError(field, got="an empty list", want="values to try", example=EXAMPLE)
        return tuple(written)
    match = _RANGE.fullmatch(written) if isinstance(written, str) else None
    if match is None or (match["count"] is None) == (match["step"] is None):
        raise InputError(field, got=quoted(written), want="a list or a range", example=EXAMPLE)
    first, unit = _read(field, match["first"])
    last, unit_of_last = _read(field, match["last"])
    if match["count"] is not None:
        count, unit_of_step = _read(field, match["count"])
        if unit_of_step or count.denominator != 1 or not 2 <= count <= MOST_VALUES:
            raise InputError(
                field,
                got=quoted(match["count"]),
                want=f"a whole number of values, 2 to {MOST_VALUES}",
                example="5 from 660 to 740",
            )
        step, steps = (last - first) / (count - 1), int(count) - 1
        unit_of_step = unit
    else:
        step, unit_of_step = _read(field, match["step"])
        if not step or (last - first) / step < 0:
            raise InputError(
                field,
                got=quoted(written),
                want="a step that leads from the first value to the last",
                example=EXAMPLE,
            )
        steps = int((last - first) / step)
    if unit_of_last != unit or unit_of_step not in ("", unit):
        raise InputError(
            field, got=quoted(written), want="one unit for all", example="26 in to 30 in by 1/2 in"
        )
    if steps >= MOST_VALUES:
        raise InputError(
            field, got=f"{steps + 1} values", want=f"at most {MOST_VALUES}", example=EXAMPLE
        )
    return tuple(_written(first + step * index, unit) for index in range(steps + 1))


def _read(field: str, text: str) -> tuple[Fraction, str]:
    """A number and its unit."""
    match = _NUMBER.fullmatch(text.strip())
    if match is None or match["part"].endswith("/0"):
        raise InputError(
            field, got=quoted(text), want="a number, its unit after it", example=EXAMPLE
        )
    value = Fraction(match["part"]) + Fraction(match["whole"] or 0)
    return (-value if match["sign"] else value), (match["unit"] or "").strip()


def _written(value: Fraction, unit: str) -> int | float | str:
    """A value as the file would have it; a unit makes it text."""
    number = int(value) if value.denominator == 1 else round(float(value), 9)
    if not unit:
        return number
    gap = "" if unit[0] in "\"'′″°%" else " "
    return f"{number}{gap}{unit}"


__all__ = ["EXAMPLE", "MOST_VALUES", "values_of"]
