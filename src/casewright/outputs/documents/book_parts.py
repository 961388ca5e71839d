"""Chapter: a page for every face of every piece that is worked."""

from __future__ import annotations

from collections.abc import Iterator

import segno

from casewright.outputs.documents.book_blocks import (
    BOTTOM,
    SIDE,
    TICK,
    TOP,
    Block,
    Cell,
    Column,
    Writer,
    beside,
    bold,
    chapter,
    clean,
    heading,
    listing,
    new_page,
    rule,
    small,
    table,
    together,
)
from casewright.outputs.documents.tiles import Paper
from casewright.outputs.drawings.part_view import PartSheet
from casewright.outputs.drawings.scales import scale_words

DRAWING_SHARE = 0.52
"""Of the text's height that a drawing may take."""
QR_SIZE = 21.0
"""[mm]"""
SECTION = (72.0, 34.0)
"""Most that the section takes, width and height. [mm]"""
ROW, FOOT = 6.4, 50.0
"""About what a row of holes takes, and section, notes and the table's head. [mm]"""


def part_room(paper: Paper) -> tuple[float, float]:
    """Width and height that a part's drawing may take on a page of this paper. [mm]"""
    return (paper.width - 2 * SIDE - 2, (paper.height - TOP - BOTTOM) * DRAWING_SHARE)


def parts_chapter(writer: Writer) -> Iterator[Block]:
    """All pieces in a list, then a page each."""
    yield chapter(
        "Pieces",
        "One page a face. Sizes run from the datum corner, marked with a ring; the triangle's point is up.",
    )
    yield _overview(writer)
    flowing = False
    for sheet in writer.source.sheets:
        if _is_small(writer, sheet):
            # The first small one after a large one begins a page; the others follow where they fit.
            yield rule() if flowing else new_page()
            yield together(*_page(writer, sheet))
            flowing = True
        else:
            yield new_page()
            yield from _page(writer, sheet)
            flowing = False


def _overview(writer: Writer) -> Block:
    rows: list[list[Cell] | str] = []
    listed: set[str] = set()
    for sheet in writer.source.sheets:
        if sheet.piece in listed:
            continue
        listed.add(sheet.piece)
        piece = writer.cabinet.piece_by_key[sheet.piece]
        rows.append(
            [
                TICK,
                sheet.label,
                str(sheet.quantity or 1),
                " × ".join(writer.figure(x) for x in writer.blank(piece)),
                writer.material(piece),
            ]
        )
    return table(
        [
            Column(""),
            Column("piece", 2.2),
            Column("", 0, "right"),
            Column(f"blank, {writer.source.style.unit}", 1.6, "right"),
            Column("material", 1.6),
        ],
        rows,
        dense=True,
    )


def _page(writer: Writer, sheet: PartSheet) -> Iterator[Block]:
    drawing = writer.drawing(sheet.drawing, margin=1.0, most=(writer.width, writer.height * 0.6))
    drawing["align"] = "left"
    yield drawing
    section = writer.drawing(sheet.section, margin=0.5, most=SECTION, align="left")
    notes = [writer.say(note) for note in sheet.notes]
    code: list[Block] = [
        {
            "kind": "figure",
            "file": writer.keep(f"qr-{len(writer.pictures):03}.svg", _qr(writer, sheet)),
            "width": QR_SIZE,
            "height": QR_SIZE,
            "caption": "",
            "alt": f"{writer.fingerprint}/{clean(sheet.piece)}",
            "align": "left",
        },
    ]
    under = small(
        f"{sheet.label}, {sheet.face} face. Scale {scale_words(sheet.scale)}, sizes in "
        f"{writer.source.style.unit}. {writer.fingerprint} / {sheet.piece}"
    )
    wide = section["width"]
    assert isinstance(wide, float)
    yield beside([section], [listing(notes), under], code, widths=(wide, 0, QR_SIZE))
    if sheet.hole_rows:
        yield _holes(writer, sheet)
    if sheet.mark_rows:
        yield heading("Footprints to mark out, from the datum corner: to the right / up")
        yield table(
            [Column("piece", 1), Column("corners", 3)],
            [
                [row.label, ";  ".join(f"{right} / {up}" for right, up in row.corners)]
                for row in sheet.mark_rows
            ],
            dense=True,
        )


def _is_small(writer: Writer, sheet: PartSheet) -> bool:
    """Whether two of them go on a page."""
    drawn = sheet.drawing.bounds.height * sheet.drawing.scale
    return not sheet.mark_rows and drawn + FOOT + ROW * len(sheet.hole_rows) < 0.49 * writer.height


def _holes(writer: Writer, sheet: PartSheet) -> Block:
    unit = writer.source.style.unit
    rows: list[list[Cell] | str] = [
        [bold(row.tag), row.tool, row.size, row.depth, row.u, row.v, row.purpose]
        for row in sheet.hole_rows
    ]
    return table(
        [
            Column(""),
            Column("tool", 1.2),
            Column(f"size, {unit}", 1.5),
            Column("depth", 0, "right"),
            Column("right", 0, "right"),
            Column("up", 0, "right"),
            Column("for", 2.4),
        ],
        rows,
        dense=True,
    )


def _qr(writer: Writer, sheet: PartSheet) -> str:
    """ISO/IEC 18004 code of plain words, no address: state of the project and key of the piece."""
    code = segno.make(f"casewright:{writer.fingerprint}/{sheet.piece}", error="m", micro=False)
    rows = [bytes(row) for row in code.matrix]
    side = len(rows) + 4
    path = "".join(
        f"M{x + 2} {y + 2}h1v1h-1z" for y, row in enumerate(rows) for x, on in enumerate(row) if on
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{side}mm" height="{side}mm" '
        f'viewBox="0 0 {side} {side}"><path d="{path}" fill="#1e2328"/></svg>\n'
    )


__all__ = ["part_room", "parts_chapter"]
