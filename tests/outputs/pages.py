"""A PDF's pages as a program of another's making reads them: pdfium, which browsers print and show PDFs with.

Places are told in millimeters from a page's upper left corner, as they are measured on paper.
"""

from __future__ import annotations

import atexit
import ctypes
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import hypot

import pypdfium2
import pypdfium2.raw as pdfium

MM = 25.4 / 72  # a PDF point is 1/72 in (ISO 32000-1, 8.3.2.3)

Point = tuple[float, float]


@dataclass(frozen=True)
class Spread:
    """What has a left, a right, a top and a bottom. [mm]"""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """From left to right. [mm]"""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From top to bottom. [mm]"""
        return self.bottom - self.top


@dataclass(frozen=True)
class Sign(Spread):
    """One letter or figure: as wide as it makes the line, as high as its font goes above and below the baseline."""

    text: str
    place: int
    """Its number in the order of writing."""


@dataclass(frozen=True)
class Word(Spread):
    """Signs that no space and no break parts."""

    signs: tuple[Sign, ...]

    @property
    def text(self) -> str:
        """Its letters and figures."""
        return "".join(sign.text for sign in self.signs)


@dataclass(frozen=True)
class Shape(Spread):
    """One outline drawn in one go, with the ends of its lines and curves."""

    points: tuple[Point, ...]
    curves: int
    """How many of its parts are bent."""
    fill: tuple[int, int, int] | None
    """Red, green, blue of its ground, 0 to 255; None where it has none."""

    @property
    def is_line(self) -> bool:
        """Whether it is one straight line."""
        return len(self.points) == 2 and not self.curves


class Page:
    """One page.

    Args:
        page: As pdfium has it.
        number: Its place in the book, from 1.
    """

    def __init__(self, page: pypdfium2.PdfPage, number: int) -> None:
        self._page = page
        self.number = number
        wide, high = page.get_size()
        self.width, self.height = wide * MM, high * MM
        """The page's size. [mm]"""

    @cached_property
    def text(self) -> str:
        """All that is written, in the order of writing, a break where another line begins."""
        return self._letters.get_text_range().replace("\r\n", "\n").replace(_SPLIT, "-")

    @cached_property
    def signs(self) -> tuple[Sign, ...]:
        """Every printed letter and figure; no spaces."""
        return tuple(sign for sign in self._written if sign is not None)

    @cached_property
    def words(self) -> tuple[Word, ...]:
        """All words and numbers, in the order of writing."""
        words: list[Word] = []
        run: list[Sign] = []
        for sign in (*self._written, None):
            if sign is not None:
                run.append(sign)
            elif run:
                words.append(_word(run))
                run = []
        return tuple(words)

    @cached_property
    def shapes(self) -> tuple[Shape, ...]:
        """Every drawn outline."""
        return tuple(self._shapes())

    def stands(self, sign: Sign) -> tuple[float, float]:
        """The size of a sign's font [pt], and how far its baseline is below the page's upper edge [mm]."""
        turn, x, y = pdfium.FS_MATRIX(), ctypes.c_double(), ctypes.c_double()
        assert pdfium.FPDFText_GetMatrix(self._letters, sign.place, turn)
        assert pdfium.FPDFText_GetCharOrigin(self._letters, sign.place, x, y)
        size = pdfium.FPDFText_GetFontSize(self._letters, sign.place) * hypot(turn.c, turn.d)
        return size, (self._page.get_height() - y.value) * MM

    @cached_property
    def _letters(self) -> pypdfium2.PdfTextPage:
        return self._page.get_textpage()

    @cached_property
    def _written(self) -> tuple[Sign | None, ...]:
        """Signs in the order of writing, None where a space or a break is."""
        return tuple(self._signs())

    def _signs(self) -> Iterator[Sign | None]:
        letters, page_height = self._letters, self._page.get_height()
        box = pdfium.FS_RECTF()
        for place in range(letters.count_chars()):
            text = chr(pdfium.FPDFText_GetUnicode(letters, place)).replace(_SPLIT, "-")
            if text.isspace():
                yield None
                continue
            assert pdfium.FPDFText_GetLooseCharBox(letters, place, box)
            top, bottom = (page_height - box.top) * MM, (page_height - box.bottom) * MM
            yield Sign(box.left * MM, top, box.right * MM, bottom, text, place)

    def _shapes(self) -> Iterator[Shape]:
        page_height = self._page.get_height()
        for thing in self._page.get_objects(max_depth=1):
            assert thing.type != pdfium.FPDF_PAGEOBJ_FORM, "this reader knows no pages in pages"
            if thing.type != pdfium.FPDF_PAGEOBJ_PATH:
                continue
            a, b, c, d, e, f = thing.get_matrix().get()
            fill = _ground(thing)
            for points, curves in _runs(thing):
                placed = tuple(
                    ((a * x + c * y + e) * MM, (page_height - b * x - d * y - f) * MM)
                    for x, y in points
                )
                xs, ys = zip(*placed, strict=True)
                yield Shape(min(xs), min(ys), max(xs), max(ys), placed, curves, fill)


