"""The marks round a template: rulers, crosses, neighbors, names.

All in page millimeters, y up from the lower left corner of the page.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from casewright.basics.units import MM_PER_INCH
from casewright.outputs.documents.tiles import Tile, Tiling, tile_name
from casewright.outputs.drawings.lettering import Weight, shortened
from casewright.outputs.drawings.marks import (
    Anchor,
    Circle,
    Line,
    Mark,
    Pen,
    Point,
    Polyline,
    Region,
    Text,
    moved,
    turned,
)
from casewright.outputs.drawings.square_code import code_rows

HEADER_CODE = 15.0
"""Edge of the square code in a page's head. [mm]"""
SCALE_WORDS = "Print at 100 %. Do not fit to page."


@dataclass(frozen=True)
class SheetWords:
    """What is written on every page of one template; any text, made to fit here."""

    title: str
    face: str
    project: str
    fingerprint: str
    notes: tuple[str, ...] = ()
    code: str = ""
    """What its square code holds; "" for none."""


def ruler() -> tuple[Mark, ...]:
    """A rule from (0, 0) to the right: 100 mm above, 4 in below, 1.5 mm apart.

    Source:
        An inch is exactly 25.4 mm (NIST SP 811, B.8), so 4 in are 101.6 mm.
    """
    top, bottom = 0.75, -0.75
    inches = 4 * MM_PER_INCH
    marks: list[Mark] = [
        Line((0.0, top), (100.0, top), "thin"),
        Line((0.0, bottom), (inches, bottom), "thin"),
    ]
    for step in range(101):
        length = 3.0 if step % 10 == 0 else 2.2 if step % 5 == 0 else 1.4
        marks.append(Line((float(step), top), (float(step), top + length), "thin"))
    for step in range(33):
        length = 3.0 if step % 8 == 0 else 2.2 if step % 4 == 0 else 1.4
        x = step * MM_PER_INCH / 8
        marks.append(Line((x, bottom), (x, bottom - length), "thin"))
    for step in (0, 50, 100):
        label = "100 mm" if step == 100 else str(step)
        marks.append(Text((float(step), top + 3.5), label, 2.0, "middle", "baseline"))
    for step in (1, 2, 3, 4):
        label = "4 in" if step == 4 else str(step)
        marks.append(Text((step * MM_PER_INCH, bottom - 3.5), label, 2.0, "middle", "top"))
    return tuple(marks)


def cross(at: Point, *, ringed: bool = False) -> tuple[Mark, ...]:
    """A cross to lay on its twin on the next sheet; ringed, a corner of the mosaic to measure from."""
    x, y = at
    arm = 4.0
    ring = (Circle(at, 3.0 if ringed else 1.2, "accent-thin"),)
    return (
        Line((x - arm, y), (x + arm, y), "accent-thin"),
        Line((x, y - arm), (x, y + arm), "accent-thin"),
        *ring,
    )


def own_marks(
    tiling: Tiling, tile: Tile, words: SheetWords, *, page: int, pages: int, missing: frozenset[str]
) -> tuple[Mark, ...]:
    """Everything on a tile's page but the template itself and what is the same on every tile.

    Args:
        tiling: The mosaic.
        tile: The page's tile.
        words: What is written on it.
        page: Number of the page, from 1.
        pages: Number of all pages.
        missing: Names of tiles that are not printed.
    """
    window = tiling.window
    marks: list[Mark] = [*_edges(tiling, tile, missing), *_neighbors(tiling, tile, missing)]
    for at, ringed in _crosses(tiling, tile):
        x, y = at[0] - tile.box.left + window.left, at[1] - tile.box.bottom + window.bottom
        marks += cross((x, y), ringed=ringed)
    marks += _header(tiling, tile, words)
    marks += _footer(tiling, words, page=page, pages=pages)
    return tuple(marks)


def same_marks(tiling: Tiling, words: SheetWords) -> tuple[Mark, ...]:
    """What is the same on every tile of a template: the rulers and the code."""
    window, inset = tiling.window, tiling.margin + 6.95
    marks: list[Mark] = [
        *moved(ruler(), window.left, inset),
        *moved(turned(ruler(), 90.0), inset, window.bottom),
    ]
    if words.code:
        corner = (tiling.page.right - tiling.margin, tiling.page.top - tiling.margin)
        marks += code_marks(corner, words.code, HEADER_CODE)
    return tuple(marks)


def ghost_name(tiling: Tiling, tile: Tile) -> tuple[Mark, ...]:
    """The tile's name, large and pale, to lie behind the template."""
    centre = tiling.window.centre
    return (Text(centre, tile.name, 40.0, "middle", "middle", weight="bold", pen="ghost"),)


def _edges(tiling: Tiling, tile: Tile, missing: frozenset[str]) -> list[Mark]:
    """The window's edges, dashed where the sheet is trimmed to lie over its neighbor."""
    box = tiling.window
    trim_left = tile.column > 0 and tile_name(tile.row, tile.column - 1) not in missing
    trim_bottom = tile.row < tiling.rows - 1 and tile_name(tile.row + 1, tile.column) not in missing
    left: Pen = "hidden" if trim_left else "dimension"
    bottom: Pen = "hidden" if trim_bottom else "dimension"
    return [
        Line((box.left, box.bottom), (box.left, box.top), left),
        Line((box.left, box.bottom), (box.right, box.bottom), bottom),
        Line((box.left, box.top), (box.right, box.top), "dimension"),
        Line((box.right, box.bottom), (box.right, box.top), "dimension"),
    ]


