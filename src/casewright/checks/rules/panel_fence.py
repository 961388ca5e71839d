"""Pieces that the saw's fence cannot size."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.checks.moving import stem
from casewright.checks.subject import Subject
from casewright.geometry.model import Piece

RULE = Rule(
    id="panel.fence",
    severity=Severity.NOTE,
    asks="Both dimensions of a piece are within the reach of the saw's fence.",
    why="What is longer is cut to length without the fence, and then equal pieces are equal only with a stop.",
    source="Project setting",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for all pieces past the fence."""
    project = subject.cabinet.project
    reach = project.shop.fence_reach
    if reach is None:
        return
    past = [
        piece
        for piece in subject.cabinet.pieces
        if piece.material in project.materials and max(piece.width, piece.height) > reach + TOUCHING
    ]
    if not past:
        return
    longest = max(max(piece.width, piece.height) for piece in past)
    remedies = [
        Remedy(
            "Cut them to length along a guide rail, or on a sled with a stop block: all of one length in one setting."
        )
    ]
    width = subject.cabinet.shape.width - (longest - reach)
    if project.shape.width is not None and all(_spans(piece) for piece in past):
        remedies.append(
            Remedy(f"Or make the cabinet {mm(width)} wide, and set out its parts anew.")
        )
    yield RULE.finding(
        f"{listed([stem(p.label) for p in past])}: up to {mm(longest)} long; the fence reaches {mm(reach)}.",
        remedies=tuple(remedies),
        names=tuple(p.key for p in past),
    )


def _spans(piece: Piece) -> bool:
    """True for a piece that gets shorter with the cabinet: it runs across, from side to side or nearly."""
    across = abs(piece.frame.u[0]) > 0.99
    return across and piece.kind not in ("board", "door", "strip") and piece.width >= piece.height


__all__ = ["RULE", "find"]
