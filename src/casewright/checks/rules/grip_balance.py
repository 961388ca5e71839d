"""Carried by its grips it hangs level."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.behavior.hanging import LEVEL_DEG, Hanging
from casewright.checks.flat import flat_of, gap_to_edge, outline_at
from casewright.checks.moving import Axis, move_remedy, whole_shift
from casewright.checks.subject import Subject
from casewright.geometry.collisions import meets_any
from casewright.geometry.model import Point3

RULE = Rule(
    id="grip.balance",
    severity=Severity.CAUTION,
    asks=f"Grips on both sides are over the centre of gravity: it hangs no more than {LEVEL_DEG:g}° out of level.",
    why="A cabinet that swings round its handles twists out of the hands.",
    source="Common practice",
)

UNDER = 20.0
"""Grips are at least so far over the centre of gravity. Common practice. [mm]"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each pair of grips."""
    if subject.behavior is None:
        return
    for hanging in subject.behavior.hangings:
        if hanging.tilt_deg > LEVEL_DEG or hanging.under < UNDER:
            yield _finding(subject, hanging)


def _finding(subject: Subject, hanging: Hanging) -> Finding:
    grip = hanging.grips[0]
    if hanging.turns_over:
        message = (
            f"Carried by {grip.label}, it wants to turn over: its centre of gravity is "
            f"{mm(-hanging.under)} over the hands."
        )
    elif hanging.tilt_deg > LEVEL_DEG:
        sinks = "back" if hanging.behind > 0 else "front"
        message = (
            f"Carried by {grip.label}, its {sinks} sinks by {hanging.tilt_deg:.0f}°: the centre of gravity is "
            f"{mm(abs(hanging.behind))} {'behind' if hanging.behind > 0 else 'in front of'} the hands."
        )
    else:
        message = (
            f"{grip.label} is only {mm(hanging.under)} over the centre of gravity; {mm(UNDER)} "
            "keeps it from swinging."
        )
    return RULE.finding(
        message,
        remedies=subject.orders(lambda: _remedies(subject, hanging)),
        names=tuple(p.key for p in hanging.grips),
        point=grip.frame.origin,
    )


def _remedies(subject: Subject, hanging: Hanging) -> Iterator[Remedy]:
    """Up until they are over the centre, and toward it until it hangs level enough: both in one go.

    Higher up it hangs level farther from the centre; the lowest place that is on the sides is named.
    """
    least = max(UNDER - hanging.under, 0.0)
    for step in range(_STEPS):
        moves, way, shifts = _moves(subject, hanging, least + step * _PITCH)
        if not moves or not _stays_on(subject, hanging, *shifts):
            continue
        text = " ".join(move.text for move in moves)
        if _is_free(subject, hanging, way):
            also = tuple((move.field, move.value) for move in moves[1:] if move.value is not None)
            yield Remedy(text, moves[0].field, moves[0].value, also)
        else:
            yield Remedy(f"{text.rstrip('.')}, once what stands there has given way.")
        return
    yield Remedy(
        "No place on the sides hangs it level: carry it with two, hands under the bottom, or take off what is heavy "
        "first."
    )
    ways = ["toward the bottom"] if hanging.under < UNDER else []
    if abs(hanging.behind) > TOUCHING:
        ways.append(f"toward the {'back' if hanging.behind < 0 else 'front'}")
    yield Remedy(f"Or move heavy parts {' and '.join(ways)}.")


_STEPS, _PITCH = 30, 10.0
"""Places so far above one another are looked at, so many of them. [mm]"""


def _moves(
    subject: Subject, hanging: Hanging, rise: float
) -> tuple[list[Remedy], Point3, tuple[float, float]]:
    """Orders that lift the grips so far and bring them near enough to the centre.

    With them the way in space, and the shifts in u and v. [mm]
    """
    cabinet, grip = subject.cabinet, hanging.grips[0]
    frame = cabinet.piece_by_key[grip.piece].frame
    follows = _follows(subject, hanging)
    allowed = (hanging.under + rise) * math.tan(math.radians(LEVEL_DEG))
    aside = max(abs(hanging.behind) - allowed, 0.0)
    way = (0.0, math.copysign(aside, hanging.behind) * follows, rise * follows)
    moves = []
    shifts: dict[Axis, float] = {"u": 0.0, "v": 0.0}
    axes: tuple[tuple[Axis, Point3], ...] = (("v", frame.v), ("u", frame.u))
    for axis, along in axes:
        shift = sum(a * b for a, b in zip(way, along, strict=True))
        if abs(shift) <= TOUCHING:
            continue
        shifts[axis] = whole_shift(cabinet, grip.key, axis, shift)
        move = move_remedy(cabinet, grip.key, axis, shift)
        if move is None:
            return [], way, (0.0, 0.0)
        moves.append(move)
    return moves, way, (shifts["u"], shifts["v"])


def _stays_on(subject: Subject, hanging: Hanging, du: float, dv: float) -> bool:
    """Whether all holes of the first grip lie inside its side where they are moved to."""
    grip = hanging.grips[0]
    piece = subject.cabinet.piece_by_key[grip.piece]
    ring = [(u - du, v - dv) for u, v in outline_at(piece, 0.0)]
    holes = [flat_of(f.shape) for f in piece.features if f.owner == grip.key]
    return all(gap_to_edge(hole, ring) >= 0 for hole in holes)


def _is_free(subject: Subject, hanging: Hanging, way: Point3) -> bool:
    """Whether the grips' bodies meet nothing inside where they are moved to."""
    cabinet = subject.cabinet
    keys = {grip.key for grip in hanging.grips}
    moved = []
    for body in cabinet.bodies:
        if body.owner in keys:
            x, y, z = (a + b for a, b in zip(body.frame.origin, way, strict=True))
            moved.append(replace(body, frame=replace(body.frame, origin=(x, y, z))))
    inside = [piece for piece in cabinet.pieces if piece.kind != "side"]
    others = [body for body in cabinet.bodies if body.owner not in keys]
    return not meets_any(moved, [*inside, *others])


def _follows(subject: Subject, hanging: Hanging) -> float:
    """How much farther grips are moved because the centre of gravity follows them by their own mass."""
    behavior = subject.behavior
    if behavior is None:
        return 1.0
    whole = behavior.balance.total_kg
    grips = sum(grip.part.data.mass_kg or 0.0 for grip in hanging.grips)
    return whole / (whole - grips) if whole > grips else 1.0


__all__ = ["RULE", "UNDER", "find"]
