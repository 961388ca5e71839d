"""Pulling at the side view: which wish a drag of a recipe's corner or edge means, and where a dragged eye goes.

A recipe's corners follow from its wishes. How each wish moves each corner is found by trying: the recipe is solved
again with a wish a little larger. The wish that moves the corner the way it is pulled, and as little else as possible,
is the one that is meant; where one alone cannot, two together may.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

from casewright.basics.errors import CasewrightError
from casewright.design.shape import OutlineShape
from casewright.geometry.model import Point2, SolvedShape
from casewright.geometry.recipes import solve_shape
from casewright.geometry.viewers import base_over_floor, front_and_underside, viewers
from casewright.session.describing import Field, fields_of
from casewright.session.grips import Grip, grip_of
from casewright.workflow import Edits, InSpace, KeyPath, Removal, Value, written_length

UNSEEN = ("width",)
"""Wishes across the side view: nobody means them by a pull in it."""
STEP = 0.5
"""A wish is tried larger by this. [mm, degrees or liters]"""
STILL = 1e-6
"""A corner that moves by less stands still. [mm]"""
ASIDE = math.sin(math.radians(30))
"""A wish is meant if its own way is at most 30° off the pull: the share of the pull that it leaves undone."""
CROSSING = math.sin(math.radians(20))
"""Two wishes move a corner anywhere if their ways cross at 20° at least."""
REACHED = 0.1
"""Two wishes together leave at most this share of the pull undone."""
ROUNDS = 8
FINE_DEG = 0.1
"""Angles and liters come to rest on this."""


@dataclass(frozen=True)
class Way:
    """How a wish moves the corners."""

    wish: Field
    value: float
    """As it is now, given or worked out. [mm, degrees or liters]"""
    by_corner: Mapping[str, Point2]
    """Way of each corner that moves, for one more. [mm]"""


@dataclass(frozen=True)
class Pull:
    """What a drag of a corner means."""

    wishes: Mapping[str, float]
    """New values of the wishes that it sets, by name. [mm, degrees or liters]"""
    before: Mapping[str, float]
    """What they were."""
    corners: Mapping[str, Point2]
    """The outline as it would be. [mm]"""
    is_at_end: bool = False
    """The wish goes no further, though the pull does."""


def ways_of(worked: InSpace) -> tuple[Way, ...]:
    """How each wish of a recipe moves the corners; none for a free outline. Slow enough to be kept for a drag."""
    shape, solved = worked.opened.project.shape, worked.cabinet.shape
    if isinstance(shape, OutlineShape):
        return ()
    ways = []
    for wish in fields_of(type(shape)):
        value = _value(worked, wish)
        if value is None or wish.name in UNSEEN:
            continue
        for step in (STEP, -STEP):
            tried = _solved(worked, {wish.name: value + step})
            if tried is None:
                continue  # it is at its end this way
            by_corner = {
                name: ((there[0] - here[0]) / step, (there[1] - here[1]) / step)
                for name, here in solved.corners.items()
                for there in [tried.corners.get(name, here)]
                if math.dist(here, there) > STILL
            }
            if by_corner:
                ways.append(Way(wish, value, by_corner))
            break
    return tuple(ways)


def movable_corners(ways: tuple[Way, ...]) -> frozenset[str]:
    """Corners that some wish moves."""
    return frozenset(name for way in ways for name in way.by_corner)


def pulled(
    worked: InSpace, ways: tuple[Way, ...], key: str, to: Point2, *, grid: float = 1.0
) -> Pull | None:
    """What pulling a corner or an edge to a place means; None where no wish can say it.

    Args:
        worked: The cabinet as it is.
        ways: Of `ways_of`, for the same cabinet.
        key: The corner's name, or "run:A-B" for an edge.
        to: Where it, or the edge's middle, is pulled to, (y, z). [mm]
        grid: Lengths come to rest on whole steps of this. [mm]
    """
    grip = grip_of(worked.cabinet.shape.corners, key)
    if grip is None:
        return None
    pull = grip.along((to[0] - grip.home[0], to[1] - grip.home[1]))
    if math.hypot(*pull) < STILL:
        return Pull({}, {}, worked.cabinet.shape.corners)
    to = (grip.home[0] + pull[0], grip.home[1] + pull[1])
    for group in _meant(ways, grip, pull, worked):
        found = _reach(worked, group, grip, to, grid)
        if found is not None:
            return found
    return None


def wish_edits(worked: InSpace, pull: Pull) -> Edits:
    """The edits that pin what a pull means."""
    unit = worked.opened.project.unit
    written = worked.opened.document.data.get("shape", {})
    fields = {one.name: one for one in fields_of(type(worked.opened.project.shape))}
    edits: dict[KeyPath, Value | Removal] = {}
    for name, value in pull.wishes.items():
        if fields[name].sort == "length":
            edits[("shape", name)] = written_length(value, unit, like=written.get(name))
        else:
            edits[("shape", name)] = round(value, 4)
    return edits


def eye_sizes(worked: InSpace, to: Mapping[str, float]) -> tuple[float | None, float | None]:
    """An eye's distance from the front edge and its height over the floor, of those coordinates that are given. [mm]"""
    base = base_over_floor(worked.opened.project, worked.opened.parts).value
    front, _ = front_and_underside(worked.opened.project)
    return (front - to["y"] if "y" in to else None, to["z"] + base if "z" in to else None)


