"""The picture on a display: content of another shape than the lit area."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from casewright.basics.errors import InputError


@dataclass(frozen=True)
class ContentFit:
    """A picture shown as large as it goes, its shape kept."""

    width: float
    """Of the picture. [mm]"""
    height: float
    side_bar: float
    """Dark bar left of the picture, and one as wide right of it. [mm]"""
    level_bar: float
    """Dark bar above the picture, and one as high below it. [mm]"""
    share: float
    """Of the lit area that the picture fills, 0 to 1."""

    @property
    def diagonal(self) -> float:
        """The display of the picture's own shape that would show it as large. [mm]"""
        return math.hypot(self.width, self.height)


@lru_cache(maxsize=4096)
def content_on_display(content_aspect: float, width: float, height: float) -> ContentFit:
    """Return how content of some aspect fills a lit area.

    Args:
        content_aspect: Width over height of the content: 4/3, 16/9, 3/4.
        width: Of the lit area as it stands (portrait: the smaller one). [mm]
        height: Of the lit area. [mm]

    Raises:
        InputError: One of them is not more than 0.

    Source:
        Plain geometry: share = min(c/s, s/c) for content aspect c and screen aspect s.

    Example:
        >>> content_on_display(4 / 3, 1600, 900).share
        0.75
    """
    if not (content_aspect > 0 and width > 0 and height > 0):
        got = f"{content_aspect} on {width} × {height} mm"
        raise InputError("content_aspect", got=got, want="numbers of more than 0")
    shown_width = min(width, height * content_aspect)
    shown_height = min(height, width / content_aspect)
    return ContentFit(
        shown_width,
        shown_height,
        (width - shown_width) / 2,
        (height - shown_height) / 2,
        shown_width * shown_height / (width * height),
    )


__all__ = ["ContentFit", "content_on_display"]
