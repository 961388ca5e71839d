"""Flat shapes that move together, as arrays: a side of many meters has thousands of screw holes."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from casewright.checks.flat import Box4, Flat, box_margin, gap_to_edge
from casewright.geometry.model import Point2

Floats = NDArray[np.float64]


_FEW = 16
"""So many are asked one after the other: arrays are only sooner with more."""


class Bunch:
    """Several shapes, asked about as they are after one move of all of them."""

    def __init__(self, flats: Sequence[Flat]) -> None:
        self.flats = tuple(flats)
        round_ones = [at for at, flat in enumerate(flats) if len(flat.core) == 1]
        self._boxes = np.array([flat.box for flat in flats]).reshape(-1, 4)
        self._round = np.array(round_ones, dtype=np.int64)
        self._middles = np.array([flats[at].core[0] for at in round_ones]).reshape(-1, 2)
        self._radii = np.array([flats[at].radius for at in round_ones])
        self._others = [at for at, flat in enumerate(flats) if len(flat.core) > 1]

    def boxes(self, shift: Point2) -> Floats:
        """Rectangles round them: least u, least v, most u, most v, (n, 4). [mm]"""
        moved: Floats = self._boxes + np.array((*shift, *shift))
        return moved

    def gaps_to_box(self, shift: Point2, box: Box4) -> Sequence[float]:
        """Material left between each and an upright rectangle round them; negative by how far it sticks out. [mm]"""
        if len(self.flats) <= _FEW:
            return [box_margin(flat.moved(*shift), box) for flat in self.flats]
        low_u, low_v, high_u, high_v = self.boxes(shift).T
        left = (low_u - box[0], low_v - box[1], box[2] - high_u, box[3] - high_v)
        return list(np.minimum.reduce(left).tolist())

    def gaps_to_edge(self, shift: Point2, outline: Sequence[Point2]) -> Sequence[float]:
        """The same to any edge round them; see `flat.gap_to_edge`. [mm]"""
        if len(self.flats) <= _FEW:
            return [gap_to_edge(flat.moved(*shift), outline) for flat in self.flats]
        found = np.empty(len(self.flats))
        for at in self._others:
            found[at] = gap_to_edge(self.flats[at].moved(*shift), outline)
        if len(self._round):
            away, is_inside = _to_edges(self._middles + np.array(shift), np.array(outline))
            found[self._round] = np.where(is_inside, away, -away) - self._radii
        return list(found.tolist())


def _to_edges(points: Floats, outline: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """How far points are from the nearest edge of an outline, and whether they lie inside (Shimrat, 1962)."""
    start, end = np.roll(outline, 1, axis=0), outline
    along = end - start
    sizes = np.maximum((along**2).sum(axis=1), np.finfo(float).tiny)
    out = points[:, None] - start[None]
    share = np.clip((out * along).sum(axis=2) / sizes, 0.0, 1.0)
    away = np.linalg.norm(out - share[..., None] * along, axis=2).min(axis=1)
    x, y = points[:, :1], points[:, 1:]
    spans = (start[:, 1] > y) != (end[:, 1] > y)
    rise = np.where(along[:, 1] == 0.0, 1.0, along[:, 1])
    crosses = spans & (x < along[:, 0] * (y - start[:, 1]) / rise + start[:, 0])
    return away, crosses.sum(axis=1) % 2 == 1


__all__ = ["Bunch"]
