"""Pictures with areas: what is seen of each face, toned by how it is turned to the light.

The lines that are seen part the picture into fields, and each field shows one face: the nearest one at any point of it.
So the areas fit the lines to the last hundredth of a millimeter, and nothing has to be sorted by depth.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from casewright.geometry.model import Body, Cabinet, Piece, Point3
from casewright.outputs.drawings.hidden_lines import (
    LinePicture,
    SeenLine,
    lines_of_solids,
    moves_of,
    things_of,
)
from casewright.outputs.drawings.placing import Point
from casewright.outputs.drawings.seen_solids import SeenSolid, seen_solids
from casewright.outputs.drawings.viewpoint import Floats, View, cross

LIGHT = (-0.45, 0.75, 0.6)
"""Where the light comes from in every picture: right, up, toward the eye. From the upper left, as is the custom."""
DARKEST = 0.72
"""Tone of a face turned away from the light; one turned toward it has 1."""

_GRID = 0.01  # mm; points nearer than this are one
_LEAST_FIELD = 0.5  # mm²
_LOOKED_AT = 32  # faces, to judge what is seen


@dataclass(frozen=True)
class SeenFace:
    """What is seen of a face in one go."""

    key: str
    """Of the piece or body."""
    outer: tuple[Point, ...]
    """Without the first point again at the end. [mm]"""
    holes: tuple[tuple[Point, ...], ...]
    tone: float
    """1 in full light down to `DARKEST`; to multiply a color by."""


@dataclass(frozen=True)
class ShadedPicture:
    """Areas, and the lines to draw over them."""

    faces: tuple[SeenFace, ...]
    lines: tuple[SeenLine, ...]
    hidden: tuple[SeenLine, ...] = ()
    """Empty if not asked for."""


def shade(
    cabinet: Cabinet,
    view: View,
    *,
    explode: float = 0.0,
    bodies: bool = True,
    least: float = 0.3,
) -> ShadedPicture:
    """A picture of a cabinet with areas and lines.

    Args:
        cabinet: The cabinet.
        view: The direction to look from.
        explode: Pieces moved away from the middle by this share of their distance; 0 as it stands.
        bodies: Also draw the solid bodies of parts.
        least: Shorter bits of a line are left out. [mm]
    """
    return shade_things(
        things_of(cabinet, bodies=bodies), view, moves=moves_of(cabinet, explode), least=least
    )


def shade_things(
    things: Sequence[Piece | Body],
    view: View,
    *,
    moves: Mapping[str, Point3] | None = None,
    least: float = 0.3,
) -> ShadedPicture:
    """The same for any pieces and bodies; `moves` by key carries some of them elsewhere. [mm]"""
    keys, solids = seen_solids(things, view, moves)
    return shade_solids(keys, solids, least=least)


def shade_solids(
    keys: Sequence[str],
    solids: Sequence[SeenSolid],
    *,
    groups: Sequence[object] = (),
    hidden: Collection[str] = (),
    least: float = 0.3,
) -> ShadedPicture:
    """The same for solids that are in a view's axes already; see `lines_of_solids`."""
    picture = lines_of_solids(keys, solids, groups=groups, hidden=hidden, least=0.0)
    fields = _fields(picture)
    faces = []
    if fields:
        inside = shapely.get_coordinates(shapely.point_on_surface(fields))
        for field, (owner, tone) in zip(fields, _nearest(inside, solids), strict=True):
            if owner >= 0:
                faces.append(_face(keys[owner], field, tone))
    lines, unseen = (
        tuple(line for line in some if _length(line) > least)
        for some in (picture.visible, picture.hidden)
    )
    return ShadedPicture(tuple(faces), lines, unseen)


def seen_share(solids: Sequence[SeenSolid], of: Collection[int]) -> tuple[float, float]:
    """Area of these solids, by their places in the row, that no other one covers; and the share of theirs that is.

    Judged by their largest faces, each by its middle. [mm² of the picture]
    """
    if not of:
        return 0.0, 0.0
    triangles = np.concatenate([solids[index].triangles for index in of])
    owners = np.repeat(list(of), [len(solids[index].triangles) for index in of])
    a, b = triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
    area = np.abs(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]) / 2
    largest = np.argsort(-area, kind="stable")[:_LOOKED_AT]
    middles = triangles[largest].mean(axis=1)[:, :2]
    found = np.array([owner for owner, _ in _nearest(middles, solids)])
    seen = float(area[largest][found == owners[largest]].sum())
    return seen, seen / max(float(area[largest].sum()), 1e-9)


