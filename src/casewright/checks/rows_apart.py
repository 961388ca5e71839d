"""Several controls that crowd one another, spread along their row in one order."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from casewright.basics.findings import Remedy, mm
from casewright.basics.units import TOUCHING, shown_beyond
from casewright.checks.crowding import keeps_apart
from casewright.checks.moving import Axis, is_mirrored, moved_field
from casewright.checks.places import Move, is_free
from casewright.checks.subject import Subject
from casewright.checks.webs import margin_after
from casewright.design.writing import length_style
from casewright.geometry.model import Cabinet, Placed

Pair = tuple[Placed, Placed, float]
"""Two controls on one board and how far apart they are to be. [mm]"""

MOST_TOLD = 3
"""Of so many moves each is told; of more, how far the last one goes."""


def spread_remedies(
    subject: Subject, pairs: Sequence[Pair], *, webs: bool = False
) -> Iterator[Remedy]:
    """The order that brings all pairs apart, where there is one: rows spread to one side, what follows goes along.

    With `webs` all that moves has its webs then; else only none that it lacks is thinner than before.
    """
    cabinet = subject.cabinet
    if not pairs:
        return
    if any(is_mirrored(placed, "u") for a, b, _ in pairs for placed in (a, b)):
        return
    for sign in (1.0, -1.0):
        shifts: dict[str, tuple[float, float]] = {}
        for row in _rows(pairs):
            axis: Axis = "u" if _reach(row, "u") >= _reach(row, "v") else "v"
            _spread(cabinet, row, pairs, axis, sign, shifts)
        moved = {
            placed.key: shift
            for placed in cabinet.placed
            if max(map(abs, shift := _shift(cabinet, placed.key, shifts))) > TOUCHING
        }
        if moved and _does(subject, Move(pairs[0][1], moved), pairs, webs=webs):
            order = _order(cabinet, shifts, sign)
            if order is not None:
                yield order
                return


def _rows(pairs: Sequence[Pair]) -> list[list[Placed]]:
    """Controls that crowd one another, one after the other."""
    rows: list[dict[str, Placed]] = []
    for a, b, _ in pairs:
        met = [row for row in rows if a.key in row or b.key in row]
        rows = [row for row in rows if row not in met]
        rows.append({k: p for row in met for k, p in row.items()} | {a.key: a, b.key: b})
    return [list(row.values()) for row in rows]


def _reach(row: Sequence[Placed], axis: Axis) -> float:
    places = [_at(placed, axis) for placed in row]
    return max(places) - min(places)


def _at(placed: Placed, axis: Axis) -> float:
    return placed.u if axis == "u" else placed.v


def _spread(
    cabinet: Cabinet,
    row: Sequence[Placed],
    pairs: Sequence[Pair],
    axis: Axis,
    sign: float,
    shifts: dict[str, tuple[float, float]],
) -> None:
    """Write how far each of a row goes along an axis; the first one of it stays with what it follows."""
    style, other = length_style(cabinet.project), "v" if axis == "u" else "u"
    done: list[Placed] = []
    for placed in sorted(row, key=lambda p: sign * _at(p, axis)):
        wish = placed.wish.like
        with_it = _shift(cabinet, wish, shifts) if wish else (0.0, 0.0)
        own = with_it if _inherits(placed, axis) else (0.0, 0.0)
        to = sign * (_at(placed, axis) + own[axis == "v"])
        for before in done:
            asked = _asked(pairs, placed, before)
            if asked is None:
                continue
            across = _at(placed, other) - _at(before, other)  # type: ignore[arg-type]
            past = math.sqrt(max(asked * asked - across * across, 0.0))
            to = max(to, sign * (_at(before, axis) + shifts[before.key][axis == "v"]) + past)
        by = shown_beyond(sign * to, style, up=sign > 0) - _at(placed, axis)
        if abs(sign * to - _at(placed, axis) - own[axis == "v"]) <= TOUCHING:
            by = own[axis == "v"]  # it stays where it is, however that shows
        shifts[placed.key] = (by, 0.0) if axis == "u" else (0.0, by)
        done.append(placed)


def _asked(pairs: Sequence[Pair], a: Placed, b: Placed) -> float | None:
    keys = {a.key, b.key}
    return next((asked for x, y, asked in pairs if {x.key, y.key} == keys), None)


def _inherits(placed: Placed, axis: Axis) -> bool:
    """Whether it goes along with what it is placed by."""
    return placed.wish.like is not None and getattr(placed.wish, axis) is None


def _shift(
    cabinet: Cabinet, key: str, shifts: Mapping[str, tuple[float, float]]
) -> tuple[float, float]:
    """How far a placed part goes: by itself, or with what it follows. [mm]"""
    placed = cabinet.placed_by_key.get(key)
    if key in shifts or placed is None or placed.wish.like is None:
        return shifts.get(key, (0.0, 0.0))
    u, v = _shift(cabinet, placed.wish.like, shifts)
    return (u if _inherits(placed, "u") else 0.0, v if _inherits(placed, "v") else 0.0)


def _does(subject: Subject, move: Move, pairs: Sequence[Pair], *, webs: bool) -> bool:
    """Whether all pairs are as far apart then, and nothing that moves meets or crowds anything."""
    cabinet = subject.cabinet
    if any(math.dist(move.spot(a), move.spot(b)) < asked - TOUCHING for a, b, asked in pairs):
        return False
    if not keeps_apart(subject, move) or not is_free(cabinet, move):
        return False
    for key, shift in move.shifts.items():
        piece = cabinet.piece_by_key[cabinet.placed_by_key[key].piece]
        after = margin_after(cabinet.project, piece, key, *shift, also=move.shifts)
        before = 0.0 if webs else margin_after(cabinet.project, piece, key, 0.0, 0.0)
        if after < min(before, 0.0) - TOUCHING:
            return False
    return True


def _order(
    cabinet: Cabinet, shifts: Mapping[str, tuple[float, float]], sign: float
) -> Remedy | None:
    """What to move where; None where all of it is too little to be written."""
    told: list[str] = []
    fields: list[tuple[str, float]] = []
    farthest = 0.0
    axes: set[Axis] = set()
    for key, shift in shifts.items():
        placed = cabinet.placed_by_key[key]
        with_it = _shift(cabinet, placed.wish.like, shifts) if placed.wish.like else (0.0, 0.0)
        for number, axis in enumerate[Axis](("u", "v")):
            own = shift[number] - (with_it[number] if _inherits(placed, axis) else 0.0)
            if abs(own) <= TOUCHING:
                continue
            field, value, _ = moved_field(cabinet, placed, axis, own)
            fields.append((field, value))
            axes.add(axis)
            to = _at(placed, axis) + shift[number]
            told.append(
                f"Move {placed.label} {mm(abs(shift[number]))} {_WAYS[axis][shift[number] > 0]}, to {axis} = {mm(to)}."
            )
            farthest = max(farthest, abs(shift[number]))
    if not fields:
        return None
    if len(told) > MOST_TOLD:
        way = _ways(axes, sign)
        told = [f"Spread them {way}, {len(told)} of them moved, the farthest by {mm(farthest)}."]
    return Remedy(" ".join(told), *fields[0], also=tuple(fields[1:]))


_WAYS: Mapping[Axis, tuple[str, str]] = {"u": ("left", "right"), "v": ("down", "up")}


def _ways(axes: set[Axis], sign: float) -> str:
    """Which way rows are spread: "to the right", "up"."""
    return " and ".join(
        f"to the {_WAYS[axis][sign > 0]}" if axis == "u" else _WAYS[axis][sign > 0]
        for axis in sorted(axes)
    )


__all__ = ["MOST_TOLD", "spread_remedies"]
