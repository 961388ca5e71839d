"""Findings: what a foreman would say on looking at the plans.

Texts hold lengths as markers, written by `mm()`, so that each face shows them in the user's unit:
`f"{mm(5.3)} of overlap"` becomes "5.3 mm of overlap" or "7/32 in of overlap" when `Finding.worded` is called.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from enum import Enum
from itertools import pairwise

from casewright.basics.units import TOUCHING, parse_length


class Severity(Enum):
    """How a finding is to be taken."""

    STOP = "stop"
    """Do not cut: it will not fit, work or be safe."""
    CAUTION = "caution"
    """Look again."""
    NOTE = "note"
    """Worth knowing."""

    @property
    def rank(self) -> int:
        """0 for the gravest, for sorting."""
        return list(Severity).index(self)


def mm(length: float) -> str:
    """Mark a length in millimeters inside a text, to be written in the user's unit later."""
    return f"⟦{length:.4f}⟧"


def at_least(length: float) -> str:
    """Mark a length like `mm`, to be written as the next one above where it cannot be written as it is."""
    return f"⟦{length:.4f}↑⟧"


def at_most(length: float) -> str:
    """Mark a length like `mm`, to be written as the next one below where it cannot be written as it is."""
    return f"⟦{length:.4f}↓⟧"


SHOWN = 0.8
"""From here on no way of writing rounds a length to nothing; the coarsest are sixteenths of an inch, 1.6. [mm]"""


def some(length: float) -> str:
    """Mark a length like `mm`, never written as nothing: what is there but too small to show is shown as the least."""
    return mm(length) if abs(length) >= SHOWN else f"⟦{length:.4f}≠⟧"


_MARK = re.compile(r"⟦((-?[0-9.]+)([↑↓≠]?))⟧")


ALIKE = 0.01
"""Lengths nearer than this are one length: nobody measures finer. Source: common practice. [mm]"""


def worded(text: str, write_length: Callable[[float], str]) -> str:
    """Replace each marked length by what `write_length` makes of it.

    Two lengths that differ but come out alike are followed by their millimeters, as fine as tells them apart.

    Example:
        >>> worded(f"{mm(7.6)} is left; {mm(8.0)} is asked.", lambda x: f"{round(x / 25.4 * 16)}/16 in")
        '5/16 in (7.6 mm) is left; 5/16 in (8.0 mm) is asked.'
    """
    found = list(_MARK.finditer(text))
    lengths = {match[1]: float(match[2]) for match in found}
    written = {match[1]: _beyond(float(match[2]), match[3], write_length) for match in found}
    for shown in set(written.values()):
        alike = [mark for mark in written if written[mark] == shown]
        values = sorted(lengths[mark] for mark in alike)
        if values[-1] - values[0] > ALIKE:
            steps = [b - a for a, b in pairwise(values) if b - a > ALIKE]
            places = next(n for n in (1, 2, 3) if min(steps) >= 10**-n)
            written |= {mark: f"{shown} ({lengths[mark]:.{places}f} mm)" for mark in alike}
    return _MARK.sub(lambda match: written[match[1]], text)


def _beyond(length: float, way: str, write_length: Callable[[float], str]) -> str:
    """A length as written; with ↑, ↓ or ≠ as the nearest one written that is no less, no more, or not nothing."""
    text = write_length(length)
    sign = {"↑": 1, "↓": -1}.get(way, 0)
    if way == "≠" and abs(_read(text)) < TOUCHING:
        sign = 1 if length > 0 else -1
    for step in range(1, 100):
        if sign * (_read(text) - length) >= -TOUCHING:
            break
        text = write_length(length + sign * step * _STEP)
    return text


def _read(text: str) -> float:
    """A length as it was written, however large: what is far off its place may be farther than a file may say. [mm]"""
    return parse_length(text, least=None, most=math.inf)


_STEP = 0.05
"""Finer than anything a length is rounded to on paper, bar hundredths of a millimeter. [mm]"""


@dataclass(frozen=True)
class Place:
    """Where in the cabinet a finding is.

    `names` are keys of panels, parts and cleats; `point` is in the cabinet frame [mm], None if it is no one place.
    """

    names: tuple[str, ...] = ()
    point: tuple[float, float, float] | None = None


@dataclass(frozen=True)
class Remedy:
    """One order that cures a finding.

    `field` and `value` are set where the cure is a single value in the project file: `field` is its dotted path
    ("parts.lever1.v"), `value` what to write there (lengths as millimeters). Where it takes more than one value, the
    others stand in `also`; all are written together or none.
    """

    text: str
    field: str = ""
    value: float | str | None = None
    also: tuple[tuple[str, float | str], ...] = ()
    """Further fields with their values."""
    brings: str = ""
    """What it would bring elsewhere, found by carrying it out on a copy; "" for nothing, or where it was not tried."""

    @property
    def words(self) -> str:
        """The order with what it would bring."""
        return f"{self.text} {self.brings}" if self.brings else self.text


@dataclass(frozen=True)
class Unsaid(Remedy):
    """Stands for remedies that take long to find, where findings are only counted."""

    text: str = "…"
    find: Callable[[], Iterable[Remedy]] = tuple
    """Finds them; for whoever has to know after all."""


@dataclass(frozen=True)
class Finding:
    """One thing to tell the maker."""

    rule: str
    """Id of the rule; never changes once released."""
    severity: Severity
    message: str
    """The part's label, what is, what is asked; lengths marked by `mm`."""
    why: str = ""
    remedies: tuple[Remedy, ...] = ()
    place: Place = field(default_factory=Place)
    missing: str = ""
    """The measurement to take, when the check could not run for want of it."""

    @property
    def order(self) -> tuple[int, str, str]:
        """Gravest first, then by rule and text, so that the order never depends on chance."""
        return (self.severity.rank, self.rule, self.message)

    def as_json(self, write_length: Callable[[float], str]) -> dict[str, object]:
        """Plain data with the lengths written out."""
        return {
            "rule": self.rule,
            "severity": self.severity.value,
            "message": worded(self.message, write_length),
            "why": worded(self.why, write_length),
            "remedies": [
                {
                    "text": worded(remedy.text, write_length),
                    "field": remedy.field or None,
                    "value": remedy.value,
                    "also": [{"field": field, "value": value} for field, value in remedy.also],
                    "brings": worded(remedy.brings, write_length) or None,
                }
                for remedy in self.remedies
            ],
            "names": list(self.place.names),
            "point": list(self.place.point) if self.place.point else None,
            "missing": self.missing or None,
        }


@dataclass(frozen=True)
class Rule:
    """What a check asks and why; the text of the generated rule page."""

    id: str
    severity: Severity
    asks: str
    why: str
    source: str
    """"Plain geometry", "Project setting", "Common practice", or a key of `sources.toml`."""

    def finding(
        self,
        message: str,
        *,
        remedies: tuple[Remedy, ...] = (),
        names: tuple[str, ...] = (),
        point: tuple[float, float, float] | None = None,
        severity: Severity | None = None,
        missing: str = "",
    ) -> Finding:
        """A finding of this rule; `severity` only where it is milder or graver than the rule's own."""
        return Finding(
            rule=self.id,
            severity=severity or self.severity,
            message=message,
            why=self.why,
            remedies=remedies,
            place=Place(names, point),
            missing=missing,
        )


__all__ = [
    "ALIKE",
    "Finding",
    "Place",
    "Remedy",
    "Rule",
    "Severity",
    "Unsaid",
    "at_least",
    "at_most",
    "mm",
    "some",
    "worded",
]
