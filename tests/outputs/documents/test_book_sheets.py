"""Sheets of pieces and pictures of steps in the bench book, read back with pdfium."""

import re
from itertools import pairwise

import pytest
from tests.outputs.documents.book_bench import BOUND, bound_book, plain
from tests.outputs.pages import MM

from casewright.outputs.drawings.part_view import SHORT, SMALL
from casewright.outputs.drawings.step_view import step_drawings
from casewright.outputs.drawings.style import MATERIALS

FACES = {"show": "SHOWFACE", "back": "BACKFACE"}


@pytest.fixture(scope="module", params=BOUND)
def bound(request):
    made = bound_book(*request.param)
    return made.source, made.book.pages, made.book.texts


def chapter_pages(texts, title):
    """Places of the pages that bear this running head."""
    return [n for n, text in enumerate(texts) if title in text.split("\n")[0]]


def test_the_list_of_pieces_names_the_page_of_each(bound):
    source, pages, texts = bound
    first = chapter_pages(texts, "Pieces")[0]
    told = [
        int(word.text)
        for page in pages[first : first + 2]
        for word in page.words
        if word.right > page.width - 56 * MM and word.text.isdigit() and word.top > 60 * MM
        if word.bottom < page.height - 50 * MM
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
    source, pages, texts = bound
    drawings = step_drawings(source.cabinet, source.work.steps, room=(60.0, 50.0))
    color = MATERIALS["new"].ground
    new = tuple(int(color[i : i + 2], 16) for i in (1, 3, 5))
    showing = sum(
        any(shape.fill == new for shape in pages[n].shapes if not shape.is_line)
        for n in chapter_pages(texts, "Order of work")
    )
    # Four steps at most find room on a page.
    assert showing >= len(drawings) / 4


def test_fractions_are_set_as_fractions(bound):
    """The upper figures stand higher than the lower ones and both are smaller than the whole inches."""
    source, pages, texts = bound
    numbers = [n for n, text in enumerate(texts) if re.search(r"same \d+\s\d+/\d+", text)]
    if source.style.unit != "in":
        assert not numbers
        return
    page = pages[numbers[0]]
    whole, fraction = next(
        (one, other)
        for one, other in pairwise(page.words)
        if one.text.isdigit() and re.fullmatch(r"\d+/\d+", other.text)
    )
    stroke = fraction.text.index("/")
    size, _ = page.stands(whole.signs[0])
    upper = [page.stands(sign) for sign in fraction.signs[:stroke]]
    lower = [page.stands(sign) for sign in fraction.signs[stroke + 1 :]]
    assert all(small < size for small, _ in (*upper, *lower))
    assert max(baseline for _, baseline in upper) < min(baseline for _, baseline in lower)
