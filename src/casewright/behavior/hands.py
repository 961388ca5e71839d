"""A hand lying on the deck: where its fingertips are, how far they reach, and buttons laid out under them.

The frame of a layout is the deck's: u to the right, v away from the player. Its origin is the tip of the relaxed middle
finger. A left hand is the right one mirrored.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations, pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from casewright.basics.errors import InputError
from casewright.design.project import Person
from casewright.geometry.model import Point2

Floats = NDArray[np.float64]
Style = Literal["arc", "straight", "two rows", "three rows"]
STYLES: tuple[Style, ...] = ("arc", "straight", "two rows", "three rows")
WhichHand = Literal["left", "right"]

MOST_FINGERS = 4
"""Columns of buttons under one hand; the thumb has its own."""

TIPS = (-0.048, 0.0, -0.058, -0.175)
"""Relaxed fingertips from index to little, away from the player, by the middle finger's and by the hand's length.

Source: common proportions of the hand (index 0.92, ring 0.93, little 0.74 of the middle finger; knuckles of ring and
little finger set back by 0.035 and 0.085 of the hand's length), from memory.
"""

CURL = (0.4, 1.0)
"""Reach of a finger from its knuckle, curled up and stretched out, by its length. Common practice."""

THUMB_REST = (-0.32, -0.15)
"""Tip of the resting thumb from the middle knuckle, to the right and ahead of a right palm, by the hand's length.

Less than nothing: to its left, and behind it. Common practice.
"""

THUMB_ROUND = 0.16
"""The thumb reaches so far round it, by the hand's length. Common practice."""

SPREAD_DEG = 20.0
"""Fingers turn so far to either side without moving the palm. Common practice."""

TURN_DEG = 25.0
"""A wrist turns so far without strain. Common practice."""


@dataclass(frozen=True)
class Hand:
    """Sizes of one hand. [mm]"""

    length: float
    """From the wrist's crease to the middle finger's tip."""
    breadth: float
    """Over the knuckles, without the thumb."""
    palm: float
    """From the wrist's crease to the root of the middle finger."""
    source: str

    @property
    def finger(self) -> float:
        """Length of the middle finger. [mm]"""
        return self.length - self.palm


HANDS = {
    "small": Hand(165.0, 72.0, 100.0, "ansur-ii"),
    "middle": Hand(186.5, 83.0, 112.0, "ansur-ii"),
    "large": Hand(210.0, 96.0, 127.0, "ansur-ii"),
    "child": Hand(130.0, 61.0, 75.0, "child-hands"),
}
"""Women's 5th, the mean of both 50th, and men's 95th percentile; a child of about seven."""


def hand_of(person: Person) -> Hand:
    """The hand of somebody."""
    return HANDS["child" if person.child else person.hand]


# ---- layouts ---------------------------------------------------------------------------------------------------------


def layout(
    style: Style,
    count: int,
    hand: Hand,
    *,
    pitch: float,
    which: WhichHand = "right",
    thumb: bool = False,
) -> tuple[Point2, ...]:
    """Middles of buttons under a relaxed hand, no two nearer than the pitch. [mm]

    Args:
        style: "arc": one row under the fingertips; "straight": one row in line; rows of columns that follow the arc.
        count: Of buttons, the thumb's included.
        hand: Whose it is.
        pitch: Least distance of two middles. [mm]
        which: The hand.
        thumb: Whether the last button is the thumb's.

    Returns:
        The far row first, each row from the index to the little finger; the thumb's last. The middle finger's far
        button is at the origin, or the index finger's where there is only one column.

    Raises:
        InputError: More buttons than fingers have places.
    """
    fingers = count - thumb
    rows = {"two rows": 2, "three rows": 3}.get(style, 1)
    columns = math.ceil(fingers / rows) if fingers > 0 else 0
    if fingers < 1 or columns > MOST_FINGERS:
        most = MOST_FINGERS * rows + thumb
        raise InputError(
            "buttons",
            got=f"{count} of one hand",
            want=f"{1 + thumb} to {most} in style {style}{' with a thumb button' if thumb else ''}; rows hold more",
            example="three rows" if fingers > 2 * MOST_FINGERS else "two rows",
        )
    places = _fingers(style, fingers, columns, hand, pitch)
    if thumb:
        places.append(_thumb(places, hand, pitch))
    if which == "left":
        places = [(-u, v) for u, v in places]
    return tuple(places)


def _fingers(style: Style, count: int, columns: int, hand: Hand, pitch: float) -> list[Point2]:
    tips = [0.0 if style == "straight" else tip * hand.length for tip in TIPS[:columns]]
    us = [0.0]
    for before, after in pairwise(tips):
        # neighbors exactly a pitch apart, however steep the arc is there
        us.append(us[-1] + math.sqrt(max(pitch**2 - (after - before) ** 2, 0.0)))
    middle = min(1, columns - 1)
    first = [(u - us[middle], v - tips[middle]) for u, v in zip(us, tips, strict=True)]
    step = _row_step(first, pitch)
    rows = math.ceil(count / columns)
    return [(u, v - row * step) for row in range(rows) for u, v in first][:count]


def _row_step(first: Sequence[Point2], pitch: float) -> float:
    """How far a row lies behind another so that no two buttons come nearer than the pitch. [mm]"""
    step = pitch
    for (ua, va), (ub, vb) in combinations(first, 2):
        across = abs(ua - ub)
        if (
            across < pitch
        ):  # a step behind, the nearer finger's button must clear the farther one's neighbor
            step = max(step, math.sqrt(pitch**2 - across**2) + abs(va - vb))
    return step


def _thumb(places: Sequence[Point2], hand: Hand, pitch: float) -> Point2:
    """Below the index finger and beside it, where the relaxed thumb's tip lies, clear of all others.

    Source:
        Common practice: the thumb's tip is about 0.25 of the hand's length beside the index finger's and 0.36 nearer.
    """
    index_u = places[0][0]
    nearest_v = min(v for u, v in places if abs(u - index_u) < pitch / 2)
    u, v = index_u - 0.25 * hand.length, min(places[0][1] - 0.36 * hand.length, nearest_v)
    while any(math.dist((u, v), place) < pitch for place in places):
        u -= 1.0
    return (u, v)


# ---- reach -----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Reach:
    """The best place of a palm for a group of buttons."""

    knuckle: Point2
    """Root of the middle finger on the deck. [mm]"""
    turn_deg: float
    """The forearm points so far to the right of straight ahead."""
    short: tuple[float, ...]
    """By how much each button lies out of reach of every finger; 0 within. [mm]"""

    @property
    def worst(self) -> float:
        """The farthest button's. [mm]"""
        return max(self.short, default=0.0)


def best_reach(buttons: Sequence[Point2], hand: Hand, which: WhichHand = "right") -> Reach:
    """Where a palm lies so that its fingers and thumb reach all buttons without moving it, or nearly so.

    Source:
        Lengths of hands: ansur-ii; curl, spread and turn: common practice.
    """
    if not buttons:
        return Reach((0.0, 0.0), 0.0, ())
    mirror = -1.0 if which == "left" else 1.0
    start = buttons[0]
    # Only how the buttons lie to one another matters, so that a cluster that was moved whole is not tried again.
    shape = tuple((round(mirror * (u - start[0]), 3), round(v - start[1], 3)) for u, v in buttons)
    found = _tried(shape, hand)
    u, v = found.knuckle
    return Reach((start[0] + mirror * u, start[1] + v), mirror * found.turn_deg, found.short)


@lru_cache(maxsize=256)
def _tried(buttons: tuple[Point2, ...], hand: Hand) -> Reach:
    """The best palm by trying: a coarse grid of places at every turn, then finer ones round the best of several turns.

    Several, because a palm that is nearly as good on the coarse grid is often the better one on a fine grid.
    """
    points = np.asarray(buttons, dtype=float)
    points = points - (points.min(axis=0) + points.max(axis=0)) / 2
    turns = np.arange(-20.0, 20.1, 10.0).tolist()
    start = _Palm(math.inf, 0.0, hand.finger, 0.0)
    seeds = [
        _best_near(points, hand, replace(start, turn_deg=turn), (), 64.0, 8.0) for turn in turns
    ]
    found = []
    for seed in sorted(seeds)[:_SEEDS]:
        finer = _best_near(points, hand, seed, (-5.0, -2.5, 2.5, 5.0), 8.0, 2.0)
        found.append(_best_near(points, hand, finer, (-1.0, 1.0), 2.0, 0.5))
    best = min(found)
    x, y = _palm_frame(points, best.turn_deg)
    short = _short(x - best.across, y + best.back, hand)
    a = math.radians(best.turn_deg)
    u0, v0 = ((least + most) / 2 for least, most in _extents(buttons))
    knuckle = (
        float(u0 + best.across * math.cos(a) - best.back * math.sin(a)),
        float(v0 - best.across * math.sin(a) - best.back * math.cos(a)),
    )
    return Reach(knuckle, best.turn_deg, tuple(float(s) for s in short))


_SEEDS = 3
"""Palms of the coarse grid that are looked round."""


@dataclass(frozen=True, order=True)
class _Palm:
    """One palm that was tried; the best is the least."""

    badness: float
    across: float
    """Of its middle knuckle from the buttons' middle, along the palm's own axes. [mm]"""
    back: float
    turn_deg: float


def _best_near(
    points: Floats, hand: Hand, near: _Palm, turns: Sequence[float], reach: float, step: float
) -> _Palm:
    """The best palm on a grid round another: its own turn and some to either side.

    Args:
        points: Buttons, from their middle.
        hand: Whose palm.
        near: In the grid's middle.
        turns: Further turns, added to its own.
        reach: Half the grid's width. [mm]
        step: Between two places. [mm]
    """
    across = near.across + np.arange(-reach, reach + 0.1, step)
    back = near.back + np.arange(-reach, reach + 0.1, step)
    best = near
    for more in (0.0, *turns):
        turned = max(-TURN_DEG, min(TURN_DEG, near.turn_deg + more))
        x, y = _palm_frame(points, turned)
        short = _short(
            x[None, None, :] - across[:, None, None], y[None, None, :] + back[None, :, None], hand
        )
        worst = short.max(axis=2) + 1e-3 * short.sum(axis=2) + 1e-6 * abs(turned)
        i, j = np.unravel_index(int(worst.argmin()), worst.shape)
        if worst[i, j] < best.badness - 1e-9:
            best = _Palm(float(worst[i, j]), float(across[i]), float(back[j]), turned)
    return best


def _palm_frame(points: Floats, turn_deg: float) -> tuple[Floats, Floats]:
    """Points to the right of and ahead of a palm that is turned."""
    a = math.radians(turn_deg)
    right, ahead = np.array((math.cos(a), -math.sin(a))), np.array((math.sin(a), math.cos(a)))
    return points @ right, points @ ahead


def _extents(buttons: Sequence[Point2]) -> tuple[tuple[float, float], tuple[float, float]]:
    """Least and most u, least and most v."""
    us, vs = zip(*buttons, strict=True)
    return (min(us), max(us)), (min(vs), max(vs))


def _short(x: Floats, y: Floats, hand: Hand) -> Floats:
    """How far points lie out of reach of a right palm, its middle knuckle at the origin, fingers along y. [mm]

    A finger reaches what lies between its curled and its stretched tip, aside by `SPREAD_DEG`; the thumb what is round
    its resting tip.
    """
    beside = np.maximum(np.abs(x) - hand.breadth / 2, 0.0)  # past the outermost finger's own line
    distance = np.hypot(beside, y)
    far = np.maximum(distance - CURL[1] * hand.finger, 0.0)
    near = np.maximum(CURL[0] * hand.finger - distance, 0.0)
    spread = math.tan(math.radians(SPREAD_DEG))
    aside = np.maximum(beside - np.maximum(y, 0.0) * spread, 0.0)
    fingers = np.hypot(np.maximum(far, near), aside) + np.maximum(-y, 0.0)
    u, v = (THUMB_REST[0] * hand.length, THUMB_REST[1] * hand.length)
    thumb = np.maximum(np.hypot(x - u, y - v) - THUMB_ROUND * hand.length, 0.0)
    return np.asarray(np.minimum(fingers, thumb))


__all__ = [
    "CURL",
    "HANDS",
    "MOST_FINGERS",
    "SPREAD_DEG",
    "STYLES",
    "THUMB_REST",
    "THUMB_ROUND",
    "TIPS",
    "TURN_DEG",
    "Hand",
    "Reach",
    "Style",
    "WhichHand",
    "best_reach",
    "hand_of",
    "layout",
]
