"""The pocket below a lever leaves enough board."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Lever
from casewright.checks.moving import placed_field
from casewright.checks.subject import Subject
from casewright.geometry.lever_window import LEAST_LAND

RULE = Rule(
    id="lever.land",
    severity=Severity.CAUTION,
    asks="A lever's pocket leaves at least 6 mm of board.",
    why="The whole force of a hand hangs on this land; it splits along its veneers.",
    source="Common practice",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each lever with a pocket wished too deep."""
    cabinet = subject.cabinet
    for placed in subject.controls:
        land = cabinet.numbers.get(f"{placed.key}.land")
        recess = cabinet.numbers.get(f"{placed.key}.recess")
        if not isinstance(placed.part.data, Lever) or land is None or recess is None:
            continue
        if recess.value <= 0 or land.value >= LEAST_LAND - TOUCHING:
            continue
        best = max(recess.value + land.value - LEAST_LAND, 0.0)
        yield RULE.finding(
            f"{placed.label}: its pocket of {mm(recess.value)} leaves {mm(land.value)} of board; {mm(LEAST_LAND)} is "
            "asked.",
            remedies=(
                Remedy(
                    f"Make the pocket {mm(best)} deep.",
                    placed_field(cabinet, placed, "recess"),
                    best,
                ),
            ),
            names=(placed.key, placed.piece),
            point=placed.frame.origin,
        )


__all__ = ["RULE", "find"]
