"""Files shipped with the package that are not Python: the font of page, drawing and book."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

FONT_FAMILY = "DejaVu Sans"
"""Name to ask for, in Typst and in SVG.

The shipped files are its condensed cut, regular and bold, without italic. Its figures all have the same width and
it draws the signs the papers need (′ ″ × ⌀ ° − ½ ⅛ ≤ ≥ →). Where other cuts of the family may be installed, as in
a browser, ask for `font-stretch: condensed` as well.
"""


def font_folder() -> Path:
    """Return the folder of the shipped font files.

    Source:
        Project setting.

    Example:
        >>> sorted(path.name for path in font_folder().glob("*.ttf"))
        ['DejaVuSansCondensed-Bold.ttf', 'DejaVuSansCondensed.ttf']
    """
    return Path(str(files(__name__).joinpath("fonts")))


__all__ = ["FONT_FAMILY", "font_folder"]
