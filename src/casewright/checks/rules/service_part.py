"""Each part inside comes out through an opening that is large enough."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.catalog.kinds import Device, Display, Fan, Lever, Speaker, Trackball
from casewright.checks.service import ways_in
from casewright.checks.sizes import corners_of, smallest_two
from casewright.checks.subject import Subject
from casewright.geometry.model import Placed

RULE = Rule(
    id="service.part-out",
    severity=Severity.CAUTION,
    asks="Some panel or door that comes off leaves an opening 10 mm larger than the two smaller dimensions of each "
    "part inside.",
    why="A part that was fitted before the last panel was glued cannot be changed for another.",
    source="Common practice",
)

SPARE = 10.0
"""Opening over part, both ways. Source: common practice. [mm]"""

_INSIDE = (Device, Display, Fan, Lever, Speaker, Trackball)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for all parts that no opening lets out."""
    ways = ways_in(subject)
    if not ways:
        return  # service.way-in tells it
    caught: list[tuple[Placed, tuple[float, float]]] = []
    for placed in subject.cabinet.placed:
        if not isinstance(placed.part.data, _INSIDE):
            continue
        needs = smallest_two(_size(subject, placed))
        if not any(
            way.sides[0] >= needs[0] + SPARE - TOUCHING
            and way.sides[1] >= needs[1] + SPARE - TOUCHING
            for way in ways
        ):
            caught.append((placed, needs))
    if not caught:
        return
    placed, needs = max(caught, key=lambda row: (row[1][1], row[1][0], row[0].key))
    best = ways[0]
    yield RULE.finding(
        f"{listed([p.label for p, _ in caught])} cannot come out: the largest opening, behind {best.label}, is "
        f"{mm(best.width)} × {mm(best.height)}, and {placed.label} asks {mm(needs[0] + SPARE)} × "
        f"{mm(needs[1] + SPARE)}.",
        remedies=(
            Remedy(
                f"Make the opening {at_least(needs[0] + SPARE)} × {at_least(needs[1] + SPARE)} or larger."
            ),
        ),
        names=(*(p.key for p, _ in caught), best.key),
        point=placed.frame.origin,
    )


def _size(subject: Subject, placed: Placed) -> tuple[float, float, float]:
    """Extent of a part's solid bodies along its own axes. [mm]"""
    spans: list[tuple[float, float, float, float, float, float]] = []
    for body in subject.cabinet.bodies:
        if body.owner != placed.key or body.kind != "solid":
            continue
        corners = [placed.frame.local(point) for point in corners_of(body)]
        us, vs, ns = zip(*corners, strict=True)
        spans.append((min(us), max(us), min(vs), max(vs), min(ns), max(ns)))
    if not spans:
        return (0.0, 0.0, 0.0)
    columns = list(zip(*spans, strict=True))
    low, high = (
        [min(c) for c in columns[::2]],
        [max(c) for c in columns[1::2]],
    )
    return (high[0] - low[0], high[1] - low[1], high[2] - low[2])


__all__ = ["RULE", "SPARE", "find"]
