"""Volumes and centres of volume of bodies between flat outlines, summed like weights on a beam."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casewright.geometry.model import Point3

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Moments:
    """A volume [mm³], negative for what is taken away, and its first moments about the origin. [mm⁴]"""

    volume: float
    first: Point3

    @property
    def centre(self) -> Point3:
        """Centre of a volume that is not nothing. [mm]"""
        a, b, c = self.first
        return (a / self.volume, b / self.volume, c / self.volume)


def moments_about(volume: float, centre: Point3) -> Moments:
    """Moments of a known volume with a known centre."""
    a, b, c = centre
    return Moments(volume, (volume * a, volume * b, volume * c))


def sum_of(moments: Iterable[Moments]) -> Moments:
    """Of several bodies together."""
    rows = list(moments)
    a, b, c = (math.fsum(m.first[i] for m in rows) for i in range(3))
    return Moments(math.fsum(m.volume for m in rows), (a, b, c))


def ruled_moments(low: Floats, high: Floats, n_low: float, n_high: float) -> Moments:
    """Moments of the body between two flat outlines; negative where they run clockwise.

    Args:
        low: Corners at `n_low`. [mm]
        high: As many at `n_high`, corner by corner. [mm]
        n_low: [mm]
        n_high: Above `n_low`. [mm]

    Source:
        Plain geometry: the body is the sum of tetrahedra from one point to each triangle of its surface, signed. A flat
        face may be cut into any triangles that add up to it; here all have their tip in that point's axis.

    Example:
        >>> square = np.array([(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)])
        >>> ruled_moments(square, square, -3.0, 0.0)
        Moments(volume=12.0, first=(12.0, 12.0, -18.0))
    """
    count = len(low)
    start = np.array((low[0, 0], low[0, 1], n_low))
    points = np.empty(
        (3, 2, count + 1)
    )  # by axis, face and corner; the first corner again at the end
    points[:2, 0, :count], points[:2, 1, :count] = low.T, high.T
    points[:2, :, count] = points[:2, :, 0]
    points[2, 0], points[2, 1] = n_low, n_high
    points -= start[:, None, None]
    here, after = points[:, :, :-1], points[:, :, 1:]
    tip = np.zeros((3, count))
    tip[2] = n_high - n_low
    # The low face has the point itself in its plane: nothing between them. Then the walls, then the high face.
    a = np.concatenate((here[:, 0], here[:, 0], tip), axis=1)
    b = np.concatenate((after[:, 0], after[:, 1], here[:, 1]), axis=1)
    c = np.concatenate((after[:, 1], here[:, 1], after[:, 1]), axis=1)
    parts = (
        a[0] * (b[1] * c[2] - b[2] * c[1])
        + a[1] * (b[2] * c[0] - b[0] * c[2])
        + a[2] * (b[0] * c[1] - b[1] * c[0])
    )
    volume = float(parts.sum()) / 6
    x, y, z = ((a + b + c) @ parts / 24 + volume * start).tolist()
    return Moments(volume, (x, y, z))


__all__ = ["Moments", "moments_about", "ruled_moments", "sum_of"]
