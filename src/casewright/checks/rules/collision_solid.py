"""No two things are in the same place."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from casewright.basics.findings import Finding, Rule, Severity, some
from casewright.checks.conflict_cures import remedies
from casewright.checks.conflicts import depth_of, parties_in_words
from casewright.checks.crowding import keeps_apart
from casewright.checks.subject import Subject

RULE = Rule(
    id="collision.solid",
    severity=Severity.STOP,
    asks="No piece or part reaches into another.",
    why="What does not fit is found at assembly, when panels are drilled and painted.",
    source="Plain geometry",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each two parties that share space, whichever of their bodies meet."""
    for conflict in subject.conflicts:
        if conflict.is_solid:
            first, second = parties_in_words(subject.cabinet, conflict)
            yield RULE.finding(
                f"{first} and {second} overlap by {some(depth_of(conflict))}.",
                remedies=subject.orders(
                    partial(remedies, subject.cabinet, conflict, partial(keeps_apart, subject))
                ),
                names=conflict.names,
                point=conflict.worst.point,
            )


__all__ = ["RULE", "find"]
