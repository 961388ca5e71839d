"""Features as columns: what stands alone in a piece is built into its faces, and measured, without a boolean."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from casewright.geometry.cuts import Cut, profile_of
from casewright.geometry.facets import (
    circle_points,
    counter_clockwise,
    is_convex,
    shape_points,
    signed_area,
)
from casewright.geometry.lofts import Column, Extent, extent_of
from casewright.geometry.model import Circle, FaceShape, Polygon

Floats = NDArray[np.float64]

_SAME = 1e-9  # mm
_APART = 0.01  # mm between the walls of two holes about one centre


@dataclass(frozen=True, eq=False)
class CutGroup:
    """One feature, or all round ones about one centre."""

    cuts: tuple[Cut, ...]
    column: Column | None
    """Where they make one."""
    extent: Extent
    """Of the widest. [mm]"""

    @property
    def is_round(self) -> bool:
        """Whether it is all about one centre."""
        return all(isinstance(cut.shape, Circle) for cut in self.cuts)


def cut_groups(cuts: Sequence[Cut], thickness: float, tolerance: float) -> Iterator[CutGroup]:
    """Features one by one, but round ones about one centre together; as a column where they make one."""
    about: dict[tuple[float, float], list[Cut]] = {}
    for cut in cuts:
        if isinstance(cut.shape, Circle) and cut.kind != "slot":
            about.setdefault((cut.shape.u, cut.shape.v), []).append(cut)
        else:
            yield _single(cut, thickness, tolerance)
    for same in about.values():
        yield _concentric(tuple(same), thickness, tolerance)


def cut_outline(cut: Cut, tolerance: float) -> Floats:
    """A feature's outline, counter-clockwise. [mm]"""
    if isinstance(cut.shape, Circle):
        return circle_points(cut.shape, tolerance=tolerance)
    return np.array(counter_clockwise(shape_points(cut.shape, tolerance=tolerance)))


@lru_cache(maxsize=1024)
def _single(cut: Cut, thickness: float, tolerance: float) -> CutGroup:
    column = _column(cut, thickness, tolerance)
    extent = column.box if column else extent_of(cut_outline(cut, tolerance))
    return CutGroup((cut,), column, extent)


@lru_cache(maxsize=4096)
def _concentric(same: tuple[Cut, ...], thickness: float, tolerance: float) -> CutGroup:
    columns = [_column(cut, thickness, tolerance) for cut in same]
    widest = extent_of(
        np.concatenate(
            [
                ring
                for cut, column in zip(same, columns, strict=True)
                for ring, _ in (column.rings if column else ((cut_outline(cut, tolerance), 0.0),))
            ]
        )
    )
    both = columns[0] if len(same) == 1 else _stepped(columns, thickness)
    return CutGroup(same, both, widest)


def _stepped(columns: list[Column | None], thickness: float) -> Column | None:
    """A plain hole right through, with one wider hole let in from either face or both, as one column."""
    known = [column for column in columns if column is not None]
    plain = [column for column in known if column.opens_show and column.opens_back]
    if len(known) < len(columns) or len(plain) != 1 or len(plain[0].rings) != 2:
        return None
    shank = plain[0].rings[0][0]
    above = [column for column in known if column.opens_show and not column.opens_back]
    below = [column for column in known if column.opens_back and not column.opens_show]
    if len(above) > 1 or len(below) > 1:
        return None
    upper = above[0].rings if above else ()
    lower = below[0].rings if below else ()
    top = upper[-1][1] if upper else 0.0
    bottom = lower[0][1] if lower else -thickness
    radius = _reach(shank)
    if top <= bottom + _SAME or any(_reach(r) <= radius + _APART for r, _ in (*upper, *lower)):
        return None
    return Column((*upper, (shank, top), (shank, bottom), *lower), True, True)


def _reach(ring: Floats) -> float:
    """A round ring's radius. [mm]"""
    return float(ring[:, 0].max() - ring[:, 0].min()) / 2


def _column(cut: Cut, thickness: float, tolerance: float) -> Column | None:
    """The feature as rings from face to floor; None for what is no such column."""
    if cut.kind == "slot" or (isinstance(cut.shape, Polygon) and not is_convex(cut.shape.points)):
        return None
    steps = profile_of(cut, thickness)
    most = max(grow for grow, _ in steps)
    rings: list[tuple[Floats, float]] = []
    for k, (grow, depth) in enumerate(steps):
        n = -depth if cut.face == "show" else depth - thickness
        if k and grow == steps[k - 1][0]:
            rings.append((rings[-1][0], n))
            continue
        ring = _ring(cut.shape, grow, most, tolerance)
        if ring is None:
            return None
        rings.append((ring, n))
    if len({len(points) for points, _ in rings}) > 1:
        return None
    through = steps[-1][1] >= thickness - _SAME
    if cut.face == "show":
        return Column(tuple(rings), opens_show=True, opens_back=through)
    return Column(tuple(rings[::-1]), opens_show=through, opens_back=True)


def _ring(shape: FaceShape, grow: float, most: float, tolerance: float) -> Floats | None:
    """A shape's outline, grown; None where nothing is left of it."""
    if isinstance(shape, Circle):
        if math.pi * max(shape.diameter / 2 + grow, 0.0) ** 2 < _SAME:
            return None
        return circle_points(shape, grow=grow, facets_for=most, tolerance=tolerance)
    points = counter_clockwise(shape_points(shape, grow=grow, facets_for=most, tolerance=tolerance))
    return np.array(points) if signed_area(points) >= _SAME else None


__all__ = ["CutGroup", "cut_groups", "cut_outline"]
