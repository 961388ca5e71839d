"""Where a side stands proud of the deck, hands keep off it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.checks.crowding import keeps_apart, side_room
from casewright.checks.hands import hand_radius
from casewright.checks.places import Move, least_move
from casewright.checks.subject import Subject
from casewright.geometry.model import Placed

RULE = Rule(
    id="control.side",
    severity=Severity.CAUTION,
    asks="A control beside a side that stands proud of its panel leaves room for the hand.",
    why="Knuckles strike the side at every move.",
    source="Common practice",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for all controls of a panel that are too near."""
    near: dict[str, list[tuple[float, Placed, float]]] = {}
    for placed in subject.controls:
        piece = subject.cabinet.piece_by_key[placed.piece]
        us = [u for u, _ in piece.show]
        left, right = placed.u - min(us), max(us) - placed.u
        room = side_room(subject, placed)
        if min(left, right) < room - TOUCHING:
            shift = room - left if left < right else right - room
            near.setdefault(piece.key, []).append((abs(shift), placed, shift))
    for group in near.values():
        _, placed, shift = max(group, key=lambda row: row[:1])
        room = hand_radius(placed)
        piece = subject.cabinet.piece_by_key[placed.piece]
        yield RULE.finding(
            f"{listed([p.label for _, p, _ in group])}: the axis of {placed.label} is {mm(room - abs(shift))} from the "
            f"side, which stands proud there; a hand needs {mm(room)}.",
            remedies=subject.orders(partial(_remedies, subject, placed, shift)),
            names=tuple(p.key for _, p, _ in group),
            point=placed.frame.origin,
        )


def _remedies(subject: Subject, placed: Placed, shift: float) -> Iterator[Remedy]:
    """Away from the side, to where nothing else stands."""
    cabinet, room = subject.cabinet, hand_radius(placed)
    board = cabinet.piece_by_key[placed.piece]
    us = [u for u, _ in board.show]
    if board.width < 2 * room:
        yield Remedy(f"Make the cabinet {at_least(2 * room - board.width)} wider.")
        return

    def enough(move: Move) -> bool:
        u, _ = move.spot(placed)
        clear = min(u - min(us), max(us) - u)
        return clear >= room - TOUCHING and keeps_apart(subject, move)

    remedy = least_move(cabinet, placed, [(abs(shift), "u", math.copysign(1.0, shift))], enough)
    yield remedy or Remedy("No place beside its neighbors is free: make the cabinet wider.")


__all__ = ["RULE", "find"]
