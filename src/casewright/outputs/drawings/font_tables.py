"""The few figures of a font file that lettering is measured by, read straight from its tables.

                 table   what is read
    head         18, 50  units of the font size; whether offsets are long
    hhea, hmtx           width of each glyph
    cmap                 which glyph draws a sign
    loca, glyf           height of one glyph

Source:
    OpenType specification 1.9, ISO/IEC 14496-22: tables head, hhea, hmtx, cmap (format 12), loca and glyf.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from struct import iter_unpack, unpack_from

_FULL_UNICODE = (3, 10)
"""Platform and encoding of the map of all signs."""


@dataclass(frozen=True)
class FontTables:
    """Sizes in units of the font size."""

    capital: float
    """Height of a capital H."""
    advances: Mapping[int, float]
    """Width by code point."""
    missing: float
    """Width of the box drawn for a sign the font lacks."""


def read_font(file: Path) -> FontTables:
    """Read a TrueType file that maps all of Unicode (`cmap` format 12), as the shipped ones do."""
    data = file.read_bytes()
    tables = {
        bytes(tag): start
        for tag, _, start, _ in iter_unpack(
            ">4sLLL", data[12 : 12 + 16 * unpack_from(">H", data, 4)[0]]
        )
    }
    size, long_offsets = (unpack_from(">h", data, tables[b"head"] + at)[0] for at in (18, 50))
    count: int = unpack_from(">H", data, tables[b"hhea"] + 34)[0]
    widths = [wide for wide, _ in iter_unpack(">Hh", data[tables[b"hmtx"] :][: 4 * count])]
    glyphs = _glyphs(data, tables[b"cmap"])
    at = tables[b"loca"] + glyphs[ord("H")] * (4 if long_offsets else 2)
    offset = unpack_from(">L", data, at)[0] if long_offsets else 2 * unpack_from(">H", data, at)[0]
    top: int = unpack_from(">h", data, tables[b"glyf"] + offset + 8)[0]
    # Glyphs past the last width are all as wide as that.
    advances = {code: widths[min(glyph, count - 1)] / size for code, glyph in glyphs.items()}
    return FontTables(top / size, advances, widths[0] / size)


def _glyphs(data: bytes, cmap: int) -> dict[int, int]:
    """The glyph of each sign."""
    (count,) = unpack_from(">H", data, cmap + 2)
    maps = iter_unpack(">HHL", data[cmap + 4 : cmap + 4 + 8 * count])
    start = cmap + next(offset for *of, offset in maps if tuple(of) == _FULL_UNICODE)
    form, _, _, _, groups = unpack_from(">HHLLL", data, start)
    assert form == 12, "the map of a shipped font"
    runs = iter_unpack(">LLL", data[start + 16 : start + 16 + 12 * groups])
    return dict(
        chain.from_iterable(
            zip(range(first, last + 1), range(glyph, glyph + last - first + 1), strict=True)
            for first, last, glyph in runs
        )
    )


__all__ = ["FontTables", "read_font"]