def _fields(picture: LinePicture) -> list[shapely.Polygon]:
    """The areas that the lines enclose, from top to bottom and left to right."""
    if not picture.visible:
        return []
    lines = shapely.linestrings  # one line from many points
    drawn = [lines(line.points) for line in picture.visible]
    nodes = shapely.union_all(drawn, grid_size=_GRID)
    cells = shapely.get_parts(shapely.polygonize(shapely.get_parts(nodes)))
    found = [cell for cell in cells if cell.area > _LEAST_FIELD]
    return sorted(found, key=lambda cell: (-cell.bounds[3], cell.bounds[0], cell.area))


def _nearest(points: Floats, solids: Sequence[SeenSolid]) -> Iterator[tuple[int, float]]:
    """For each point of the picture, the solid that is nearest to the eye there (-1: none) and its tone."""
    light = np.array(LIGHT) / np.linalg.norm(LIGHT)
    depth = np.full(len(points), -np.inf)
    owner = np.full(len(points), -1)
    tone = np.ones(len(points))
    for index, solid in enumerate(solids):
        near = (points >= solid.low[:2]).all(axis=1) & (points <= solid.high[:2]).all(axis=1)
        some = np.nonzero(near & (depth < solid.high[2]))[0]
        if not len(some) or not len(solid.triangles):
            continue
        for at in range(0, len(some), 64):
            bunch = some[at : at + 64]
            z, which = _depths(points[bunch], solid.triangles)
            ahead = z > depth[bunch] + 1e-6
            hit = bunch[ahead]
            if not len(hit):
                continue
            depth[hit], owner[hit] = z[ahead], index
            a, b, c = (solid.triangles[which[ahead], k] for k in range(3))
            normal = cross(b - a, c - a)
            normal /= np.linalg.norm(normal, axis=1)[:, None]
            tone[hit] = DARKEST + (1 - DARKEST) * np.maximum(normal @ light, 0.0)
    return ((int(o), float(t)) for o, t in zip(owner, tone, strict=True))


def _depths(points: Floats, triangles: Floats) -> tuple[Floats, NDArray[np.intp]]:
    """For each point, the depth of the nearest triangle over it (-inf: none) and which one it is."""
    inside = np.ones((len(points), len(triangles)), dtype=bool)
    x, y = points[:, 0][:, None], points[:, 1][:, None]
    for k in range(3):
        start = triangles[:, k, :2]
        side = triangles[:, (k + 1) % 3, :2] - start
        inside &= side[:, 0] * (y - start[:, 1]) - side[:, 1] * (x - start[:, 0]) >= -1e-9
    point, over = np.nonzero(inside)
    corner, z = triangles[over, 0], np.full(inside.shape, -np.inf)
    normal = cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    slope = (normal[:, :2] / normal[:, 2:])[over]
    away = points[point] - corner[:, :2]
    z[point, over] = corner[:, 2] - (away[:, 0] * slope[:, 0] + away[:, 1] * slope[:, 1])
    which = z.argmax(axis=1)
    best: Floats = z[np.arange(len(points)), which]
    return best, which


def _face(key: str, field: shapely.Polygon, tone: float) -> SeenFace:
    rings = [shapely.get_coordinates(field.exterior)[:-1]]
    rings += [shapely.get_coordinates(ring)[:-1] for ring in field.interiors]
    outer, *holes = (tuple((float(x), float(y)) for x, y in ring) for ring in rings)
    return SeenFace(key, outer, tuple(holes), round(tone, 3))


def _length(line: SeenLine) -> float:
    steps = np.diff(np.array(line.points), axis=0)
    return float(np.hypot(steps[:, 0], steps[:, 1]).sum())


__all__ = [
    "DARKEST",
    "LIGHT",
    "SeenFace",
    "ShadedPicture",
    "seen_share",
    "shade",
    "shade_solids",
    "shade_things",
]
