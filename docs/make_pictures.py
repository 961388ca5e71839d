"""Makes the README's pictures from the demo's own bench book: `python docs/make_pictures.py` after a build."""

from __future__ import annotations

import sys
from pathlib import Path

import pypdfium2

ROOT = Path(__file__).resolve().parent.parent
BOOK = ROOT / "out" / "library-duel" / "bench-book.pdf"
PAGES = {
    "cover": ("Bench book",),
    "cutting": ("birch plywood 12: one sheet",),
    "deck": ("deck", "SHOW FACE", "Ball-top lever"),
    "side": ("left side", "BACK FACE"),
}
WIDTH = 900
"""Of a picture. [pixels]"""


def main() -> int:
    """Write one picture for each wanted page."""
    if not BOOK.exists():
        print(f"{BOOK} is not there; run python3 dev.py demo first.", file=sys.stderr)
        return 2
    book = pypdfium2.PdfDocument(BOOK)
    texts = [page.get_textpage().get_text_range() for page in book]
    folder = ROOT / "docs" / "pictures"
    folder.mkdir(exist_ok=True)
    for name, words in PAGES.items():
        number = next(i for i, text in enumerate(texts) if all(word in text for word in words))
        page = book[number]
        image = page.render(scale=WIDTH / page.get_width()).to_pil()
        image.convert("P", palette=1, colors=64).save(folder / f"{name}.png", optimize=True)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())


__all__ = ["main"]
