"""The page that comes before a template's tiles: the whole mosaic, its sizes, and how to put it together."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.basics.units import LengthStyle, format_length
from casewright.outputs.documents.template_marks import SheetWords, code_marks, fitted
from casewright.outputs.documents.tiles import Tiling
from casewright.outputs.drawings.lettering import one_line, text_width, wrapped
from casewright.outputs.drawings.marks import Box, Circle, Line, Mark, Point, Text, rectangle

_MM = LengthStyle("mm")
_IN = LengthStyle("in")

CODE = 20.0
"""Edge of the square code. [mm]"""


@dataclass(frozen=True)
class Overview:
    """The page before the tiles: where the picture of the mosaic stands, and everything else on the page."""

    picture: Box
    """The mosaic, on the page. [mm]"""
    ghosts: tuple[Mark, ...]
    """Behind the picture."""
    marks: tuple[Mark, ...]
    """Over and beside it."""


def overview(
    tiling: Tiling, words: SheetWords, *, page: int, pages: int, missing: frozenset[str]
) -> Overview:
    """Lay out the page that shows the whole mosaic, its sizes and how to put it together."""
    sheet = tiling.page.grown(-tiling.margin - 4.0)
    top = sheet.top
    room = sheet.width * 0.68
    title_height = 6.0 if text_width(one_line(words.title), 6.0, "bold") <= room else 4.5
    marks: list[Mark] = [
        fitted((sheet.left, top), words.title, room, title_height, weight="bold", pen="visible"),
        fitted((sheet.left, top - 9.5), words.face, room, 4.0, weight="bold", pen="accent"),
    ]
    aside_of_code = 0.0
    if words.code:
        marks += code_marks((sheet.right, top), words.code, CODE)
        aside_of_code = CODE + 3.0
    for index, text in enumerate((words.project, words.fingerprint)):
        at = (sheet.right - aside_of_code, top - 5.0 * index)
        marks.append(fitted(at, text, sheet.width * 0.28 - aside_of_code, 2.5, "end"))
    marks.append(
        Text((sheet.right, sheet.bottom), f"page {page} of {pages}", 2.5, "end", "baseline")
    )
    # The letters of the rows stand left of the picture, the figures of the columns above it.
    under, aside = top - 24.0, sheet.left + 6.0
    if tiling.heading == "upright":
        frame = Box(aside, sheet.bottom + sheet.height * 0.44, sheet.right, under)
        prose = Box(sheet.left, sheet.bottom + 6.0, sheet.right, frame.bottom - 9.0)
    else:
        middle = sheet.left + sheet.width * 0.58
        frame = Box(aside, sheet.bottom + 4.0, middle, under)
        prose = Box(middle + 10.0, sheet.bottom + 6.0, sheet.right, under)
    mosaic = tiling.mosaic
    factor = min(frame.width / mosaic.width, frame.height / mosaic.height)
    right, bottom = frame.left + mosaic.width * factor, frame.top - mosaic.height * factor
    picture = Box(frame.left, bottom, right, frame.top)
    marks += _mosaic(tiling, picture, factor, missing)
    marks += _prose(tiling, words, prose, missing)
    return Overview(picture, _ghosts(tiling, picture, factor), tuple(marks))


def _ghosts(tiling: Tiling, picture: Box, factor: float) -> tuple[Mark, ...]:
    height = min(tiling.window.width / 5, tiling.window.height / 3) * factor
    marks = []
    for tile in tiling.tiles:
        x, y = tile.box.centre
        at = (picture.left + x * factor, picture.bottom + y * factor)
        marks.append(Text(at, tile.name, height, "middle", "middle", weight="bold", pen="ghost"))
    return tuple(marks)


def _mosaic(tiling: Tiling, picture: Box, factor: float, missing: frozenset[str]) -> list[Mark]:
    """Each sheet's window from seam to seam, the rows' and columns' names, and the ringed crosses."""

    def at(point: Point) -> Point:
        return (picture.left + point[0] * factor, picture.bottom + point[1] * factor)

    mosaic = tiling.mosaic
    marks: list[Mark] = [rectangle(picture, pen="accent-thin")]
    for x in tiling.seams_x:
        marks.append(Line(at((x, 0.0)), at((x, mosaic.top)), "accent-thin"))
    for y in tiling.seams_y:
        marks.append(Line(at((0.0, y)), at((mosaic.right, y)), "accent-thin"))
    for tile in tiling.tiles:
        x, y = at(tile.box.centre)
        if tile.column == 0:
            place = (picture.left - 3.5, y)
            marks.append(_axis_name(place, tile.name[0]))
        if tile.row == 0:
            place = (x, picture.top + 3.5)
            marks.append(_axis_name(place, tile.name[1:]))
        if tile.name in missing:
            low, high = at((tile.box.left, tile.box.bottom)), at((tile.box.right, tile.box.top))
            marks += [
                Line(low, high, "accent-thin"),
                Line((low[0], high[1]), (high[0], low[1]), "accent-thin"),
            ]
    corners = tiling.corners
    for x in (corners.left, corners.right):
        for y in (corners.bottom, corners.top):
            marks.append(Circle(at((x, y)), 1.2, "accent-thin"))
    return marks


