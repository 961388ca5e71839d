"""Room that plugs, cables, nuts, fingers and air need stays free."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Rule, Severity, mm
from casewright.checks.conflicts import depth_of, parties_in_words, remedies
from casewright.checks.subject import Subject
from casewright.geometry.model import Body

RULE = Rule(
    id="collision.room",
    severity=Severity.CAUTION,
    asks="Room for plugs, bends of cables, nuts, fingers and air is free.",
    why="A part fits on paper and then no plug goes in, no nut turns, no hand gets hold.",
    source="Plain geometry",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each two parties; a stop where a nut cannot be turned."""
    for conflict in subject.conflicts:
        if conflict.is_solid:
            continue
        first, second = parties_in_words(subject.cabinet, conflict)
        a, b = conflict.pairs[0]
        room, taker = (
            (first, second) if isinstance(a, Body) and a.kind == "room" else (second, first)
        )
        nut = any(thing.key.endswith(".nut room") for thing in (a, b))
        yield RULE.finding(
            f"{taker} stands {mm(depth_of(conflict))} in the room kept for {room}.",
            remedies=remedies(subject.cabinet, conflict),
            names=conflict.names,
            point=conflict.worst.point,
            severity=Severity.STOP if nut else None,
        )


__all__ = ["RULE", "find"]
