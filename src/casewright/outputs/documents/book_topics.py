"""The chapter on how it does in use: one section a topic, its picture first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.outputs.documents.book_blocks import (
    Block,
    Column,
    Writer,
    chapter,
    heading,
    small,
    table,
    text,
    together,
)
from casewright.outputs.documents.book_codes import opens
from casewright.outputs.topics import Rows, TopicSheet, topic_sheets

PICTURE_SHARE = 0.4
"""Share of a page's height that a topic's picture takes at most."""

LONG_TABLE = 12
"""Rows from which on a table may run over to the next page."""

SHORT_CELL, LONGEST, EVENED = 20, 60, 12
"""Words of so many signs are never broken; what is longer shares a table's width, by so many signs at most, to which a
few are added that none gets too little."""

ELSEWHERE = ("power",)
"""Topics that the chapter on wiring tells."""


def topics_chapter(writer: Writer) -> Iterator[Block]:
    """Every topic that this cabinet has."""
    sheets = topic_sheets(writer.cabinet, writer.source.behavior, writer.source.shopping)
    if not sheets:
        return
    yield chapter("In use", "What to expect of it once it stands there, before anything is cut.")
    yield from opens(writer, view="findings")
    for sheet in sheets:
        if sheet.key in ELSEWHERE:
            continue
        yield from topic_section(writer, sheet)


def topic_section(writer: Writer, sheet: TopicSheet) -> Iterator[Block]:
    """One topic: question and answer, pictures, cautions, tables, notes."""
    head = [heading(sheet.title), text(writer.say(f"{sheet.question} {sheet.answer}"))]
    most = (writer.width, writer.height * PICTURE_SHARE)
    pictures = [
        writer.drawing(picture.drawing, caption=writer.say(picture.caption), most=most)
        for picture in sheet.pictures
    ]
    yield together(*head, *pictures[:1])
    yield from pictures[1:]
    if sheet.hazards:
        yield writer.cautions(*sheet.hazards)
    for rows in sheet.tables:
        yield from _table(writer, rows)
    for note in sheet.notes:
        yield small(writer.say(note))


def _table(writer: Writer, rows: Rows) -> Iterator[Block]:
    cells = [[writer.say(cell) for cell in row] for row in rows.rows]
    columns = _columns(rows, cells)
    title: Block = {"kind": "minor", "text": rows.title}
    if len(cells) > LONG_TABLE:
        yield title
        yield table(columns, cells, dense=True)
    else:
        yield together(title, table(columns, cells, breaks=False))


def _columns(rows: Rows, cells: Sequence[Sequence[str]]) -> list[Column]:
    """Figures and short words are as wide as they are; long words share the rest by their length."""
    long = {
        index: min(max((len(row[index]) for row in cells), default=0), LONGEST)
        for index in range(len(rows.heads))
        if index not in rows.figures
    }
    shares = {index: signs + EVENED for index, signs in long.items() if signs > SHORT_CELL}
    if not shares:
        first = next(iter(long), 0)  # so that the table is as wide as the page
        shares = {first: long.get(first, 0) or 1}
    return [
        Column(head, shares.get(index, 0), "right" if index in rows.figures else "left")
        for index, head in enumerate(rows.heads)
    ]


__all__ = ["ELSEWHERE", "LONG_TABLE", "topic_section", "topics_chapter"]
