"""Each supply and converter has something that hangs on it."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.checks.subject import Subject

RULE = Rule(
    id="power.idle",
    severity=Severity.NOTE,
    asks="Something hangs on each supply, battery and converter among the parts.",
    why="What feeds nothing is bought and wired for nothing, or something hangs elsewhere than was meant.",
    source="Common practice",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One note for each that nothing hangs on; none where the power of some part is not known yet."""
    if subject.behavior is None:
        return
    for source in subject.behavior.power.loads.idle:
        yield RULE.finding(
            f"{source.label}: nothing hangs on it.",
            remedies=(
                Remedy(
                    f"Take it out of the parts, or write fed_by: {source.key} at what it is to feed."
                ),
            ),
            names=tuple(p.key for p in subject.cabinet.placed if p.part.key == source.key),
        )


__all__ = ["RULE", "find"]