def _neighbors(tiling: Tiling, tile: Tile, missing: frozenset[str]) -> list[Mark]:
    box, (x, y) = tiling.window, tiling.window.centre
    inset, gap = tiling.overlap / 2, 0.8
    row, column = tile.row, tile.column
    around: tuple[tuple[int, int, str, Point, Anchor], ...] = (
        (row, column - 1, "◂ {}", (box.left + gap, y), "start"),
        (row, column + 1, "{} ▸", (box.right - gap, y), "end"),
        (row - 1, column, "▴ {}", (x, box.top - inset), "middle"),
        (row + 1, column, "▾ {}", (x, box.bottom + inset), "middle"),
    )
    marks: list[Mark] = []
    for other_row, other_column, pattern, at, anchor in around:
        if not (0 <= other_row < tiling.rows and 0 <= other_column < tiling.columns):
            continue
        name = tile_name(other_row, other_column)
        if name not in missing:
            label = pattern.format(name)
            marks.append(Text(at, label, 2.5, anchor, "middle", weight="bold", pen="accent"))
    return marks


def _crosses(tiling: Tiling, tile: Tile) -> list[tuple[Point, bool]]:
    """Crosses that fall on this tile: on every seam, and ringed at the mosaic's corners."""
    corners, box = tiling.corners, tile.box
    found: list[tuple[Point, bool]] = [
        ((x, y), True) for x in (corners.left, corners.right) for y in (corners.bottom, corners.top)
    ]
    lines_x = (corners.left, *tiling.seams_x, corners.right)
    lines_y = (corners.bottom, *tiling.seams_y, corners.top)
    along_y = [*lines_y, *_quarters(lines_y)]
    along_x = [*lines_x, *_quarters(lines_x)]
    found += [((x, y), False) for x in tiling.seams_x for y in along_y]
    found += [((x, y), False) for y in tiling.seams_y for x in along_x if x not in tiling.seams_x]
    return [
        (at, ringed)
        for at, ringed in found
        if box.left < at[0] < box.right and box.bottom < at[1] < box.top
    ]


def _quarters(lines: Sequence[float]) -> list[float]:
    """A quarter and three quarters of the way between neighbors; the middle is for the neighbor's name."""
    return [a + (b - a) * share for a, b in pairwise(lines) for share in (0.25, 0.75)]


def _header(tiling: Tiling, tile: Tile, words: SheetWords) -> list[Mark]:
    page, margin = tiling.page, tiling.margin
    left, right, top = tiling.window.left, page.right - margin, page.top - margin
    name = Text((left, top), tile.name, 9.0, "start", "top", weight="bold", pen="visible")
    start = left + max(name.size()[0], 18.0) + 6.0
    if words.code:  # the code itself is the same on every tile
        right -= HEADER_CODE + 3.0
    side = min(58.0, (right - start) / 2)
    room = right - start - side - 4.0
    marks: list[Mark] = [name]
    marks.append(fitted((start, top), words.title, room, 4.2, weight="bold", pen="visible"))
    marks.append(fitted((start, top - 6.6), words.face, room, 3.2, weight="bold", pen="accent"))
    for index, text in enumerate((words.project, words.fingerprint)):
        marks.append(fitted((right, top - 5.0 * index), text, side, 2.5, "end"))
    return marks


def _footer(tiling: Tiling, words: SheetWords, *, page: int, pages: int) -> list[Mark]:
    window, margin = tiling.window, tiling.margin
    left, right, bottom = window.left + 112.0, tiling.page.right - margin, margin
    room = right - left
    number = f"page {page} of {pages}"
    advice = (
        "Trim dashed edges, lay cross on cross."
        if tiling.rows * tiling.columns > 1
        else "Check both rulers before use."
    )
    return [
        fitted((right, bottom + 12.4), SCALE_WORDS, room, 2.5, "end", weight="bold", pen="visible"),
        fitted((right, bottom + 8.2), advice, room, 2.2, "end"),
        Text((right, bottom + 0.8), number, 2.2, "end"),
    ]


def code_marks(corner: Point, text: str, size: float) -> list[Mark]:
    """The squares of a code by ISO/IEC 18004, dark ones that lie side by side as one.

    Args:
        corner: Its upper right corner.
        text: What it holds.
        size: Its edge. [mm]
    """
    rows = code_rows(text)
    pitch = size / len(rows)
    left, top = corner[0] - size, corner[1]
    marks: list[Mark] = []
    for number, row in enumerate(rows):
        high, low = top - number * pitch, top - (number + 1) * pitch
        start = 0
        for dark, run in groupby(row):
            end = start + len(list(run))
            if dark:
                x0, x1 = left + start * pitch, left + end * pitch
                outline = Polyline(((x0, low), (x1, low), (x1, high), (x0, high)), closed=True)
                marks.append(Region(outline, material="ink", pen="visible"))
            start = end
    return marks


def fitted(
    at: Point,
    text: str,
    width: float,
    height: float,
    anchor: Anchor = "start",
    *,
    weight: Weight = "regular",
    pen: Pen = "dimension",
) -> Text:
    """Lettering that hangs from `at`, shortened where it is longer than `width` [mm]."""
    short = shortened(text, width, height=height, weight=weight)
    return Text(at, short, height, anchor, "top", weight=weight, pen=pen)


__all__ = [
    "HEADER_CODE",
    "SCALE_WORDS",
    "SheetWords",
    "code_marks",
    "cross",
    "fitted",
    "ghost_name",
    "own_marks",
    "ruler",
    "same_marks",
]
