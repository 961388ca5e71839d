"""Makes the README's pictures from the demo's own bench book: `python docs/make_pictures.py` after a build."""

from __future__ import annotations

import sys
from pathlib import Path

import pypdfium2
from PIL import Image

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
    return 0


if __name__ == "__main__":
    raise SystemExit(main())


__all__ = ["main"]
