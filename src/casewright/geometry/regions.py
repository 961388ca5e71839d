"""Plane regions put together and cut out of one another, also where their edges nearly coincide."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

GRID = 1e-6
"""Corners are snapped to this. [mm] Without it, edges that nearly coincide have made GEOS 3.14 leave a region out."""


def joined(regions: Sequence[shapely.Geometry]) -> shapely.Geometry:
    """All that any of them holds; empty for none."""
    return shapely.union_all(regions, grid_size=GRID)


def without(region: shapely.Geometry, taken: Sequence[shapely.Geometry]) -> shapely.Geometry:
    """What is left of a region."""
    return shapely.difference(region, joined(taken), grid_size=GRID)


__all__ = ["GRID", "joined", "without"]
