"""A door's stop strips leave a way in."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.checks.subject import Subject

RULE = Rule(
    id="door.closed",
    severity=Severity.CAUTION,
    asks="A door's stop strips leave half of its opening clear, both ways.",
    why="Strips that nearly meet behind a door leave no way in.",
    source="Common practice",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each door whose strips leave too little."""
    for key, door in subject.cabinet.project.doors.items():
        if key not in subject.cabinet.piece_by_key:
            continue
        opening = min(door.width, door.height) + 2 * door.gap
        most = opening / 4  # on either side
        if door.lip <= most + TOUCHING:
            continue
        clear = max(opening - 2 * door.lip, 0.0)
        yield RULE.finding(
            f"Behind {subject.label(key)} its stop strips leave {mm(clear)} clear of {mm(opening)}.",
            remedies=(
                Remedy(
                    f"Let the strips stand {mm(most)} into the opening, or less.",
                    f"doors.{key}.lip",
                    most,
                ),
            ),
            names=(key,),
        )


__all__ = ["RULE", "find"]
