"""Chapter: a page for every face of every piece that is worked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.outputs.bench_links import STEP_LIST, bench_link
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
    cut_short,
    ditto,
    heading,
    listing,
    table,
    together,
)
from casewright.outputs.documents.book_codes import code_picture, opens
from casewright.outputs.documents.tiles import Paper
from casewright.outputs.drawings.hole_table import HoleRow
from casewright.outputs.drawings.part_view import SMALL, PartSheet

DRAWING_SHARE = 0.52
"""Of the text's height that a drawing may take."""
MANY, ABREAST = 16, 4
"""More equal holes than this get a table of their own, so many abreast."""
QR_SIZE = 21.0
"""[mm]"""
SECTION, SLENDER_SECTION = (92.0, 40.0), (60.0, 36.0)
"""Most that the section takes, width and height: below its drawing, and beside it. [mm]"""
SMALLER, SMALLER_CODE = 0.8, 0.84
"""A section and the square code are so much smaller where that saves a page."""
BESIDE = 0.54
"""Least share of the text's width for what stands beside a slender drawing."""
FIGURES, TAGS, HEADING = 22.0, 24.0, 22.0
"""About what figures left of a blank and tags right of it take, and its heading's height. [mm]"""
SHORT_WORDS, NARROWEST = 24, 100.0
"""A table stands beside a drawing if what its holes are for is said in so many signs, and it is as wide. [mm]"""
LONG_MATERIAL = 44
"""Longer names are cut short in the list; the sheet says them in full. [signs]"""
LONG_NAME = 28
"""A piece's name longer than this gets more of the width in the table of footprints. [signs]"""
LONG_PURPOSE, WORDY = 32, 4
"""Where so many holes are for something that takes more signs than this, tool, size and depth stand once above them."""
FEW_ROWS = 24
"""So many rows of footprints stay on one page. [rows]"""
GUTTER = 5.0
"""Between columns. [mm]"""


def part_room(paper: Paper) -> tuple[float, float]:
    """Width and height that a part's drawing may take on a page of this paper. [mm]"""
    return (paper.width - 2 * SIDE - 2, (paper.height - TOP - BOTTOM) * DRAWING_SHARE)


def parts_chapter(writer: Writer) -> Iterator[Block]:
    """All pieces in a list, then a page each."""
    yield chapter(
        "Pieces",
        "Every face that is worked has its sheet; small pieces share pages at one scale. Sizes run from the "
        "datum corner, marked with a ring; the triangle's point is up.",
    )
    yield from opens(writer, view=STEP_LIST)
    yield _overview(writer)
    before = ""
    sheets: list[tuple[bool, Block]] = []
    for number, sheet in enumerate(writer.source.sheets):
        # The section is the same on both faces: it stands with the first.
        again = sheet.piece == before
        before = sheet.piece
        small = writer.cabinet.piece_by_key[sheet.piece].kind in SMALL
        blocks = list(_page(writer, sheet, again=again))
        sheets.append((small, {"label": _label(number), "blocks": blocks}))
    for are_small in (False, True):
        some = [sheet for small, sheet in sheets if small == are_small]
        yield {"kind": "sheets", "sheets": some, "any-order": are_small}


def sheets_in(block: Block) -> list[Block]:
    """The sheets that stay whole in a block of the chapter."""
    sheets = block.get("sheets", [])
    assert isinstance(sheets, list)
    return sheets


def _label(number: int) -> str:
    """By which a sheet's page is found."""
    return f"sheet-{number}"


def _overview(writer: Writer) -> Block:
    rows: list[list[Cell] | str] = []
    listed: set[str] = set()
    for number, sheet in enumerate(writer.source.sheets):
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
                cut_short(writer.material(piece), LONG_MATERIAL),
                {"kind": "page", "of": _label(number)},
            ]
        )
    return table(
        [
            Column(""),
            Column("piece", 2.3),
            Column("", 0, "right"),
            Column(f"blank, {writer.source.style.unit}", 0, "right"),
            Column("material", 1.6),
            Column("page", 0, "right"),
        ],
        rows,
        dense=True,
    )


