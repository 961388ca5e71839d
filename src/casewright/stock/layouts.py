"""A layout accepted and taken back: all that belongs to it within one change."""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from typing import Any
from uuid import uuid4

from sqlalchemy import Row, delete, insert, select, update

from casewright.basics.errors import InputError, RefusedError
from casewright.stock.change import Change, held_of
from casewright.stock.entering import read_entry
from casewright.stock.history import Accepted, accepted_of
from casewright.stock.tables import acceptances, entries, moves
from casewright.stock.taking import Leftover, Taking, Wanted

SAME_SIZE = 0.5
"""A piece of the stock and the same one in a plan may differ by this much. [mm] Common practice: a tape's reading."""


OF_THE_WOOD = ("label", "material", "species", "nominal", "measured", "grain", "color")
"""What an offcut has in common with the piece it comes from."""


def accept_layout(change: Change, taking: Taking, *, place: str, again: bool) -> Accepted:
    """Take what a layout needs, and book what it leaves.

    Raises:
        RefusedError: It was accepted already, or a piece is gone; the change must not be kept.
    """
    said = change.twice(taking)
    if said and not again:
        raise RefusedError([said])
    told = {"areas": asdict(taking.areas), "bought": [asdict(one) for one in taking.bought]}
    done = change.connection.execute(
        insert(acceptances).values(
            plan=f"{taking.plan}+{uuid4().hex[:8]}" if said else taking.plan,
            project=taking.project,
            who=change.who,
            moment=change.moment,
            told=json.dumps(told),
        )
    )
    number = int(done.inserted_primary_key[0])  # type: ignore[index]  # one row was put in
    # In the order of their marks, so that of two layouts none waits for the other.
    gone = [_taken(change, wanted, taking.project, number) for wanted in taking.wanted]
    if any(gone):
        raise RefusedError(reason for reason in gone if reason)
    for left in taking.leftovers:
        _booked(change, left, taking.project, number, place)
    return _told(change, number)


def undo_layout(change: Change, number: int) -> Accepted:
    """Put back what a layout took, and take out what it left.

    Raises:
        InputError: There is no such layout.
        RefusedError: It was undone already, or an offcut of it is gone; the change must not be kept.
    """
    asked = select(acceptances).where(acceptances.c.id == number)
    if change.connection.execute(asked).first() is None:
        raise InputError("number", got=number, want="the number of an accepted layout")
    done = change.connection.execute(
        update(acceptances)
        .where(acceptances.c.id == number, acceptances.c.undone_at.is_(None))
        .values(plan=None, undone_by=change.who, undone_at=change.moment)
    )
    if done.rowcount != 1:
        now = change.connection.execute(asked).one()
        raise RefusedError(
            [f"Layout {number} was undone already by {now.undone_by}, {now.undone_at}."]
        )
    gone = []
    for move in _moves(change, number, by_mark=True):
        if move.what == "taken":
            change.restore(move)
        elif change.takes(move.mark, move.change):
            held = held_of(change.row(move.mark))
            change.connection.execute(
                delete(entries).where(entries.c.mark == move.mark, entries.c.pieces == 0)
            )
            before = replace(held, count=held.count + move.change)
            change.note("undone", before, -move.change, project=move.project, acceptance=number)
        else:
            gone.append(change.gone(move.mark, move.change))
    if gone:
        why = f"So layout {number} cannot be undone: what it left is no longer there."
        raise RefusedError([*gone, why])
    return _told(change, number)


def _taken(change: Change, wanted: Wanted, project: str, number: int) -> str:
    """Take pieces of one mark; why not, "" if they were taken."""
    if not change.takes(wanted.mark, wanted.count):
        return change.gone(wanted.mark, wanted.count)
    row = change.row(wanted.mark)
    held = held_of(row)
    if _is_other_size(row, wanted):
        size = " × ".join(str(held.written.get(side, "?")) for side in ("length", "width"))
        return f"{wanted.mark} is {size} in the stock now, and another size in the plan. Ask for offers again."
    before = replace(held, count=held.count + wanted.count)
    change.note("taken", before, -wanted.count, project=project, acceptance=number)
    return ""


def _booked(change: Change, left: Leftover, project: str, number: int, place: str) -> None:
    """Put a leftover in: what is known of the piece it comes from goes before what the project says of its wood."""
    source = change.connection.scalar(
        select(entries.c.written).where(entries.c.mark == left.origin)
    )
    known = json.loads(source) if source else {}
    same = {name: known[name] for name in OF_THE_WOOD if name in known}
    _, count, record, written = read_entry({**left.written, **same, "place": place}, "mm")
    origin = f"{left.origin}, {project}"[:120]
    mark = change.insert("", count, record, written, origin=origin, booked_by=number)
    held = held_of(change.row(mark))
    change.note("booked", held, count, project=project, acceptance=number, has_before=False)


def _told(change: Change, number: int) -> Accepted:
    asked = select(acceptances).where(acceptances.c.id == number)
    return accepted_of(change.connection.execute(asked).one(), _moves(change, number))


def _moves(change: Change, number: int, *, by_mark: bool = False) -> list[Row[Any]]:
    """What a layout took and booked."""
    order = moves.c.mark if by_mark else moves.c.id
    asked = select(moves).where(moves.c.acceptance == number, moves.c.what.in_(("taken", "booked")))
    return list(change.connection.execute(asked.order_by(order)))


def _is_other_size(row: Row[Any], wanted: Wanted) -> bool:
    if row.length is None:
        return True
    off = max(abs(row.length - wanted.length), abs(row.width - wanted.width))
    return bool(off > SAME_SIZE)


__all__ = ["OF_THE_WOOD", "SAME_SIZE", "accept_layout", "undo_layout"]
