"""The color that a part's label names, for pictures."""

from __future__ import annotations

import re

COLORS = {
    "amber": "#e8a020",
    "black": "#26262a",
    "blue": "#2f6fc4",
    "green": "#3a9a4b",
    "grey": "#8a8d90",
    "gray": "#8a8d90",
    "orange": "#e2762a",
    "red": "#c8352f",
    "white": "#f2f1ea",
    "yellow": "#ecc92f",
}


def color_named(*texts: str) -> str:
    """The first color named as a word in the texts, as #rrggbb; "" if none is.

    Example:
        >>> color_named("Answer A, red")
        '#c8352f'
    """
    for text in texts:
        for word in re.findall(r"[a-z]+", text.lower()):
            if word in COLORS:
                return COLORS[word]
    return ""


__all__ = ["COLORS", "color_named"]