def _page(writer: Writer, sheet: PartSheet, *, again: bool) -> Iterator[Block]:
    drawing = writer.drawing(sheet.drawing, margin=1.0, most=(writer.width, writer.height * 0.6))
    drawing["align"] = "left"
    slender = _is_slender(writer, sheet)
    # The drawing's own heading tells the material.
    notes = [writer.say(note) for note in sheet.notes if not note.startswith("Material: ")]
    if sheet.plain:
        notes.insert(0, "All edges are square.")
    words: list[Block] = [listing(notes)] if notes else []
    code: Block = {
        "kind": "figure",
        "file": _code(writer, sheet),
        "width": QR_SIZE,
        "height": QR_SIZE,
        "caption": "",
        # A key is of plain letters, and an address too.
        "alt": _code_text(writer, sheet).removeprefix("casewright:"),
        "align": "left",
        "yields": SMALLER_CODE,
    }
    section: list[Block] = []
    if not sheet.plain and not (again and not slender):
        most = SLENDER_SECTION if slender else SECTION
        figure = writer.drawing(sheet.section, margin=0.5, most=most, align="left")
        section = [{**figure, "yields": SMALLER}]
    if slender:
        label = writer.labels[sheet.piece]
        purposes = [row.purpose.removeprefix(f"{label}: ") for row in sheet.hole_rows]
        wide = writer.width - _taken(writer, sheet) - GUTTER
        fits = bool(purposes) and max(map(len, purposes)) <= SHORT_WORDS and wide > NARROWEST
        yield {
            "kind": "over",
            "base": drawing,
            "right": [
                beside(section or words, [code], widths=(0, QR_SIZE)),
                *(words if section else []),
                *(_holes(writer, sheet, narrow=True) if fits else []),
            ],
            "width": wide,
            "top": HEADING,
        }
        if sheet.hole_rows and not fits:
            yield from _holes(writer, sheet)
        return
    yield drawing
    columns = [section, words, [code]] if section else [words, [code]]
    widths = (_width(section[0]), 0, QR_SIZE) if section else (0, QR_SIZE)
    yield beside(*columns, widths=widths)
    if sheet.hole_rows:
        yield from _holes(writer, sheet)
    if sheet.mark_rows:
        title = heading("Footprints to mark out, from the datum corner: to the right / up")
        few = len(sheet.mark_rows) <= FEW_ROWS
        wordy = max(len(row.label) for row in sheet.mark_rows) > LONG_NAME
        rows = table(
            [Column(""), Column("piece", 2 if wordy else 1), Column("corners", 3)],
            [
                [
                    bold(row.number),
                    row.label,
                    ";  ".join(f"{right} / {up}" for right, up in row.corners),
                ]
                for row in sheet.mark_rows
            ],
            breaks=not few,
            dense=True,
        )
        yield from [together(title, rows)] if few else [title, rows]


def _width(figure: Block) -> float:
    wide = figure["width"]
    assert isinstance(wide, float)
    return wide


def _is_slender(writer: Writer, sheet: PartSheet) -> bool:
    """Whether section, notes and holes fit beside the drawing, under its heading."""
    piece = writer.cabinet.piece_by_key[sheet.piece]
    few = len(sheet.hole_rows) <= MANY
    return piece.kind != "side" and few and _taken(writer, sheet) < writer.width * (1 - BESIDE)


def _taken(writer: Writer, sheet: PartSheet) -> float:
    """Width that a drawing takes below its heading. [mm]"""
    piece = writer.cabinet.piece_by_key[sheet.piece]
    return FIGURES + piece.width * sheet.scale + TAGS


