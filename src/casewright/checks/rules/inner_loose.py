"""An inner board touches something that can hold it."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.checks.shorter import ends_on_panels
from casewright.checks.subject import Subject
from casewright.checks.touching import touch
from casewright.geometry.model import Piece

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
    for key in cabinet.project.inner:
        piece = cabinet.piece_by_key.get(key)
        cleats = [p for p in cabinet.pieces if p.kind == "cleat" and p.panel == key]
        near = (*others, *cleats)  # it may stop short of a side and lie on the batten there
        if piece is None or any(touch(piece, other) for other in near if other.key != key):
            continue
        cures = tuple(ends_on_panels(cabinet, key))
        yield RULE.finding(
            f"{piece.label} touches no side, no panel and no other board.",
            remedies=(*cures, Remedy("Or let it reach a side, or stand a board below it.")),
            names=(key,),
            point=piece.frame.point(*_middle(piece)),
        )


def _middle(piece: Piece) -> tuple[float, float]:
    low_u, low_v, high_u, high_v = piece.extent
    return ((low_u + high_u) / 2, (low_v + high_v) / 2)


__all__ = ["RULE", "find"]
