"""One change of the stock under way: what is asked and written on its connection, each with its line in the journal."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Literal
from uuid import uuid4

from sqlalchemy import Connection, Row, insert, or_, select, update

from casewright.basics.errors import InputError
from casewright.basics.units import quoted
from casewright.stock.records import BoardRecord, Held, Record, read_record
from casewright.stock.tables import acceptances, entries, moves
from casewright.stock.taking import Taking

What = Literal["added", "changed", "removed", "taken", "put back", "booked", "undone"]

LETTERS: Mapping[str, str] = MappingProxyType(
    {"sheet": "S", "offcut": "C", "length": "L", "hardware": "H", "paint": "P", "tool": "T"}
)
"""First letter of the marks that the stock gives."""


@dataclass(frozen=True)
class Change:
    """A change, or a look, on one connection."""

    connection: Connection
    who: str
    moment: str
    """By the clock on the wall."""

    def row(self, mark: str) -> Row[Any]:
        """The row of a mark.

        Raises:
            InputError: There is none.
        """
        row = self.connection.execute(select(entries).where(entries.c.mark == mark)).first()
        if row is None:
            last = self.last(mark)
            got = f"{quoted(mark)}, which was {last.what}{by(last)}" if last else quoted(mark)
            near = self.connection.scalars(
                select(entries.c.mark).where(entries.c.pieces > 0).order_by(entries.c.id).limit(3)
            ).all()
            want = "the mark of an entry" + (", such as " + ", ".join(near) if near else "")
            raise InputError("mark", got=got, want=want)
        return row

    def takes(self, mark: str, count: int) -> bool:
        """Take pieces if there are so many; asked and done in one statement, so that of two people one wins."""
        done = self.connection.execute(
            update(entries)
            .where(entries.c.mark == mark, entries.c.pieces >= count)
            .values(pieces=entries.c.pieces - count, revision=entries.c.revision + 1)
        )
        return bool(done.rowcount == 1)

    def puts(self, mark: str, count: int) -> bool:
        """Add pieces; False where there is no such entry."""
        done = self.connection.execute(
            update(entries)
            .where(entries.c.mark == mark)
            .values(pieces=entries.c.pieces + count, revision=entries.c.revision + 1)
        )
        return bool(done.rowcount == 1)

    def restore(self, move: Row[Any]) -> None:
        """Put back what a layout took, also where its entry has left the list meanwhile."""
        count = -move.change
        if not self.puts(move.mark, count):
            before = json.loads(move.before)
            record, written = read_record(before["written"])
            self.insert(move.mark, count, record, written, origin=before.get("origin", ""))
        held = held_of(self.row(move.mark))
        self.note("undone", held, count, project=move.project, acceptance=move.acceptance)

    def put_in(
        self,
        mark: str,
        count: int,
        record: Record,
        written: Mapping[str, Any],
    ) -> str:
        """Put an entry in, or in the place of the one with its mark; its mark."""
        old = (
            self.connection.execute(select(entries).where(entries.c.mark == mark)).first()
            if mark
            else None
        )
        if old is None:
            mark = self.insert(mark, count, record, written)
            self.note("added", Held(mark, 0, record, written), count, has_before=False)
            return mark
        before = held_of(old)
        if before.value == (mark, count, dict(written)):
            return mark
        self.connection.execute(
            update(entries)
            .where(entries.c.mark == mark)
            .values(pieces=count, revision=old.revision + 1, **columns(record, written))
        )
        self.note("changed", before, count - before.count)
        return mark

    def insert(
        self,
        mark: str,
        count: int,
        record: Record,
        written: Mapping[str, Any],
        *,
        origin: str = "",
        booked_by: int | None = None,
    ) -> str:
        """Write the row of a new entry; its mark."""
        row = {
            "mark": mark or f"new {uuid4().hex}",  # nobody's: marks hold no space
            "pieces": count,
            "revision": 1,
            "origin": origin,
            "booked_by": booked_by,
            **columns(record, written),
        }
        number = self.connection.execute(insert(entries).values(row)).inserted_primary_key[0]  # type: ignore[index]
        if not mark:
            mark = f"{LETTERS[record.kind]}{number}"
            while self.connection.scalar(select(entries.c.id).where(entries.c.mark == mark)):
                mark += "x"  # somebody gave that mark himself
            self.connection.execute(update(entries).where(entries.c.id == number).values(mark=mark))
        return mark

    def note(
        self,
        what: What,
        before: Held,
        change: int,
        *,
        project: str = "",
        acceptance: int | None = None,
        has_before: bool = True,
    ) -> None:
        """Write a line of the journal."""
        old = {
            "mark": before.mark,
            "count": before.count,
            "written": dict(before.written),
            "origin": before.origin,
        }
        self.connection.execute(
            insert(moves).values(
                acceptance=acceptance,
                what=what,
                mark=before.mark,
                kind=before.record.kind,
                change=change,
                before=json.dumps(old) if has_before else None,
                project=project,
                who=self.who,
                moment=self.moment,
            )
        )

    def last(self, mark: str, *, less: bool = False) -> Row[Any] | None:
        """The last line of the journal on a piece; only those that took some away with `less`."""
        asked = select(moves).where(moves.c.mark == mark).order_by(moves.c.id.desc())
        if less:
            asked = asked.where(or_(moves.c.change < 0, moves.c.what == "removed"))
        return self.connection.execute(asked.limit(1)).first()

    def gone(self, mark: str, count: int) -> str:
        """Why so many pieces cannot be had."""
        left = self.connection.scalar(select(entries.c.pieces).where(entries.c.mark == mark))
        last = self.last(mark, less=True)
        if last is None:
            has = "is not in the stock" if left is None else f"is there {left} times, not {count}"
            return f"{mark} {has}."
        project = f" for “{last.project}”" if last.project else ""
        what = {"removed": "removed", "undone": "undone"}.get(last.what, "taken")
        rest = f"; {left} left, {count} wanted" if left else ""
        return f"{mark} was {what} by {last.who}{project}, {last.moment}{rest}."

    def twice(self, taking: Taking) -> str:
        """That a layout, or another one of its project, was accepted and not undone; "" where none was."""
        live = select(acceptances).where(acceptances.c.undone_at.is_(None))
        same = live.where(acceptances.c.plan.like(f"{taking.plan}%"))
        row = self.connection.execute(same.order_by(acceptances.c.id)).first()
        if row is not None:
            return (
                f"This layout of “{row.project}” was accepted already by {row.who}, {row.moment} (layout {row.id}). "
                "Accept it again only if it is cut once more."
            )
        other = live.where(acceptances.c.project == taking.project)
        row = self.connection.execute(other.order_by(acceptances.c.id.desc())).first()
        if row is None:
            return ""
        return (
            f"Another layout of “{row.project}” was accepted already by {row.who}, {row.moment} (layout {row.id}). "
            "Undo that one first; accept this one as well only if it is cut besides."
        )


def columns(record: Record, written: Mapping[str, Any]) -> dict[str, Any]:
    """What the table keeps of a record."""
    board = record if isinstance(record, BoardRecord) else None
    return {
        "kind": record.kind,
        "written": json.dumps(dict(written)),
        "length": board.length if board else None,
        "width": board.width if board else None,
    }


def held_of(row: Row[Any]) -> Held:
    """An entry from its row."""
    record, written = read_record(json.loads(row.written))
    return Held(row.mark, row.pieces, record, written, row.revision, row.origin)


def by(move: Row[Any] | None) -> str:
    """Who did it and when, to be said after it."""
    return f" by {move.who}, {move.moment}" if move else ""


__all__ = ["LETTERS", "Change", "What", "by", "columns", "held_of"]
