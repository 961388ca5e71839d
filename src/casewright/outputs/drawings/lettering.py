"""How much room lettering takes, measured in the font that is shipped."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, lru_cache
from struct import unpack_from
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
    return read_metrics((font_folder() / _FILES[weight]).read_bytes())


def read_metrics(font: bytes) -> _Metrics:
    """Read how wide a font's signs are. Nothing else of it is looked at: a library for fonts reads ten times as long.

    Args:
        font: A TrueType file with a full Unicode table of format 12, as the shipped ones are.

    Source:
        OpenType 1.9: head (unitsPerEm, indexToLocFormat), hhea, hmtx, loca and glyf (yMax), cmap.
    """
    count = unpack_from(">H", font, 4)[0]
    tables = {
        name: at
        for name, _, at, _ in (unpack_from(">4s3I", font, 12 + 16 * i) for i in range(count))
    }
    size = unpack_from(">H", font, tables[b"head"] + 18)[0]
    metrics = unpack_from(">H", font, tables[b"hhea"] + 34)[0]
    pairs = unpack_from(f">{2 * metrics}H", font, tables[b"hmtx"])
    widths = [width / size for width in pairs[::2]]
    glyphs = _glyphs(font, tables[b"cmap"])
    long = unpack_from(">h", font, tables[b"head"] + 50)[0]
    glyph = glyphs[ord("H")]
    if long:
        start = unpack_from(">I", font, tables[b"loca"] + 4 * glyph)[0]
    else:
        start = 2 * unpack_from(">H", font, tables[b"loca"] + 2 * glyph)[0]
    capital = unpack_from(">h", font, tables[b"glyf"] + start + 8)[0] / size
    last = metrics - 1  # signs after it are as wide
    advances = {code: widths[min(glyph, last)] for code, glyph in glyphs.items()}
    return _Metrics(capital, advances, widths[0])


def _glyphs(font: bytes, cmap: int) -> dict[int, int]:
    """The number of each sign's glyph, by code point, out of the full Unicode table: runs of both."""
    count = unpack_from(">H", font, cmap + 2)[0]
    records = (unpack_from(">HHI", font, cmap + 4 + 8 * i) for i in range(count))
    table = next(cmap + at for platform, encoding, at in records if (platform, encoding) == (3, 10))
    assert unpack_from(">H", font, table)[0] == 12, "only format 12 is read"
    groups = unpack_from(">I", font, table + 12)[0]
    runs = (unpack_from(">3I", font, table + 16 + 12 * i) for i in range(groups))
    return {
        code: glyph + code - first for first, last, glyph in runs for code in range(first, last + 1)
    }


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
    "read_metrics",
    "shortened",
    "text_width",
    "wrapped",
]
