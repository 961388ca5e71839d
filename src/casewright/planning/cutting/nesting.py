"""Profiled parts laid into each other, so that they come from one smaller rectangle.

One shape is slid against those that lie from all four sides, at every height at which corners meet: between two such
heights the rectangle round all grows or shrinks evenly, so the smallest ones are among them. What comes of it is a
blank that is cut off edge to edge like any other; the shapes in it are then sawn along the line.

            +-------+--------+
            | +-+   |########|      A and B a gap apart; the rectangle round both is the blank
            | |A|___| __B    |
            | |______||##|   |
            +----------------+

Nothing here is left to chance or to a clock: the same shapes give the same blanks.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal

import numpy as np
import shapely
from shapely import affinity

from casewright.basics.wording import listed
from casewright.planning.cutting.model import Blank, Nested, Outline, Placement

Turns = Literal["half", "free"]
Face = Literal["show", "back"]

MOST = 8
"""Rectangles that are tried on the sheets, for each group; and from which the next part is slid on."""
_MITER = 2.0
"""How far a corner of a grown shape sticks out at most, in gaps."""
_NEAR = 2e-6  # mm
_LONG_EDGES = 4
"""Edges of each part that are laid along one of the other's, where both may turn freely."""


@dataclass(frozen=True)
class Profile:
    """A part whose outline is no rectangle, as it lies in its own blank with the show face up."""

    key: str
    name: str
    outline: Outline
    """The smallest x and y are 0. [mm]"""
    turns: Turns = "half"
    """ "half": the grain allows to turn it end for end only. "free": any way."""

    @property
    def polygon(self) -> Any:
        """As a shape of the geometry library."""
        return shapely.Polygon(self.outline)


def nested_blanks(*profiles: Profile, gap: float, either_face: bool = False) -> tuple[Blank, ...]:
    """Return blanks that each hold all of the parts, none of them both longer and wider than another.

    Args:
        profiles: Two or more. The first keeps its way up and, where the grain binds one of them, its direction; the
            others are laid against it one after the other, so large ones go first.
        gap: Least distance between two lines: room for the saw or the bit. [mm, 0 or more]
        either_face: The other parts may also lie with their back face up.

    Returns:
        The smallest area first, at most `MOST`. Their grain is that of the parts: "length" where one of them is bound.

    Source:
        Plain geometry. Sliding polygons against each other: the no-fit polygon's outer border, seen along the axes.

    Example:
        >>> triangle = ((0.0, 0.0), (300.0, 0.0), (0.0, 200.0))
        >>> pair = Profile("a", "a", triangle), Profile("b", "b", triangle)
        >>> best = nested_blanks(*pair, gap=0)[0]
        >>> round(best.length), round(best.width)
        (300, 200)
    """
    free = all(profile.turns == "free" for profile in profiles)
    first = _Way(profiles[0].polygon, 0.0, "show", gap)
    groups: list[_Group] = [_Group((_Laid(first, 0.0, 0.0),))]
    for profile in profiles[1:]:
        ways = [
            _Way(shape, turn, face, gap)
            for face, shape in _sides(profile, either_face=either_face)
            for turn in _apart(
                [0.0, 180.0, *((90.0, 270.0, *_facing(shape, first.shape)) if free else ())]
            )
        ]
        groups = _chosen(
            _Group((*group.laid, _Laid(way, dx, dy)))
            for group in groups
            for way in ways
            for dx, dy in _touching(group, way)
        )
    names = [profile.name for profile in profiles]
    blanks = (
        Blank(
            "nest." + ".".join(profile.key for profile in profiles),
            group.length,
            group.width,
            grain="none" if free else "length",
            label=f"nest of {listed(names)}",
            nested=tuple(
                Nested(profile.key, profile.name, ring, laid.way.turned_deg, laid.way.face)
                for profile, ring, laid in zip(profiles, group.rings(), group.laid, strict=True)
            ),
        )
        for group in groups
    )
    return tuple(
        blank
        for blank in blanks
        if not nest_faults(blank, profiles, gap=gap, either_face=either_face)
    )


