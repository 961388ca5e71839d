"""Palms lie on the deck before the nearest control."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import partial

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.checks.crowding import keeps_apart
from casewright.checks.hands import rim
from casewright.checks.places import Move, least_move
from casewright.checks.subject import Subject
from casewright.geometry.model import Placed

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
        near, far = front + PALM[0], front + PALM[1]
        yield RULE.finding(
            f"{nearest.label}: its rim is {mm(room)} behind the front edge of {piece.label}; palms like {mm(PALM[0])} "
            f"to {mm(PALM[1])}.",
            remedies=subject.orders(
                partial(_remedies, subject, controls, (near, far), best - room)
            ),
            names=(nearest.key, piece.key),
            point=nearest.frame.origin,
        )


def _remedies(
    subject: Subject, controls: Sequence[Placed], band: tuple[float, float], by: float
) -> Iterator[Remedy]:
    """The nearest control by itself, where it finds a place; else all controls of the deck together."""
    cabinet = subject.cabinet

    def enough(move: Move) -> bool:
        edge = min(move.spot(p)[1] - rim(p) for p in controls)
        return band[0] - TOUCHING <= edge <= band[1] + TOUCHING and keeps_apart(subject, move)

    sign = math.copysign(1.0, by)
    edge = min(p.v - rim(p) for p in controls)
    worst = [p for p in controls if p.v - rim(p) < edge + TOUCHING]
    first = min(
        worst, key=lambda p: (p.wish.like is not None, p.key)
    )  # the others follow it, or stay in the way
    remedy = least_move(cabinet, first, [(abs(by), "v", sign)], enough)
    if remedy is not None:
        yield remedy
        return
    way = "back" if by > 0 else "forward"
    yield Remedy(f"Move all its controls {mm(abs(by))} {way}, or the deck's front edge as much.")


__all__ = ["PALM", "RULE", "find"]
