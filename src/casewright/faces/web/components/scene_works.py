"""What is worked into a piece, as bands for the viewer: each the wall of a hole, an opening, a pocket or a chamfer.

A band has rings, each an outline at its n in the piece's frame; the wall lies between one ring and the next. A round
one is told by its centre and its radii, any other by its points, as many in each ring, counter-clockwise. Nothing is
measured on it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from casewright.geometry.cuts import Cut, cut_of, goes_through, profile_of, slot_levels
from casewright.geometry.facets import shape_points
from casewright.geometry.model import Circle, FaceShape, Feature, Piece, Point2

TOLERANCE = 0.1
"""Most that a shown arc may be off: a fraction of a pixel. [mm]"""
CHAMFER = "chamfer"
"""What a chamfered rim is called among the works; all others are kinds of feature and kinds of bit."""


@dataclass(frozen=True)
class Band:
    """One worked wall, from ring to ring."""

    works: tuple[str, ...]
    """The kind of feature and the kind of bit."""
    levels: tuple[float, ...]
    """N of each ring. [mm]"""
    centre: Point2 = (0.0, 0.0)
    radii: tuple[float, ...] = ()
    """Of each ring, where it is round. [mm]"""
    rings: tuple[tuple[Point2, ...], ...] = ()
    """Of each ring its points, where it is not. [mm]"""
    has_floor: bool = False
    """Whether the last ring is filled: it ends in the wood."""

    def as_json(self) -> dict[str, Any]:
        """Plain data; a coordinate to a hundredth of a millimeter."""
        told: dict[str, Any] = {"works": list(self.works), "n": [_fine(n) for n in self.levels]}
        if self.radii:
            told["centre"] = [_fine(x) for x in self.centre]
            told["radii"] = [_fine(radius) for radius in self.radii]
        else:
            told["rings"] = [[_fine(x) for point in ring for x in point] for ring in self.rings]
        if self.has_floor:
            told["floor"] = True
        return told


def bands_of(piece: Piece) -> tuple[Band, ...]:
    """The worked walls of a piece, in the order of its features."""
    return tuple(band for feature in piece.features for band in _bands(feature, piece.thickness))


def works_of(piece: Piece) -> tuple[str, ...]:
    """All works done to a piece, sorted."""
    return tuple(sorted({work for band in bands_of(piece) for work in band.works}))


def _bands(feature: Feature, thickness: float) -> Iterator[Band]:
    cut = cut_of(feature)
    works = tuple(work for work in (feature.kind, feature.tool) if work)
    if cut.kind == "slot":
        low, high = slot_levels(cut, thickness)
        yield _band(works, cut, [(0.0, low), (0.0, high)], has_floor=False)
        return
    steps = [(grow, _level(cut, depth, thickness)) for grow, depth in profile_of(cut, thickness)]
    has_floor = not goes_through(cut, thickness)
    if cut.kind != "countersink" and cut.chamfer > 0:
        yield _band((CHAMFER,), cut, steps[:2], has_floor=False)
        steps = steps[1:]
    if len(steps) > 1:
        yield _band(works, cut, steps, has_floor=has_floor)


def _level(cut: Cut, depth: float, thickness: float) -> float:
    return -depth if cut.face == "show" else depth - thickness


def _band(
    works: tuple[str, ...], cut: Cut, steps: list[tuple[float, float]], *, has_floor: bool
) -> Band:
    levels = tuple(n for _, n in steps)
    if isinstance(cut.shape, Circle):
        radii = tuple(max(cut.shape.diameter / 2 + grow, 0.0) for grow, _ in steps)
        centre = (cut.shape.u, cut.shape.v)
        return Band(works, levels, centre=centre, radii=radii, has_floor=has_floor)
    most = max(grow for grow, _ in steps)
    rings = tuple(_ring(cut.shape, grow, most) for grow, _ in steps)
    if len({len(ring) for ring in rings}) > 1:  # a side is gone in one of them: show it straight
        rings = (max(rings, key=len),) * len(rings)
    return Band(works, levels, rings=rings, has_floor=has_floor)


def _ring(shape: FaceShape, grow: float, most: float) -> tuple[Point2, ...]:
    return tuple(shape_points(shape, grow=grow, facets_for=most, tolerance=TOLERANCE))


def _fine(value: float) -> float:
    return round(value, 2) + 0.0


__all__ = ["CHAMFER", "TOLERANCE", "Band", "bands_of", "works_of"]
