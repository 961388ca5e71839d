"""How near to one another controls may stand, and whether a move keeps to it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from casewright.basics.findings import Remedy
from casewright.basics.remembering import remembered
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Dial, Display, Lever, PushButton, Sign
from casewright.checks.flat import is_inside
from casewright.checks.hands import (
    BETWEEN,
    comfortable_pitch,
    hand_radius,
    hardware_radius,
    lever_sweep,
    rim,
)
from casewright.checks.moving import Axis
from casewright.checks.places import Move, Way, least_move
from casewright.checks.subject import Subject
from casewright.geometry.devices.dial import KNOB_FINGERS
from casewright.geometry.devices.lever import HAND_ROOM
from casewright.geometry.display_face import display_face, housing_area
from casewright.geometry.inside import clear_back, clear_inside
from casewright.geometry.model import Placed
from casewright.geometry.sign_cures import FRAME_SEAT
from casewright.geometry.sign_layout import sign_layout

PROUD = 5.0
"""A side that stands less than this over the panel is in nobody's way. Source: common practice. [mm]"""

_ROUND = Dial | PushButton


def touching_pitch(a: Placed, b: Placed) -> float:
    """Between the axes of two buttons or dials whose rims or nuts just touch. [mm]"""
    return hardware_radius(a) + hardware_radius(b)


def asked_pitch(subject: Subject, a: Placed, b: Placed) -> float:
    """Between the axes of two buttons or dials that stand well. [mm]"""
    asked = touching_pitch(a, b) + BETWEEN
    if isinstance(a.part.data, PushButton) and isinstance(b.part.data, PushButton):
        return max(asked, comfortable_pitch(subject, a, b))
    return asked + KNOB_FINGERS


def lever_pitch(lever: Placed, other: Placed) -> float:
    """Between the axes of a lever and another control that the hand on it does not reach. [mm]"""
    if isinstance(other.part.data, Lever):
        assert isinstance(lever.part.data, Lever)
        return lever_sweep(lever.part.data) + HAND_ROOM + lever_sweep(other.part.data)
    return hand_radius(lever) + rim(other)


def side_room(subject: Subject, placed: Placed) -> float:
    """What a control asks to each side, where these stand proud of its panel; else 0. [mm]"""
    piece = subject.cabinet.piece_by_key[placed.piece]
    outline = tuple(subject.cabinet.shape.corners.values())
    if piece.kind != "panel" or len(outline) < 3:
        return 0.0
    _, y, z = piece.frame.point(placed.u, placed.v, PROUD)
    return hand_radius(placed) if is_inside((y, z), outline) else 0.0


def keeps_apart(subject: Subject, move: Move, *, fully: bool = False) -> bool:
    """True where all controls that move are as far from others, and from sides, as asked, or no nearer than before.

    Args:
        subject: The cabinet that is judged.
        move: What moves.
        fully: They have to be as far as asked also where they stood nearer before.
    """
    controls, asked = subject.controls, _pitches(subject)
    for placed in controls:
        if placed.key not in move.shifts:
            continue
        for other in controls:
            if other.piece != placed.piece or move.shift(other.key) == move.shift(placed.key):
                continue
            after = math.dist(move.spot(placed), move.spot(other))
            if not fully:
                before = math.dist((placed.u, placed.v), (other.u, other.v))
                if after >= before - TOUCHING:
                    continue
            if after < asked(placed, other) - TOUCHING:
                return False
        us = [u for u, _ in subject.cabinet.piece_by_key[placed.piece].show]
        room = side_room(subject, placed)
        before, after = (min(u - min(us), max(us) - u) for u in (placed.u, move.spot(placed)[0]))
        if after < min(before, room) - TOUCHING:
            return False
    return _displays_have_room(subject, move) and _signs_have_seats(subject, move)


def _signs_have_seats(subject: Subject, move: Move) -> bool:
    """True where the frame of each sign that moves keeps its seat on the panel, or as much of it as it has."""
    cabinet = subject.cabinet
    for placed in cabinet.placed:
        data = placed.part.data
        board = cabinet.piece_by_key[placed.piece]
        ring = cabinet.piece_by_key.get(f"{placed.key}.frame")
        if placed.key not in move.shifts or not isinstance(data, Sign) or ring is None:
            continue
        outline = tuple(cabinet.shape.corners.values())
        inside = clear_inside(outline, cabinet.slabs) if board.kind == "panel" else None
        u, v = move.spot(placed)
        before, after = (
            min(sign_layout(at, data, clear_back(board, inside, at.v, deep=ring.thickness)).seats)
            for at in (placed, replace(placed, u=u, v=v))
        )
        if after < min(before, FRAME_SEAT) - TOUCHING:
            return False
    return True


