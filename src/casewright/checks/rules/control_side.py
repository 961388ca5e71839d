"""Where a side stands proud of the deck, hands keep off it."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.checks.flat import is_inside
from casewright.checks.hands import hand_radius
from casewright.checks.moving import move_remedy
from casewright.checks.subject import Subject
from casewright.geometry.model import Placed

RULE = Rule(
    id="control.side",
    severity=Severity.CAUTION,
    asks="A control beside a side that stands proud of its panel leaves room for the hand.",
    why="Knuckles strike the side at every move.",
    source="Common practice",
)

_PROUD = 5.0
"""A side that stands less than this over the panel is in nobody's way. Source: common practice. [mm]"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for all controls of a panel that are too near."""
    outline = tuple(subject.cabinet.shape.corners.values())
    near: dict[str, list[tuple[float, Placed, float]]] = {}
    for placed in subject.controls:
        piece = subject.cabinet.piece_by_key[placed.piece]
        if piece.kind != "panel" or len(outline) < 3:
            continue
        _, y, z = piece.frame.point(placed.u, placed.v, _PROUD)
        if not is_inside((y, z), outline):
            continue
        us = [u for u, _ in piece.show]
        left, right = placed.u - min(us), max(us) - placed.u
        room = hand_radius(placed)
        if min(left, right) < room - TOUCHING:
            shift = room - left if left < right else right - room
            near.setdefault(piece.key, []).append((abs(shift), placed, shift))
    for group in near.values():
        _, placed, shift = max(group, key=lambda row: row[:1])
        room = hand_radius(placed)
        piece = subject.cabinet.piece_by_key[placed.piece]
        remedy = (
            move_remedy(subject.cabinet, placed.key, "u", shift)
            if piece.width >= 2 * room
            else Remedy(f"Make the cabinet {at_least(2 * room - piece.width)} wider.")
        )
        yield RULE.finding(
            f"{listed([p.label for _, p, _ in group])}: the axis of {placed.label} is {mm(room - abs(shift))} from the "
            f"side, which stands proud there; a hand needs {mm(room)}.",
            remedies=(remedy,) if remedy else (),
            names=tuple(p.key for _, p, _ in group),
            point=placed.frame.origin,
        )


__all__ = ["RULE", "find"]
