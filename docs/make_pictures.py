"""Makes the README's and the tutorial's pictures: `python docs/make_pictures.py` after a build of the demo.

Most come from bench books: the README's from the demo's, the tutorial's from the one that it builds. That of a
difference comes from the demo and a narrower one.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from io import BytesIO
from pathlib import Path

import pypdfium2
from PIL import Image

from casewright.outputs.difference import changed_pieces
from casewright.outputs.documents.typesetting import Script
from casewright.outputs.drawings.difference_view import difference_drawing
from casewright.outputs.drawings.svg import write_svg
from casewright.workflow import (
    build_up,
    make_papers,
    open_project,
    open_text,
    paper_named,
    work_out,
)

ROOT = Path(__file__).resolve().parent.parent
BOOK = ROOT / "out" / "library-duel" / "bench-book.pdf"
TUTORIAL = ROOT / "examples" / "lap-controller.cabinet.yaml"
"""What the tutorial ends with; a test compares."""
TUTORIAL_PAGES = {
    "tutorial-cover": (("Bench book",), (0.065, 0.94)),
    "tutorial-deck": (("SHOW FACE", "push button", "forstner bit"), (0.075, 0.845)),
    "tutorial-side": (("left side", "front lip", "BACK FACE"), (0.075, 0.475)),
    "tutorial-cutting": (("birch plywood 1/2: one sheet",), (0.345, 0.802)),
}
PAGES = {
    "cover": (("Bench book",), (0.065, 0.94)),
    "deck": (("SHOW FACE", "Ball-top lever", "birch plywood"), (0.075, 0.805)),
    "cutting": (("birch plywood 12: one sheet",), (0.335, 0.928)),
    "side": (("left side", "BACK FACE"), (0.075, 0.687)),
}
"""For each picture words that its page has, and which part of the page is shown, as shares of its height."""
SIDES = (0.05, 0.95)
"""The same across. [share of the width]"""
WIDTH = 900
"""Of a picture. [pixels]"""
COLORS = 96
"""Few enough for a small file."""

NARROWER = ("\n  width: 700\n", "\n  width: 690\n")
"""What the other demo says instead."""


def difference_picture(target: Path) -> None:
    """What the command `difference` draws of the demo and the other one."""
    text = (ROOT / "examples" / "library-duel.cabinet.yaml").read_text(encoding="utf-8")
    assert text.count(NARROWER[0]) == 1
    before, after = (build_up(open_text(t)).cabinet for t in (text, text.replace(*NARROWER)))
    drawing = difference_drawing(before, after, changed_pieces(before, after))
    page = b'#set page(width: auto, height: auto, margin: 4mm, fill: white)\n#image("it.svg")\n'
    wide = drawing.bounds.width * drawing.scale + 16
    png = Script(page, {}, {"it.svg": write_svg(drawing, margin=4.0).encode()}).png(
        WIDTH * 25.4 / wide
    )
    image = Image.open(BytesIO(png)).convert("RGB")
    image.quantize(COLORS, dither=Image.Dither.NONE).save(target, optimize=True)


def book_pictures(
    book: pypdfium2.PdfDocument, pages: Mapping[str, tuple[Sequence[str], tuple[float, float]]]
) -> None:
    """Write a picture for each wanted page of a book."""
    texts = [page.get_textpage().get_text_range() for page in book]
    for name, (words, (top, bottom)) in pages.items():
        number = next(i for i, text in enumerate(texts) if all(word in text for word in words))
        page = book[number]
        left, right = SIDES
        scale = WIDTH / (page.get_width() * (right - left))
        image = page.render(scale=scale).to_pil()
        wide, high = image.size
        image = image.crop((wide * left, high * top, wide * right, high * bottom))
        few = image.quantize(COLORS, method=Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE)
        few.save(ROOT / "docs" / "pictures" / f"{name}.png", optimize=True)


def tutorial_book() -> bytes:
    """The bench book of what the tutorial builds."""
    papers = make_papers(work_out(open_project(TUTORIAL)), paper=paper_named("Letter"))
    return bytes(papers["bench-book.pdf"])


def main() -> int:
    """Write one picture for each wanted page."""
    if not BOOK.exists():
        print(f"{BOOK} is not there; run python3 dev.py demo first.", file=sys.stderr)
        return 2
    folder = ROOT / "docs" / "pictures"
    folder.mkdir(exist_ok=True)
    book_pictures(pypdfium2.PdfDocument(tutorial_book()), TUTORIAL_PAGES)
    book_pictures(pypdfium2.PdfDocument(BOOK), PAGES)
    difference_picture(folder / "difference.png")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())


__all__ = ["book_pictures", "difference_picture", "main", "tutorial_book"]
