"""The clear inside of a cabinet in the side view, and what of a panel's back face is clear."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import shapely

from casewright.basics.remembering import remembered
from casewright.geometry.model import Piece, Point2, Point3, Slab
from casewright.geometry.openings import Area, back_area
from casewright.geometry.regions import without

_OFF = 0.01
"""How far behind a back face it is looked along, so that the face itself does not count as in the way. [mm]"""

_HAIR = 0.005
"""Half the width of what is no opening between two panels. [mm]"""


@lru_cache(maxsize=64)
def outline_less_slabs(
    outline: tuple[Point2, ...], sections: tuple[tuple[Point2, ...], ...]
) -> shapely.Geometry:
    """The outline in (y, z) less every panel's cross-section."""
    slabs = [shapely.Polygon(section).buffer(0) for section in sections]
    return without(shapely.Polygon(outline), slabs)


@remembered(64)
def clear_inside(outline: Sequence[Point2], slabs: Sequence[Slab]) -> tuple[Point2, ...]:
    """Return the largest region of the outline that no slab takes, counter-clockwise, in (y, z); empty if none is left.

    Args:
        outline: Corners of the side profile, in order.
        slabs: Cross-sections of the panels.
    """
    free = outline_less_slabs(tuple(outline), tuple(slab.polygon for slab in slabs))
    # Shrunk and grown again, so that hairlines along closed seams go.
    open_ = free.buffer(-_HAIR, join_style="mitre", mitre_limit=20)
    left = shapely.get_parts(open_.buffer(_HAIR, join_style="mitre", mitre_limit=20))
    regions = [part for part in left if part.geom_type == "Polygon"]
    if not regions:
        return ()
    inside = shapely.geometry.polygon.orient(max(regions, key=lambda part: part.area))
    return tuple((float(y), float(z)) for y, z in inside.exterior.coords[:-1])


@remembered(512)
def clear_back(
    board: Piece, inside: Sequence[Point2] | None, near: float, *, deep: float = 0.0
) -> Area:
    """Return the part of a board's back face that sides and other panels leave free, in its (u, v).

    What of a panel is in grooves of the sides is not free.

    Args:
        board: A panel that runs from side to side.
        inside: Clear inside in the side view; without it the whole back outline is returned.
        near: The v it is looked for at, such as a part's own. [mm]
        deep: How far behind the back face it has to be clear, for what stands on it: panels that meet at less than a
            right angle come nearer together there. [mm]
    """
    whole = back_area(board)
    if not inside:
        return whole
    span: tuple[float, float] | None = None
    for depth in _depths(board, inside, deep):
        start = board.frame.point(0.0, 0.0, -board.thickness - depth)
        here = span_inside(inside, start[1:], board.frame.v[1:], near)
        if here is not None:
            span = here if span is None else (max(span[0], here[0]), min(span[1], here[1]))
    if span is None:
        return whole
    # u is 0 at the left side, and a panel is as far in or out at either end: both together are the inside width.
    left, right = max(whole.left, 0.0), min(whole.right, whole.left + whole.right)
    return whole.common(Area(left, span[0], right, span[1]))


def _depths(board: Piece, inside: Sequence[Point2], deep: float) -> list[float]:
    """Depths behind a board's back face at which what is clear has its ends: both ends, and corners between. [mm]"""
    if deep <= _OFF:
        return [_OFF]
    x = board.frame.origin[0]
    corners = (-board.frame.local((x, y, z))[2] - board.thickness for y, z in inside)
    return [_OFF, *(depth for depth in corners if _OFF < depth < deep - _OFF), deep - _OFF]


def stands_inside(points: Sequence[Point3], inside: Sequence[Point2]) -> bool:
    """True where every point, seen from the side, lies in the clear inside."""
    region = shapely.Polygon(inside).buffer(0.001)
    return all(region.covers(shapely.Point(y, z)) for _, y, z in points)


def span_inside(
    outline: Sequence[Point2], start: Point2, direction: Point2, near: float
) -> tuple[float, float] | None:
    """Return the stretch of a line inside a closed outline, as distances along it from `start`.

    Of several stretches the one that holds `near`, else the one nearest to it. None where the line misses the outline.

    Args:
        outline: Corners in the side view (y, z).
        start: A point of the line.
        direction: Unit vector along it.
        near: Where the stretch is looked for. [mm]

    Source:
        Plain geometry: crossings with every edge, in order, in pairs.
    """
    crossings = []
    for (ay, az), (by, bz) in zip(outline, (*outline[1:], outline[0]), strict=True):
        # Distance of both ends from the line, along its normal; an end on the line counts as above it.
        da = (ay - start[0]) * -direction[1] + (az - start[1]) * direction[0]
        db = (by - start[0]) * -direction[1] + (bz - start[1]) * direction[0]
        if (da >= 0) != (db >= 0):
            share = da / (da - db)
            y, z = ay + (by - ay) * share, az + (bz - az) * share
            crossings.append((y - start[0]) * direction[0] + (z - start[1]) * direction[1])
    crossings.sort()
    spans = list(zip(crossings[::2], crossings[1::2], strict=True))
    if not spans:
        return None
    return min(spans, key=lambda span: max(span[0] - near, near - span[1], 0.0))


__all__ = ["clear_back", "clear_inside", "outline_less_slabs", "span_inside", "stands_inside"]
