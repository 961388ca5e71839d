"""Chapter: what exists already, and what is left to do on it; and the sheets of what is left."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from casewright.basics.findings import worded
from casewright.design.project import Project
from casewright.geometry.model import Cabinet
from casewright.outputs.bench_links import STEP_LIST
from casewright.outputs.built_words import STATE_WORDS
from casewright.outputs.documents.book_blocks import (
    TICK,
    Block,
    Cell,
    Column,
    Writer,
    bold,
    chapter,
    small,
    table,
    text,
)
from casewright.outputs.documents.book_codes import opens
from casewright.outputs.drawings.part_view import PartSheet
from casewright.planning.as_built import Answer, Way, feature_made

CHANGED = "CHANGED"
"""Stands beside whatever is not as the papers in hand show it."""


def built_chapter(writer: Writer) -> Iterator[Block]:
    """Every piece that exists, and every one whose papers are out of date."""
    kept = writer.source.made
    if kept is None:
        return
    records = writer.cabinet.project.as_built
    rows: list[list[Cell] | str] = []
    for answer in kept.answers:
        record = records.get(answer.piece)
        state = STATE_WORDS[record.state] if record else "not cut"
        orders = " ".join(answer.orders) or answer.reason
        if answer.verdict == "unchanged":
            orders = "nothing"
        rows.append(
            [
                TICK if answer.orders else "",
                answer.label,
                state,
                bold(answer.verdict) if answer.trouble else answer.verdict,
                writer.say(f"{answer.reason} {orders}" if answer.orders else orders),
            ]
        )
    if not rows:
        return
    yield chapter(
        "As built",
        "What exists already is kept; this book shows what is left to do. What is not as the papers before it "
        f"showed it says {CHANGED}.",
    )
    yield from opens(writer, view=STEP_LIST)
    yield table(
        [
            Column(""),
            Column("piece", 1.2),
            Column("is", 0),
            Column("answer", 0),
            Column("to do", 3),
        ],
        rows,
        dense=True,
    )
    if kept.touched:
        yield text(
            "The plan may follow what exists instead, where it is not cut yet: ask for the ways on before any of this "
            "is sawn (casewright replan, or the step 'As built' of the workbench)."
        )
    yield small(
        "A piece that is sawn or bored again: mind where earlier screws, plugs and cleats sit, and keep the blade "
        "out of metal."
    )


def sheets_left(
    sheets: Sequence[PartSheet],
    cabinet: Cabinet,
    kept: Way | None,
    write: Callable[[float], str],
) -> tuple[PartSheet, ...]:
    """The sheets of pieces that something is left to do on, each with the holes that are left, changes marked."""
    if kept is None:
        return tuple(sheets)
    answers = {answer.piece: answer for answer in kept.answers}
    left = []
    for sheet in sheets:
        keys = tuple(key for key in sheet.pieces if not _is_done(cabinet, key, answers.get(key)))
        if not keys:
            continue
        left.append(_left(sheet, keys, cabinet.project, answers, write))
    return tuple(left)


def _left(
    sheet: PartSheet,
    keys: tuple[str, ...],
    project: Project,
    answers: dict[str, Answer],
    write: Callable[[float], str],
) -> PartSheet:
    record, answer = project.as_built.get(keys[0]), answers.get(keys[0])
    again = answer is not None and answer.verdict == "remake"
    redone = {change.key for change in answer.features} if answer else set()
    rows = tuple(
        row
        for row in sheet.hole_rows
        if again or row.feature.key in redone or not feature_made(record, row.feature)
    )
    notes = []
    if record is not None and record.reached("cut") and not again:
        notes.append(f"Exists already: {STATE_WORDS[record.state]}.")
    if answer is not None and answer.verdict != "unchanged":
        said = " ".join((answer.reason, *answer.orders))
        notes.append(f"{CHANGED}: {worded(said, write)}")
    label = (
        sheet.label if not any(n.startswith(CHANGED) for n in notes) else f"{sheet.label}, changed"
    )
    return replace(
        sheet, piece=keys[0], pieces=keys, hole_rows=rows, notes=(*notes, *sheet.notes), label=label
    )


def _is_done(cabinet: Cabinet, key: str, answer: Answer | None) -> bool:
    """Whether nothing is left to saw, rout or bore on a piece."""
    record = cabinet.project.as_built.get(key)
    if record is None or (
        answer is not None and answer.verdict not in ("unchanged", "other place")
    ):
        return False
    piece = cabinet.piece_by_key[key]
    return record.reached("cut") and all(feature_made(record, f) for f in piece.features)


__all__ = ["CHANGED", "built_chapter", "sheets_left"]
