"""What holes leave of a board: the share of its width along lines across it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from casewright.basics.remembering import remembered
from casewright.geometry.cuts import cut_of, goes_through
from casewright.geometry.model import Circle, FaceShape, Piece, Rectangle

LINES = 24
"""Lines looked along, each way."""

POINTS = 240
"""Points looked at on each line."""

_LEAST = 0.05
"""A board that is cut through altogether counts as much as this, so that it is found far too weak."""


@dataclass(frozen=True)
class NetSection:
    """Shares of a board that are left, 1 where nothing is cut out."""

    along: float = 1.0
    """Mean over lines along v: what bends from end to end along u."""
    across: float = 1.0
    """Mean over lines along u."""
    least: float = 1.0
    """On the worst line of all, in the middle three quarters."""


@remembered(256)
def net_section(piece: Piece) -> NetSection:
    """Shares of the board's blank that its through cuts leave.

    Source:
        Plain geometry; stiffness goes with the mean over the lines, stress with the worst.
    """
    holes = [f.shape for f in piece.features if goes_through(cut_of(f), piece.thickness)]
    if not holes:
        return NetSection()
    u0, v0, u1, v1 = piece.extent
    few, many = (np.arange(LINES) + 0.5) / LINES, (np.arange(POINTS) + 0.5) / POINTS
    shares = []
    for across, along in ((few, many), (many, few)):
        u, v = np.meshgrid(u0 + across * (u1 - u0), v0 + along * (v1 - v0), indexing="ij")
        open_ = np.zeros(u.shape, dtype=bool)
        for hole in holes:
            open_ |= _inside(hole, u, v)
        shares.append(1.0 - open_.mean(axis=1 if across is few else 0))
    eighth = LINES // 8
    inner = [share[eighth : LINES - eighth] for share in shares]
    return NetSection(
        max(float(shares[0].mean()), _LEAST),
        max(float(shares[1].mean()), _LEAST),
        max(float(min(inner[0].min(), inner[1].min())), _LEAST),
    )


def _inside(shape: FaceShape, u: NDArray[np.float64], v: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Which points lie in a shape; corners of rectangles count as sharp."""
    if isinstance(shape, Circle):
        return (u - shape.u) ** 2 + (v - shape.v) ** 2 < shape.diameter**2 / 4
    if isinstance(shape, Rectangle):
        c, s = math.cos(math.radians(shape.turn_deg)), math.sin(math.radians(shape.turn_deg))
        x, y = (u - shape.u) * c + (v - shape.v) * s, (v - shape.v) * c - (u - shape.u) * s
        return (abs(x) < shape.width / 2) & (abs(y) < shape.height / 2)
    return np.asarray(shapely.contains_xy(shapely.Polygon(shape.points), u, v))


__all__ = ["LINES", "POINTS", "NetSection", "net_section"]
