"""Buttons that nobody plays are out of the playing hands' way."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Fitting, PushButton
from casewright.checks.crowding import keeps_apart
from casewright.checks.hands import rim
from casewright.checks.moving import Axis
from casewright.checks.places import Move, Way, least_move
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


MANY = 3
"""More such buttons on one panel than this are told in one finding. Common practice."""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each such button, with its nearest played control; where there are many, one for the nearest.

    What lies under a played control is told by the rules on spacing and holes.
    """
    played = [control for control in subject.controls if control.wish.player is not None]
    close: dict[str, list[tuple[float, Placed, Placed, list[Placed]]]] = {}
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
        if 0 <= gap < AWAY - TOUCHING:
            close.setdefault(placed.piece, []).append((gap, placed, other, near))
    for rows in close.values():
        rows.sort(key=lambda row: (row[0], row[1].key))
        for gap, placed, other, near in rows[:1] if len(rows) > MANY else rows:
            more = f" ({len(rows) - 1} more such)" if len(rows) > MANY else ""
            names = [key for row in rows for key in (row[1].key, row[2].key)]
            yield RULE.finding(
                f"{placed.label} is {mm(gap)} from {other.label}, which is played; {mm(AWAY)} keeps it from being "
                f"hit{more}.",
                remedies=subject.orders(partial(_remedies, subject, placed, near)),
                names=tuple(dict.fromkeys(names)) if more else (placed.key, other.key),
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


def _remedies(subject: Subject, placed: Placed, near: list[Placed]) -> Iterator[Remedy]:
    """Away from all that is played, to where nothing else stands; else a guard or a recess."""

    def enough(move: Move) -> bool:
        return _gap(placed, near, move) >= AWAY - TOUCHING and keeps_apart(subject, move)

    piece = subject.cabinet.piece_by_key[placed.piece]
    reach = max(piece.width, piece.height)
    ways: list[Way] = []
    axes: tuple[Axis, ...] = ("v", "u")
    for axis in axes:
        for sign in (1.0, -1.0):
            by = next(
                (by for by in range(1, round(reach)) if _clear(placed, near, axis, sign * by)), None
            )
            if by is not None:
                ways.append((float(by), axis, sign))
    remedy = least_move(subject.cabinet, placed, ways, enough)
    if remedy:
        yield remedy
    yield Remedy("Or sink it below the face, put a ring round it, or let it work only when held.")


def _clear(placed: Placed, near: list[Placed], axis: Axis, by: float) -> bool:
    at = (placed.u + by, placed.v) if axis == "u" else (placed.u, placed.v + by)
    return min(math.dist((p.u, p.v), at) - rim(p) for p in near) - _rim(placed) >= AWAY


def _gap(placed: Placed, near: list[Placed], move: Move) -> float:
    here = move.spot(placed)
    return min(math.dist(move.spot(p), here) - rim(p) for p in near) - _rim(placed)


__all__ = ["AWAY", "RULE", "find"]
