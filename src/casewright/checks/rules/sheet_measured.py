"""Sheets are measured before lengths are taken from their thickness."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.checks.subject import Subject

RULE = Rule(
    id="material.measured",
    severity=Severity.CAUTION,
    asks="The thickness of every sheet that pieces are cut from is measured.",
    why="A sheet is seldom as thick as its name; twice the difference goes into every length between the sides.",
    source="Common practice",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each sheet that is used by its name."""
    project = subject.cabinet.project
    for key, material in project.materials.items():
        pieces = tuple(p.key for p in subject.cabinet.pieces if p.material == key)
        if pieces and material.measured is None:
            yield RULE.finding(
                f"{material.label or key}: taken as {mm(material.nominal)} thick, as it is sold; it was not measured.",
                remedies=(
                    Remedy("Measure it by caliper at three or four places and write the mean."),
                ),
                names=pieces,
                missing=f"materials.{key}.measured",
            )


__all__ = ["RULE", "find"]
