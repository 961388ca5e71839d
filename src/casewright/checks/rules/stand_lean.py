"""It does not tip when somebody leans on its front edge."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
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
    lean = subject.cabinet.project.limits.lean_n
    if not standing.stands or standing.lean_at is None or standing.lean_force >= lean:
        return
    front = min(p[1] for p in standing.ground)
    over = front - standing.lean_at[1]
    arm = standing.lean_force * over / (mass * GRAVITY)
    # Moving the front feet forward by d makes the arm longer and the overhang shorter by d.
    forward = (lean * over - mass * GRAVITY * arm) / (mass * GRAVITY + lean)
    yield RULE.finding(
        f"A hand that leans on the front edge with {_weighed(standing.lean_force)} tips it; "
        f"{_weighed(lean)} is asked.",
        remedies=(
            Remedy(f"Move its front feet, or what it stands on, {mm(forward)} forward."),
            Remedy(
                f"Or add {(lean * over / arm - mass * GRAVITY) / GRAVITY:.1f} kg at its centre of gravity."
                if arm > 0
                else "Or fasten it to its table."
            ),
        ),
        names=tuple(p.key for p in subject.cabinet.pieces if p.role == "deck"),
        point=standing.lean_at,
    )


def _weighed(force: float) -> str:
    """A force in newtons, and as the mass that weighs as much."""
    return f"{force:.0f} N ({force / GRAVITY:.1f} kg)"


__all__ = ["RULE", "find"]
