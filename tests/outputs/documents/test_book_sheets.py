"""Sheets of pieces and pictures of steps in the bench book, read back with pdfplumber."""

import io
import re

import pdfplumber
import pytest
from tests.outputs.documents.test_book import EXAMPLES, plain, source_of

from casewright.outputs.documents.book import PAPERS, compile_book
from casewright.outputs.drawings.part_view import SHORT, SMALL
from casewright.outputs.drawings.step_view import step_drawings
from casewright.outputs.drawings.style import MATERIALS
from casewright.workflow import open_project, work_out

FACES = {"show": "SHOWFACE", "back": "BACKFACE"}


@pytest.fixture(scope="module", params=[("library-duel", "A4"), ("mill-console", "Letter")])
def bound(request):
    name, size = request.param
    worked = work_out(open_project(EXAMPLES / f"{name}.cabinet.yaml"))
    source = source_of(worked, PAPERS[size])
    with pdfplumber.open(io.BytesIO(compile_book(source, PAPERS[size]))) as pdf:
        texts = [page.extract_text() or "" for page in pdf.pages]
        yield source, pdf, texts


def chapter_pages(texts, title):
    """Places of the pages that bear this running head."""
    return [n for n, text in enumerate(texts) if title in text.split("\n")[0]]


def test_the_list_of_pieces_names_the_page_of_each(bound):
    source, pdf, texts = bound
    first = chapter_pages(texts, "Pieces")[0]
    told = [
        int(word["text"])
        for page in pdf.pages[first : first + 2]
        for word in page.extract_words()
        if word["x1"] > page.width - 56 and word["text"].isdigit() and word["top"] > 60
        if word["bottom"] < page.height - 50
    ]
    pieces = list(dict.fromkeys(sheet.piece for sheet in source.sheets))
    listed = told[: len(pieces)]
    assert len(listed) == len(pieces)
    labels = {sheet.piece: sheet.label for sheet in reversed(source.sheets)}
    for piece, number in zip(pieces, listed, strict=True):
        assert plain(labels[piece]) in plain(texts[number - 1]), (piece, number)


def test_a_sheet_that_fits_a_page_is_not_broken(bound):
    """A page without a face's heading holds the rest of a sheet too long for one: a side's, or one of many holes."""
    source, _, texts = bound
    pages = chapter_pages(texts, "Pieces")
    text = plain("".join(texts[n] for n in pages))
    assert sum(text.count(face) for face in FACES.values()) == len(source.sheets)
    rests = [n for n in pages[1:] if not any(face in plain(texts[n]) for face in FACES.values())]
    long = [sheet for sheet in source.sheets if sheet.mark_rows or len(sheet.hole_rows) > 16]
    assert len(rests) <= len(long)


def test_small_pieces_share_pages_at_one_scale(bound):
    source, _, texts = bound
    kinds = {piece.key: piece for piece in source.cabinet.pieces}
    small = [sheet for sheet in source.sheets if kinds[sheet.piece].kind in SMALL]
    pages = [plain(texts[n]) for n in chapter_pages(texts, "Pieces")[1:]]
    used = [text for text in pages if any(plain(sheet.label) + "B" in text for sheet in small)]
    assert len(used) <= 0.7 * len(small)
    lengths = {s.piece: max(kinds[s.piece].width, kinds[s.piece].height) for s in small}
    common = min(sheet.scale for sheet in small)
    for sheet in small:
        assert sheet.scale == common or lengths[sheet.piece] * common < SHORT, sheet.label


def test_every_picture_of_a_step_stands_on_a_page_of_its_chapter(bound):
    """Pictures are told by their fill: the color of what is new is used for nothing else there."""
    source, pdf, texts = bound
    drawings = step_drawings(source.cabinet, source.steps, room=(60.0, 50.0))
    showing = sum(
        any(is_new(shape) for shape in (*pdf.pages[n].curves, *pdf.pages[n].rects))
        for n in chapter_pages(texts, "Order of work")
    )
    # Four steps at most find room on a page.
    assert showing >= len(drawings) / 4


def is_new(shape):
    """Whether a shape is filled with the color of what a step adds."""
    color = shape["non_stroking_color"]
    if not shape["fill"] or not isinstance(color, (list, tuple)) or len(color) != 3:
        return False
    wanted = [int(MATERIALS["new"].ground[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    return all(abs(float(a) - b) < 0.01 for a, b in zip(color, wanted, strict=True))


def test_fractions_are_set_as_fractions(bound):
    """The upper figures stand higher than the lower ones and both are smaller than the whole inches."""
    source, pdf, texts = bound
    numbers = [n for n, text in enumerate(texts) if re.search(r"same \d+ \d+/\d+", text)]
    if source.style.unit != "in":
        assert not numbers
        return
    page = pdf.pages[numbers[0]]
    line = next(
        line for line in page.extract_text_lines() if re.match(r"(\d+) \d+/\d+ ", line["text"])
    )
    whole, top, bottom = re.match(r"(\d+) (\d+)/(\d+)", line["text"]).groups()
    signs = line["chars"][: len(whole + top + bottom) + 1]
    signs = [sign for sign in signs if sign["text"].strip()]
    upper = signs[len(whole) : len(whole) + len(top)]
    lower = signs[len(whole) + len(top) + 1 :]
    assert all(sign["size"] < signs[0]["size"] for sign in (*upper, *lower))
    assert max(sign["matrix"][5] for sign in lower) < min(sign["matrix"][5] for sign in upper)
