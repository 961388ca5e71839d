"""It does not tip when somebody leans on its front edge."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.customary import force_words, mass_words
from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least
from casewright.behavior.standing import GRAVITY
from casewright.checks.subject import Subject

RULE = Rule(
    id="stand.lean",
    severity=Severity.CAUTION,
    asks="The weight of limits.lean_n on the front edge does not tip it forward.",
    why="Players lean on the edge when the game gets close, and children pull themselves up by it.",
    source="Project setting",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding where the edge stands out too far in front of what it stands on."""
    if subject.behavior is None:
        return
    standing, mass = subject.behavior.standing, subject.behavior.balance.total_kg
    lean, unit = subject.cabinet.project.limits.lean_n, subject.cabinet.project.unit
    if not standing.stands or standing.lean_at is None or standing.lean_force >= lean:
        return
    if standing.lean_force <= 0:
        return  # it falls over by itself, which stand.slope tells
    front = min(p[1] for p in standing.ground)
    over = front - standing.lean_at[1]
    arm = standing.lean_force * over / (mass * GRAVITY)
    # Moving the front feet forward by d makes the arm longer and the overhang shorter by d.
    forward = (lean * over - mass * GRAVITY * arm) / (mass * GRAVITY + lean)
    yield RULE.finding(
        f"A hand that leans on the front edge with {force_words(standing.lean_force, unit)} tips it; "
        f"it has to bear {force_words(lean, unit)}.",
        remedies=(
            Remedy(
                f"Move its front feet, or what it stands on, {at_least(_further(forward))} forward."
            ),
            Remedy(
                f"Or add {mass_words(_up(lean * over / arm / GRAVITY - mass), unit)} at its centre of gravity."
                if arm > 0
                else "Or fasten it to its table."
            ),
        ),
        names=tuple(p.key for p in subject.cabinet.pieces if p.role == "deck"),
        point=standing.lean_at,
    )


def _further(forward: float) -> float:
    """To the next tenth of a millimeter, and one more for the feet's own weight that moves with them."""
    return (math.ceil(10 * forward - 1e-9) + 1) / 10


def _up(kg: float) -> float:
    """To the next tenth of a kilogram, which is what the text shows."""
    return math.ceil(10 * kg - 1e-9) / 10


__all__ = ["RULE", "find"]
