"""A lever at full tilt leaves its neighbors room for the hand."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from casewright.basics.findings import Finding, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.catalog.kinds import Lever
from casewright.checks.crowding import apart_remedies, lever_pitch
from casewright.checks.hands import lever_sweep
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
            for needs in (lever_pitch(lever, other),)
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
            remedies=subject.orders(partial(apart_remedies, subject, lever, other, needs)),
            names=tuple(dict.fromkeys(p.key for row in group for p in row[:2])),
            point=lever.frame.origin,
        )


__all__ = ["RULE", "find"]
