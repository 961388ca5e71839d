"""Where two things want the same space.

Pieces and solid bodies may touch but not share space; room that a part needs kept free is a collision with what is
solid, never with other room. Most pairs are told apart by planes between them (the separating axes of their outer
shapes); only what is left is intersected as solids, and each pair's result is remembered until one of the two changes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np

from casewright.geometry.model import Body, Box, Cabinet, Cylinder, Frame, Piece, Point3
from casewright.geometry.solids import Floats, Solid, solid_of
from casewright.geometry.way_out import LEAST_OVERLAP, Axis, way_out

ThingKind = Literal["piece", "solid", "room"]

_APART = 1e-6  # mm; less overlap than this along an axis is contact


@dataclass(frozen=True)
class Collision:
    """Two things that share space."""

    first: str
    """Key of the body (or the smaller piece) that is the easier to move."""
    second: str
    kinds: tuple[ThingKind, ThingKind]
    owners: tuple[str, str]
    """Keys of the parts that the bodies belong to; a piece's own key."""
    overlap_mm3: float
    box: tuple[Point3, Point3]
    """Least and most x, y, z of the shared space. [mm]"""
    point: Point3
    """Its centre. [mm]"""
    clear_by: float
    """Least straight move of the first, along its own axes, that ends the collision. [mm]"""
    clear_along: Axis
    """Which way, in the first's frame."""


def find_collisions(cabinet: Cabinet) -> tuple[Collision, ...]:
    """All collisions of a cabinet, the largest overlap first. See `collisions_between`."""
    return collisions_between(cabinet.pieces, cabinet.bodies)


def collisions_between(pieces: Sequence[Piece], bodies: Sequence[Body]) -> tuple[Collision, ...]:
    """Collisions among pieces and bodies.

    A part's bodies do not collide with one another, nor with what they `may_touch`.

    Returns:
        The largest overlap first, then by key.

    Source:
        Plain geometry: two convex bodies are apart if a face of one parts them.
    """
    things: list[Piece | Body] = [*pieces, *bodies]
    if len(things) < 2:
        return ()
    found = []
    for i, j in _near_pairs(things):
        a, b = things[i], things[j]
        if _are_allowed(a, b):
            continue
        solid_a, solid_b = solid_of(a), solid_of(b)
        shared = _shared(solid_a, solid_b)
        if shared is None:
            continue
        first, second = (a, b) if _is_easier_to_move(a, b) else (b, a)
        found.append(_collision(first, second, shared))
    return tuple(sorted(found, key=lambda c: (-c.overlap_mm3, c.first, c.second)))


def meets_any(bodies: Sequence[Body], others: Sequence[Piece | Body]) -> bool:
    """Whether one of some bodies collides with one of the others; sooner told than which and how far.

    Source:
        See `collisions_between`.
    """
    if not bodies or not others:
        return False
    things: list[Piece | Body] = [*bodies, *others]
    return any(
        not _are_allowed(things[i], things[j])
        and _shared(solid_of(things[i]), solid_of(things[j])) is not None
        for i, j in _near_pairs(things)
        if i < len(bodies) <= j
    )


# ---- which pairs -----------------------------------------------------------------------------------------------------


def kind_of(thing: Piece | Body) -> ThingKind:
    """What sort of thing it is, as a collision tells."""
    return "piece" if isinstance(thing, Piece) else thing.kind


def _owner(thing: Piece | Body) -> str:
    return thing.key if isinstance(thing, Piece) else thing.owner


def _are_allowed(a: Piece | Body, b: Piece | Body) -> bool:
    if isinstance(a, Body) and isinstance(b, Body):
        if a.owner == b.owner or (a.kind == "room" and b.kind == "room"):
            return True
        if b.key in a.may_touch or a.key in b.may_touch:
            return True
    a_touches = a.may_touch if isinstance(a, Body) else ()
    b_touches = b.may_touch if isinstance(b, Body) else ()
    return _owner(b) in a_touches or _owner(a) in b_touches


def _is_easier_to_move(a: Piece | Body, b: Piece | Body) -> bool:
    """A body before a piece, a solid before room, then the smaller."""
    order = {"solid": 0, "room": 1, "piece": 2}
    keys = [(order[kind_of(x)], solid_of(x).volume, x.key) for x in (a, b)]
    return keys[0] <= keys[1]


