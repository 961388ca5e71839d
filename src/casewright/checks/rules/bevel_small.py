"""Bevels are not sawn on pieces too small to hold."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.checks.rules.panel_narrow import NARROW
from casewright.checks.subject import Subject

RULE = Rule(
    id="bevel.small-piece",
    severity=Severity.CAUTION,
    asks="A piece that gets a bevel is at least 75 mm across the cut and 300 mm along it.",
    why="A small piece tips under a tilted blade and is thrown.",
    source="Common practice",
)

SHORT = 300.0
"""Shortest piece that a saw's fence guides. Source: common practice. [mm]"""

_SQUARE = 0.05  # degrees


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for all bevelled panels that are too small."""
    small = []
    for slab in subject.cabinet.slabs:
        piece = subject.cabinet.piece_by_key.get(slab.panel)
        tilt = max(abs(slab.start_tilt_deg), abs(slab.end_tilt_deg))
        if piece is None or tilt <= _SQUARE:
            continue
        if piece.height < NARROW - TOUCHING or piece.width < SHORT - TOUCHING:
            small.append((piece, tilt))
    if small:
        piece, tilt = min(small, key=lambda row: (row[0].height, row[0].key))
        yield RULE.finding(
            f"{listed([p.label for p, _ in small])}: a bevel of {tilt:.1f}° on a piece of {mm(piece.width)} × "
            f"{mm(piece.height)}.",
            remedies=(
                Remedy(
                    f"Bevel the edge while the board is still {mm(max(piece.height, NARROW) + NARROW)} wide or more "
                    f"and {mm(max(piece.width, SHORT))} long, then rip the piece off; guard on, push block in hand."
                ),
            ),
            names=tuple(p.key for p, _ in small),
        )


__all__ = ["RULE", "SHORT", "find"]
