"""The clear inside of a cabinet in the side view."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from casewright.geometry.model import Point2, Slab


def clear_inside(outline: Sequence[Point2], slabs: Sequence[Slab]) -> tuple[Point2, ...]:
    """Return the largest region of the outline that no slab takes, counter-clockwise, in (y, z); empty if none is left.

    Args:
        outline: Corners of the side profile, in order.
        slabs: Cross-sections of the panels.
    """
    whole = shapely.Polygon(outline)
    taken = shapely.union_all([shapely.Polygon(slab.polygon).buffer(0) for slab in slabs])
    left = shapely.get_parts(whole.difference(taken))
    regions = [part for part in left if part.geom_type == "Polygon"]
    if not regions:
        return ()
    inside = shapely.geometry.polygon.orient(max(regions, key=lambda part: part.area))
    return tuple((float(y), float(z)) for y, z in inside.exterior.coords[:-1])


__all__ = ["clear_inside"]