def _holes(writer: Writer, sheet: PartSheet, *, narrow: bool = False) -> Iterator[Block]:
    """The table of holes; many equal ones in one row, their places below; `narrow` beside a drawing."""
    unit = writer.source.style.unit
    label = writer.labels[sheet.piece]
    many = _many(sheet.hole_rows)
    shanks = _shanks(sheet.hole_rows) if not many else {}
    under = {row.tag for row in shanks.values()}
    listed = [row for row in sheet.hole_rows if row.tag not in under]
    said = {row.tag: row.purpose.removeprefix(f"{label}: ") for row in listed}
    wordy = len({words for words in said.values() if len(words) > LONG_PURPOSE}) >= WORDY
    rows: list[list[Cell] | str] = []
    before: HoleRow | None = None
    for row in listed:
        words = said[row.tag]
        group = many.get((row.letter, row.purpose))
        shank = shanks.get(row.tag)
        tag = f"{row.tag} + {shank.tag}" if shank else row.tag
        size, depth = _size(row), row.depth
        if shank:
            size, depth = f"{size}, {_size(shank)}", f"{depth}, {shank.depth}"
        if wordy and (before is None or before.letter != row.letter):
            rows.append(f"{row.letter}: {row.tool}, {size}, {_deep(depth)}")
        if group is not None:
            if row is group[0]:
                tags, where = bold(f"{row.tag}–{group[-1].tag}"), f"{words}, places below"
                rows.append(
                    [tags, "", "", where] if wordy else [tags, row.tool, size, depth, "", "", where]
                )
            before = row if wordy else None
            continue
        alike = before is not None and before.letter == row.letter
        same = before is not None and alike and before.purpose == row.purpose
        last = ditto(words) if same else words
        if wordy:
            rows.append([bold(tag), row.u, row.v, last])
        elif alike:
            above = [ditto(row.tool), ditto(size), ditto(depth)]
            rows.append([bold(tag), *above, row.u, row.v, last])
        else:
            rows.append([bold(tag), row.tool, size, depth, row.u, row.v, words])
        before = row
    what = [
        Column("tool", 1.5 if narrow else 1.3),
        Column(f"size, {unit}", 1.6 if narrow else 1.4),
        Column("depth", 1.3 if narrow else 0, "right"),
    ]
    yield table(
        [
            Column(""),
            *([] if wordy else what),
            Column("right", 0, "right"),
            Column("up", 0, "right"),
            Column("for", 1.9 if narrow else 3.0),
        ],
        rows,
        dense=True,
        narrow=narrow,
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


def _deep(depth: str) -> str:
    """A depth as words that follow tool and size."""
    return f"{depth} deep" if depth[:1].isdigit() else depth


def _shanks(rows: Sequence[HoleRow]) -> dict[str, HoleRow]:
    """By the tag of a bore for a screw's head, the shank's hole in its middle; where every bore has one."""
    places = {(row.u, row.v): row for row in rows if row.kind == "clearance"}
    bores = [row for row in rows if row.kind == "counterbore"]
    found = {row.tag: places[row.u, row.v] for row in bores if (row.u, row.v) in places}
    heads = {(row.letter, row.tool, found[row.tag].letter) for row in bores if row.tag in found}
    alike = len(heads) == 1 and len(found) == len(bores)
    same_bit = all(
        shank.tool == row.tool for row in bores for shank in (found.get(row.tag),) if shank
    )
    return found if alike and same_bit else {}


def _size(row: HoleRow) -> str:
    return row.size.replace("R ", "R\u00a0").replace("⌀ ", "⌀\u00a0")


def _many(rows: Sequence[HoleRow]) -> dict[tuple[str, str], list[HoleRow]]:
    """Equal holes of one purpose that are more than a table should list one by one."""
    groups: dict[tuple[str, str], list[HoleRow]] = {}
    for row in rows:
        groups.setdefault((row.letter, row.purpose), []).append(row)
    return {key: group for key, group in groups.items() if len(group) > MANY}


def _code_text(writer: Writer, sheet: PartSheet) -> str:
    """Where a phone at the bench finds the piece; plain words of state and piece where no address is given."""
    mark = writer.fingerprint
    if not writer.source.bench:
        return f"casewright:{mark}/{sheet.piece}"
    name = writer.cabinet.project.name
    return bench_link(writer.source.bench, name, piece=sheet.piece, of=mark)


def _code(writer: Writer, sheet: PartSheet) -> str:
    """File of the piece's code."""
    index = writer.cabinet.pieces.index(writer.cabinet.piece_by_key[sheet.piece])
    return code_picture(writer, f"qr-{index:03}.svg", _code_text(writer, sheet))


__all__ = ["part_room", "parts_chapter", "sheets_in"]
