"""There is a way into the closed cabinet."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.checks.service import ways_in
from casewright.checks.subject import Subject
from casewright.geometry.captive import best_to_open, opening_values

RULE = Rule(
    id="service.way-in",
    severity=Severity.CAUTION,
    asks="At least one panel or door of a closed cabinet comes off without breaking glue.",
    why="Wires come loose, displays die, and a cabinet glued shut is sawn open.",
    source="Common practice",
)


def find(subject: Subject) -> Iterator[Finding]:
    """A finding where every run is closed, parts are inside and nothing comes off."""
    cabinet = subject.cabinet
    if not cabinet.slabs or any(not run.panel for run in cabinet.shape.runs):
        return
    if not any(body.kind == "solid" for body in cabinet.bodies) or ways_in(subject):
        return
    best = best_to_open(cabinet)
    remedy = Remedy("Let one panel be screwed, or put a door in it.")
    if best:
        (field, value), *also = opening_values(cabinet, best)
        words = ("", "") if not also else (" on cleats", " into grooves")
        text = f"Screw {subject.label(best)}{words[0]} instead of gluing it{words[1]}."
        remedy = Remedy(text, field, value, tuple(also))
    yield RULE.finding(
        "Every panel is glued: nothing inside can be reached again.",
        remedies=(remedy,),
        names=(best,) if best else (),
    )


__all__ = ["RULE", "find"]
