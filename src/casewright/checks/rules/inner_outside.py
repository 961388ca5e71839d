"""Inner boards lie inside the cabinet."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.checks.shorter import end_before, ends_on_panels
from casewright.checks.subject import Subject
from casewright.geometry.collisions import met_by
from casewright.geometry.model import Piece

RULE = Rule(
    id="inner.outside",
    severity=Severity.CAUTION,
    asks="An inner board lies between the sides over its whole depth.",
    why="What sticks out past the sides' edges is seen, catches, and has nothing to be fixed to.",
    source="Plain geometry",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each inner board that runs past the outline."""
    cabinet = subject.cabinet
    boards = [piece for piece in cabinet.pieces if piece.key in cabinet.project.inner]
    outline = shapely.Polygon(tuple(cabinet.shape.corners.values()))
    for piece in boards:
        faces = ((piece.show, 0.0), (piece.back, -piece.thickness))
        points = [piece.frame.point(u, v, n) for face, n in faces for u, v in face]
        past, point = max((outline.distance(shapely.Point(p[1:])), p) for p in points)
        if past > TOUCHING:
            yield RULE.finding(
                f"{piece.label} runs {mm(past)} past the sides' edge.",
                remedies=tuple(_remedies(subject, piece, past, outline)),
                names=(piece.key,),
                point=point,
            )


def _remedies(
    subject: Subject, piece: Piece, past: float, outline: shapely.Polygon
) -> Iterator[Remedy]:
    inner = subject.cabinet.project.inner[piece.key]
    middle = shapely.Point([(a + b) / 2 for a, b in zip(inner.start, inner.end, strict=True)])
    if outline.contains(middle):
        yield from ends_on_panels(subject.cabinet, piece.key)
        panels = [p for p in subject.cabinet.pieces if p.kind == "panel"]
        met = [p for p in panels if met_by(piece, [p])]
        yield from (remedy for _, remedy in end_before(subject.cabinet, piece.key, met))
    yield Remedy(f"Move its start or its end {mm(past)} inward.")


__all__ = ["RULE", "find"]
