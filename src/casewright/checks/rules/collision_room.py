"""Room that plugs, cables, nuts, fingers and air need stays free."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from casewright.basics.findings import Finding, Rule, Severity, mm
from casewright.checks.conflict_cures import remedies
from casewright.checks.conflicts import Conflict, depth_of, parties_in_words
from casewright.checks.crowding import keeps_apart
from casewright.checks.subject import Subject
from casewright.geometry.model import Body, Piece

RULE = Rule(
    id="collision.room",
    severity=Severity.CAUTION,
    asks="Room for plugs, bends of cables, nuts, fingers and air is free.",
    why="A part fits on paper and then no plug goes in, no nut turns, no hand gets hold.",
    source="Plain geometry",
)
_WALLS = ("panel", "side", "door", "overlay")


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each two parties; a stop where a nut cannot be turned."""
    for conflict in subject.conflicts:
        if conflict.is_solid or _is_port_end(subject, conflict):
            continue
        first, second = parties_in_words(subject.cabinet, conflict)
        a, b = conflict.pairs[0]
        room, taker = (
            (first, second) if isinstance(a, Body) and a.kind == "room" else (second, first)
        )
        nut = any(thing.key.endswith(".nut room") for thing in (a, b))
        yield RULE.finding(
            f"{taker} stands {mm(depth_of(conflict))} in the room kept for {room}.",
            remedies=subject.orders(
                partial(remedies, subject.cabinet, conflict, partial(keeps_apart, subject))
            ),
            names=conflict.names,
            point=conflict.worst.point,
            severity=Severity.STOP if nut else None,
        )


def _is_port_end(subject: Subject, conflict: Conflict) -> bool:
    """True for a wall in the air at a loudspeaker port's inner end: sound.port tells it, with a length that fits."""
    if subject.behavior is None:
        return False
    ports = {p.key for p in subject.behavior.sound.ports if p.free < p.asked_free}
    return all(
        any(isinstance(thing, Body) and thing.owner in ports for thing in pair)
        and any(isinstance(thing, Piece) and thing.kind in _WALLS for thing in pair)
        for pair in conflict.pairs
    )


__all__ = ["RULE", "find"]