def nest_faults(
    blank: Blank, profiles: Iterable[Profile], *, gap: float, either_face: bool = False
) -> tuple[str, ...]:
    """What is wrong with a nest, in words; nothing where it can be cut.

    Every part is held against its own outline, turned and turned over as the nest says; it must lie in the blank, a gap
    from every other part, and as the grain allows.

    Args:
        blank: The nest.
        profiles: The parts it may hold.
        gap: Least distance between two lines. [mm]
        either_face: Parts may lie with the back face up.

    Source:
        Plain geometry, by the distances and areas of shapely.
    """
    by_key = {profile.key: profile for profile in profiles}
    faults: list[str] = []
    room = shapely.box(0, 0, blank.length, blank.width).buffer(1e-4, join_style="mitre")
    laid: list[tuple[str, Any]] = []
    for nested in blank.nested:
        profile = by_key.get(nested.key)
        if profile is None:
            faults.append(f"{nested.key} is no part of it")
            continue
        shape = shapely.Polygon(nested.outline)
        if not room.covers(shape):
            faults.append(f"{nested.name} sticks out of the blank")
        own = profile.polygon
        if nested.face == "back":
            own = affinity.scale(own, -1, 1, origin=(0, 0))
        own = affinity.rotate(own, nested.turned_deg, origin=(0, 0))
        own = affinity.translate(
            own, shape.bounds[0] - own.bounds[0], shape.bounds[1] - own.bounds[1]
        )
        if own.hausdorff_distance(shape) > 1e-3:
            faults.append(f"{nested.name} has not its own outline")
        if nested.face == "back" and not either_face:
            faults.append(f"{nested.name} lies with its back face up")
        if profile.turns == "half" and nested.turned_deg % 180 > 1e-6:
            faults.append(f"{nested.name} lies across the grain")
        if profile.turns == "half" and blank.grain != "length":
            faults.append(f"{blank.name} is not bound to the grain")
        for name, before in laid:
            if shape.intersection(before).area > 1e-3 or shape.distance(before) < gap - 1e-4:
                faults.append(f"{nested.name} and {name} are less than {gap:g} mm apart")
        laid.append((nested.name, shape))
    return tuple(faults)


def on_sheet(blank: Blank, place: Placement) -> tuple[tuple[Nested, Outline], ...]:
    """The parts of a nest with their outlines where they lie on the sheet. [mm]"""
    found = []
    for nested in blank.nested:
        if place.turned:  # a quarter turn to the left
            points = tuple((place.x + blank.width - y, place.y + x) for x, y in nested.outline)
        else:
            points = tuple((place.x + x, place.y + y) for x, y in nested.outline)
        found.append((nested, points))
    return tuple(found)


def longest_edge(nested: Nested) -> tuple[tuple[float, float], tuple[float, float]]:
    """The ends of a part's longest edge, by which its template is laid on the nest; the one further left first. [mm]"""
    points = nested.outline
    edges = zip(points, (*points[1:], points[0]), strict=True)
    a, b = max(edges, key=lambda edge: round(math.dist(*edge), 3))
    return min(a, b), max(a, b)


# ---- sliding ----


class _Way:
    """A part as it may be laid: on one face, turned so far."""

    def __init__(self, shape: Any, turned_deg: float, face: Face, gap: float) -> None:
        self.turned_deg, self.face = turned_deg, face
        self.shape = affinity.rotate(shape, turned_deg, origin=(0, 0)) if turned_deg else shape
        self.ring = np.array(_ring(self.shape))
        self._gap = gap

    @cached_property
    def grown(self) -> Any:
        """The ring that lies a gap outside. (n, 2)"""
        if not self._gap:
            return self.ring
        return np.array(_ring(self.shape.buffer(self._gap, join_style="mitre", mitre_limit=_MITER)))


class _Laid:
    """A part laid in one of its ways, moved by (dx, dy). [mm]"""

    def __init__(self, way: _Way, dx: float, dy: float) -> None:
        self.way = way
        self._move = np.array((dx, dy))
        self.ring = way.ring + self._move

    @cached_property
    def grown(self) -> Any:
        """The ring that lies a gap outside. (n, 2)"""
        return self.way.grown + self._move


class _Group:
    """Parts that lie against each other."""

    def __init__(self, laid: tuple[_Laid, ...]) -> None:
        self.laid = laid
        corners = np.concatenate([one.ring for one in laid])
        self.low = corners.min(axis=0)
        self.length, self.width = (float(side) for side in corners.max(axis=0) - self.low)

    def rings(self) -> Iterator[Outline]:
        """The parts' outlines, measured from the lower left corner of the rectangle round all."""
        for one in self.laid:
            yield tuple((float(x), float(y)) for x, y in one.ring - self.low)


def _sides(profile: Profile, *, either_face: bool) -> Iterator[tuple[Face, Any]]:
    """The part's shape as seen on each face that may lie up."""
    yield "show", profile.polygon
    if either_face:
        yield "back", affinity.scale(profile.polygon, -1, 1, origin=(0, 0))


def _touching(group: _Group, way: _Way) -> list[tuple[float, float]]:
    """Moves of a part that bring it against those that lie, from the right, the left, above and below."""
    moves: list[tuple[float, float]] = []
    for quarter in range(4):
        fixed = [_quartered(laid.grown, quarter) for laid in group.laid]
        inner = _quartered(np.concatenate([laid.ring for laid in group.laid]), quarter)
        free = _quartered(way.ring, quarter)
        heights = _heights(np.concatenate(fixed), inner, free)
        reach = np.max([_slide(ring, free, heights) for ring in fixed], axis=0)
        moves += [
            _back((dx, dy), quarter)
            for dx, dy in zip(reach, heights, strict=True)
            if np.isfinite(dx)
        ]
    return moves


def _heights(fixed: Any, inner: Any, free: Any) -> Any:
    """Moves along y at which corners meet, or the shapes are level above or below."""
    meeting = (fixed[:, 1, None] - free[None, :, 1]).ravel()
    level = [
        inner[:, 1].min() - free[:, 1].min(),
        inner[:, 1].max() - free[:, 1].max(),
    ]
    return np.unique(np.round([*meeting, *level], 6))


