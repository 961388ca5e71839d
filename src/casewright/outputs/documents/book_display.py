"""Chapter: how each display is registered, held, and set with its test picture."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.catalog.kinds import Display
from casewright.geometry.model import Placed
from casewright.outputs.documents.book_blocks import (
    TICK,
    Block,
    Cell,
    Column,
    Writer,
    bold,
    chapter,
    heading,
    small,
    table,
    ticks,
    together,
)
from casewright.outputs.documents.book_codes import opens_step
from casewright.outputs.drawings.hold_view import ROOM, hold_drawing, hold_pieces
from casewright.outputs.exports.adjusting_picture import picture_name
from casewright.planning.work.step import screws_of


def display_chapter(writer: Writer) -> Iterator[Block]:
    """Every display that sits in a panel."""
    shown = [
        (placed, data)
        for placed in writer.cabinet.placed
        if isinstance(data := placed.part.data, Display)
        and placed.piece in writer.cabinet.piece_by_key
    ]
    if not shown:
        return
    yield chapter(
        "Setting the display",
        "Rails and blocks register the housing, the bar holds it; the sheet at true size and the test picture tell "
        "where the lit area stands.",
    )
    yield from opens_step(writer, lambda step: step.job == "fit display")
    for placed, data in shown:
        yield from _display(writer, placed, data)


def _display(writer: Writer, placed: Placed, data: Display) -> Iterator[Block]:
    figure = writer.figure
    drawing = hold_drawing(writer.cabinet, placed, data, writer.source.style)
    head: list[Block] = [
        heading(placed.label),
        writer.drawing(drawing, margin=0.5, most=(writer.width, ROOM[1] + 4), align="left"),
    ]
    rows: list[list[Cell] | str] = []
    for held in hold_pieces(writer.cabinet, placed):
        screws = screws_of(f for f in writer.cabinet.fastenings if f.through == held.piece.key)
        how = "glue, " if held.piece.fixing == "glued" else ""
        by = "; ".join(f"{count} × {name}" for name, count in screws)
        rows.append(
            [
                TICK,
                bold(str(held.number)),
                held.piece.label.removeprefix(f"{placed.label} "),
                " × ".join(figure(x) for x in (held.length, held.width, held.piece.thickness)),
                figure(held.left),
                figure(held.lower),
                f"{how}{by}".removesuffix(", "),
            ]
        )
    if rows:
        head.append(
            table(
                [
                    Column(""),
                    Column(""),
                    Column("piece", 1),
                    Column(f"size, {writer.source.style.unit}", 0, "right"),
                    Column("left", 0, "right"),
                    Column("lower", 0, "right"),
                    Column("held by", 1.2),
                ],
                rows,
                breaks=False,
                dense=True,
            )
        )
        head.append(
            small(
                "Left and lower: the piece's nearest corner from the datum corner of the back face, as seen from "
                "the back. "
                "Solid: rails and blocks; chain line: bar; dashed: housing."
            )
        )
    yield together(*head)
    yield ticks([writer.say(order) for order in _orders(writer, placed)])


def _orders(writer: Writer, placed: Placed) -> Iterator[str]:
    name = picture_name(placed.key)
    yield (
        "Print its alignment sheet (last pages of the templates) at 100 %, cut out the lit area, and lay it on the "
        "back face, printed side toward you, its centre lines on those of the panel."
    )
    yield "Display face down on a soft cloth: hold rails and blocks against the housing's outline, mark, glue."
    yield (
        f"Show {name}.png (or {name}.svg), overscan off. Before it is near the panel the white border must show on all "
        "four edges."
    )
    yield (
        "Look straight at each edge and count the hidden blocks, 1 mm each. Move the display by half of the difference "
        "between two opposite edges, toward the one that hides less."
    )
    yield "Ladders near both ends of an edge must count alike, or the display is turned: shim one end."
    yield "Snug the screws crosswise, count again, tighten."
    yield "Hidden in the end, mm: left ____ right ____ above ____ below ____"


__all__ = ["display_chapter"]
