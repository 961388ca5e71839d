"""Buttons that nobody plays are out of the playing hands' way."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Fitting, PushButton
from casewright.checks.hands import rim
from casewright.checks.moving import move_remedy
from casewright.checks.subject import Subject
from casewright.geometry.model import Placed

RULE = Rule(
    id="hand.accident",
    severity=Severity.NOTE,
    asks="A button or switch without a player is 60 mm or more from the rims of controls that are played.",
    why="Pause, exit and power are hit in the heat of the game.",
    source="Common practice",
)

AWAY = 60.0
"""From rim to rim: two fingers beside the hand. Common practice. [mm]"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each such button, with its nearest played control."""
    played = [control for control in subject.controls if control.wish.player is not None]
    for placed in subject.cabinet.placed:
        if placed.wish.player is not None or not _is_pressed(placed):
            continue
        near = [p for p in played if p.piece == placed.piece]
        if not near:
            continue
        gap, other = min(
            (
                (math.dist((p.u, p.v), (placed.u, placed.v)) - rim(p) - _rim(placed), p)
                for p in near
            ),
            key=lambda row: (row[0], row[1].key),
        )
        if gap >= AWAY - TOUCHING:
            continue
        yield RULE.finding(
            f"{placed.label} is {mm(gap)} from {other.label}, which is played; {mm(AWAY)} keeps it from being hit.",
            remedies=subject.orders(partial(_remedies, subject, placed, near)),
            names=(placed.key, other.key),
            point=placed.frame.origin,
        )


def _is_pressed(placed: Placed) -> bool:
    data = placed.part.data
    return isinstance(data, PushButton) or (isinstance(data, Fitting) and data.role == "switch")


def _rim(placed: Placed) -> float:
    data = placed.part.data
    return (
        min(data.flange_width, data.flange_height) / 2 if isinstance(data, Fitting) else rim(placed)
    )


def _remedies(subject: Subject, placed: Placed, near: list[Placed]) -> tuple[Remedy, ...]:
    """Straight away from all that is played, if the panel has room; else a guard or a recess."""
    piece = subject.cabinet.piece_by_key[placed.piece]
    low, high = piece.extent[1] + 2 * _rim(placed), piece.extent[3] - 2 * _rim(placed)
    found = []
    for v in sorted((low, high), key=lambda v: abs(v - placed.v)):
        step = math.copysign(1.0, v - placed.v)
        at = placed.v
        while (v - at) * step > 0 and _gap(placed, near, at) < AWAY:
            at += step
        if _gap(placed, near, at) >= AWAY:
            remedy = move_remedy(subject.cabinet, placed.key, "v", at - placed.v)
            if remedy:
                found.append(remedy)
                break
    return (
        *found,
        Remedy("Or sink it below the face, put a ring round it, or let it work only when held."),
    )


def _gap(placed: Placed, near: list[Placed], v: float) -> float:
    return min(math.dist((p.u, p.v), (placed.u, v)) - rim(p) - _rim(placed) for p in near)


__all__ = ["AWAY", "RULE", "find"]
