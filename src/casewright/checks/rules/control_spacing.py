"""Controls stand far enough apart for their rims, their nuts and the fingers on them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.catalog.kinds import Dial, PushButton
from casewright.checks.crowding import apart_remedies, asked_pitch, touching_pitch
from casewright.checks.hands import BETWEEN
from casewright.checks.rows_apart import spread_remedies
from casewright.checks.subject import Subject
from casewright.geometry.model import Placed

RULE = Rule(
    id="control.spacing",
    severity=Severity.CAUTION,
    asks="Buttons and dials stand apart by the larger of rim and nut and 1 mm more, and by what the hand that plays "
    "there likes: 32, 36 or 40 mm.",
    why="Nuts that meet cannot be turned, and fingers that crowd press two at once.",
    source="Common practice",
)


@dataclass(frozen=True)
class _Close:
    a: Placed
    b: Placed
    pitch: float
    least: float
    """Rims and nuts just touch."""
    asked: float


def find(subject: Subject) -> Iterator[Finding]:
    """For each panel one finding on hardware that meets, one on pairs that are only close."""
    for parts in subject.placed_on.values():
        controls = [p for p in parts if isinstance(p.part.data, Dial | PushButton)]
        close = [c for a, b in combinations(controls, 2) if (c := _close(subject, a, b))]
        for group, severity in (
            ([c for c in close if c.pitch < c.least - TOUCHING], Severity.STOP),
            ([c for c in close if c.pitch >= c.least - TOUCHING], Severity.CAUTION),
        ):
            if group:
                yield _finding(subject, group, severity)


def _close(subject: Subject, a: Placed, b: Placed) -> _Close | None:
    pitch = math.dist((a.u, a.v), (b.u, b.v))
    asked = asked_pitch(subject, a, b)
    return _Close(a, b, pitch, touching_pitch(a, b), asked) if pitch < asked - TOUCHING else None


def _finding(subject: Subject, group: list[_Close], severity: Severity) -> Finding:
    worst = min(group, key=lambda c: (c.pitch - c.asked, c.a.key))
    names = listed([worst.a.label, worst.b.label])
    others = len(group) - 1
    more = f" ({others} more such pair{'s' if others > 1 else ''})" if others else ""
    reason = (
        f"their rims or nuts need {mm(worst.least)}"
        if severity is Severity.STOP
        else f"{mm(worst.asked)} is comfortable"
        if worst.asked > worst.least + BETWEEN + TOUCHING
        else f"{mm(worst.asked)} lets both nuts turn"
    )
    return RULE.finding(
        f"{names} stand {mm(worst.pitch)} apart; {reason}{more}.",
        remedies=subject.orders(lambda: _remedies(subject, worst, group)),
        names=tuple(dict.fromkeys(k for c in group for k in (c.a.key, c.b.key))),
        point=worst.b.frame.origin,
        severity=severity,
    )


def _remedies(subject: Subject, worst: _Close, group: Sequence[_Close]) -> Iterator[Remedy]:
    """What parts all of them; where nothing does in one go, what parts the worst two, in words."""
    pairs = [(c.a, c.b, c.asked) for c in group]
    if len(group) == 1:
        yield from apart_remedies(subject, worst.b, worst.a, worst.asked)
        return
    found = list(spread_remedies(subject, pairs))
    if not found:
        moves = apart_remedies(subject, worst.b, worst.a, worst.asked, pairs)
        found = [remedy for remedy in moves if remedy.field]
    if found:
        yield from found
        return
    for remedy in apart_remedies(subject, worst.b, worst.a, worst.asked):
        yield Remedy(
            f"{remedy.text} Then see to the others: {subject.label(worst.a.piece)} has no room to spread all of them."
            if remedy.field
            else remedy.text
        )


__all__ = ["RULE", "find"]
