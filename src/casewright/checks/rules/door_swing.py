"""A hinged door swings open."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.wording import listed
from casewright.checks.doors import meetings, other_edges
from casewright.checks.subject import Subject
from casewright.geometry.hinges import Hanging, hangings
from casewright.geometry.swinging import GROUND, WALL, Meeting

HAND = 60.0
"""A door that opens less lets no hand and no tool in. [degrees] Common practice."""

RULE = Rule(
    id="door.swing",
    severity=Severity.CAUTION,
    asks="A hinged door opens as far as it is to, outward, clear of the cabinet, its parts and what it stands on; one "
    "that opens less than 60° is a stop.",
    why="A door that meets the table, a side's edge or a knob half open keeps hands out and tears its hinges off.",
    source="Plain geometry",
)


_MOST_TOLD = 4
"""Of what a door meets after the first thing, so many are named."""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each hinged door that meets something."""
    for hanging in hangings(subject.cabinet):
        met = meetings(subject, hanging)
        if not met:
            continue
        first = met[0]
        asked = subject.cabinet.project.doors[hanging.door].opens_deg
        label = subject.label(hanging.door)
        later = dict.fromkeys(_what(subject, one) for one in met[1:])
        later.pop(_what(subject, first), None)
        more = f" Farther on it meets {listed(list(later)[:_MOST_TOLD])}." if later else ""
        mover = "it" if first.mover == hanging.door else f"{subject.label(first.mover)} on it"
        yield RULE.finding(
            f"{label}, hung on its {hanging.edge} edge, opens {first.angle_deg:g}° of {asked:g}°: then {mover} meets "
            f"{_what(subject, first)}.{more}",
            remedies=subject.orders(partial(_remedies, subject, hanging, first)),
            names=tuple(
                dict.fromkeys(
                    name
                    for name in (
                        hanging.door,
                        *(key for one in met for key in (one.mover, _owner(subject, one))),
                    )
                    if name in subject.labels
                )
            ),
            point=first.point,
            severity=Severity.STOP if first.angle_deg < HAND else None,
        )


def _remedies(subject: Subject, hanging: Hanging, first: Meeting) -> Iterator[Remedy]:
    key = hanging.door
    if first.obstacle == WALL:
        yield Remedy(
            "Put it into another panel: toward the wall nothing opens while it hangs there."
        )
        return
    yield from other_edges(subject, hanging)
    if first.angle_deg >= HAND:
        enough = math.floor(first.angle_deg / 5) * 5
        yield Remedy(
            f"Be content with {enough}°, and give it a stay that holds it there.",
            f"doors.{key}.opens_deg",
            float(enough),
        )
    yield Remedy("Let magnets hold it, so that it lifts out.", f"doors.{key}.fixing", "magnets")
    if _owner(subject, first) == key:  # a hinge of its own
        yield Remedy(f"Or move {subject.label(first.mover)} away from the hinge.")
    elif first.mover != key:
        yield Remedy(
            f"Or move {subject.label(first.mover)} on it to where it clears {_what(subject, first)}."
        )
    elif first.obstacle not in (GROUND, WALL) and not _is_carcass(subject, first.obstacle):
        yield Remedy(f"Or move {_what(subject, first)} out of its way.")


def _is_carcass(subject: Subject, key: str) -> bool:
    """Whether it is a side or a panel, which nobody moves."""
    piece = subject.cabinet.piece_by_key.get(key)
    return piece is not None and piece.kind in ("side", "panel", "overlay")


def _owner(subject: Subject, met: Meeting) -> str:
    bodies = {body.key: body.owner for body in subject.cabinet.bodies}
    return bodies.get(met.obstacle, met.obstacle)


def _what(subject: Subject, met: Meeting) -> str:
    if met.obstacle == GROUND:
        return f"the {subject.cabinet.project.site.on} that the cabinet stands on"
    if met.obstacle == WALL:
        return "the wall behind the cabinet"
    owner = _owner(subject, met)
    hinge = (
        "a hinge of " if owner in subject.cabinet.project.doors and owner != met.obstacle else ""
    )
    return f"{hinge}{subject.label(owner)}"


__all__ = ["HAND", "RULE", "find"]
