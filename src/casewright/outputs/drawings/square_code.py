"""The squares of a code by ISO/IEC 18004."""

from __future__ import annotations

from functools import lru_cache

import segno

MASK = 0
"""Pattern laid over the data squares, a chessboard. The standard asks for the best-balanced of eight, which is found by
laying all of them over in turn; every reader takes whichever the code names, and finding one costs eight times as much
as all the rest. Codes here are printed large and black on white."""


@lru_cache(maxsize=1024)  # a piece's code stands on its page and on its template
def code_rows(text: str) -> tuple[bytes, ...]:
    """The rows of a code from top to bottom, 1 for a dark square, without the quiet zone round it.

    Args:
        text: What it holds. Error correction is M: a seventh of it may be unreadable.
    """
    return tuple(bytes(row) for row in segno.make(text, error="m", micro=False, mask=MASK).matrix)


__all__ = ["MASK", "code_rows"]
