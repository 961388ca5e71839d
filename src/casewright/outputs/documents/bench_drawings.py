"""Two small PDFs beside the bench book: drawings and lists for the bench, and the service sheet for the cabinet."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from casewright.outputs.documents.book import book_template, paged
from casewright.outputs.documents.book_blocks import Block, BookSource, Writer
from casewright.outputs.documents.book_display import display_chapter
from casewright.outputs.documents.book_lists import (
    commissioning_chapter,
    dry_fit_chapter,
    service_chapter,
)
from casewright.outputs.documents.book_routing import routing_plans_chapter
from casewright.outputs.documents.tiles import Paper
from casewright.outputs.documents.typesetting import Script

Chapter = Callable[[Writer], Iterator[Block]]

DRAWINGS: tuple[Chapter, ...] = (
    routing_plans_chapter,
    dry_fit_chapter,
    display_chapter,
    commissioning_chapter,
)
"""In the order of the job."""


def drawings_script(source: BookSource, paper: Paper) -> Script:
    """Routing plans, the display's setting, and the check lists, before they are set."""
    return _script(source, paper, "bench drawings", DRAWINGS)


def service_script(source: BookSource, paper: Paper) -> Script:
    """The service sheet by itself, before it is set."""
    return _script(source, paper, "service sheet", (service_chapter,))


def _script(source: BookSource, paper: Paper, kind: str, chapters: tuple[Chapter, ...]) -> Script:
    writer = Writer(source, paper)
    blocks = [block for chapter in chapters for block in chapter(writer)]
    return Script(book_template(), paged(writer, kind, {"blocks": blocks}), writer.pictures)


__all__ = ["DRAWINGS", "drawings_script", "service_script"]
