"""Lengths of straight lines inside a solid."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from casewright.geometry.solids import Floats

MOST_LINES = 128
"""Lines tried along an axis."""
_MOST_TRIED = 200_000
"""Lines, each with each triangle that they may leave by: fewer are tried in a solid of many."""
_TO_THE_MIDDLE = 1e-4
"""How far from a corner of a triangle toward its middle a line passes, as a share of that way."""
_TOUCHING = -1e-12


def longest_chord(points: Floats, triangles: NDArray[np.int64], axis: int) -> float:
    """How long a line along x, y or z runs inside a solid without leaving it; some lines, not all, are tried.

    Whatever slides along an axis out of another thing has to go at least as far as the longest line in the space that
    the two share.

    Args:
        points: Corners, (n, 3). [mm]
        triangles: Corners of each, counter-clockwise as seen from outside.
        axis: 0, 1 or 2.

    Returns:
        The longest of the tried ones, from a side that faces against the axis to the next one that faces along it; 0
        where there is none. [mm]

    Example:
        >>> from manifold3d import Manifold
        >>> mesh = Manifold.cube((3.0, 4.0, 5.0)).to_mesh64()
        >>> longest_chord(mesh.vert_properties[:, :3], mesh.tri_verts.astype("int64"), 1)
        4.0
    """
    corners = np.roll(points, 2 - axis, axis=1)[triangles]
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    area = _area(b - a, c - a)
    size = float(np.abs(area).max(initial=0.0))
    enter, leave = area < -1e-9 * size, area > 1e-9 * size
    if not enter.any() or not leave.any():
        return 0.0
    first = corners[enter]
    # A straight line's length changes evenly between corners: near one of them it is the longest.
    starts = (1 - _TO_THE_MIDDLE) * first + _TO_THE_MIDDLE * first.mean(axis=1, keepdims=True)
    lines = starts.reshape(-1, 3)
    most = max(1, min(MOST_LINES, _MOST_TRIED // int(leave.sum())))
    lines = lines[:: -(-len(lines) // most)]
    # Share of each corner of each leaving triangle in where each line passes.
    a, b, c, area = a[leave, None], b[leave, None], c[leave, None], area[leave, None]
    place = lines[None]
    of_a = _area(b - place, c - place) / area
    of_b = _area(c - place, a - place) / area
    of_c = 1.0 - of_a - of_b
    far = of_a * a[..., 2] + of_b * b[..., 2] + of_c * c[..., 2] - place[..., 2]
    passes = (of_a >= _TOUCHING) & (of_b >= _TOUCHING) & (of_c >= _TOUCHING) & (far > 0)
    lengths = np.where(passes, far, np.inf).min(axis=0)
    return float(lengths[np.isfinite(lengths)].max(initial=0.0))


def _area(first: Floats, second: Floats) -> Floats:
    area: Floats = first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]
    return area


__all__ = ["MOST_LINES", "longest_chord"]
