"""Fingers reach all buttons of a group with the palm at rest."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.behavior.playing import Cluster
from casewright.catalog.kinds import Dial, PushButton
from casewright.checks.crowding import touching_pitch
from casewright.checks.moving import move_remedy
from casewright.checks.subject import Subject

RULE = Rule(
    id="hand.reach",
    severity=Severity.CAUTION,
    asks="Buttons of one group lie within reach of the fingers and the thumb of whoever plays there, or so little "
    "beyond that the palm shifts.",
    why="A button that takes the whole arm is pressed late, and the hand comes back to the wrong place.",
    source="ansur-ii",
)

SHIFT = 15.0
"""A palm shifts so far in play without being lifted. Common practice. [mm]"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each group, on its farthest button."""
    if subject.behavior is None:
        return
    for cluster in subject.behavior.playing.clusters:
        if cluster.reach.worst > SHIFT:
            yield _finding(subject, cluster)


def _finding(subject: Subject, cluster: Cluster) -> Finding:
    short, key, at = max(zip(cluster.reach.short, cluster.keys, cluster.places, strict=True))
    who = f"the {cluster.which} hand of {cluster.who}" if cluster.who else f"a {cluster.which} hand"
    return RULE.finding(
        f"{subject.label(key)} lies {mm(short)} beyond the fingers of {who}, the palm at rest on the group of "
        f"{len(cluster.keys)}.",
        remedies=tuple(_remedies(subject, cluster, key, at, short)),
        names=(key, cluster.panel),
        point=subject.cabinet.placed_by_key[key].frame.origin,
    )


def _remedies(
    subject: Subject, cluster: Cluster, key: str, at: tuple[float, float], short: float
) -> Iterator[Remedy]:
    """Nearer to the others along the way that is longer; or the whole group laid out anew."""
    others = [
        place for other, place in zip(cluster.keys, cluster.places, strict=True) if other != key
    ]
    middle = tuple(sum(axis) / len(others) for axis in zip(*others, strict=True))
    away = (middle[0] - at[0], middle[1] - at[1])
    axis = 0 if abs(away[0]) >= abs(away[1]) else 1
    if abs(away[axis]) > short:
        move = math.copysign(short, away[axis])
        remedy = move_remedy(subject.cabinet, key, "u" if axis == 0 else "v", move)
        if remedy and not _is_free(subject, key, axis, move):
            remedy = replace(
                remedy, text=f"{remedy.text.rstrip('.')}, once the button there has given way."
            )
        if remedy:
            yield remedy
    yield Remedy(
        f"Or lay the group out for the hand: an arc of four, or two rows of {math.ceil(len(cluster.keys) / 2)}."
    )


def _is_free(subject: Subject, key: str, axis: int, move: float) -> bool:
    """Whether a control moved so along u or v does not meet another one."""
    control = subject.cabinet.placed_by_key[key]
    at = (control.u + move * (axis == 0), control.v + move * (axis == 1))
    return all(
        math.dist(at, (other.u, other.v)) >= touching_pitch(control, other) - TOUCHING
        for other in subject.placed_on.get(control.piece, ())
        if other is not control and isinstance(other.part.data, Dial | PushButton)
    )


__all__ = ["RULE", "SHIFT", "find"]