def _displays_have_room(subject: Subject, move: Move) -> bool:
    """True where no display that moves reaches farther past the clear back of its panel than before."""
    cabinet = subject.cabinet
    for placed in cabinet.placed:
        if placed.key not in move.shifts or not isinstance(placed.part.data, Display):
            continue
        board = cabinet.piece_by_key[placed.piece]
        outline = tuple(cabinet.shape.corners.values())
        inside = clear_inside(outline, cabinet.slabs) if board.kind == "panel" else None
        u, v = move.spot(placed)
        face = display_face(placed.part.data, placed.turn_deg)
        before, after = (
            housing_area(at, face).beyond(clear_back(board, inside, at.v))
            for at in (placed, replace(placed, u=u, v=v))
        )
        if after > max(before, 0.0) + TOUCHING:
            return False
    return True


def apart_remedies(
    subject: Subject,
    mover: Placed,
    other: Placed,
    asked: float,
    others: Sequence[tuple[Placed, Placed, float]] = (),
) -> Iterator[Remedy]:
    """Orders that bring two controls so far apart [mm], and nothing else too near: one moved, or the other.

    A place where what moves is as far from all as asked goes before one that is only right for these two. `others` are
    pairs that are to be apart after the same move.
    """
    are_alone = _too_near(subject, mover) == [other] and _too_near(subject, other) == [mover]
    for fully in (False,) if are_alone else (True, False):
        for placed, from_ in ((mover, other), (other, mover)):

            def enough(move: Move, fully: bool = fully) -> bool:
                apart = math.dist(move.spot(mover), move.spot(other))
                if apart < asked - TOUCHING or any(
                    math.dist(move.spot(a), move.spot(b)) < least - TOUCHING
                    for a, b, least in others
                ):
                    return False
                return keeps_apart(subject, move, fully=fully)

            du, dv = placed.u - from_.u, placed.v - from_.v
            ways: list[Way] = [
                *_past(du, dv, asked, "u"),
                *_past(dv, du, asked, "v"),
            ]
            remedy = least_move(subject.cabinet, placed, ways, enough)
            if remedy is not None:
                yield remedy
                return
    board = subject.label(mover.piece)
    yield Remedy(
        f"No place on {board} is free for either: make it larger, or take fewer or smaller ones."
    )


def _past(along: float, across: float, asked: float, axis: Axis) -> Iterator[Way]:
    """Moves along one axis, one to each side, until two points are so far apart; `along` is their distance now. [mm]"""
    to = math.sqrt(max(asked**2 - across**2, 0.0))
    for sign in (1.0, -1.0):
        by = to - sign * along
        if by > 0:
            yield (by, axis, sign)


def _too_near(subject: Subject, placed: Placed) -> list[Placed]:
    """Controls on the same board that a control stands nearer to than asked."""
    asked = _pitches(subject)
    return [
        other
        for other in subject.controls
        if other is not placed
        and other.piece == placed.piece
        and math.dist((placed.u, placed.v), (other.u, other.v)) < asked(placed, other) - TOUCHING
    ]


@remembered(4)
def _pitches(subject: Subject) -> Callable[[Placed, Placed], float]:
    """Distances asked of pairs of controls [mm]; each is worked out once."""
    known: dict[tuple[str, str], float] = {}

    def asked(a: Placed, b: Placed) -> float:
        pair = (a.key, b.key)
        if pair not in known:
            known[pair] = _asked(subject, a, b)
        return known[pair]

    return asked


def _asked(subject: Subject, a: Placed, b: Placed) -> float:
    if isinstance(a.part.data, Lever):
        return lever_pitch(a, b)
    if isinstance(b.part.data, Lever):
        return lever_pitch(b, a)
    if isinstance(a.part.data, _ROUND) and isinstance(b.part.data, _ROUND):
        return asked_pitch(subject, a, b)
    return 0.0


__all__ = [
    "PROUD",
    "apart_remedies",
    "asked_pitch",
    "keeps_apart",
    "lever_pitch",
    "side_room",
    "touching_pitch",
]
