"""Two profiled parts laid into each other, so that both come from one smaller rectangle.

One shape is slid against the other from all four sides, at every height at which corners meet: between two such
heights the rectangle round both grows or shrinks evenly, so the smallest ones are among them. What comes of it is a
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
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
import shapely
from shapely import affinity

from casewright.planning.cutting.model import Blank, Nested, Outline, Placement

Turns = Literal["half", "free"]

MOST = 8
"""Rectangles that are tried on the sheets, for each pair."""
_MITER = 2.0
"""How far a corner of a grown shape sticks out at most, in gaps."""
_NEAR = 2e-6  # mm
_LONG_EDGES = 4
"""Edges of each part that are laid along one of the other's, where both may turn freely."""
_FACES: tuple[Literal["show", "back"], ...] = ("show", "back")


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


def nested_blanks(
    one: Profile, other: Profile, *, gap: float, either_face: bool = False
) -> tuple[Blank, ...]:
    """Return blanks that each hold both parts, none of them both longer and wider than another.

    Args:
        one: The part that keeps its way up and, where the grain binds it, its direction.
        other: The part that is laid against it.
        gap: Least distance between the two lines: room for the saw or the bit. [mm, 0 or more]
        either_face: The other part may also lie with its back face up.

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
    found: list[tuple[float, float, tuple[Nested, Nested]]] = []
    free = one.turns == other.turns == "free"
    base = one.polygon
    grown = base.buffer(gap, join_style="mitre", mitre_limit=_MITER) if gap > 0 else base
    for face in _FACES if either_face else _FACES[:1]:
        shape = other.polygon
        if face == "back":
            shape = affinity.scale(shape, -1, 1, origin=(0, 0))
        turns = [0.0, 180.0, *((90.0, 270.0, *_facing(shape, base)) if free else ())]
        for turn in _apart(turns):
            laid = affinity.rotate(shape, turn, origin=(0, 0))
            for dx, dy in _touching(base, grown, laid):
                pair = (base, affinity.translate(laid, dx, dy))
                found.append(
                    (
                        *_extent(pair),
                        (
                            Nested(one.key, one.name, _ring(pair[0])),
                            Nested(other.key, other.name, _ring(pair[1]), turn, face),
                        ),
                    )
                )
    key = f"nest.{one.key}.{other.key}"
    blanks = []
    for length, width, pair in _chosen(found):
        left = min(x for nested in pair for x, _ in nested.outline)
        low = min(y for nested in pair for _, y in nested.outline)
        moved = tuple(
            Nested(
                nested.key,
                nested.name,
                tuple((x - left, y - low) for x, y in nested.outline),
                nested.turned_deg,
                nested.face,
            )
            for nested in pair
        )
        blank = Blank(
            key,
            length,
            width,
            grain="none" if free else "length",
            label=f"nest of {one.name} and {other.name}",
            nested=moved,
        )
        if not nest_faults(blank, (one, other), gap=gap, either_face=either_face):
            blanks.append(blank)
    return tuple(blanks)


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


def _touching(base: Any, grown: Any, laid: Any) -> list[tuple[float, float]]:
    """Moves of a shape that bring it against another from the right, the left, above and below."""
    moves: list[tuple[float, float]] = []
    for quarter in range(4):
        fixed, inner, free = (
            np.array(_quartered(_ring(shape), quarter)) for shape in (grown, base, laid)
        )
        heights = _heights(fixed, inner, free)
        moves += [
            _back((dx, dy), quarter)
            for dx, dy in zip(_slide(fixed, free, heights), heights, strict=True)
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

_Found = tuple[float, float, tuple[Nested, Nested]]


def _chosen(found: Sequence[_Found]) -> list[_Found]:
    """Those that no other undercuts in both measures; where they are many, some from the narrowest to the shortest."""
    front: list[_Found] = []
    least = float("inf")
    for one in sorted(found, key=lambda f: (round(f[0], 4), round(f[1], 4))):
        if one[1] < least - 0.01:
            front.append(one)
            least = one[1]
    front.sort(key=lambda f: f[0] * f[1])
    if len(front) <= MOST:
        return front
    rest = sorted(front[1:], key=lambda f: f[0])
    step = (len(rest) - 1) / (MOST - 2)
    places = sorted({round(i * step) for i in range(MOST - 1)})
    return [front[0], *(rest[i] for i in places)]


def _extent(shapes: Iterable[Any]) -> tuple[float, float]:
    bounds = [shape.bounds for shape in shapes]
    return (
        max(b[2] for b in bounds) - min(b[0] for b in bounds),
        max(b[3] for b in bounds) - min(b[1] for b in bounds),
    )


def _ring(shape: Any) -> Outline:
    return tuple((float(x), float(y)) for x, y in shape.exterior.coords[:-1])


def _quartered(ring: Outline, quarter: int) -> list[tuple[float, float]]:
    """Turned by so many quarters to the left; exactly."""
    points = list(ring)
    for _ in range(quarter):
        points = [(-y, x) for x, y in points]
    return points


def _back(move: tuple[float, float], quarter: int) -> tuple[float, float]:
    x, y = float(move[0]), float(move[1])
    for _ in range(quarter):
        x, y = y, -x
    return x, y


__all__ = ["MOST", "Profile", "Turns", "longest_edge", "nest_faults", "nested_blanks", "on_sheet"]
