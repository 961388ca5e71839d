"""Palms lie on the deck before the nearest control."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.checks.hands import rim
from casewright.checks.moving import move_remedy
from casewright.checks.subject import Subject

RULE = Rule(
    id="control.palm-room",
    severity=Severity.NOTE,
    asks="The nearest control's rim is 75 to 130 mm behind the deck's front edge.",
    why="Less leaves no rest for the palm and invites pressing by accident; more makes the arms stretch.",
    source="Common practice",
)

PALM = (75.0, 130.0)
"""From the front edge to the nearest rim. Source: common practice. [mm]"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each deck."""
    for piece in subject.cabinet.pieces:
        controls = [p for p in subject.controls if p.piece == piece.key]
        if piece.role != "deck" or piece.kind != "panel" or not controls:
            continue
        front = min(v for _, v in piece.show)
        nearest = min(controls, key=lambda p: (p.v - rim(p), p.wish.like is not None, p.key))
        room = nearest.v - rim(nearest) - front
        if PALM[0] - TOUCHING <= room <= PALM[1] + TOUCHING:
            continue
        best = min(max(room, PALM[0]), PALM[1])
        remedy = move_remedy(subject.cabinet, nearest.key, "v", best - room)
        yield RULE.finding(
            f"{nearest.label}: its rim is {mm(room)} behind the front edge of {piece.label}; palms like {mm(PALM[0])} "
            f"to {mm(PALM[1])}.",
            remedies=(remedy,) if remedy else (),
            names=(nearest.key, piece.key),
            point=nearest.frame.origin,
        )


__all__ = ["PALM", "RULE", "find"]
