"""Makes the README's pictures: `python docs/make_pictures.py` after a build.

All but one come from the demo's own bench book; that of a difference, from the demo and a narrower one.
"""

from __future__ import annotations

import sys
from io import BytesIO
from pathlib import Path

import pypdfium2
from PIL import Image

from casewright.outputs.difference import changed_pieces
from casewright.outputs.documents.typesetting import Script
from casewright.outputs.drawings.difference_view import difference_drawing
from casewright.outputs.drawings.svg import write_svg
from casewright.workflow import build_up, open_text

ROOT = Path(__file__).resolve().parent.parent
BOOK = ROOT / "out" / "library-duel" / "bench-book.pdf"
PAGES = {
    "cover": (("Bench book",), (0.065, 0.94)),
    "deck": (("SHOW FACE", "Ball-top lever", "birch plywood"), (0.075, 0.805)),
    "cutting": (("birch plywood 12: one sheet",), (0.315, 0.928)),
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


def main() -> int:
    """Write one picture for each wanted page."""
    if not BOOK.exists():
        print(f"{BOOK} is not there; run python3 dev.py demo first.", file=sys.stderr)
        return 2
    book = pypdfium2.PdfDocument(BOOK)
    texts = [page.get_textpage().get_text_range() for page in book]
    folder = ROOT / "docs" / "pictures"
    folder.mkdir(exist_ok=True)
    for name, (words, (top, bottom)) in PAGES.items():
        number = next(i for i, text in enumerate(texts) if all(word in text for word in words))
        page = book[number]
        left, right = SIDES
        scale = WIDTH / (page.get_width() * (right - left))
        image = page.render(scale=scale).to_pil()
        wide, high = image.size
        image = image.crop((wide * left, high * top, wide * right, high * bottom))
        few = image.quantize(COLORS, method=Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE)
        few.save(folder / f"{name}.png", optimize=True)
    difference_picture(folder / "difference.png")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())


__all__ = ["difference_picture", "main"]
