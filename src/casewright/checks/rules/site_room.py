"""The cabinet fits the place where it stands."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.units import TOUCHING
from casewright.checks.subject import Subject

RULE = Rule(
    id="site.room",
    severity=Severity.STOP,
    asks="Width and depth over all, balls and knobs included, are within what the place allows.",
    why="It is built to stand there.",
    source="Project setting",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each direction in which it is too large."""
    cabinet = subject.cabinet
    site = cabinet.project.site
    if site.width is None and site.depth is None:
        return
    wide, deep, _ = subject.size
    for name, size, room in (("wide", wide, site.width), ("deep", deep, site.depth)):
        if room is None or size <= room + TOUCHING:
            continue
        over = size - room
        remedy = Remedy(f"Make it {at_least(over)} less {name}.")
        if name == "wide" and cabinet.project.shape.width is not None:
            value = cabinet.shape.width - over
            remedy = Remedy(f"Make the cabinet {mm(value)} wide.", "shape.width", value)
        elif name == "deep" and getattr(cabinet.project.shape, "depth", None) is not None:
            value = getattr(cabinet.project.shape, "depth") - over  # noqa: B009
            remedy = Remedy(f"Make the cabinet {mm(value)} deep.", "shape.depth", value)
        yield RULE.finding(
            f"The cabinet is {mm(size)} {name} over all; its place allows {mm(room)}.",
            remedies=(remedy,),
        )


__all__ = ["RULE", "find"]
