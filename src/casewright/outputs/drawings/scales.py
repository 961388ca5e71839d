"""Scales of drawings, largest first, and which one fits a space on the page."""

from __future__ import annotations

SCALES = tuple(1.0 / n for n in (1, 2, 2.5, 4, 5, 6, 8, 10, 20, 50, 100))
"""ISO 5455: 1:1, 1:2, 1:5, 1:10, 1:20, 1:50, 1:100. With steps between that makers use, so that a page is filled:
1:2.5; and 1:4, 1:6 and 1:8, which are 3, 2 and 1 1/2 inches to the foot (common practice)."""

ROOM = (180.0, 165.0)
"""Width and height of a drawing on the page, where nothing else is said. [mm] A good half of an upright A4 page."""

SIDE_ROOM = (180.0, 225.0)
"""The same for a side, which takes a page of its own. [mm]"""


def scale_words(scale: float) -> str:
    """A scale as written in a title.

    Example:
        >>> scale_words(0.4), scale_words(1.0)
        ('1:2.5', '1:1')
    """
    return f"1:{1 / scale:.3g}"


def fitting_scales(
    width: float, height: float, room: tuple[float, float], *, around: tuple[float, float]
) -> tuple[float, ...]:
    """The scales at which a thing may fit, largest first; never none.

    Args:
        width: Of the thing. [mm]
        height: Of the thing. [mm]
        room: Width and height on the page. [mm]
        around: What figures and lettering need beside and above it, on paper. [mm]
    """
    fits = [
        scale
        for scale in SCALES
        if width * scale + around[0] <= room[0] and height * scale + around[1] <= room[1]
    ]
    return tuple(fits) or SCALES[-1:]


__all__ = ["ROOM", "SCALES", "SIDE_ROOM", "fitting_scales", "scale_words"]
