"""The reader of pages, held against another that knows nothing of it: pdfplumber, which is all Python."""

from __future__ import annotations

import io
from collections import Counter

import numpy
import pdfplumber
import pytest
from tests.outputs.pages import MM, read_pages

from casewright.outputs.documents.templates import SHOW_FACE_UP, TemplateSheet, compile_templates
from casewright.outputs.documents.tiles import PAPERS
from casewright.outputs.drawings.marks import Box, Circle, Drawing, Line, rectangle


@pytest.fixture(scope="module")
def pdf():
    marks = (
        rectangle(Box(0.0, 0.0, 120.0, 80.0)),
        Circle((30.0, 40.0), 14.0),
        Line((60.0, 10.0), (110.0, 70.0)),
    )
    sheet = TemplateSheet(Drawing("Deck", marks), "Deck", SHOW_FACE_UP, ("½″ from the edge.",))
    return compile_templates([sheet], PAPERS["A4"], project="Duel", fingerprint="7f3a")


def test_every_outline_is_found_at_its_place(pdf):
    with pdfplumber.open(io.BytesIO(pdf)) as book:
        assert len(book.pages) == len(read_pages(pdf).pages) == 2
        for page, mine in zip(book.pages, read_pages(pdf).pages, strict=True):
            assert (mine.width, mine.height) == pytest.approx(
                (page.width * MM, page.height * MM), abs=1e-3
            )
            theirs = [
                tuple(shape[side] * MM for side in ("x0", "top", "x1", "bottom"))
                for shape in (*page.lines, *page.rects, *page.curves)
            ]
            assert len(theirs) == len(mine.shapes) > 5
            assert not unmatched(places(mine.shapes), theirs, off=1e-3)
            assert not unmatched(theirs, places(mine.shapes), off=1e-3)
            lines = [shape for shape in mine.shapes if shape.is_line]
            assert len(lines) == len(page.lines)


def test_every_sign_is_found_at_its_place(pdf):
    """pdfplumber tells widths as the font has them, pdfium in whole thousandths of the size."""
    with pdfplumber.open(io.BytesIO(pdf)) as book:
        for page, mine in zip(book.pages, read_pages(pdf).pages, strict=True):
            signs = [sign for sign in page.chars if sign["text"].strip()]
            assert sorted("".join(sign["text"] for sign in signs)) == sorted(
                sign.text for sign in mine.signs
            )
            # Joined letters, as in "fi", are one sign to one reader and two to the other.
            theirs = [
                (ord(sign["text"]), sign["x0"] * MM, (page.height - sign["matrix"][5]) * MM)
                for sign in signs
                if len(sign["text"]) == 1
            ]
            found = [(ord(sign.text), sign.left, mine.stands(sign)[1]) for sign in mine.signs]
            assert len(theirs) > 100
            assert not unmatched(theirs, found, off=0.2)
            sizes = {round(mine.stands(sign)[0], 2) for sign in mine.signs}
            level = [sign for sign in signs if sign["matrix"][1] == 0]
            assert sizes >= {round(sign["size"], 2) for sign in level}


def test_words_are_those_of_the_lines(pdf):
    with pdfplumber.open(io.BytesIO(pdf)) as book:
        for page, mine in zip(book.pages, read_pages(pdf).pages, strict=True):
            level = page.filter(lambda thing: thing.get("upright", True))
            # Figures of a scale stand so close that each reader parts them in its own way.
            said = Counter(
                word for word in level.extract_text().split() if len(word) > 2 and word.isalpha()
            )
            assert said.total() > 10
            assert not said - Counter(word.text for word in mine.words)
            assert not said - Counter(mine.text.split())


def test_another_page_reads_otherwise(pdf):
    """The comparisons above can fail."""
    sheet = TemplateSheet(
        Drawing("Deck", (rectangle(Box(0.0, 0.0, 120.0, 80.1)),)), "Dock", SHOW_FACE_UP
    )
    other = read_pages(compile_templates([sheet], PAPERS["A4"], project="D", fingerprint="7f3a"))
    mine = read_pages(pdf)
    assert other.texts != mine.texts
    assert other.title != mine.title
    assert unmatched(places(other.pages[1].shapes), places(mine.pages[1].shapes), off=1e-3)


def places(shapes):
    return [(shape.left, shape.top, shape.right, shape.bottom) for shape in shapes]


def unmatched(those, others, *, off):
    """Those that none of the others is like, in every number."""
    near = numpy.abs(numpy.array(those)[:, None] - numpy.array(others)[None]).max(axis=2) <= off
    return [those[i] for i in numpy.flatnonzero(~near.any(axis=1))]