def _axis_name(at: Point, name: str) -> Text:
    return Text(at, name, 3.5, "middle", "middle", weight="bold", pen="accent")


def _prose(tiling: Tiling, words: SheetWords, box: Box, missing: frozenset[str]) -> list[Mark]:
    single = tiling.rows * tiling.columns == 1
    kind = f"{tiling.paper.name}, {'upright' if tiling.heading == 'upright' else 'on its side'}"
    count = tiling.rows * tiling.columns - len(missing)
    rows = f"{tiling.rows} row{'s' * (tiling.rows > 1)}"
    columns = f"{tiling.columns} column{'s' * (tiling.columns > 1)}"
    sheets = "one sheet" if single else f"{rows} × {columns}, {count} sheets"
    if missing:
        sheets += f"; {', '.join(sorted(missing))} empty, not printed"
    across, up = tiling.corners.width, tiling.corners.height
    facts = [
        ("Paper", f"{kind}; {sheets}"),
        ("Ring to ring, across", both_units(across)),
        ("Ring to ring, up", both_units(up)),
        ("Both diagonals", both_units(tiling.diagonal)),
    ]
    steps = [
        "Print at 100 %, actual size. Do not fit or shrink to the page.",
        "Lay a steel rule on both rulers of every sheet. Each must be right to 0.3 mm (1/64 in), or print again.",
        *(
            []
            if single
            else [
                "Trim every sheet along its dashed edges, lay it over its neighbor, cross on cross, and tape. "
                "Begin at the lower left."
            ]
        ),
        "Measure from ring to ring, across, up and both diagonals. Equal diagonals mean a square template.",
        f"Fix it to the part, {words.face.lower()}. Use tape, or spray adhesive in fresh air away from flames; "
        "wet glue stretches paper.",
        "Prick every centre with an awl. Drill and cut with the usual care, eyes and ears protected.",
    ]
    marks: list[Mark] = []
    level, height, pitch = box.top, 2.9, 5.0
    column = 44.0
    for label, value in facts:
        marks.append(Text((box.left, level), label, height, "start", "top"))
        for line in wrapped(value, box.width - column, height=height, weight="bold"):
            at = (box.left + column, level)
            marks.append(Text(at, line, height, "start", "top", weight="bold", pen="visible"))
            level -= pitch
    level -= 3.0
    for number, step in enumerate(steps, 1):
        marks.append(
            Text(
                (box.left, level), str(number), height, "start", "top", weight="bold", pen="accent"
            )
        )
        for line in wrapped(step, box.width - 6.0, height=height):
            marks.append(Text((box.left + 6.0, level), line, height, "start", "top", pen="visible"))
            level -= pitch
        level -= 1.0
    level -= 2.0
    for note in words.notes:
        for line in wrapped(note, box.width, height=height):
            if level - height < box.bottom:
                return marks  # The rest of the notes is in the book.
            marks.append(Text((box.left, level), line, height, "start", "top"))
            level -= pitch
    return marks


def both_units(length: float) -> str:
    r"""Write a length in millimeters and in inches.

    Example:
        >>> both_units(254.0)
        '254.0\u202fmm (10\u202fin)'
    """
    metric = format_length(length, _MM, glyphs="typeset")
    return f"{metric} ({format_length(length, _IN, glyphs='typeset')})"


__all__ = ["Overview", "both_units", "overview"]
