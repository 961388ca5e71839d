"""A display shows its picture by itself after a power cut."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.catalog.kinds import Display
from casewright.checks.subject import Subject

RULE = Rule(
    id="display.wakes",
    severity=Severity.NOTE,
    asks="The display is known to show a picture by itself when power returns.",
    why="Many stay in standby until their own button is pressed, which is out of reach behind the panel.",
    source="Common practice",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each display not tested, or tested and found asleep."""
    for key, part in subject.cabinet.parts.items():
        if not isinstance(part.data, Display) or part.data.wakes_by_itself:
            continue
        names = tuple(p.key for p in subject.cabinet.placed if p.part.key == key)
        field = f"parts.{key}.measured.wakes_by_itself"
        if part.data.wakes_by_itself is None:
            yield RULE.finding(
                f"{part.label}: nobody has tested whether it shows a picture by itself after a power cut.",
                remedies=(
                    Remedy(
                        "Test before you buy: let it show a picture, pull the plug of its supply, wait a minute, plug "
                        "it in again, touch nothing."
                    ),
                ),
                names=names,
                missing=field,
            )
        else:
            yield RULE.finding(
                f"{part.label} does not show a picture by itself after a power cut.",
                remedies=(
                    Remedy(
                        "Keep its button in reach through a small hole, or take a display that wakes."
                    ),
                ),
                names=names,
                severity=Severity.CAUTION,
            )


__all__ = ["RULE", "find"]
