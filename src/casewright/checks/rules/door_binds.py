"""The free edge of a hinged door swings clear of its opening."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.checks.doors import binds, middle, other_edges
from casewright.checks.subject import Subject
from casewright.geometry.hinges import Hanging, hangings, with_door

WIDEST = 4.0
"""A wider gap is seen as a slit; a bevel does it better. [mm] Common practice."""

STEEPEST = 30.0
"""A sharper edge splinters. [degrees] Common practice."""

RULE = Rule(
    id="door.binds",
    severity=Severity.CAUTION,
    asks="The gap at a hinged door's free edge lets the back corner of that edge swing out.",
    why="The back corner goes round the pin in a larger circle than the front one: too narrow a gap, and the door "
    "jams before it is open.",
    source="Plain geometry",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each hinged door that binds."""
    for hanging in hangings(subject.cabinet):
        if not binds(hanging):
            continue
        yield RULE.finding(
            f"{subject.label(hanging.door)}, hung on its {hanging.edge} edge, binds at its free edge: the back corner "
            f"swings {at_least(hanging.gap_asked)} out, and the gap is {mm(hanging.gap)}.",
            remedies=tuple(_remedies(subject, hanging)),
            names=(hanging.door,),
            point=middle(hanging),
        )


def _remedies(subject: Subject, hanging: Hanging) -> Iterator[Remedy]:
    key = hanging.door
    gap = hanging.gap_asked
    for _ in range(20):  # the pin moves with the gap, by half as much
        project = with_door(subject.cabinet.project, key, gap=gap)
        other = next(h for h in hangings(subject.cabinet, project) if h.door == key)
        if not binds(other):
            break
        gap = max(gap + 0.01, other.gap_asked)
    if gap <= WIDEST:
        yield Remedy(f"Leave {mm(gap)} round the door.", f"doors.{key}.gap", gap)
    others = [*_bevelled(subject, hanging), *other_edges(subject, hanging)]
    if gap > WIDEST and not others:
        others.append(Remedy("Let it lift out, held by magnets.", f"doors.{key}.fixing", "magnets"))
    yield from others


def _bevelled(subject: Subject, hanging: Hanging) -> Iterator[Remedy]:
    """The least whole degree at which it swings free in the gap it has."""
    key, project = hanging.door, subject.cabinet.project
    most = math.floor(min(STEEPEST, project.shop.tilt_most))
    for bevel in range(math.ceil(hanging.bevel_asked), most + 1):
        changed = with_door(project, key, bevel_deg=float(bevel))
        if not binds(next(h for h in hangings(subject.cabinet, changed) if h.door == key)):
            yield Remedy(
                f"Bevel its free edge by {bevel}°, its back the shorter: then it swings free in the gap it has.",
                f"doors.{key}.bevel_deg",
                float(bevel),
            )
            return


__all__ = ["RULE", "STEEPEST", "WIDEST", "find"]
