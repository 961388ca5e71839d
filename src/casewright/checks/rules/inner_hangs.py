"""A shelf lies on its battens."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.checks.shorter import is_host
from casewright.checks.subject import Subject

RULE = Rule(
    id="inner.hangs",
    severity=Severity.NOTE,
    asks="The battens of a shelf that screws hold lie below it.",
    why="A shelf below its battens hangs on their screws; one that lies on them bears far more.",
    source="Common practice",
)

LEVEL = 45.0
"""A board leaning by less lies rather than stands. Source: common practice. [deg]"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each shelf whose battens lie above it."""
    cabinet = subject.cabinet
    for key, inner in cabinet.project.inner.items():
        piece = cabinet.piece_by_key.get(key)
        if piece is None or inner.role != "shelf" or inner.fixing == "glued":
            continue
        cleats = [p for p in cabinet.pieces if p.kind == "cleat" and p.panel == key]
        if not cleats or piece.frame.n[2] > -math.cos(math.radians(LEVEL)):
            continue
        yield RULE.finding(
            f"The battens of {piece.label} lie above it: it hangs on their screws.",
            remedies=(_turned(subject, key),),
            names=(key, *(cleat.key for cleat in cleats)),
            point=piece.frame.origin,
        )


def _turned(subject: Subject, key: str) -> Remedy:
    """The same board, written from its upper line the other way round, so that its back and its battens are below."""
    cabinet = subject.cabinet
    inner, piece = cabinet.project.inner[key], cabinet.piece_by_key[key]
    (y0, z0), (y1, z1) = inner.start, inner.end
    long = math.hypot(y1 - y0, z1 - z0)
    up = (-(z1 - z0) / long * piece.thickness, (y1 - y0) / long * piece.thickness)
    start = (round(y1 + up[0], 4), round(z1 + up[1], 4))
    end = (round(y0 + up[0], 4), round(z0 + up[1], 4))
    text = (
        f"Let it start at y = {mm(start[0])}, z = {mm(start[1])} and end at y = {mm(end[0])}, z = {mm(end[1])}: "
        "the same place, its show face up and its battens below."
    )
    if is_host(cabinet, key):
        return Remedy(
            f"{text} What sits on it then counts from its other corner, and on its show face."
        )
    fields = [f"inner.{key}.{name}.{n}" for name in ("start", "end") for n in (0, 1)]
    (first, value), *more = zip(fields, (*start, *end), strict=True)
    return Remedy(text, first, value, also=tuple(more))


__all__ = ["LEVEL", "RULE", "find"]