@dataclass(frozen=True)
class Book:
    """A PDF as it is read back."""

    pages: tuple[Page, ...]
    title: str

    @cached_property
    def texts(self) -> tuple[str, ...]:
        """What is written on each page."""
        return tuple(page.text for page in self.pages)


@lru_cache(maxsize=6)
def read_pages(pdf: bytes) -> Book:
    """Read a PDF; the same bytes are read once."""
    document = pypdfium2.PdfDocument(pdf)
    pages = tuple(Page(page, number) for number, page in enumerate(document, start=1))
    return Book(pages, document.get_metadata_value("Title"))


atexit.register(read_pages.cache_clear)  # pdfium tells of every page that is still open at its end

_SPLIT = "\ufffe"
"""What pdfium tells instead of a hyphen that ends a line."""


def _word(signs: list[Sign]) -> Word:
    return Word(
        min(sign.left for sign in signs),
        min(sign.top for sign in signs),
        max(sign.right for sign in signs),
        max(sign.bottom for sign in signs),
        tuple(signs),
    )


def _ground(thing: pypdfium2.PdfObject) -> tuple[int, int, int] | None:
    mode, stroked = ctypes.c_int(), ctypes.c_int()
    assert pdfium.FPDFPath_GetDrawMode(thing, mode, stroked)
    if mode.value == pdfium.FPDF_FILLMODE_NONE:
        return None
    red, green, blue, solid = (ctypes.c_uint() for _ in range(4))
    if not pdfium.FPDFPageObj_GetFillColor(thing, red, green, blue, solid):
        return None  # a pattern
    return (red.value, green.value, blue.value)


def _runs(thing: pypdfium2.PdfObject) -> Iterator[tuple[list[Point], int]]:
    """Each outline of a path: the ends of its parts, and how many of these are curves."""
    x, y = ctypes.c_float(), ctypes.c_float()
    points: list[Point] = []
    controls = 0  # a curve comes as three points: two that it bends toward, and its end
    for index in range(pdfium.FPDFPath_CountSegments(thing)):
        part = pdfium.FPDFPath_GetPathSegment(thing, index)
        assert pdfium.FPDFPathSegment_GetPoint(part, x, y)
        kind = pdfium.FPDFPathSegment_GetType(part)
        if kind == pdfium.FPDF_SEGMENT_MOVETO:
            if len(points) > 1:
                yield points, controls // 3
            points, controls = [], 0
        elif kind == pdfium.FPDF_SEGMENT_BEZIERTO:
            controls += 1
            if controls % 3:
                continue
        points.append((x.value, y.value))
    if len(points) > 1:
        yield points, controls // 3


__all__ = ["MM", "Book", "Page", "Shape", "Sign", "Spread", "Word", "read_pages"]
