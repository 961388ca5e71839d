"""Chapter: a page for every face of every piece that is worked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

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
    table,
    together,
)
from casewright.outputs.documents.tiles import Paper
from casewright.outputs.drawings.hole_table import HoleRow
from casewright.outputs.drawings.part_view import PartSheet

DRAWING_SHARE = 0.52
"""Of the text's height that a drawing may take."""
MANY, ABREAST = 16, 4
"""More equal holes than this get a table of their own, so many abreast."""
DITTO = "″"
"""As in the row above."""
QR_SIZE = 21.0
"""[mm]"""
SECTION, SLENDER_SECTION = (116.0, 47.0), (60.0, 36.0)
"""Most that the section takes, width and height: below its drawing, and beside it. [mm]"""
SHARES_PAGE = 0.82
"""Sheets lower than this share of the text's height may stand below another; they never break."""
BESIDE = 0.54
"""Share of the text's width that section and notes take beside a slender drawing."""
FIGURES, TAGS, HEADING, SLENDER_LEAST = 22.0, 24.0, 22.0, 82.0
"""About what figures left of a blank and tags right of it take, its heading's height, and least height. [mm]"""
ROW, FOOT, AGAIN = 5.6, 60.0, 36.0
"""About what a row of holes takes, and section, notes and the table's head, and the same without a section. [mm]"""
FOR_SIGNS, SIZE_SIGNS = 36, 15
"""About how many signs stand in a line of the table's columns."""
GUTTER = 5.0
"""Between columns. [mm]"""


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
    before = ""
    for sheet in writer.source.sheets:
        # The section is the same on both faces: it stands with the first.
        again = sheet.piece == before
        before = sheet.piece
        if _height(writer, sheet, again=again) < SHARES_PAGE * writer.height:
            yield {"kind": "space", "height": 7.0}
            yield together(*_page(writer, sheet, again=again))
        else:
            yield new_page()
            yield from _page(writer, sheet, again=again)


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
            Column("piece", 2.3),
            Column("", 0, "right"),
            Column(f"blank, {writer.source.style.unit}", 1.9, "right"),
            Column("material", 1.3),
        ],
        rows,
        dense=True,
    )


def _page(writer: Writer, sheet: PartSheet, *, again: bool) -> Iterator[Block]:
    drawing = writer.drawing(sheet.drawing, margin=1.0, most=(writer.width, writer.height * 0.6))
    drawing["align"] = "left"
    slender = _is_slender(writer, sheet)
    most = SLENDER_SECTION if slender else SECTION
    section = writer.drawing(sheet.section, margin=0.5, most=most, align="left")
    # The drawing's own heading tells the material.
    notes = [writer.say(note) for note in sheet.notes if not note.startswith("Material: ")]
    words: list[Block] = [listing(notes)] if notes else []
    code: Block = {
        "kind": "figure",
        "file": writer.keep(f"qr-{len(writer.pictures):03}.svg", _qr(writer, sheet)),
        "width": QR_SIZE,
        "height": QR_SIZE,
        "caption": "",
        "alt": f"{writer.fingerprint}/{clean(sheet.piece)}",
        "align": "left",
    }
    wide = section["width"]
    assert isinstance(wide, float)
    if slender:
        yield {
            "kind": "over",
            "base": drawing,
            "right": [beside([section], [code], widths=(wide, 0)), *words],
            "width": writer.width * BESIDE,
            "top": HEADING,
            "height": max(_drawn(sheet), SLENDER_LEAST),
        }
    else:
        yield drawing
        if again:
            yield beside(words, [code], widths=(writer.width - QR_SIZE - GUTTER, 0))
        else:
            yield beside([section], [code, *words], widths=(wide, 0))
    if sheet.hole_rows:
        yield from _holes(writer, sheet)
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


def _drawn(sheet: PartSheet) -> float:
    """Height of the drawing with its margin. [mm on paper]"""
    return sheet.drawing.bounds.height * sheet.drawing.scale + 2.0


def _is_slender(writer: Writer, sheet: PartSheet) -> bool:
    """Whether section and notes fit beside the drawing, under its heading."""
    piece = writer.cabinet.piece_by_key[sheet.piece]
    taken = FIGURES + piece.width * sheet.scale + TAGS
    return piece.kind != "side" and taken < writer.width * (1 - BESIDE)


def _height(writer: Writer, sheet: PartSheet, *, again: bool) -> float:
    """About how high a sheet's page is filled. [mm]"""
    drawn = _drawn(sheet)
    if _is_slender(writer, sheet):
        drawn = max(drawn, SLENDER_LEAST) + 8.0
    else:
        drawn += AGAIN if again else FOOT
    label = writer.labels[sheet.piece]
    many = sum(len(group) for group in _many(sheet.hole_rows).values())
    lines = sum(_lines(row, label) for row in sheet.hole_rows)
    return drawn + ROW * (lines - many + many / ABREAST + 2 * len(sheet.mark_rows))


def _lines(row: HoleRow, label: str) -> int:
    """About how many lines a row of the table of holes takes."""
    words = row.purpose.removeprefix(f"{label}: ")
    return max(-(-len(words) // FOR_SIGNS), -(-len(row.size) // SIZE_SIGNS), 1)


def _holes(writer: Writer, sheet: PartSheet) -> Iterator[Block]:
    """The table of holes; many equal ones in one row, their places below."""
    unit = writer.source.style.unit
    label = writer.labels[sheet.piece]
    many = _many(sheet.hole_rows)
    rows: list[list[Cell] | str] = []
    before: HoleRow | None = None
    for row in sheet.hole_rows:
        words = row.purpose.removeprefix(f"{label}: ")
        group = many.get((row.letter, row.purpose))
        if group is not None:
            if row is group[0]:
                tags = bold(f"{row.tag}–{group[-1].tag}")
                rows.append(
                    [tags, row.tool, _size(row), row.depth, "", "", f"{words}, places below"]
                )
            before = None
        elif before is not None and before.letter == row.letter:
            same = before.purpose == row.purpose
            rows.append(
                [bold(row.tag), DITTO, DITTO, DITTO, row.u, row.v, DITTO if same else words]
            )
            before = row
        else:
            rows.append([bold(row.tag), row.tool, _size(row), row.depth, row.u, row.v, words])
            before = row
    yield table(
        [
            Column(""),
            Column("tool", 1.3),
            Column(f"size, {unit}", 1.4),
            Column("depth", 0, "right"),
            Column("right", 0, "right"),
            Column("up", 0, "right"),
            Column("for", 3.0),
        ],
        rows,
        dense=True,
    )
    for group in many.values():
        yield heading(f"Places of {group[0].tag}–{group[-1].tag}: to the right, up")
        cells = [[bold(row.tag), row.u, row.v] for row in group]
        cells += [["", "", ""]] * (-len(cells) % ABREAST)
        lines = len(cells) // ABREAST
        yield table(
            [Column("", 1), Column("right", 1, "right"), Column("up", 1, "right")] * ABREAST,
            [[c for i in range(ABREAST) for c in cells[line + lines * i]] for line in range(lines)],
            dense=True,
        )


def _size(row: HoleRow) -> str:
    return row.size.replace("R ", "R\u00a0")


def _many(rows: Sequence[HoleRow]) -> dict[tuple[str, str], list[HoleRow]]:
    """Equal holes of one purpose that are more than a table should list one by one."""
    groups: dict[tuple[str, str], list[HoleRow]] = {}
    for row in rows:
        groups.setdefault((row.letter, row.purpose), []).append(row)
    return {key: group for key, group in groups.items() if len(group) > MANY}


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
