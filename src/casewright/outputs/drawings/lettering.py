"""How much room lettering takes, measured in the font that is shipped."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Literal

from casewright.assets import font_folder

Weight = Literal["regular", "bold"]

_FILES: dict[Weight, str] = {
    "regular": "DejaVuSansCondensed.ttf",
    "bold": "DejaVuSansCondensed-Bold.ttf",
}


@dataclass(frozen=True)
class _Metrics:
    capital: float
    """Height of a capital H, in units of the font size."""
    advances: dict[int, float]
    """Width by code point, in units of the font size."""
    missing: float
    """Width of the box drawn for a sign the font lacks."""


@cache
def _metrics(weight: Weight) -> _Metrics:
    # 40 ms that only drawings have to pay
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    with TTFont(font_folder() / _FILES[weight], lazy=True) as font:
        size = font["head"].unitsPerEm
        widths = font["hmtx"].metrics
        advances = {code: widths[name][0] / size for code, name in font.getBestCmap().items()}
        capital = font["glyf"]["H"].yMax / size
        return _Metrics(capital, advances, widths[".notdef"][0] / size)


def font_size(height: float, weight: Weight = "regular") -> float:
    """Return the font size whose capital letters are `height` [mm] high. [mm]

    Source:
        ISO 3098-1: the nominal size of lettering is the height of its capitals. The ratio is read from the font.
    """
    return height / _metrics(weight).capital


def text_width(text: str, height: float, weight: Weight = "regular") -> float:
    """Return the length of a line of lettering with capitals `height` [mm] high. [mm]

    Kerning is not counted; it only ever shortens a line by a hair.

    Example:
        >>> text_width("100.0", 3.5) == text_width("688.8", 3.5)
        True
    """
    return _advance(text, weight) * height / _metrics(weight).capital


@lru_cache(maxsize=8192)  # layouts try the same words in many places
def _advance(text: str, weight: Weight) -> float:
    metrics = _metrics(weight)
    return sum(metrics.advances.get(ord(sign), metrics.missing) for sign in text)


# What XML 1.0 does not allow in a document, together with what breaks a line.
_UNWRITABLE = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]+")


def one_line(text: str) -> str:
    r"""Return the text with line breaks, control signs and half characters as single spaces.

    Example:
        >>> one_line("Deck\nleft")
        'Deck left'
    """
    return _UNWRITABLE.sub(" ", text)


def shortened(text: str, width: float, *, height: float, weight: Weight = "regular") -> str:
    """Return the text, or as much of it as fits `width` [mm] with an ellipsis after it.

    Example:
        >>> shortened("Deck", 50.0, height=3.5), shortened("Deck of the cabinet", 20.0, height=3.5)
        ('Deck', 'Deck o…')
    """
    text = one_line(text)
    if text_width(text, height, weight) <= width:
        return text
    kept = len(text)
    while kept and text_width(text[:kept].rstrip() + "…", height, weight) > width:
        kept -= 1
    return text[:kept].rstrip() + "…"


def wrapped(
    text: str, width: float, *, height: float, weight: Weight = "regular"
) -> tuple[str, ...]:
    """Return the text broken at spaces into lines no wider than `width` [mm]; a longer word is shortened."""
    lines: list[str] = []
    for word in one_line(text).split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, height, weight) <= width:
            lines[-1] = longer
        elif word:
            lines.append(shortened(word, width, height=height, weight=weight))
    return tuple(lines)


FRACTION = re.compile(r"(?<![\d/])(\d{1,2})/(2|4|8|16|32|64)(?![\d/])")
"""An inch fraction as it is written: "25/32"."""
FRACTION_SIZE = 0.76
"""Of its figures, to the others."""
FRACTION_RISE = 0.18
"""Of the upper figures' foot over the line, to the size of the letters: their heads stand level with the others'."""


__all__ = [
    "FRACTION",
    "FRACTION_RISE",
    "FRACTION_SIZE",
    "Weight",
    "font_size",
    "one_line",
    "shortened",
    "text_width",
    "wrapped",
]
