"""The first page of several templates: what there is, how many sheets each takes, and a ruler to try the printer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from casewright.outputs.documents.template_marks import (
    SCALE_WORDS,
    code_marks,
    fitted,
    ruler,
)
from casewright.outputs.documents.tiles import Paper
from casewright.outputs.drawings.lettering import Weight, wrapped
from casewright.outputs.drawings.marks import Box, Line, Mark, Text, moved

PITCH = 6.6
"""From row to row. [mm]"""
HEAD, FOOT = 52.0, 30.0
"""Room above the rows and below them. [mm]"""
CODE = 20.0
"""Edge of the square code. [mm]"""
HEIGHT = 3.0
"""Of the lettering. [mm]"""

LEAD = (
    "Print this page first and lay a steel rule on the ruler below. Each template begins with an overview: its sizes "
    "to check and how to tape it together. Print the pages of those you want."
)


@dataclass(frozen=True)
class Entry:
    """One template."""

    title: str
    face: str
    sheets: int
    """Tiles to tape together, the overview not counted; 0 where it is too large to be taped together."""
    first: int
    """Number of its first page, from 1: the overview."""

    @property
    def pages(self) -> str:
        """Its pages, as a printing dialog takes them."""
        if not self.sheets:
            return "none"
        return f"{self.first}–{self.first + self.sheets}"


def rows_on(paper: Paper, margin: float) -> int:
    """How many templates one page of contents lists."""
    return max(1, int((paper.height - 2 * margin - HEAD - FOOT) / PITCH))


def contents_count(templates: int, paper: Paper, margin: float, *, left_out: int = 0) -> int:
    """How many pages of contents so many templates take; a single one needs none, if none is left out."""
    listed = templates + left_out
    return 0 if listed < 2 and not left_out else -(-listed // rows_on(paper, margin))


def contents_pages(
    entries: Sequence[Entry],
    paper: Paper,
    *,
    margin: float,
    project: str,
    fingerprint: str,
    pages: int,
    code: str = "",
) -> tuple[tuple[Mark, ...], ...]:
    """Lay out the contents, upright.

    Args:
        entries: The templates, in order.
        paper: The sheets in the printer.
        margin: White that the printer needs along the edges. [mm]
        project: Name of the project.
        fingerprint: Short mark of the project's state.
        pages: Number of all pages.
        code: What the square code in the head holds; "" for none.
    """
    size = rows_on(paper, margin)
    parts = [entries[at : at + size] for at in range(0, len(entries), size)]
    area = Box(0.0, 0.0, paper.width, paper.height).grown(-margin)
    return tuple(
        (
            *_head(area, paper, project, fingerprint, code),
            *_rows(area, part),
            *moved(ruler(), area.left + 4.0, area.bottom + 12.0),
            Text((area.right - 4.0, area.bottom + 4.0), f"page {number} of {pages}", 2.5, "end"),
        )
        for number, part in enumerate(parts, 1)
    )


def _head(area: Box, paper: Paper, project: str, fingerprint: str, code: str) -> list[Mark]:
    left, right, level = area.left + 4.0, area.right - 4.0, area.top - 4.0
    room = right - left
    marks: list[Mark] = [
        fitted((left, level), "Templates", room * 0.6, 6.0, weight="bold", pen="visible"),
        fitted((left, level - 9.5), project, room * 0.6, 4.0, weight="bold", pen="accent"),
    ]
    aside = 0.0
    if code:
        marks += code_marks((right, level), code, CODE)
        aside = CODE + 3.0
    for index, words in enumerate((fingerprint, paper.name)):
        at = (right - aside, level - 5.0 * index)
        marks.append(fitted(at, words, room * 0.35 - aside, 2.5, "end"))
    level -= 19.0
    for line in (*wrapped(LEAD, room - aside, height=HEIGHT), SCALE_WORDS):
        weight: Weight = "bold" if line == SCALE_WORDS else "regular"
        marks.append(
            Text((left, level), line, HEIGHT, vertical="top", weight=weight, pen="visible")
        )
        level -= 4.8
    return marks


def _rows(area: Box, entries: Sequence[Entry]) -> list[Mark]:
    left, right, level = area.left + 4.0, area.right - 4.0, area.top - HEAD
    face, sheets = left + (right - left) * 0.52, right - 22.0
    marks: list[Mark] = [
        fitted((left, level), "template", 60.0, 2.5),
        fitted((face, level), "fixed to the part with its", 60.0, 2.5),
        fitted((sheets, level), "sheets", 20.0, 2.5, "end"),
        fitted((right, level), "pages", 20.0, 2.5, "end"),
        Line((left, level - 4.4), (right, level - 4.4), "visible"),
    ]
    for entry in entries:
        level -= PITCH
        at = level - 0.5
        marks += [
            fitted((left, at), entry.title, face - left - 4.0, HEIGHT, weight="bold"),
            fitted((face, at), entry.face, sheets - face - 14.0, HEIGHT),
            fitted((sheets, at), str(entry.sheets), 14.0, HEIGHT, "end"),
            fitted((right, at), entry.pages, 20.0, HEIGHT, "end"),
            Line((left, level - 5.2), (right, level - 5.2), "thin"),
        ]
    return marks


__all__ = ["Entry", "contents_count", "contents_pages", "rows_on"]