def _near_pairs(things: Sequence[Piece | Body]) -> list[tuple[int, int]]:
    """Pairs that no axis-parallel plane and no plane of their own faces keeps apart."""
    hulls = [_hull(thing) for thing in things]
    corners = _stacked([corners for corners, _ in hulls])
    axes = _stacked([axes for _, axes in hulls])
    low, high = corners.min(axis=1), corners.max(axis=1)
    meet = np.ones((len(things), len(things)), dtype=bool)
    for axis in range(3):
        meet &= low[:, None, axis] < high[None, :, axis] - _APART
    i, j = np.nonzero(np.triu(meet & meet.T, 1))
    both = np.concatenate((axes[i], axes[j]), axis=1)
    a = np.einsum("pkx,pcx->pkc", both, corners[i])
    b = np.einsum("pkx,pcx->pkc", both, corners[j])
    overlap = np.minimum(a.max(axis=2), b.max(axis=2)) - np.maximum(a.min(axis=2), b.min(axis=2))
    near = (overlap > _APART).all(axis=1)
    return [(int(x), int(y)) for x, y in zip(i[near], j[near], strict=True)]


def _stacked(rows: Sequence[Floats]) -> Floats:
    """Lists of points as one array, the shorter ones filled up with their own."""
    most = max(len(row) for row in rows)
    return np.array([row[np.arange(most) % len(row)] for row in rows])


@lru_cache(maxsize=4096)
def _hull_of_outlines(
    show: tuple[tuple[float, float], ...],
    back: tuple[tuple[float, float], ...],
    thickness: float,
    frame: Frame,
) -> tuple[Floats, Floats]:
    corners = [frame.point(u, v) for u, v in show] + [
        frame.point(u, v, -thickness) for u, v in back
    ]
    points = np.array(corners)
    normals = [frame.u, frame.v, frame.n]
    if len(show) == 4:  # the planes of its four edges, bevelled or not
        start, after, below = points[:4], np.roll(points[:4], -1, axis=0), points[4:]
        for normal in np.cross(after - start, below - start):
            size = float(np.linalg.norm(normal))
            if size > _APART:
                normals.append(tuple(normal / size))
    return points, np.array(normals)


def _hull(thing: Piece | Body) -> tuple[Floats, Floats]:
    """Corners of a convex shape round a thing, and directions of its faces."""
    if isinstance(thing, Piece):
        return _hull_of_outlines(thing.show, thing.back, thing.thickness, thing.frame)
    return _hull_of_shape(thing.shape, thing.frame)


@lru_cache(maxsize=4096)
def _hull_of_shape(shape: Box | Cylinder, frame: Frame) -> tuple[Floats, Floats]:
    if isinstance(shape, Cylinder):
        most = max(shape.diameter, shape.top_diameter or 0.0)
        u, v = most / 2, most / 2
    else:
        u, v = shape.width / 2, shape.height / 2
    corners = [
        frame.point(shape.u + a * u, shape.v + b * v, n)
        for n in (shape.n_low, shape.n_high)
        for a in (-1, 1)
        for b in (-1, 1)
    ]
    return np.array(corners), np.array([frame.u, frame.v, frame.n])


# ---- one pair --------------------------------------------------------------------------------------------------------


@lru_cache(maxsize=16384)
def _shared(a: Solid, b: Solid) -> Solid | None:
    """The space two solids share, None if that is only contact."""
    shared = Solid(a.manifold ^ b.manifold)
    return shared if shared.volume > LEAST_OVERLAP else None


def _collision(first: Piece | Body, second: Piece | Body, shared: Solid) -> Collision:
    clear_by, clear_along = way_out(first, second)
    return Collision(
        first=first.key,
        second=second.key,
        kinds=(kind_of(first), kind_of(second)),
        owners=(_owner(first), _owner(second)),
        overlap_mm3=shared.volume,
        box=shared.box,
        point=shared.centre,
        clear_by=clear_by,
        clear_along=clear_along,
    )


__all__ = [
    "LEAST_OVERLAP",
    "Axis",
    "Collision",
    "ThingKind",
    "collisions_between",
    "find_collisions",
    "kind_of",
    "meets_any",
]
