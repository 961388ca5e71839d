"""What holds and stops a door is there."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.catalog.kinds import Hardware
from casewright.checks.subject import Subject
from casewright.design.panels import Door
from casewright.design.project import Project

RULE = Rule(
    id="door.held",
    severity=Severity.CAUTION,
    asks="What a door hangs on or is held by is among the parts, and strips stop it unless hinges do.",
    why="Hinges, magnets and locks decide the door's edge and gap; they are missed on the day it is hung.",
    source="Common practice",
)

_HELD_BY = {
    "hinges": (("hinge",), "hinges", "hangs on hinges", "hinge-butt-50", 2),
    "magnets": (("magnet", "latch"), "magnets", "is held by magnets", "magnet-15", 4),
    "locks": (("latch",), "locks", "is held by locks", "lock-cam-19", 1),
}
"""By fixing: roles of hardware that do, what is missing, in words, a catalog type, how many at least.

Common practice: two hinges, a magnet in each corner, one lock.
"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each door with nothing that stops it, and one for each whose hardware is not among the parts."""
    project = subject.cabinet.project
    roles = _roles(subject)
    for key, door in project.doors.items():
        if key not in subject.cabinet.piece_by_key:
            continue
        label = subject.label(key)
        if door.lip == 0 and door.fixing != "hinges":
            usual = Door.model_fields["lip"].default
            yield RULE.finding(
                f"Behind {label} are no stop strips: nothing keeps it from going in, and nothing holds it.",
                remedies=(
                    Remedy(f"Give it strips that stand {mm(usual)} in.", f"doors.{key}.lip", usual),
                ),
                names=(key,),
            )
        if door.fixing not in _HELD_BY:
            continue
        wanted, missing, how, usual_type, count = _HELD_BY[door.fixing]
        if roles.isdisjoint(wanted):
            yield RULE.finding(
                f"{label} {how}, but no {missing} are among the parts.",
                remedies=(
                    Remedy(
                        f"Add {count} or more to the parts, such as the catalog's {usual_type}."
                    ),
                ),
                names=(key,),
                severity=Severity.NOTE,
            )


def _roles(subject: Subject) -> set[str]:
    """Roles of the hardware that is bought or in the shop."""
    project: Project = subject.cabinet.project
    return {
        known.data.role
        for key, known in subject.cabinet.parts.items()
        if isinstance(known.data, Hardware)
        and (project.parts[key].quantity != 0 or project.parts[key].have)
    }


__all__ = ["RULE", "find"]
