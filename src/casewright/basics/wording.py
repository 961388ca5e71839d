"""Words round numbers and names, the same wherever people read them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

from casewright.basics.units import TOUCHING, parse_length


def counted(number: int, noun: str, plural: str = "") -> str:
    """A number and its noun: "1 sheet", "2 sheets"."""
    return f"{number} {noun if number == 1 else plural or noun + 's'}"


def capital(text: str) -> str:
    """Words as they begin a sentence; the rest stays as it is written.

    Example:
        >>> capital("nest of deck A1 and deck A2")
        'Nest of deck A1 and deck A2'
    """
    return text[:1].upper() + text[1:]


def fine(length: float, *, inches: bool) -> str:
    """A small length, finer than fractions of an inch tell it. [mm]

    Example:
        >>> fine(0.254, inches=False), fine(0.254, inches=True)
        ('0.25 mm', '0.010 in')
    """
    return f"{length / 25.4:.3f} in" if inches else f"{length:.2f} mm"


def close_enough(length: float, write_length: Callable[[float], str]) -> str:
    """A length as it is written, or finer where that would be off by more than a twentieth of it. [mm]

    Example:
        >>> close_enough(0.151, lambda x: f"{x:.1f} mm"), close_enough(20.04, lambda x: f"{x:.1f} mm")
        ('0.15 mm', '20.0 mm')
    """
    text = write_length(length)
    off = abs(parse_length(text, least=None, most=math.inf) - length)
    if off <= abs(length) / 20 + TOUCHING:
        return text
    return fine(length, inches=not text.endswith("mm"))


def listed(names: Iterable[str]) -> str:
    """Names in a row: each once, with its number where there are several.

    Example:
        >>> listed(["lever", "lever", "dial"])
        '2 × lever and dial'
        >>> listed(["cleat, left", "cleat, right"])
        'cleat, left; cleat, right'
    """
    counts: dict[str, int] = {}
    for name in names:
        counts[name] = counts.get(name, 0) + 1
    words = [name if count == 1 else f"{count} × {name}" for name, count in counts.items()]
    if len(words) < 2:
        return "".join(words)
    if any("," in word for word in words):
        return "; ".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


__all__ = ["capital", "close_enough", "counted", "fine", "listed"]
