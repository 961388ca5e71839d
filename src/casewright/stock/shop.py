"""The shop's stock: entries, and every change of them in one transaction that is kept whole or not at all."""

from __future__ import annotations

import getpass
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime
from typing import Any

from sqlalchemy import Engine, delete, select, update
from sqlalchemy.exc import IntegrityError

from casewright.basics.errors import InputError, InputErrors, RefusedError
from casewright.basics.units import Unit, quoted
from casewright.stock.change import Change, by, columns, held_of
from casewright.stock.entering import read_entry
from casewright.stock.history import Accepted, Move, accepted_of, move_of
from casewright.stock.layouts import accept_layout, undo_layout
from casewright.stock.records import KINDS, MOST, Held
from casewright.stock.tables import (
    acceptances,
    address_of,
    changing,
    engine_of,
    entries,
    make_tables,
    moves,
    reading,
    shown,
)
from casewright.stock.taking import Taking


class ShopStock:
    """A stock, in a file of one's own or in a data base that several computers share.

    Args:
        address: Path of a file, or a data base's address.
        who: In whose name changes are made; the computer's user if not given.
        clock: Tells the time by the clock on the wall.

    Raises:
        InputError: The address is none.
        OutputError: It cannot be reached.
        RefusedError: It is of a newer casewright.
    """

    def __init__(
        self,
        address: str,
        *,
        who: str = "",
        clock: Callable[[], datetime] = datetime.now,
    ) -> None:
        url = address_of(address)
        self._engine: Engine = engine_of(url)
        self.address = shown(url)
        self.who = _plain(who) or user_name()
        self._clock = clock
        make_tables(self._engine)

    # ---- what there is ----

    def entries(self, *, kinds: Iterable[str] = (), used_up: bool = False) -> tuple[Held, ...]:
        """What is there, by kind and mark.

        Args:
            kinds: Only these; all if empty.
            used_up: Also what was taken to the last piece.
        """
        asked = select(entries)
        wanted = tuple(kinds)
        if wanted:
            asked = asked.where(entries.c.kind.in_(wanted))
        if not used_up:
            asked = asked.where(entries.c.pieces > 0)
        with reading(self._engine) as connection:
            rows = connection.execute(asked.order_by(entries.c.id)).all()
        order = list(KINDS)
        return tuple(sorted(map(held_of, rows), key=lambda held: order.index(held.record.kind)))

    def entry(self, mark: str) -> Held:
        """The entry of a mark.

        Raises:
            InputError: There is none.
        """
        with self._reading() as change:
            return held_of(change.row(mark))

    def journal(self, *, mark: str = "", most: int = 200) -> tuple[Move, ...]:
        """What happened, the last first; to one piece, or to all."""
        asked = select(moves).order_by(moves.c.id.desc()).limit(most)
        if mark:
            asked = asked.where(moves.c.mark == mark)
        with reading(self._engine) as connection:
            return tuple(move_of(row) for row in connection.execute(asked))

    def accepted(self, *, project: str = "", most: int = 200) -> tuple[Accepted, ...]:
        """Layouts that were accepted, the last first; of one project, or of all."""
        asked = select(acceptances).order_by(acceptances.c.id.desc()).limit(most)
        if project:
            asked = asked.where(acceptances.c.project == project)
        with reading(self._engine) as connection:
            rows = connection.execute(asked).all()
            numbers = [row.id for row in rows]
            listed = connection.execute(
                select(moves)
                .where(moves.c.acceptance.in_(numbers), moves.c.what.in_(("taken", "booked")))
                .order_by(moves.c.id)
            ).all()
        return tuple(
            accepted_of(row, [m for m in listed if m.acceptance == row.id]) for row in rows
        )

    # ---- changing it ----

    def add(self, data: Mapping[str, Any], *, unit: Unit = "mm") -> Held:
        """Put a new entry in.

        Args:
            data: Its fields, with "mark" and "count" if they are not to be given; see `read_record`.
            unit: Of lengths that name none.

        Raises:
            InputErrors: All that cannot be used.
        """
        return self.bring([data], unit=unit)[0]

    def bring(self, rows: Sequence[Mapping[str, Any]], *, unit: Unit = "mm") -> tuple[Held, ...]:
        """Put several entries in, all or none; those whose mark is there already are put in the other's place.

        Raises:
            InputErrors: All that cannot be used; the field begins with the number of the row where there are several.
            RefusedError: Somebody else gave one of the marks at the same moment.
        """
        read, errors = [], []
        for number, data in enumerate(rows):
            try:
                read.append(read_entry(data, unit))
            except InputErrors as wrong:
                errors += [e.inside(str(number)) if len(rows) > 1 else e for e in wrong.errors]
        marks = [mark for mark, *_ in read if mark]
        for mark in sorted({mark for mark in marks if marks.count(mark) > 1}):
            errors.append(InputError("mark", got=quoted(mark), want="each mark once"))
        if errors:
            raise InputErrors(errors)
        try:
            with self._changing() as change:
                made = [
                    change.put_in(mark, count, record, written)
                    for mark, count, record, written in read
                ]
                rows_now = [change.row(mark) for mark in made]
        except IntegrityError:
            raise RefusedError(
                ["Somebody else gave one of these marks meanwhile; nothing came in. Try again."]
            ) from None
        return tuple(map(held_of, rows_now))

    def change(
        self,
        mark: str,
        fields: Mapping[str, Any],
        *,
        unit: Unit = "mm",
        revision: int | None = None,
    ) -> Held:
        """Change fields of an entry; "" or None takes a value out.

        Args:
            mark: Of the entry.
            fields: New values; "count" sets how many there are.
            unit: Of lengths that name none.
            revision: The one that the caller has seen; None to change whatever is there.

        Raises:
            InputError: There is no such entry.
            InputErrors: A value cannot be used.
            RefusedError: Somebody else changed it meanwhile.
        """
        with self._changing() as change:
            row = change.row(mark)
            if revision is not None and row.revision != revision:
                last = change.last(mark)
                raise RefusedError([f"{mark} was changed meanwhile{by(last)}; look at it again."])
            before = held_of(row)
            data = {**before.written, "count": before.count, **fields}
            data["kind"] = before.record.kind
            _, count, record, written = read_entry(data, unit)
            done = change.connection.execute(
                update(entries)
                .where(entries.c.mark == mark, entries.c.revision == row.revision)
                .values(pieces=count, revision=row.revision + 1, **columns(record, written))
            )
            if done.rowcount != 1:
                raise RefusedError([f"{mark} was changed meanwhile; look at it again."])
            change.note("changed", before, count - before.count)
            return held_of(change.row(mark))

    def remove(self, mark: str) -> None:
        """Take an entry out of the list for good.

        Raises:
            InputError: There is no such entry.
        """
        with self._changing() as change:
            before = held_of(change.row(mark))
            change.connection.execute(delete(entries).where(entries.c.mark == mark))
            change.note("removed", before, -before.count)

    def take(self, mark: str, count: int = 1, *, project: str = "") -> Held:
        """Take pieces of an entry by hand.

        Raises:
            InputError: There is no such entry.
            RefusedError: There are not so many.
        """
        if not 0 < count <= MOST:
            raise InputError("count", got=count, want=f"a whole number from 1 to {MOST}")
        with self._changing() as change:
            before = held_of(change.row(mark))
            if not change.takes(mark, count):
                raise RefusedError([change.gone(mark, count)])
            change.note("taken", before, -count, project=_plain(project))
            return held_of(change.row(mark))

    def put_back(self, mark: str, count: int = 1) -> Held:
        """Put pieces of an entry back.

        Raises:
            InputError: There is no such entry, or it would be too many.
        """
        with self._changing() as change:
            before = held_of(change.row(mark))
            if not (count > 0 and before.count + count <= MOST):
                raise InputError("count", got=count, want=f"1 or more, {MOST} in all")
            change.puts(mark, count)
            change.note("put back", before, count)
            return held_of(change.row(mark))

    # ---- layouts ----

    def accept(self, taking: Taking, *, place: str = "", again: bool = False) -> Accepted:
        """Take what a layout needs and book what it leaves, in one transaction.

        Args:
            taking: See `casewright.stock.layout_taking.taking_of`.
            place: Where the offcuts will lie.
            again: The same layout is cut once more.

        Raises:
            RefusedError: The layout was accepted already, or a piece is gone: which, by whom, for what.
            InputErrors: The place cannot be used.
        """
        try:
            with self._changing() as change:
                return accept_layout(change, taking, place=place, again=again)
        except IntegrityError:
            # Somebody accepted the same layout while this change was under way; now it can be read who.
            with self._reading() as change:
                raise RefusedError([change.twice(taking)]) from None

    def undo(self, number: int) -> Accepted:
        """Take an accepted layout back: its pieces return, its offcuts leave the list, all or nothing.

        Raises:
            InputError: There is no such layout.
            RefusedError: It was taken back already, or one of its offcuts is gone: which, by whom, for what.
        """
        with self._changing() as change:
            return undo_layout(change, number)

    # ---- inside ----

    def _now(self) -> str:
        return self._clock().strftime("%Y-%m-%d %H:%M")

    @contextmanager
    def _changing(self) -> Iterator[Change]:
        with changing(self._engine) as connection:
            yield Change(connection, self.who, self._now())

    @contextmanager
    def _reading(self) -> Iterator[Change]:
        with reading(self._engine) as connection:
            yield Change(connection, self.who, self._now())


def _plain(words: str) -> str:
    """A name in one line, without signs that cannot be seen."""
    return " ".join("".join(c if c.isprintable() else " " for c in words).split())[:80]


def user_name() -> str:
    """The computer's user."""
    try:
        return getpass.getuser()[:80]
    except (OSError, KeyError, ImportError):  # as in a container whose user has no name
        return "somebody"


__all__ = ["ShopStock", "user_name"]
