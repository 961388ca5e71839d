"""One person can set it on its place, or is told how many it takes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import MM_PER_INCH
from casewright.behavior.lifting import Lift
from casewright.checks.moving import weighed, weighed_up
from casewright.checks.subject import Subject

RULE = Rule(
    id="lift.limit",
    severity=Severity.CAUTION,
    asks="Its mass is no more than one person should lift from the floor to its place.",
    why="Backs are hurt by one lift, and the cabinet by the drop that follows.",
    source="niosh-lifting",
)

CUT_OUTS = {"mm": (115.0, 38.0), "in": (4.5 * MM_PER_INCH, 1.5 * MM_PER_INCH)}
"""Hand holes that are proposed. [mm] Source: niosh-lifting, coupling, which gives both."""

_WORTH = 1.02
"""A better hold is proposed from this gain on."""


LEAST = 0.1
"""A limit below this is none: it lies beyond what the equation lets anybody lift. [kg] Source: niosh-lifting."""


def find(subject: Subject) -> Iterator[Finding]:
    """A note where two can lift it, a caution where it is too much for them."""
    if subject.behavior is None:
        return
    cabinet, lifting = subject.cabinet, subject.behavior.lifting
    if lifting.mass_kg <= lifting.limit_kg:
        return
    people = lifting.people
    if people == 2:
        first = (
            "Lift it with two, one at each side, close to the body, knees bent and back straight."
        )
    elif lifting.pair_limit_kg < LEAST:
        first = "Move it on a trolley or with a hoist, or slide it: held so far out nobody should lift it."
    else:
        first = (
            f"Move it on a trolley or with a hoist: two should lift no more than "
            f"{weighed(cabinet, lifting.pair_limit_kg)}."
        )
    remedies = [Remedy(first)]
    if lifting.limit_kg >= LEAST:
        off = weighed_up(cabinet, lifting.mass_kg - lifting.limit_kg)
        remedies.append(Remedy(f"Or take off {off} first: whatever is not glued."))
    better = min(_held_well(lift).limit_kg for lift in (lifting.origin, lifting.goal))
    if better > lifting.limit_kg * _WORTH:
        long, high = CUT_OUTS.get(cabinet.project.unit, CUT_OUTS["mm"])
        remedies.append(
            Remedy(
                f"Cut hand holes {mm(long)} × {mm(high)} into both sides: one person then lifts "
                f"{weighed(cabinet, better)}."
            )
        )
    told = (
        f"one person should lift no more than {weighed(cabinet, lifting.limit_kg)} of this size to its place."
        if lifting.limit_kg >= LEAST
        else "of this size no one person should lift it to its place: it is held too far from the body, or too high."
    )
    yield RULE.finding(
        f"It weighs {weighed(cabinet, lifting.mass_kg)}; {told}",
        remedies=tuple(remedies),
        point=subject.behavior.balance.centre,
        severity=Severity.NOTE if people == 2 else None,
    )


def _held_well(lift: Lift) -> Lift:
    return replace(lift, coupling="good")


__all__ = ["CUT_OUTS", "LEAST", "RULE", "find"]
