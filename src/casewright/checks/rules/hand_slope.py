"""A deck slopes no more than wrists like."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.checks.subject import Subject
from casewright.geometry.model import Piece

LIKED = (5.0, 12.0)
"""Preferred slope of what hands play on, the front lower. [°] Source: iso-9241-4."""

BORNE = (0.0, 15.0)
"""Slope that is still borne. [°] Source: iso-9241-4."""

RULE = Rule(
    id="hand.slope",
    severity=Severity.NOTE,
    asks=f"A deck with controls slopes {BORNE[0]:g} to {BORNE[1]:g}°, its front edge the lower one; {LIKED[0]:g} to "
    f"{LIKED[1]:g}° is liked.",
    why="On a steeper one the wrist is bent back while the arm lies level; one that falls back hides what is on it.",
    source="iso-9241-4",
)
_ROUNDING = 0.05  # degrees


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each deck that is too steep or falls to the back."""
    cabinet = subject.cabinet
    for piece in cabinet.pieces:
        if piece.role != "deck" or piece.kind != "panel":
            continue
        if not any(p.piece == piece.key for p in subject.controls):
            continue
        slope = slope_of(piece)
        if BORNE[0] - _ROUNDING <= slope <= BORNE[1] + _ROUNDING:
            continue
        to = LIKED[1] if slope > BORNE[1] else LIKED[0]
        fields = [f for f in ("deck_slope_deg", "slope_deg") if hasattr(cabinet.project.shape, f)]
        rise = abs(math.sin(math.radians(slope)) - math.sin(math.radians(to))) * piece.height
        way = "lower" if slope > to else "higher"
        remedies = [Remedy(f"Let it slope {to:g}°.", f"shape.{fields[0]}", to)] if fields else []
        if not fields:
            remedies.append(Remedy(f"Put its back edge {mm(rise)} {way}: then it slopes {to:g}°."))
        yield RULE.finding(
            f"{piece.label} slopes {abs(slope):.1f}°{'' if slope >= 0 else ' down to the back'}; wrists bear "
            f"{BORNE[0]:g} to {BORNE[1]:g}° and like {LIKED[0]:g} to {LIKED[1]:g}°.",
            remedies=tuple(remedies),
            names=(piece.key,),
        )


def slope_of(piece: Piece) -> float:
    """How steeply a panel rises to the back, by its normal; negative where it falls. [°]"""
    _, back, up = piece.frame.n
    return math.degrees(math.atan2(-back, up))


__all__ = ["BORNE", "LIKED", "RULE", "find", "slope_of"]
