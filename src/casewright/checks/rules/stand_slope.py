"""It does not tip over on a slope."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.behavior.balance import Weight
from casewright.behavior.standing import SLOPE, Edge, Standing
from casewright.catalog.kinds import Foot, Hardware
from casewright.checks.feet import feet_outward
from casewright.checks.moving import weighed
from casewright.checks.subject import Subject

RULE = Rule(
    id="stand.slope",
    severity=Severity.CAUTION,
    asks=f"It stands on a slope of {SLOPE:g}° in every direction.",
    why="A cabinet that tips falls on the child that pulls at it.",
    source="iec-60335-1",
)
_ROUNDING = 1e-6  # deg


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for the way it falls most easily."""
    if subject.behavior is None:
        return
    standing = subject.behavior.standing
    edge = standing.weakest
    if edge is None or edge.tilt_deg >= SLOPE - _ROUNDING:
        return
    x, y = ((a + b) / 2 for a, b in zip(edge.start, edge.end, strict=True))
    falls = edge.arm <= 0
    yield RULE.finding(
        f"As it stands it falls over to the {edge.name}: its centre of gravity lies {mm(-edge.arm)} beyond what it "
        "stands on."
        if falls
        else f"It tips over to the {edge.name} on a slope of {edge.tilt_deg:.1f}°; {SLOPE:g}° is asked.",
        severity=Severity.STOP if falls else None,
        remedies=_remedies(subject, standing, edge),
        names=tuple(w.key for w in _heaviest(subject)),
        point=(x, y, standing.level),
    )


def _remedies(subject: Subject, standing: Standing, edge: Edge) -> tuple[Remedy, ...]:
    """Wider ground, a lower centre, or ballast on the floor: each with its value."""
    tangent = math.tan(math.radians(SLOPE))
    wider = standing.height * tangent - edge.arm
    short = [
        (other, (standing.height * tangent - other.arm) / (1 - _in_feet(subject)) + TOUCHING)
        for other in standing.edges
        if other.tilt_deg < SLOPE - _ROUNDING
    ]
    moved = tuple(feet_outward(subject.cabinet, short))
    remedies = [
        *moved,
        Remedy(
            f"Move what it stands on at the {edge.name} outward by {mm(wider)}, or add a plinth."
        ),
    ]
    if edge.arm > 0:
        lower = standing.height - edge.arm / tangent
        mass = subject.behavior.balance.total_kg if subject.behavior else 0.0
        # Ballast on the ground above the middle of it: heights and arms are means weighted by mass.
        ballast = mass * lower / (standing.height - lower)
        kept = weighed(subject.cabinet, math.ceil(10 * ballast - 1e-9) / 10)
        remedies.append(
            Remedy(
                f"Bring the centre of gravity {mm(lower)} lower: heavy parts to the bottom, or {kept} of ballast on "
                "the bottom, below the centre of gravity."
            )
        )
    remedies.append(_fastened(subject))
    return tuple(remedies)


def _fastened(subject: Subject) -> Remedy:
    """Held by what is not the cabinet; a wall tie that was bought is named, one that was not as well."""
    ties = [
        part.label
        for part in subject.cabinet.parts.values()
        if isinstance(part.data, Hardware) and part.data.role == "wall tie"
    ]
    if not ties:
        return Remedy(
            "Or fasten it so that it cannot tip: to its table, or to the wall, such as by the catalog's wall-tie."
        )
    return Remedy(
        f"{ties[0]} holds it only where it is screwed to the wall's own structure: fix it before the cabinet is used, "
        "and keep what is heavy low until then."
    )


def _in_feet(subject: Subject) -> float:
    """Share of the mass that is in the feet: the centre of gravity follows them by that."""
    feet = {p.key for p in subject.cabinet.placed if isinstance(p.part.data, Foot)}
    if subject.behavior is None or not feet:
        return 0.0
    balance = subject.behavior.balance
    return math.fsum(w.mass_kg for w in balance.items if w.key in feet) / balance.total_kg


def _heaviest(subject: Subject) -> list[Weight]:
    items = subject.behavior.balance.items if subject.behavior else ()
    return sorted(items, key=lambda weight: -weight.mass_kg)[:2]


__all__ = ["RULE", "find"]
