"""Narrow strips are ripped with the hands away from the blade."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.checks.moving import stem
from casewright.checks.subject import Subject

RULE = Rule(
    id="panel.narrow",
    severity=Severity.NOTE,
    asks="No piece of sheet is ripped narrower than 75 mm.",
    why="Between fence and blade there is no room for a hand, and a narrow strip is thrown back when it binds.",
    source="Common practice",
)

NARROW = 75.0
"""Below this a hand does not pass between fence and blade guard. Source: common practice. [mm]"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for all narrow pieces."""
    materials = subject.cabinet.project.materials
    narrow = [
        piece
        for piece in subject.cabinet.pieces
        if piece.material in materials
        and materials[piece.material].kind not in ("print", "metal")
        and min(piece.width, piece.height) < NARROW - TOUCHING
    ]
    if narrow:
        least = min(min(p.width, p.height) for p in narrow)
        yield RULE.finding(
            f"{listed([stem(p.label) for p in narrow])}: narrower than {mm(NARROW)}, the narrowest {mm(least)}.",
            remedies=(
                Remedy(
                    f"Rip {'it' if len(narrow) == 1 else 'them'} from a wide piece so that the strip falls on the "
                    "free side of the blade; use a push block or a sled, guard on, and follow the saw's manual."
                ),
            ),
            names=tuple(p.key for p in narrow),
        )


__all__ = ["NARROW", "RULE", "find"]
