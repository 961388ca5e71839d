"""What a label says of how a feature is made, behind what it is called; short titles leave it out."""

from __future__ import annotations

from typing import Final

ROUT_FROM_BACK: Final = ": rout from the back along guide strips"
DRILL_LAST: Final = "; drill it last, when the picture is aligned"
SQUARE_CORNERS: Final = "; square its corners with a chisel"
ROUNDED_OVER: Final = ", edges rounded over on both faces"
ORDERS: Final = (ROUT_FROM_BACK, DRILL_LAST, SQUARE_CORNERS, ROUNDED_OVER)


def without_orders(label: str) -> str:
    """A label without what it says of the making; the maker's own words in it may be any.

    Example:
        >>> without_orders("opening for Display: left" + ROUT_FROM_BACK)
        'opening for Display: left'
    """
    for order in ORDERS:
        label, _, _ = label.rpartition(order) if order in label else (label, "", "")
    return label


__all__ = [
    "DRILL_LAST",
    "ORDERS",
    "ROUNDED_OVER",
    "ROUT_FROM_BACK",
    "SQUARE_CORNERS",
    "without_orders",
]
