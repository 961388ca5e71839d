"""Lit area of a display from its diagonal and aspect."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import lru_cache

from casewright.basics.errors import InputError

_ASPECT = re.compile(
    r"\s*([0-9]{1,5}(?:\.[0-9]{1,4})?)\s*[:x×/]\s*([0-9]{1,5}(?:\.[0-9]{1,4})?)\s*"
)


def display_lit_area(diagonal: float, aspect: tuple[float, float]) -> tuple[float, float]:
    r"""Return width and height of a display's lit area. [mm]

    Args:
        diagonal: Of the lit area. [mm, more than 0]
        aspect: Width to height, such as (16, 9).

    Raises:
        InputError: The diagonal or a part of the aspect is not more than 0.

    Source:
        Plain geometry:

            |\
          b |  \ d         w : h = a : b,  w² + h² = d²
            |____\         w = d·a / √(a² + b²),  h = d·b / √(a² + b²)
               a

    Example:
        >>> [round(side, 1) for side in display_lit_area(23.8 * 25.4, (16, 9))]
        [526.9, 296.4]
    """
    across, up = aspect
    if not diagonal > 0:
        raise InputError("diagonal", got=f"{diagonal:g} mm", want="more than 0", example="23.8 in")
    if not (across > 0 and up > 0):
        raise InputError("aspect", got=f"{across:g}:{up:g}", want="two numbers", example="16:9")
    share = diagonal / math.hypot(across, up)
    return (share * across, share * up)


def parse_aspect(value: object, *, field: str = "aspect") -> tuple[float, float]:
    """Return width and height of an aspect written as `16:9`, `16 x 10` or `5/4`.

    Raises:
        InputError: It is not written so, or is narrower than 1:10 or wider than 10:1.

    Example:
        >>> parse_aspect("16:9")
        (16.0, 9.0)
    """
    read = _read_aspect(value) if isinstance(value, str) else None
    if read is None:
        want = "width to height, parted by a colon, from 1:10 to 10:1"
        raise InputError(field, got=value, want=want, example='"16:9"')
    return read


@lru_cache(maxsize=256)
def _read_aspect(text: str) -> tuple[float, float] | None:
    match = _ASPECT.fullmatch(text)
    across, up = (Fraction(part) for part in match.groups()) if match else (Fraction(), Fraction())
    if not (across > 0 and up > 0 and Fraction(1, 10) <= across / up <= 10):
        return None
    return (float(across), float(up))


__all__ = ["display_lit_area", "parse_aspect"]
