"""The sheet that aligns a display behind its opening, at true size as seen from the back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from casewright.basics.units import LengthStyle, format_length
from casewright.catalog.kinds import Display
from casewright.geometry.alignment import AlignmentSheet, alignment
from casewright.geometry.fitting import Stack
from casewright.geometry.model import Cabinet, Placed
from casewright.geometry.openings import Area
from casewright.outputs.drawings.lettering import text_width
from casewright.outputs.drawings.marks import (
    Box,
    Circle,
    Drawing,
    Line,
    Mark,
    Motion,
    Pen,
    Point,
    Text,
    rectangle,
)
from casewright.outputs.drawings.symbols import CentreMark, arrow_head

BEYOND = 12.0
"""Paper beyond what is drawn. [mm]"""
LETTER = 3.5
ROW = 6.0
"""From line to line of lettering. [mm]"""
SAME = 0.05
"""Outlines nearer than this share one line and one name. [mm]"""
BACK_WORDS = "SEEN FROM THE BACK (mirrored)"


@dataclass(frozen=True)
class AlignmentView:
    """A display's alignment sheet as drawn."""

    display: str
    """Key of the placed display."""
    title: str
    drawing: Drawing
    """At scale 1, mirrored: x runs to the left of the show face."""
    notes: tuple[str, ...]


def alignment_views(cabinet: Cabinet, style: LengthStyle) -> tuple[AlignmentView, ...]:
    """Return the alignment sheet of every display, in the project's order.

    Source:
        Plain geometry; seen from the back, x = most u - u.
    """
    return tuple(
        _view(cabinet, placed, data, style)
        for placed in cabinet.placed
        if isinstance(data := placed.part.data, Display) and placed.piece in cabinet.piece_by_key
    )


def _view(cabinet: Cabinet, placed: Placed, data: Display, style: LengthStyle) -> AlignmentView:
    board = cabinet.piece_by_key[placed.piece]
    layers = [p for p in cabinet.pieces if p.kind == "overlay" and p.panel == board.key]
    sheet = alignment(placed, data, Stack(board.panel, (*layers, board)), cabinet.project)
    rails = [
        Area.of(p.show)
        for p in cabinet.pieces
        if p.kind == "rail" and p.key.startswith(f"{placed.key}.")
    ]
    whole = _around([sheet.housing, sheet.lit, *rails])
    frame = whole.grown(BEYOND)
    motion = Motion(frame.right, -frame.bottom, flip=True)
    paper = Box(0.0, 0.0, frame.width, frame.height)
    shape = sheet.opening
    opening = Area.around(shape.u, shape.v, shape.width, shape.height)
    marks: list[Mark] = [_box(rail, "hidden", motion) for rail in rails]
    marks.append(_box(sheet.housing, "visible", motion))
    marks.append(_box(opening, "thin", motion, shape.radius))
    alone = max(abs(a - b) for a, b in zip(_sides(sheet.lit), _sides(opening), strict=True)) > SAME
    if alone:
        marks.append(_box(sheet.lit, "phantom", motion))
    marks += _centre_lines(sheet, paper, motion)
    for hole in sheet.holes:
        at = motion.point((hole.u, hole.v))
        marks += [Circle(at, hole.diameter / 2), CentreMark(at, hole.diameter / 2)]
    marks += _words(sheet, data, opening, motion, style, alone=alone, rails=bool(rails))
    title = f"alignment sheet: {sheet.label}"  # a narrow sheet cuts off its end
    return AlignmentView(
        placed.key, title, Drawing(title, tuple(marks), paper), _notes(sheet, board.label, style)
    )


def _words(
    sheet: AlignmentSheet,
    data: Display,
    opening: Area,
    motion: Motion,
    style: LengthStyle,
    *,
    alone: bool,
    rails: bool,
) -> Iterator[Mark]:
    """Names of the outlines on the left half, the face and the way up on the right half of the sheet."""
    inner = opening.common(sheet.lit)
    left, top = motion.point((inner.right, inner.top))
    x, y = left + ROW, top - 2 * ROW
    names = ["wide line: housing"]
    if alone:
        names += ["narrow line: opening", "double chain line: lit area"]
    else:
        names.append("narrow line: opening and lit area")
    if rails:
        names.append("dashed lines: rails")
    if sheet.holes:
        names.append(f"circles: {len(sheet.holes)} × {data.pattern_screw}, behind the housing")
    for index, name in enumerate(names):
        yield Text((x, y - index * ROW), name, LETTER)
    right, low = motion.point((inner.left, inner.bottom))
    yield Text((right - ROW, low + ROW), BACK_WORDS, 5.0, "end", weight="bold")
    foot = (right - 2 * ROW, top - 5 * ROW)
    tip = (foot[0], top - 2 * ROW)
    yield Line(foot, tip)
    yield arrow_head(tip, 90.0, size=ROW)
    yield Text((foot[0] - ROW / 2, foot[1]), "UP", 5.0, "end", weight="bold")
    cx, cy = motion.point(sheet.centre)
    size = f"{_length(sheet.lit.width, style)} × {_length(sheet.lit.height, style)}"
    wide = text_width(size, LETTER)
    yield Text((cx - wide - ROW / 2, cy + ROW / 4), size, LETTER)


def _centre_lines(sheet: AlignmentSheet, paper: Box, motion: Motion) -> Iterator[Mark]:
    x, y = motion.point(sheet.centre)
    yield Line((x, paper.bottom + 2), (x, paper.top - 2), "centre")
    yield Line((paper.left + 2, y), (paper.right - 2, y), "centre")


def _notes(sheet: AlignmentSheet, panel: str, style: LengthStyle) -> tuple[str, ...]:
    u, v = sheet.centre
    across = _length(sheet.back.right - u, style)
    up = _length(v - sheet.back.bottom, style)
    return (
        f"It goes on the back face of the {panel}, printed side toward you, UP toward its upper edge.",
        f"The centre lines cross {across} from the left end and {up} from the lower edge of the back face, as seen.",
        "Cut the lit area out of the paper: through it the opening must show the same margin all round.",
        "Stand the housing on its outline, show a full white picture, and shim before anything is tightened.",
    )


def _length(length: float, style: LengthStyle) -> str:
    return format_length(length, style, glyphs="typeset")


def _sides(area: Area) -> tuple[float, float, float, float]:
    return (area.left, area.bottom, area.right, area.top)


def _around(areas: list[Area]) -> Area:
    corners: list[Point] = [p for a in areas for p in a.outline]
    return Area.of(corners)


def _box(area: Area, pen: Pen, motion: Motion, radius: float = 0.0) -> Mark:
    box = Box(area.left, area.bottom, area.right, area.top)
    return rectangle(box, radius=radius, pen=pen).through(motion)


__all__ = ["BACK_WORDS", "BEYOND", "AlignmentView", "alignment_views"]
