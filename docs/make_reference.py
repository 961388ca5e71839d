"""Write the pages of `reference/`: `python3 dev.py docs`."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from making.pages import PAGES

FOLDER = Path(__file__).with_name("reference")


def main() -> int:
    """Write every page that has changed, and say which."""
    FOLDER.mkdir(exist_ok=True)
    for name, make in PAGES.items():
        path, text = FOLDER / name, make()
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            path.write_text(text, encoding="utf-8", newline="\n")
            print(f"docs/reference/{name}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())


__all__ = ["FOLDER", "main"]
