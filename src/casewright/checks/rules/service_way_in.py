"""There is a way into the closed cabinet."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.units import TOUCHING
from casewright.checks.service import ways_in
from casewright.checks.subject import Subject

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
    panels = cabinet.shape.panels
    best = next(
        (key for role in ("back", "top", "floor") for key, p in panels.items() if p.role == role),
        "",
    )
    remedy = Remedy("Let one panel be screwed, or put a door in it.")
    if best:
        wish = panels[best]
        is_grooved = wish.joint == "groove" and wish.reveal > TOUCHING
        remedy = Remedy(
            f"Screw {subject.label(best)}{' on cleats' if is_grooved else ''} instead of gluing it"
            f"{' into grooves' if is_grooved else ''}.",
            f"panels.{best}.fixing",
            "screwed",
            ((f"panels.{best}.joint", "butt"),) if is_grooved else (),
        )
    yield RULE.finding(
        "Every panel is glued: nothing inside can be reached again.",
        remedies=(remedy,),
        names=(best,) if best else (),
    )


__all__ = ["RULE", "find"]
