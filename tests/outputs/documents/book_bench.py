"""Bench books of the examples and of a box, made and read back once for all tests."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from tests.outputs.drawings.sheets_bench import EXAMPLES, example
from tests.outputs.pages import Book, read_pages

from casewright.outputs.documents.book import PAPERS, BookSource, Paper, compile_book, part_room
from casewright.outputs.drawings.part_view import part_drawings
from casewright.planning.work import plan_work
from casewright.workflow import Worked

BOUND = (("library-duel", "A4"), ("mill-console", "Letter"))
"""An example in millimeters and one in inches, each on its country's paper."""


@dataclass(frozen=True)
class Bound:
    """An example's bench book, and what it was made from."""

    worked: Worked
    source: BookSource
    paper: Paper
    pdf: bytes
    book: Book


@cache
def bound_book(name: str, size: str) -> Bound:
    """An example's bench book on a paper."""
    worked, paper = example(name), PAPERS[size]
    source = source_of(worked, paper)
    pdf = compile_book(source, paper)
    return Bound(worked, source, paper, pdf, read_pages(pdf))


def source_of(worked: Worked, paper: Paper) -> BookSource:
    """What a book is made from."""
    cabinet, style = worked.cabinet, worked.opened.style
    return BookSource(
        cabinet=cabinet,
        findings=worked.findings,
        cutting=worked.cutting,
        shopping=worked.shopping,
        behavior=worked.behavior,
        work=plan_work(cabinet, worked.cutting),
        sheets=part_drawings(cabinet, style, room=part_room(paper)),
        style=style,
    )


def plain(text: str) -> str:
    """Text without breaks, hyphenation marks and spaces, for finding words across lines."""
    return re.sub(r"[\s\u200b\u202f\u00a0]+", "", text)


def all_text(book: Book) -> str:
    """All that a book says, without breaks and spaces."""
    return plain("".join(book.texts))


__all__ = ["BOUND", "EXAMPLES", "Bound", "all_text", "bound_book", "plain", "source_of"]
