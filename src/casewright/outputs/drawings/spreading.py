"""Pushing figures apart that would stand on each other."""

from __future__ import annotations

import math
from collections.abc import Sequence


def spread(
    wanted: Sequence[float], gap: float, *, least: float = -math.inf, most: float = math.inf
) -> list[float]:
    """Return places at least `gap` apart, in the same order and together as near to the wanted ones as can be.

    Args:
        wanted: Where each would like to be, rising.
        gap: Smallest distance of neighbors. [same unit, 0 or more]
        least: No place is below this.
        most: No place is above this, as long as there is room for all.

    Returns:
        As many places, rising; the sum of squared shifts is the least possible.

    Source:
        Plain geometry. Pool adjacent violators: Barlow, Bartholomew, Bremner and Brunk, "Statistical Inference under
        Order Restrictions", 1972, chapter 1 (from memory).

    Example:
        >>> spread([0.0, 2.0, 50.0], 4.0)
        [-1.0, 3.0, 50.0]
        >>> spread([0.0, 1.0], 4.0, least=0.0)
        [0.0, 4.0]
    """
    # With i * gap taken off, "at least a gap apart" becomes "not falling": runs that fall are pooled to their mean.
    pools: list[tuple[float, int]] = []
    for index, place in enumerate(wanted):
        mean, count = place - index * gap, 1
        while pools and pools[-1][0] > mean:
            other, more = pools.pop()
            mean, count = (mean * count + other * more) / (count + more), count + more
        pools.append((mean, count))
    ceiling = max(most - (len(wanted) - 1) * gap, least)
    flat = [min(max(mean, least), ceiling) for mean, count in pools for _ in range(count)]
    return [place + index * gap for index, place in enumerate(flat)]


__all__ = ["spread"]
