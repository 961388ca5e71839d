"""Numbers that can say why.

A `Reckoning` holds a value together with the terms it was made from. The value is computed *from* the terms, in the
constructor functions below, so that the explanation cannot drift from the number.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Term:
    """One contribution: what it is called, its value, and how often it counts (-2 for "− 2 ×")."""

    label: str
    value: float
    times: float = 1
    key: str = ""
    """Key of another reckoning that explains this term in turn."""
    unit: str | None = None
    """Where it differs from the number's own, "" for a bare number; in formulas None means "mm"."""

    def unit_in(self, number: Reckoning) -> str:
        """Its unit as a term of that number."""
        if self.unit is not None:
            return self.unit
        return "mm" if number.formula else number.unit


@dataclass(frozen=True)
class Reckoning:
    """A number, its unit and its reasons."""

    key: str
    """Dotted name, as `casewright why` takes it: "deck.length"."""
    label: str
    value: float
    unit: str
    """"mm", "deg", "kg", "cu", "" for a bare number."""
    terms: tuple[Term, ...] = ()
    formula: str = ""
    """For what is no sum: the formula in the terms' labels, such as "d × a ÷ √(a² + b²)"."""
    rule: str = ""
    """The rule it follows, in one sentence."""
    source: str = "Plain geometry"


def total(
    key: str,
    label: str,
    terms: Sequence[Term],
    *,
    unit: str = "mm",
    rule: str = "",
    source: str = "Plain geometry",
) -> Reckoning:
    """A number that is the sum of its terms.

    Example:
        >>> total("deck.length", "length", [Term("width", 470.0), Term("side", 18.0, -2)]).value
        434.0
    """
    value = math.fsum(term.value * term.times for term in terms)
    return Reckoning(key, label, value, unit, tuple(terms), "", rule, source)


def stated(
    key: str,
    label: str,
    value: float,
    *,
    unit: str = "mm",
    rule: str = "",
    source: str = "Project setting",
) -> Reckoning:
    """A number that was given, not worked out."""
    return Reckoning(key, label, value, unit, (), "", rule, source)


def derived(
    key: str,
    label: str,
    value: float,
    formula: str,
    terms: Sequence[Term],
    *,
    unit: str = "mm",
    rule: str = "",
    source: str = "Plain geometry",
) -> Reckoning:
    """A number from a formula that is no sum; `value` must come from the same expression."""
    return Reckoning(key, label, value, unit, tuple(terms), formula, rule, source)


__all__ = ["Reckoning", "Term", "derived", "stated", "total"]
