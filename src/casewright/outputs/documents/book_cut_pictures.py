"""A small picture after each cut: what lies on the bench, and which piece stayed against the fence."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.outputs.documents.book_blocks import Block, Writer, spans
from casewright.outputs.drawings.lettering import text_width
from casewright.outputs.drawings.marks import (
    Box,
    Drawing,
    Line,
    Mark,
    Point,
    Region,
    Text,
    moved,
    rectangle,
)
from casewright.planning.cutting import SheetLayout
from casewright.planning.cutting.model import CutResult, CutStep

ABREAST, SQUARE_ABREAST = 6, 7
"""Pictures in a row, for a long sheet and for one that is nearly square."""
HIGHEST = 22.0
"""Of a picture. [mm on paper]"""
GAP = 4.0
"""Between two. [mm on paper]"""
WORDS = 2.2
"""Height of the lettering. [mm]"""

Lying = tuple[Box, str]
"""A piece on the bench, and its name if it has one."""


def cut_pictures(writer: Writer, sheet: SheetLayout) -> Iterator[Block]:
    """Rows of pictures, one after each cut."""
    abreast = ABREAST if sheet.length > 1.5 * sheet.width else SQUARE_ABREAST
    wide = (writer.width - 2 - GAP * (abreast - 1)) / abreast
    scale = min(wide / sheet.length, HIGHEST / sheet.width)
    pictures, titles = [], []
    trims: list[int] = []
    for cut, after, lying in zip(sheet.cuts, (*sheet.cuts[1:], None), benches(sheet), strict=True):
        trims = [*trims, cut.number] if cut.trimming else []
        if cut.trimming and after is not None and after.trimming:
            continue  # one picture shows all edges trimmed
        words = "trimmed" if trims else writer.figure(cut.fence)
        number = spans(trims) if trims else str(cut.number)
        pictures.append(after_cut(sheet, cut, lying, scale, number, words))
        titles.append(number)
    for at in range(0, len(pictures), abreast):
        row: list[Mark] = []
        for place, marks in enumerate(pictures[at : at + abreast]):
            row += moved(marks, place * (wide + GAP) / scale, 0.0)
        title = f"After cut {', '.join(titles[at : at + abreast])}"
        # As wide as a full row, so that the last one starts at the left too.
        full = (abreast * (wide + GAP) - GAP) / scale
        room = Box(0.0, -(WORDS + 2.0) / scale, full, sheet.width)
        yield writer.drawing(Drawing(title, tuple(row), room, scale=scale), margin=0.5)


def benches(sheet: SheetLayout) -> tuple[tuple[Lying, ...], ...]:
    """What still lies there to be cut after each cut, aside from that cut's own two results.

    Finished parts, offcuts to keep and waste leave the bench with the next cut.
    """
    lying: list[Lying] = [(Box(0.0, 0.0, sheet.length, sheet.width), "")]
    found = []
    for cut in sheet.cuts:
        lying = [(box, name) for box, name in lying if not _same(box, _box_of(cut))]
        found.append(tuple(lying))
        lying += [(_box_of(r), _name(r)) for r in cut.results if r.kind == "piece"]
    return tuple(found)


def after_cut(
    sheet: SheetLayout,
    cut: CutStep,
    lying: Sequence[Lying],
    scale: float,
    number: str,
    words: str,
) -> tuple[Mark, ...]:
    """One picture: the sheet's place in thin lines, the two results where they lay, the kept one tinted."""
    marks: list[Mark] = [rectangle(Box(0.0, 0.0, sheet.length, sheet.width), pen="ghost")]
    for box, name in lying:
        marks += [rectangle(box, pen="thin"), *_lettered(box, name, scale)]
    for index, result in enumerate(cut.results):
        box = _box_of(result)
        if result.kind == "waste":
            marks.append(Region(rectangle(box), material="waste"))
        elif index == 0:
            marks.append(Region(rectangle(box), material="part"))
        marks += [rectangle(box), *_lettered(box, _name(result), scale)]
    start, end = cut_line(cut)
    marks.append(Line(start, end, "accent"))
    level = -(WORDS + 1.4) / scale
    after = (text_width(number, WORDS, "bold") + 1.4) / scale
    return (
        *marks,
        Text((0.0, level), number, WORDS, weight="bold", pen="accent"),
        Text((after, level), words, WORDS),
    )


def pictures_height(sheet: SheetLayout) -> float:
    """About how high the rows come, at most. [mm]"""
    abreast = ABREAST if sheet.length > 1.5 * sheet.width else SQUARE_ABREAST
    trims = sum(cut.trimming for cut in sheet.cuts)
    rows = -(-(len(sheet.cuts) - max(0, trims - 1)) // abreast)
    return rows * (min(HIGHEST, 25.0 * sheet.width / sheet.length) + WORDS + 9.0)


def cut_line(cut: CutStep) -> tuple[Point, Point]:
    """Where the blade runs, beside the piece that stays against the fence."""
    kept = cut.results[0]
    if cut.direction == "rip":
        low = abs(kept.y - cut.y) < 1e-6
        y = kept.y + kept.width if low else kept.y
        return (cut.x, y), (cut.x + cut.length, y)
    low = abs(kept.x - cut.x) < 1e-6
    x = kept.x + kept.length if low else kept.x
    return (x, cut.y), (x, cut.y + cut.width)


def _lettered(box: Box, name: str, scale: float) -> list[Mark]:
    wide, high = box.width * scale, box.height * scale
    room = text_width(name, WORDS) + 1.6
    if not name or min(wide, high) < 1.3 * WORDS or max(wide, high) < room:
        return []
    angle = 0.0 if room <= wide else 90.0
    return [Text(box.centre, name, WORDS, "middle", "middle", angle_deg=angle)]


def _name(result: CutResult) -> str:
    """Pieces by their letter, parts by their name; the rest goes without."""
    if result.kind == "piece":
        return result.name.removeprefix("piece ")
    return result.name if result.kind == "part" else ""


def _box_of(piece: CutStep | CutResult) -> Box:
    return Box(piece.x, piece.y, piece.x + piece.length, piece.y + piece.width)


def _same(a: Box, b: Box) -> bool:
    ends = zip((a.left, a.bottom, a.right, a.top), (b.left, b.bottom, b.right, b.top), strict=True)
    return all(abs(x - y) < 1e-3 for x, y in ends)


__all__ = ["after_cut", "benches", "cut_line", "cut_pictures", "pictures_height"]
