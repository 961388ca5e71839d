"""Solids as they are seen along a view: the faces turned to the eye, and the edges to draw."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from casewright.geometry.model import Body, Piece, Point3
from casewright.geometry.solids import Solid, solid_of
from casewright.outputs.drawings.viewpoint import Floats, View, cross

Bools = NDArray[np.bool_]
Indices = NDArray[np.intp]

_EDGE_ON = 1e-4  # a face whose normal leans less toward the eye covers nothing


@dataclass(frozen=True)
class Fineness:
    """How finely round things are drawn."""

    off: float
    """Most that a drawn arc may be off. [mm]"""
    crease_deg: float
    """Faces that meet at less are one rounded surface: only its outline is drawn."""


FINE = Fineness(0.1, 20.0)
"""For pictures as large as a page: off by less than a tenth of a line's width at 1:5."""
COARSE = Fineness(0.5, 35.0)
"""For pictures a third as wide as a page, for less work."""


def seen_solids(
    things: Sequence[Piece | Body],
    view: View,
    moves: Mapping[str, Point3] | None = None,
    *,
    fine: Fineness = FINE,
) -> tuple[list[str], list[SeenSolid]]:
    """The solids of things in a view's axes, with the things' keys; nothing for what is cut away whole."""
    axes = view.axes
    keys, shapes = [], []
    for thing in things:
        solid = solid_of(thing, tolerance=fine.off)
        if len(solid.mesh[1]):
            move = np.array((moves or {}).get(thing.key, (0.0, 0.0, 0.0)))
            shapes.append(SeenSolid.of(solid, axes, move, fine.crease_deg))
            keys.append(thing.key)
    return keys, shapes


@dataclass(frozen=True)
class SeenSolid:
    """One solid in the picture's axes: x right, y up, z toward the eye. [mm]"""

    start: Floats
    """Ends of the edges to draw."""
    end: Floats
    turned_away: Bools
    """Edges between two faces that look away: hidden by the solid itself."""
    triangles: Floats
    """Those that face the eye, counter-clockwise in the picture."""
    low: Floats
    """Least and most x, y, z."""
    high: Floats
    area: float

    # What follows from the triangles alone is asked for in every picture that the solid hides something in.

    @cached_property
    def triangle_boxes(self) -> tuple[Floats, Floats]:
        """Least and most x, y, z of each triangle that faces the eye, one row an axis."""
        low, high = self.triangles.min(axis=1), self.triangles.max(axis=1)
        return np.ascontiguousarray(low.T), np.ascontiguousarray(high.T)

    @cached_property
    def triangle_sides(self) -> tuple[tuple[Floats, Floats, Floats, Floats, Floats], ...]:
        """Of each side in turn, in the picture: x and y where it starts, how far right and up it runs, its length."""
        found = []
        for k in range(3):
            x, y = np.ascontiguousarray(self.triangles[:, k, :2].T)
            right, up = np.ascontiguousarray(self.triangles[:, (k + 1) % 3, :2].T) - (x, y)
            found.append((x, y, right, up, np.hypot(right, up)))
        return tuple(found)

    @cached_property
    def triangle_normals(self) -> Floats:
        """Across each triangle, as long as leads 1 nearer to the eye."""
        a, b, c = (self.triangles[:, k] for k in range(3))
        normals = cross(b - a, c - a)
        normals /= normals[:, 2:]
        return normals

    @staticmethod
    def of(solid: Solid, axes: Floats, move: Floats, crease_deg: float) -> SeenSolid:
        """A solid moved and seen along the axes of a view."""
        points, faces = solid.mesh
        seen = (points + move) @ axes.T
        corners = seen[faces]
        turned = cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        length = np.linalg.norm(turned, axis=1)
        normals = turned / np.where(length > 0, length, 1.0)[:, None]
        front = normals[:, 2] > _EDGE_ON
        a, b, first, second = _edges(faces)
        cosine = np.einsum("ij,ij->i", normals[first], normals[second])
        sharp = cosine < np.cos(np.radians(crease_deg))
        drawn = sharp | (front[first] != front[second])
        # Slivers without a direction make no edges.
        drawn &= (length[first] > 1e-9) & (length[second] > 1e-9)
        start, end = seen[a[drawn]], seen[b[drawn]]
        return SeenSolid(
            start,
            end,
            ~(front[first] | front[second])[drawn],
            corners[front],
            seen.min(axis=0),
            seen.max(axis=0),
            float(turned[front, 2].sum()),
        )


def grouped(shapes: Sequence[SeenSolid], groups: Sequence[object]) -> Sequence[SeenSolid]:
    """Those of a group as one; they may share space."""
    if not groups:
        return shapes
    found: dict[object, list[SeenSolid]] = {}
    for shape, group in zip(shapes, groups, strict=True):
        found.setdefault(group, []).append(shape)
    return [some[0] if len(some) == 1 else _joined_solid(some) for some in found.values()]


def _joined_solid(solids: Sequence[SeenSolid]) -> SeenSolid:
    return SeenSolid(
        np.concatenate([solid.start for solid in solids]),
        np.concatenate([solid.end for solid in solids]),
        np.concatenate([solid.turned_away for solid in solids]),
        np.concatenate([solid.triangles for solid in solids]),
        np.min([solid.low for solid in solids], axis=0),
        np.max([solid.high for solid in solids], axis=0),
        sum(solid.area for solid in solids),
    )


def _edges(faces: NDArray[np.int64]) -> tuple[Indices, Indices, Indices, Indices]:
    """Each edge once: its two corners and the two faces beside it."""
    count = int(faces.max()) + 1
    a, b = faces.reshape(-1), np.roll(faces, -1, axis=1).reshape(-1)
    face = np.repeat(np.arange(len(faces)), 3)
    forward = a < b
    ahead, back = a[forward] * count + b[forward], b[~forward] * count + a[~forward]
    order, reverse = np.argsort(ahead, kind="stable"), np.argsort(back, kind="stable")
    assert np.array_equal(ahead[order], back[reverse])  # closed: each edge is run both ways
    return a[forward][order], b[forward][order], face[forward][order], face[~forward][reverse]


__all__ = [
    "COARSE",
    "FINE",
    "Bools",
    "Fineness",
    "Indices",
    "SeenSolid",
    "grouped",
    "seen_solids",
]
