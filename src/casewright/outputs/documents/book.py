"""The bench book: one PDF with all that is read at the bench, from the first look to the last screw.

Chapters are plain data (`book_blocks`); one Typst file sets them. User's words go in as JSON and are never read as
markup.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from importlib.resources import files

from casewright.assets import FONT_FAMILY
from casewright.outputs.bench_links import STEP_LIST
from casewright.outputs.documents.book_assembly import assembly_chapter, fastenings_chapter
from casewright.outputs.documents.book_blocks import (
    BOTTOM,
    SIDE,
    TOP,
    Block,
    BookSource,
    Writer,
)
from casewright.outputs.documents.book_built import built_chapter
from casewright.outputs.documents.book_buying import buying_chapter
from casewright.outputs.documents.book_closing import (
    safety_chapter,
    wiring_chapter,
    words_chapter,
)
from casewright.outputs.documents.book_codes import opens
from casewright.outputs.documents.book_cover import cover
from casewright.outputs.documents.book_cutting import cutting_chapter
from casewright.outputs.documents.book_findings import findings_chapter, measuring_chapter
from casewright.outputs.documents.book_finishing import finishing_chapter
from casewright.outputs.documents.book_legend import legend
from casewright.outputs.documents.book_lists import service_chapter
from casewright.outputs.documents.book_making import (
    drilling_chapter,
    routing_chapter,
    setups_chapter,
)
from casewright.outputs.documents.book_parts import part_room, parts_chapter, sheets_in
from casewright.outputs.documents.book_topics import topics_chapter
from casewright.outputs.documents.tiles import PAPERS, Paper
from casewright.outputs.documents.typesetting import Beginning, Script, at_once
from casewright.outputs.drawings.lettering import one_line, shortened

Chapter = Callable[[Writer], Iterator[Block]]

CHAPTERS: tuple[Chapter, ...] = (
    findings_chapter,
    built_chapter,
    topics_chapter,
    measuring_chapter,
    buying_chapter,
    cutting_chapter,
    setups_chapter,
    parts_chapter,
    routing_chapter,
    drilling_chapter,
    assembly_chapter,
    fastenings_chapter,
    wiring_chapter,
    finishing_chapter,
    safety_chapter,
    words_chapter,
    service_chapter,
)
"""In the order of the job."""

KIND = "bench book"

PAGE_CODE = 15.0
"""Edge of the code in a page's head; more than 0.3 mm a square. [mm]"""
HEADER_HEIGHT = 2.35
"""Height of the running head's capitals: 9 points of the shipped font. [mm]"""


def compile_book(source: BookSource, paper: Paper) -> bytes:
    """Return the bench book as a PDF.

    Args:
        source: All that it tells; its sheets laid out for `part_room(paper)`.
        paper: The paper it is printed on, upright.

    Returns:
        The file. Same source and paper, same bytes.
    """
    return book_script(source, paper).pdf()


def book_script(source: BookSource, paper: Paper, *, begin: Beginning[object] = at_once) -> Script:
    """The bench book before it is set.

    Args:
        source: All that it tells; its sheets laid out for `part_room(paper)`.
        paper: The paper it is printed on, upright.
        begin: Begins the measuring of the pieces' sheets, which stay whole on their pages: work for the typesetter
            that waits for no other chapter.
    """
    writer = Writer(source, paper)
    pieces = list(parts_chapter(writer))
    measured = {"measured": [sheet for block in pieces for sheet in sheets_in(block)]}
    measuring = Script(book_template(), paged(writer, KIND, measured), dict(writer.pictures))
    heights = begin(lambda: measuring.told("heights"))
    data = paged(writer, KIND, {"blocks": _blocks(writer, pieces)})
    return Script(book_template(), data, writer.pictures, {"heights": heights})


def book_template() -> bytes:
    """The Typst file that sets a book's blocks."""
    return files("casewright.assets").joinpath("typst", "book.typ").read_bytes()


def book_data(source: BookSource, paper: Paper) -> tuple[dict[str, object], dict[str, bytes]]:
    """The book's data, but for the heights of its sheets, and its pictures by file name."""
    writer = Writer(source, paper)
    blocks = _blocks(writer, list(parts_chapter(writer)))
    return paged(writer, KIND, {"blocks": blocks}), writer.pictures


def _blocks(writer: Writer, pieces: Sequence[Block]) -> list[Block]:
    """All chapters; that of the pieces is written already."""
    blocks: list[Block] = [*opens(writer), cover(writer), {"kind": "contents", "title": "Contents"}]
    blocks += [*opens(writer, view=STEP_LIST), *legend(writer)]
    for chapter in CHAPTERS:
        blocks += pieces if chapter is parts_chapter else chapter(writer)
    return blocks


def paged(writer: Writer, kind: str, content: Mapping[str, Sequence[Block]]) -> dict[str, object]:
    """Blocks with all that their pages need.

    Args:
        writer: That wrote them.
        kind: Of document: "bench book".
        content: What is set: "blocks" in order; or what is "measured", sheets.
    """
    project, paper = writer.cabinet.project, writer.paper
    return {
        "title": one_line(f"{project.name}: {kind}"),
        "name": shortened(project.name, writer.width * 0.38, height=HEADER_HEIGHT),
        "fingerprint": writer.fingerprint,
        "foot": f"Sizes in {writer.unit_words}. Print at 100 %.",
        "font": FONT_FAMILY,
        "unit": writer.source.style.unit,
        "page": {
            "width": paper.width,
            "height": paper.height,
            "side": SIDE,
            "top": TOP,
            "bottom": BOTTOM,
        },
        **content,
        "codes": {"size": PAGE_CODE, **writer.places},
    }


__all__ = [
    "PAPERS",
    "BookSource",
    "Paper",
    "book_data",
    "book_script",
    "book_template",
    "compile_book",
    "paged",
    "part_room",
]
