"""Grooves in the sides leave enough of the sides."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.checks.subject import Subject

RULE = Rule(
    id="groove.depth",
    severity=Severity.STOP,
    asks="A groove goes no deeper than half of the side, and never through it.",
    why="A groove right through cuts the side in two; one deeper than half leaves it weak along the whole panel.",
    source="Common practice",
)

MOST = 0.5
"""Share of the thickness that a groove takes at most. Common practice: a third to a half."""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each panel and inner board whose grooves go too deep: a stop where they go through."""
    project = subject.cabinet.project
    side = subject.cabinet.piece_by_key["left"]
    for groove in side.features:
        if groove.kind != "groove" or groove.owner not in subject.cabinet.piece_by_key:
            continue
        depth = side.thickness if groove.depth is None else groove.depth
        most = side.thickness * MOST
        if depth <= most + TOUCHING:
            continue
        section = "inner" if groove.owner in project.inner else "panels"
        through = depth >= side.thickness - TOUCHING
        yield RULE.finding(
            f"The grooves for {subject.label(groove.owner)} are {mm(depth)} deep in sides of {mm(side.thickness)}.",
            remedies=(
                Remedy(
                    f"Cut them {mm(most)} deep or less.",
                    f"{section}.{groove.owner}.groove_depth",
                    most,
                ),
            ),
            names=(groove.owner, "left", "right"),
            severity=Severity.STOP if through else Severity.CAUTION,
        )


__all__ = ["MOST", "RULE", "find"]