def eye_edits(worked: InSpace, number: int, to: Mapping[str, float]) -> Edits:
    """The edits that put a person's eye at a place of the side view.

    Args:
        worked: The cabinet as it is.
        number: The person's place in the list, from 0.
        to: "y" and "z" in the cabinet frame; only those that change. [mm]
    """
    project, unit = worked.opened.project, worked.opened.project.unit
    distance, eye = eye_sizes(worked, to)
    written = worked.opened.document.data.get("people") or []
    old = written[number] if number < len(written) else {}
    values: dict[str, Value] = {}
    if distance is not None:
        values["distance"] = written_length(distance, unit, like=old.get("distance"))
    if eye is not None:
        values["eye"] = written_length(eye, unit, like=old.get("eye"))
    if number < len(project.people):
        return {("people", number, name): value for name, value in values.items()}
    # Nobody is named: the usual adult that stands in for them becomes a person of the project.
    usual = viewers(project, worked.opened.parts)[number]
    person = {"label": usual.label, "posture": usual.person.posture, **values}
    return {("people",): [person]}


# ---- which wish ----


def _meant(
    ways: tuple[Way, ...], grip: Grip, pull: Point2, worked: InSpace
) -> Iterator[tuple[Way, ...]]:
    """Wishes, or pairs of them, that a pull may mean, the likeliest first."""
    given = worked.opened.project.shape.model_fields_set
    mine = [way for way in ways if math.hypot(*grip.way(way.by_corner)) > STILL]

    def rank(way: Way) -> tuple[float, bool, float, bool]:
        own = math.hypot(*grip.way(way.by_corner))
        carried = sum(math.hypot(*d) for d in way.by_corner.values()) / own - 1.0
        # Of two that do the same: no volume, one that goes with the corner one to one, one that is given already.
        is_way = way.wish.unit in ("mm", "deg")
        along = round(abs(math.log(own)), 2)
        return round(carried, 1), not is_way, along, way.wish.name not in given

    ranked = sorted(mine, key=rank)
    for way in ranked:
        if _undone(pull, grip.way(way.by_corner)) <= ASIDE:
            yield (way,)
    for pair in combinations(ranked, 2):
        first, second = (grip.way(way.by_corner) for way in pair)
        cross = first[0] * second[1] - first[1] * second[0]
        if abs(cross) >= CROSSING * math.hypot(*first) * math.hypot(*second):
            yield pair


def _undone(pull: Point2, way: Point2) -> float:
    """Share of a pull that is left if the corner moves along a way."""
    return abs(pull[0] * way[1] - pull[1] * way[0]) / (math.hypot(*pull) * math.hypot(*way))


# ---- how much of it ----


def _reach(
    worked: InSpace, group: tuple[Way, ...], grip: Grip, to: Point2, grid: float
) -> Pull | None:
    """Values of one wish or two that bring the grip nearest to a place (Gauss-Newton, shorter where refused)."""
    values = {way.wish.name: way.value for way in group}
    at = grip.home
    for _ in range(ROUNDS):
        step = _step(group, grip, (to[0] - at[0], to[1] - at[1]))
        there = None
        for share in (1.0, 0.5, 0.25, 0.1):
            tried = {name: values[name] + share * step[name] for name in values}
            moved = _solved(worked, tried)
            there = grip.at(moved.corners) if moved is not None else None
            if there is not None:
                values = tried
                break
        if there is None:
            break
        before, at = at, there
        if math.dist(before, at) < 0.01:
            break
    rested = {way.wish.name: _rested(way.wish, values[way.wish.name], grid) for way in group}
    made = _solved(worked, rested)
    end = grip.at(made.corners) if made is not None else None
    if made is None or end is None:
        return None
    left, far = math.dist(end, to), math.dist(grip.home, to)
    most = (ASIDE if len(group) == 1 else REACHED) * far + 2 * grid
    if math.dist(end, grip.home) < STILL or (left > most and len(group) > 1):
        return None
    before_ = {way.wish.name: way.value for way in group}
    return Pull(rested, before_, made.corners, is_at_end=left > most)


def _step(group: tuple[Way, ...], grip: Grip, short: Point2) -> dict[str, float]:
    """How much more of each wish covers what is short, by their ways as they were found."""
    ways = [grip.way(way.by_corner) for way in group]
    if len(ways) == 1:
        (wy, wz) = ways[0]
        return {group[0].wish.name: (short[0] * wy + short[1] * wz) / (wy * wy + wz * wz)}
    (ay, az), (by, bz) = ways
    cross = ay * bz - az * by
    first = (short[0] * bz - short[1] * by) / cross
    second = (ay * short[1] - az * short[0]) / cross
    return {group[0].wish.name: first, group[1].wish.name: second}


def _rested(wish: Field, value: float, grid: float) -> float:
    step = grid if wish.sort == "length" else FINE_DEG
    return round(round(value / step) * step, 6)


# ---- solving ----


def _value(worked: InSpace, wish: Field) -> float | None:
    """A wish as it counts now; None for what is no number or moves nothing."""
    if wish.sort not in ("length", "number"):
        return None
    given = getattr(worked.opened.project.shape, wish.name)
    if given is not None:
        return float(given)
    number = worked.numbers.get(f"shape.{wish.name.removesuffix('_deg')}")
    return number.value if number else None


def _solved(worked: InSpace, wishes: Mapping[str, float]) -> SolvedShape | None:
    """The outline with some wishes set; None where it cannot be made."""
    project = worked.opened.project
    shape = project.shape.model_copy(update=dict(wishes))
    if any(value < 0 for value in wishes.values()):
        return None
    try:
        return solve_shape(project.model_copy(update={"shape": shape}), worked.opened.parts)
    except (CasewrightError, ValueError, ZeroDivisionError):
        return None


__all__ = [
    "Pull",
    "Way",
    "eye_edits",
    "eye_sizes",
    "movable_corners",
    "pulled",
    "ways_of",
    "wish_edits",
]