def _slide(fixed: Any, free: Any, heights: Any) -> Any:
    """How far along x a shape lies when it is slid in from the right, at each height; −inf where nothing stops it."""
    stops, stopped = _Border(fixed, 1.0), _Border(free, -1.0)
    ys = np.concatenate(
        [
            np.broadcast_to(stops.levels, (len(heights), len(stops.levels))),
            stopped.levels[None, :] + heights[:, None],
        ],
        axis=1,
    )
    # Just above and just below each level where a border bends: shapes that only touch there do not stop each other.
    reach = [stops.at(ys, side) + stopped.at(ys - heights[:, None], side) for side in (-1, 1)]
    return np.maximum(*reach).max(axis=1)


class _Border:
    """The largest x, or the largest −x, of a shape on level lines: straight between the levels of its corners."""

    def __init__(self, ring: Any, sign: float) -> None:
        x0, y0 = sign * ring[:, 0], ring[:, 1]
        x1, y1 = np.roll(x0, -1), np.roll(y0, -1)
        self.levels = np.unique(np.round(y0, 6))
        low, high = self.levels[:-1, None], self.levels[1:, None]
        middle = (low + high) / 2
        spans = (np.minimum(y0, y1) < middle) & (middle < np.maximum(y0, y1))
        rise = np.where(y1 == y0, 1.0, y1 - y0)

        def on(level: Any) -> Any:
            return x0 + np.clip((level - y0) / rise, 0.0, 1.0) * (x1 - x0)

        furthest = np.where(spans, on(middle), -np.inf).argmax(axis=1)[:, None]
        self._low = np.take_along_axis(on(low), furthest, axis=1)[:, 0]
        self._high = np.take_along_axis(on(high), furthest, axis=1)[:, 0]

    def at(self, ys: Any, side: int) -> Any:
        """Just above (1) or just below (−1) the lines; −inf where they miss the shape."""
        levels = self.levels
        strip = np.searchsorted(levels, ys + side * _NEAR) - 1
        inside = (strip >= 0) & (strip < len(levels) - 1)
        strip = np.clip(strip, 0, len(levels) - 2)
        share = np.clip((ys - levels[strip]) / (levels[strip + 1] - levels[strip]), 0.0, 1.0)
        reach = self._low[strip] + share * (self._high[strip] - self._low[strip])
        return np.where(inside, reach, -np.inf)


# ---- ways to lie ----


def _facing(shape: Any, base: Any) -> list[float]:
    """Turns that lay a long edge of one shape along a long edge of the other."""
    return [
        (theirs + 180.0 - mine) % 360.0
        for theirs in _directions(base)
        for mine in _directions(shape)
    ]


def _directions(shape: Any) -> list[float]:
    """Of the longest edges, all round counter-clockwise. [degrees]"""
    ring = np.array(_ring(shapely.geometry.polygon.orient(shape)))
    along = np.roll(ring, -1, axis=0) - ring
    longest = np.argsort(-np.round(np.hypot(*along.T), 3), kind="stable")[:_LONG_EDGES]
    return [float(a) for a in np.degrees(np.arctan2(along[longest, 1], along[longest, 0]))]


def _apart(turns: Sequence[float]) -> list[float]:
    """Each turn once; of those that differ by less than a hundredth of a degree the first."""
    kept: list[float] = []
    for turn in turns:
        if all(min((turn - k) % 360.0, (k - turn) % 360.0) > 0.01 for k in kept):
            kept.append(turn)
    return kept


# ---- choosing ----


def _chosen(found: Iterable[_Group]) -> list[_Group]:
    """Those that no other undercuts in both measures; where they are many, some from the narrowest to the shortest."""
    front: list[_Group] = []
    least = float("inf")
    for one in sorted(found, key=lambda f: (round(f.length, 4), round(f.width, 4))):
        if one.width < least - 0.01:
            front.append(one)
            least = one.width
    front.sort(key=lambda f: f.length * f.width)
    if len(front) <= MOST:
        return front
    rest = sorted(front[1:], key=lambda f: f.length)
    step = (len(rest) - 1) / (MOST - 2)
    places = sorted({round(i * step) for i in range(MOST - 1)})
    return [front[0], *(rest[i] for i in places)]


def _ring(shape: Any) -> Outline:
    return tuple((float(x), float(y)) for x, y in shape.exterior.coords[:-1])


def _quartered(ring: Any, quarter: int) -> Any:
    """Turned by so many quarters to the left; exactly."""
    for _ in range(quarter):
        ring = np.column_stack((-ring[:, 1], ring[:, 0]))
    return ring


def _back(move: tuple[float, float], quarter: int) -> tuple[float, float]:
    x, y = float(move[0]), float(move[1])
    for _ in range(quarter):
        x, y = y, -x
    return x, y


__all__ = ["MOST", "Profile", "Turns", "longest_edge", "nest_faults", "nested_blanks", "on_sheet"]
