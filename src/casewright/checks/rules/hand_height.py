"""Controls are at a height where arms can rest."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.checks.subject import Subject

RULE = Rule(
    id="hand.height",
    severity=Severity.NOTE,
    asks="Controls are from 200 mm below to 75 mm above the elbows of those who play.",
    why="Too high, shoulders are drawn up and tire; too low, backs bend.",
    source="Common practice",
)

BAND = (-200.0, 75.0)
"""Controls over the elbow. Common practice: counters for light work stand up to 200 lower, desks level with it. [mm]"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each person whom it does not suit."""
    if subject.behavior is None:
        return
    site = subject.cabinet.project.site
    low, high = BAND
    for who, deck, elbow in subject.behavior.playing.heights:
        over = deck - elbow
        if low - TOUCHING <= over <= high + TOUCHING:
            continue
        off = over - high if over > high else over - low
        remedies = []
        if site.on == "table" and site.height and site.height - off > 0:
            height = site.height - off
            remedies.append(Remedy(f"Put it on a table {mm(height)} high.", "site.height", height))
        if off > 0:
            remedies.append(Remedy(f"Put the controls {mm(off)} lower, or {who} as much higher."))
        else:
            remedies.append(
                Remedy(f"Put the controls {mm(-off)} higher, on a plinth or taller feet.")
            )
        side = "over" if over > 0 else "under"
        yield RULE.finding(
            f"The controls are {mm(abs(over))} {side} the elbows of {who}: {mm(deck)} over the floor.",
            remedies=tuple(remedies),
            names=tuple(p.key for p in subject.cabinet.pieces if p.role == "deck"),
        )


__all__ = ["BAND", "RULE", "find"]
