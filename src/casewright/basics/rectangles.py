"""Upright rectangles in the plane, many at once."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray

Places: TypeAlias = NDArray[np.int64]

FEW = 64
"""Of so many each is held against each; more of them are looked up in a tree."""
_FINE = 1e-4  # mm


def near_rectangles(boxes: NDArray[np.float64], most: float) -> tuple[Places, Places]:
    """Which two of some rectangles leave at most so much between them.

    A side of a hundred meters has thousands of screw holes, which meet hardly any other.

    Args:
        boxes: Least u, least v, most u, most v, (n, 4). [mm]
        most: What is left between them at most. [mm]

    Returns:
        Places in the row, the lower one of each pair first, in order.
    """
    if len(boxes) <= FEW:
        one, other = np.triu_indices(len(boxes), 1)
    else:
        tree = shapely.STRtree(shapely.box(*boxes.T))
        grown = boxes + (most + _FINE) * np.array([-1.0, -1.0, 1.0, 1.0])
        one, other = tree.query(shapely.box(*grown.T))
        later = one < other
        one, other = one[later], other[later]
        order = np.lexsort((other, one))
        one, other = one[order], other[order]
    apart = np.maximum(boxes[one, :2] - boxes[other, 2:], boxes[other, :2] - boxes[one, 2:])
    near = apart.max(axis=1) <= most
    return one[near], other[near]


__all__ = ["FEW", "near_rectangles"]
