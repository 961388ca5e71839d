"""A drilled grille is open enough."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.checks.subject import Subject
from casewright.geometry.devices.speaker import GRILLE_OPEN, hexagonal_pitch

LEAST = 0.25
"""Open share of a drilled grille that still passes high notes. Common practice; 0.4 works well (grille-page)."""

RULE = Rule(
    id="sound.grille",
    severity=Severity.NOTE,
    asks=f"A drilled grille is open over {100 * LEAST:g} % of the cone.",
    why="A grille that is mostly wood muffles voices.",
    source="grille-page",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each grille that is too close."""
    if subject.behavior is None:
        return
    project = subject.cabinet.project
    for driver in subject.behavior.sound.drivers:
        grille = driver.grille
        if grille is None or grille.open_share >= LEAST - 1e-9:
            continue
        placed = project.parts[driver.part].placed
        index = next((i for i, wish in enumerate(placed) if wish.key == driver.key), None)
        field = "" if index is None else f"parts.{driver.part}.placed.{index}.grille"
        yield RULE.finding(
            f"The grille of {driver.label} is open over {100 * grille.open_share:.0f} % of the cone; "
            f"{100 * LEAST:g} % is asked.",
            remedies=(
                Remedy("Cut it open and set cloth or perforated sheet before it.", field, "open"),
                Remedy(
                    f"Or drill by a template of your own: {grille.hole:g} mm holes, "
                    f"{hexagonal_pitch(grille.hole, GRILLE_OPEN):.1f} mm from middle to middle, out to the cone's rim."
                ),
            ),
            names=(driver.key,),
        )


__all__ = ["LEAST", "RULE", "find"]
