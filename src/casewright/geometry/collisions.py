"""Where two things want the same space.

Pieces and solid bodies may touch but not share space; room that a part needs kept free is a collision with what is
solid, never with other room. Most pairs are told apart by planes between them (the separating axes of their outer
shapes); only what is left is intersected as solids, and each pair's result is remembered until one of the two changes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np

from casewright.basics.remembering import Latest, remembered
from casewright.geometry.model import Body, Box, Cabinet, Cylinder, Frame, Piece, Point3
from casewright.geometry.solids import PAIRS, THINGS, Floats, Solid, solid_of
from casewright.geometry.way_out import LEAST_OVERLAP, Axis, way_out

ThingKind = Literal["piece", "solid", "room"]

_APART = 1e-6  # mm; less overlap than this along an axis is contact
_DIGITS = 6
"""Places after the point that are told of shared space: the last figures of its sums differ from run to run."""


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
    near = _near_pairs(things)
    _LATEST.add(
        _Near(
            {id(thing): thing for thing in things},
            tuple((id(things[i]), id(things[j])) for i, j in near),
        )
    )
    for i, j in near:
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
    hulls = [_hull(body) for body in bodies]
    low = [min(hull.low[axis] for hull in hulls) for axis in range(3)]
    high = [max(hull.high[axis] for hull in hulls) for axis in range(3)]
    near = [other for other in others if _reaches(_hull(other), low, high)]
    things: list[Piece | Body] = [*bodies, *near]
    return any(
        not _are_allowed(things[i], things[j])
        and _shared(solid_of(things[i]), solid_of(things[j])) is not None
        for i, j in _pairs_of(things, range(len(bodies)))
        if i < len(bodies) <= j
    )


def met_by(thing: Piece | Body, others: Sequence[Piece | Body]) -> tuple[str, ...]:
    """Keys of those of some things that one collides with; sooner told than how far and where.

    Source:
        See `collisions_between`.
    """
    hull = _hull(thing)
    near = [other for other in others if _reaches(_hull(other), hull.low, hull.high)]
    if not near:
        return ()
    things = [thing, *near]
    return tuple(
        things[j].key
        for _, j in _pairs_of(things, [0])
        if not _are_allowed(thing, things[j])
        and _shared(solid_of(thing), solid_of(things[j])) is not None
    )


def _reaches(hull: _Hull, low: Sequence[float], high: Sequence[float]) -> bool:
    """Whether the box round a thing comes into another box."""
    return all(
        hull.low[axis] < high[axis] - _APART and low[axis] < hull.high[axis] - _APART
        for axis in range(3)
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


@dataclass(frozen=True, eq=False)
class _Near:
    """Which of some things are near one another, for the next time most of them are asked about."""

    things: Mapping[int, Piece | Body]
    """By identity, which they keep as long as they are held here."""
    pairs: tuple[tuple[int, int], ...]
    """Identities of two that are near."""


_LATEST: Latest[_Near] = Latest(8)


def _near_pairs(things: Sequence[Piece | Body]) -> list[tuple[int, int]]:
    """Pairs that no axis-parallel plane and no plane of their own faces keeps apart, in order.

    What is told of two things holds as long as they are the same: only new ones are tried against all.
    """
    at = {id(thing): place for place, thing in enumerate(things)}
    known = max(_LATEST, key=lambda near: len(near.things.keys() & at.keys()), default=None)
    if known is None or len(at) < len(things):
        return _pairs_of(things, range(len(things)))
    kept = known.things.keys() & at.keys()
    pairs = [(at[a], at[b]) for a, b in known.pairs if a in kept and b in kept]
    new = [place for place, thing in enumerate(things) if id(thing) not in kept]
    return sorted((*((min(pair), max(pair)) for pair in pairs), *_pairs_of(things, new)))


def _pairs_of(things: Sequence[Piece | Body], new: Sequence[int]) -> list[tuple[int, int]]:
    """Near pairs of which one is among the new ones at least."""
    if not new:
        return []
    hulls = [_hull(thing) for thing in things]
    low, high = np.array([hull.low for hull in hulls]), np.array([hull.high for hull in hulls])
    rows = np.array(new)
    meet = np.ones((len(new), len(things)), dtype=bool)
    for axis in range(3):
        meet &= low[rows, None, axis] < high[None, :, axis] - _APART
        meet &= low[None, :, axis] < high[rows, None, axis] - _APART
    is_new = np.zeros(len(things), dtype=bool)
    is_new[rows] = True
    meet &= ~is_new[None, :] | (rows[:, None] < np.arange(len(things))[None, :])
    first, j = np.nonzero(meet)
    i = rows[first]
    if not len(i):
        return []
    # Only the things that take part are laid out as arrays.
    part, at = np.unique(np.concatenate((i, j)), return_inverse=True)
    a_at, b_at = at[: len(i)], at[len(i) :]
    corners = _stacked([hulls[k].corners for k in part])
    axes = _stacked([hulls[k].axes for k in part])
    both = np.concatenate((axes[a_at], axes[b_at]), axis=1)
    a = np.einsum("pkx,pcx->pkc", both, corners[a_at])
    b = np.einsum("pkx,pcx->pkc", both, corners[b_at])
    overlap = np.minimum(a.max(axis=2), b.max(axis=2)) - np.maximum(a.min(axis=2), b.min(axis=2))
    near = (overlap > _APART).all(axis=1)
    return sorted(
        (min(x, y), max(x, y)) for x, y in zip(i[near].tolist(), j[near].tolist(), strict=True)
    )


def _stacked(rows: Sequence[Floats]) -> Floats:
    """Lists of points as one array, the shorter ones filled up with their own."""
    most = max(len(row) for row in rows)
    return np.array([row if len(row) == most else row[np.arange(most) % len(row)] for row in rows])


@dataclass(frozen=True, eq=False)
class _Hull:
    """A convex shape round a thing."""

    corners: Floats
    axes: Floats
    """Directions of its faces."""
    low: Point3
    high: Point3


@remembered(THINGS)
def _hull(thing: Piece | Body) -> _Hull:
    if isinstance(thing, Piece):
        corners, axes = _hull_of_outlines(thing.show, thing.back, thing.thickness, thing.frame)
    else:
        corners, axes = _hull_of_shape(thing.shape, thing.frame)
    return _Hull(
        corners, axes, tuple(corners.min(axis=0).tolist()), tuple(corners.max(axis=0).tolist())
    )


@lru_cache(maxsize=THINGS)
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


@lru_cache(maxsize=THINGS)
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


@lru_cache(maxsize=PAIRS)
def _shared(a: Solid, b: Solid) -> Solid | None:
    """The space two solids share, None if that is only contact."""
    shared = Solid(a.manifold ^ b.manifold)
    return shared if shared.volume > LEAST_OVERLAP else None


def _collision(first: Piece | Body, second: Piece | Body, shared: Solid) -> Collision:
    clear_by, clear_along = way_out(first, second)
    low, high = shared.box
    return Collision(
        first=first.key,
        second=second.key,
        kinds=(kind_of(first), kind_of(second)),
        owners=(_owner(first), _owner(second)),
        overlap_mm3=round(shared.volume, _DIGITS),
        box=(_told(low), _told(high)),
        point=_told(shared.centre),
        clear_by=round(clear_by, _DIGITS),
        clear_along=clear_along,
    )


def _told(point: Point3) -> Point3:
    """A point of shared space without the last figures of its reckoning, and without a minus before 0."""
    x, y, z = (round(at, _DIGITS) + 0.0 for at in point)
    return (x, y, z)


__all__ = [
    "LEAST_OVERLAP",
    "Axis",
    "Collision",
    "ThingKind",
    "collisions_between",
    "find_collisions",
    "kind_of",
    "meets_any",
    "met_by",
]
