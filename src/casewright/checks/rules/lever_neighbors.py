"""A lever at full tilt leaves its neighbors room for the hand."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.catalog.kinds import Lever
from casewright.checks.hands import hand_radius, lever_sweep, rim
from casewright.checks.moving import move_remedy
from casewright.checks.subject import Subject
from casewright.geometry.devices.lever import HAND_ROOM
from casewright.geometry.model import Placed

RULE = Rule(
    id="lever.neighbors",
    severity=Severity.CAUTION,
    asks="At full tilt the ball, with a finger on it, stays clear of other controls.",
    why="Knuckles hit a button that stands within the lever's sweep, and press it.",
    source="Plain geometry",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each lever that reaches something; levers alike with the same neighbor are one."""
    said: dict[tuple[object, ...], list[tuple[Placed, Placed, float, float]]] = {}
    for lever in subject.controls:
        if not isinstance(lever.part.data, Lever):
            continue
        near = [
            (apart - needs, other, apart, needs)
            for other in subject.placed_on[lever.piece]
            if other is not lever and other in subject.controls
            for apart in (math.dist((lever.u, lever.v), (other.u, other.v)),)
            for needs in (_needs(lever, other),)
            if apart < needs - TOUCHING
        ]
        if near:
            _, other, apart, needs = min(near, key=lambda row: (row[0], row[1].key))
            key = (lever.part.key, other.part.key, round(apart, 1))
            said.setdefault(key, []).append((lever, other, apart, needs))
    for group in said.values():
        lever, other, apart, needs = group[0]
        assert isinstance(lever.part.data, Lever)
        yield RULE.finding(
            f"{listed([lever.label, other.label])} stand {mm(apart)} apart; at full tilt the ball reaches "
            f"{mm(lever_sweep(lever.part.data))} and a finger {mm(HAND_ROOM)} more, which asks {mm(needs)}.",
            remedies=tuple(_remedies(subject, lever, other, needs)),
            names=tuple(dict.fromkeys(p.key for row in group for p in row[:2])),
            point=lever.frame.origin,
        )


def _needs(lever: Placed, other: Placed) -> float:
    if isinstance(other.part.data, Lever):
        assert isinstance(lever.part.data, Lever)
        return lever_sweep(lever.part.data) + HAND_ROOM + lever_sweep(other.part.data)
    return hand_radius(lever) + rim(other)


def _remedies(subject: Subject, lever: Placed, other: Placed, needs: float) -> Iterator[Remedy]:
    du, dv = lever.u - other.u, lever.v - other.v
    if abs(du) >= abs(dv):
        remedy = move_remedy(
            subject.cabinet, lever.key, "u", math.copysign(math.sqrt(needs**2 - dv**2), du) - du
        )
    else:
        remedy = move_remedy(
            subject.cabinet, lever.key, "v", math.copysign(math.sqrt(needs**2 - du**2), dv) - dv
        )
    if remedy is not None:
        yield remedy


__all__ = ["RULE", "find"]
