"""No panel is a sliver."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.units import TOUCHING
from casewright.checks.subject import Subject

RULE = Rule(
    id="panel.sliver",
    severity=Severity.CAUTION,
    asks="A panel is higher, on both faces, than it is thick.",
    why="A sliver cannot be sawn safely, held, or screwed; it breaks along its feather edge.",
    source="Common practice",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each panel of which a face is shorter than the thickness."""
    for slab in subject.cabinet.slabs:
        shorter = min(slab.show_length, slab.back_length)
        if not 0 < shorter < slab.thickness - TOUCHING:
            continue
        face = "show" if slab.show_length < slab.back_length else "back"
        yield RULE.finding(
            f"{subject.label(slab.panel)} is {mm(shorter)} high on its {face} face and {mm(slab.thickness)} thick.",
            remedies=(
                Remedy(
                    f"Make its run {at_least(slab.thickness - shorter)} longer, or merge it with its neighbor and "
                    "plane the corner."
                ),
            ),
            names=(slab.panel,),
            point=(subject.cabinet.shape.width / 2, *slab.show_start),
        )


__all__ = ["RULE", "find"]
