"""An inner board touches something that can hold it."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.checks.subject import Subject
from casewright.geometry.model import Piece, Point3
from casewright.geometry.solids import solid_of

NEAR = 2.0
"""Room for fitting that a screw or glue still bridges. [mm] Source: common practice."""

RULE = Rule(
    id="inner.loose",
    severity=Severity.CAUTION,
    asks="An inner board reaches a side, a panel or another board.",
    why="What touches nothing hangs in the air: there is nothing to fix it to.",
    source="Plain geometry",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each inner board that touches nothing."""
    cabinet = subject.cabinet
    others = [p for p in cabinet.pieces if p.kind in ("side", "panel", "inner", "board")]
    for key, inner in cabinet.project.inner.items():
        piece = cabinet.piece_by_key.get(key)
        if piece is None or any(_touch(piece, other) for other in others if other.key != key):
            continue
        cures = (
            (Remedy("Let it end on the panels.", f"inner.{key}.until", "panels"),)
            if inner.until == "given"
            else ()
        )
        yield RULE.finding(
            f"{piece.label} touches no side, no panel and no other board.",
            remedies=(*cures, Remedy("Or let it reach a side, or stand a board below it.")),
            names=(key,),
            point=piece.frame.point(*_middle(piece)),
        )


def _touch(piece: Piece, other: Piece) -> bool:
    """Whether two boards come near enough to be fixed to each other, seen from the side and across."""
    mine, its = solid_of(piece).box, solid_of(other).box
    if any(
        mine[0][axis] > its[1][axis] + NEAR or its[0][axis] > mine[1][axis] + NEAR
        for axis in range(3)
    ):
        return False
    return bool(_section(piece).distance(_section(other)) <= NEAR)


def _section(piece: Piece) -> shapely.Geometry:
    """What a board covers in the side view; of a side, all of it."""
    faces = ((piece.show, 0.0), (piece.back, -piece.thickness))
    points: list[Point3] = [piece.frame.point(u, v, n) for face, n in faces for u, v in face]
    return shapely.MultiPoint([p[1:] for p in points]).convex_hull


def _middle(piece: Piece) -> tuple[float, float]:
    low_u, low_v, high_u, high_v = piece.extent
    return ((low_u + high_u) / 2, (low_v + high_v) / 2)


__all__ = ["NEAR", "RULE", "find"]
