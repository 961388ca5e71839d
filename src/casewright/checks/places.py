"""Where a placed part may be moved to: what moves along with it, and what it would meet there."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass

import numpy as np

from casewright.basics.findings import Remedy
from casewright.basics.remembering import remembered
from casewright.basics.units import TOUCHING
from casewright.checks.flat import edges_of, flat_of, gap_between, gap_is_over, gap_to_edge
from casewright.checks.moving import Axis, is_mirrored, shift_remedy, whole_shift
from casewright.checks.outer import Thing, all_axes, may_meet, outer
from casewright.checks.webs import margin_after
from casewright.design.parts import Placement
from casewright.geometry.collisions import met_by
from casewright.geometry.model import Body, Cabinet, Cylinder, Piece, Placed, Point2
from casewright.geometry.solids import Floats

_STEPS_AWAY = 24
"""Places looked at along a board, past the least move."""

_ASLANT = 9
"""Places looked at aslant, to each side along u and along v."""

_PITCH = 8.0
"""Between those. [mm]"""

_ACROSS = 9
"""Places along each edge of a board that are looked at for a part that lies beside it."""

_FEW = 2
"""Where more parts move together, places aslant are not looked at: there is hardly ever one for all."""

_NOWHERE = np.zeros(3)

Way = tuple[float, Axis, float]
"""Length of a move [mm], its axis and its sign."""


@dataclass(frozen=True)
class Move:
    """A part moved along its board, with all that follows it."""

    mover: Placed
    shifts: Mapping[str, Point2]
    """By key of each part that moves: its shift in its own board's u and v. [mm]"""

    def shift(self, key: str) -> Point2:
        """How far a part moves in its own board's u and v. [mm]"""
        return self.shifts.get(key, (0.0, 0.0))

    def spot(self, placed: Placed) -> Point2:
        """Where a part is after the move. [mm]"""
        du, dv = self.shift(placed.key)
        return (placed.u + du, placed.v + dv)


Enough = Callable[[Move], bool]
"""What else has to hold after a move."""


def _always(move: Move) -> bool:
    return True


def move_of(cabinet: Cabinet, mover: Placed, du: float, dv: float) -> Move:
    """A move of a part by (du, dv) on its board [mm]; followers go along, and a pair on both sides as mirror images."""
    rates = _rates(cabinet, mover)
    return Move(mover, {key: (u * du, v * dv) for key, (u, v) in rates.items()})


@remembered(64)
def _rates(cabinet: Cabinet, mover: Placed) -> Mapping[str, Point2]:
    """By key of all that moves with a part: 1 or -1 for its move along u and along v, 0 where it stays."""
    wishes = {wish.key: wish for part in cabinet.project.parts.values() for wish in part.placed}
    rates: dict[str, Point2] = {}
    for placed in cabinet.placed:
        along_u, along_v = _follows(wishes, placed.wish.key, mover.wish.key)
        if along_u or along_v:
            is_turned = is_mirrored(placed, "u") != is_mirrored(mover, "u")
            rates[placed.key] = ((-1.0 if is_turned else 1.0) * along_u, 1.0 * along_v)
    return rates


def _follows(wishes: Mapping[str, Placement], key: str, leader: str) -> tuple[bool, bool]:
    """Whether a placement moves along u and along v with another one; a place of its own ends the chain."""
    along_u = along_v = True
    while key != leader:
        wish = wishes.get(key)
        if wish is None or wish.like is None:
            return (False, False)
        along_u = along_u and wish.u is None
        along_v = along_v and wish.v is None
        key = wish.like
    return along_u, along_v


def least_move(
    cabinet: Cabinet, mover: Placed, ways: Sequence[Way], enough: Enough = _always
) -> Remedy | None:
    """The order for a short move to a place that is free, or None: straight if there is one, else aslant.

    A place clear of cleats goes before one where they would be cut round the part, and one that keeps the webs round
    all holes before one that only keeps the holes apart.

    Args:
        cabinet: The cabinet.
        mover: The part.
        ways: Least move that would do if its end were free, for each way that is looked along; further steps follow.
        enough: What else has to hold after a move.
    """
    space = _space(cabinet)
    board = cabinet.piece_by_key[mover.piece]
    tried: tuple[Iterable[Point2], ...] = (
        _straight(cabinet, mover, ways, range(1)),
        _straight(cabinet, mover, ways, range(1, _STEPS_AWAY)),
        _aslant(cabinet, mover) if len(_rates(cabinet, mover)) <= _FEW else (),
        moves_onto(cabinet, mover),
    )
    best: dict[int, Point2] = {}
    for candidates in tried:
        for du, dv in candidates:
            if not _is_over_after(board, mover, du, dv):
                continue
            move = move_of(cabinet, mover, du, dv)
            met = space.met(move) if enough(move) else None
            if met is None:
                continue
            rank = 2 * (not space.keeps_webs(move)) + bool(met)
            best.setdefault(rank, (du, dv))
            if rank == 0:
                break
        if best and min(best) < 2:
            break  # only for webs it is worth to go farther
    return shift_remedy(cabinet, mover.key, *best[min(best)]) if best else None


def _straight(
    cabinet: Cabinet, mover: Placed, ways: Sequence[Way], steps: range
) -> Iterator[Point2]:
    """Moves so many steps past the least ones, the shortest first, to places that show as they are. [mm]"""
    board = cabinet.piece_by_key[mover.piece]
    reach = {"u": board.width, "v": board.height}
    tried = sorted(
        (need + step * reach[axis] / _STEPS_AWAY, axis, sign)
        for need, axis, sign in ways
        for step in steps
        if need + step * reach[axis] / _STEPS_AWAY < reach[axis]
    )
    for by, axis, sign in tried:
        shift = whole_shift(cabinet, mover.key, axis, sign * by)
        yield (shift, 0.0) if axis == "u" else (0.0, shift)


def _aslant(cabinet: Cabinet, mover: Placed) -> list[Point2]:
    """Moves along both axes at once, the shortest first, to places that show as they are. [mm]"""
    board = cabinet.piece_by_key[mover.piece]
    steps = [n * _PITCH for n in range(-_ASLANT, _ASLANT + 1) if n]
    us = [whole_shift(cabinet, mover.key, "u", u) for u in steps if abs(u) < board.width]
    vs = [whole_shift(cabinet, mover.key, "v", v) for v in steps if abs(v) < board.height]
    return sorted(((u, v) for u in us for v in vs), key=lambda by: (math.hypot(*by), by))


def moves_onto(cabinet: Cabinet, mover: Placed) -> list[Point2]:
    """Moves that bring a part onto its board, to places that show as they are; none for one that is over it. [mm]

    First as if its place were counted from a door's own corner, not from its panel's; then all over the board.
    """
    board = cabinet.piece_by_key[mover.piece]
    if _is_over(board, mover.u, mover.v):
        return []
    low_u, low_v, high_u, high_v = board.extent
    own = (
        (low_u if mover.wish.u is not None else 0.0),
        (low_v if mover.wish.v is not None else 0.0),
    )
    parts = [(n + 0.5) / _ACROSS for n in range(_ACROSS)]
    all_over = sorted(
        (
            (low_u + p * (high_u - low_u) - mover.u, low_v + q * (high_v - low_v) - mover.v)
            for p in parts
            for q in parts
        ),
        key=lambda by: (math.hypot(*by), by),
    )
    return [
        (whole_shift(cabinet, mover.key, "u", du), whole_shift(cabinet, mover.key, "v", dv))
        for du, dv in (own, *all_over)
    ]


def is_apart(cabinet: Cabinet, move: Move, pairs: Sequence[tuple[Thing, Thing]]) -> bool:
    """True where the first of each pair shares no space with the second after a move, whichever of them moves."""
    space = _space(cabinet)
    return not any(space.share_after(move, a, b) for a, b in pairs)


def is_free(cabinet: Cabinet, move: Move) -> bool:
    """True where what moves stays on its board, cuts into no other feature, and meets nothing new but cleats."""
    return _space(cabinet).met(move) is not None


def shifts_of(cabinet: Cabinet, remedy: Remedy) -> dict[str, Point2]:
    """By key: how far an order moves placed parts and what follows them in their boards' u and v. [mm]"""
    shifts: dict[str, Point2] = {}
    for field, value in ((remedy.field, remedy.value), *remedy.also):
        match = re.fullmatch(r"parts\.(.+)\.placed\.(\d+)\.(d?)([uv])", field)
        if match is None or not isinstance(value, float | int):
            continue
        wish = cabinet.project.parts[match[1]].placed[int(match[2])]
        mover = next((p for p in cabinet.placed if p.wish.key == wish.key), None)
        if mover is None:
            continue
        written = getattr(wish, match[3] + match[4])
        now = written if written is not None else mover.u if match[4] == "u" else mover.v
        by = (value - now, 0.0) if match[4] == "u" else (0.0, value - now)
        for key, (du, dv) in move_of(cabinet, mover, *by).shifts.items():
            u, v = shifts.get(key, (0.0, 0.0))
            shifts[key] = (u + du, v + dv)
    return shifts


def is_beside(cabinet: Cabinet, enough: Enough, gone: Mapping[str, Point2], move: Move) -> bool:
    """Whether a move is free and enough once other things have moved."""
    both = Move(move.mover, {**gone, **move.shifts})
    return enough(both) and is_free(cabinet, both)


def deepened(cabinet: Cabinet, key: str, more: float) -> str:
    """Key of what a board would reach into if it were so much thicker, its show face where it is; "" for nothing. [mm]

    What is mounted on its back goes along, its doors with their strips too. Neighbors of a board, and boards cut to
    meet it, give way to it.
    """
    return _space(cabinet).deepened(key, more)


class _Space:
    """All that stands in a cabinet, in convex outer shapes."""

    def __init__(self, cabinet: Cabinet) -> None:
        self._cabinet = cabinet
        self._things: list[Thing] = [*cabinet.pieces, *cabinet.bodies]
        self._at = {id(thing): index for index, thing in enumerate(self._things)}
        self._owned: dict[str, list[int]] = {}
        for index, thing in enumerate(self._things):
            owner = thing.owner if isinstance(thing, Body) else thing.key.partition(".")[0]
            self._owned.setdefault(owner, []).append(index)
        points = [outer(thing)[0] for thing in self._things]
        self._low = np.array([p.min(axis=0) for p in points])
        self._high = np.array([p.max(axis=0) for p in points])
        self._pairs: dict[tuple[int, int], tuple[Floats, Floats, Floats, bool]] = {}

    def met(self, move: Move) -> frozenset[str] | None:
        """Keys of the cleats that would be cut round what moves; None where it is not free.

        It is, where all that moves stays on its board, cuts into no other feature, and meets nothing new but cleats.
        Boards are taken without their openings, so that a place in an opening counts as taken.
        """
        moving = [self._cabinet.placed_by_key[key] for key in move.shifts]
        if not all(self._stays_on(move, placed) for placed in moving):
            return None
        cleats: set[str] = set()
        for placed in moving:
            for thing in self._meets(move, placed):
                if not isinstance(thing, Piece) or thing.kind != "cleat":
                    return None
                cleats.add(thing.key)
        return frozenset(cleats)

    def keeps_webs(self, move: Move) -> bool:
        """True where the webs round all that moves are as asked, or no thinner than before."""
        project = self._cabinet.project
        for placed in self._cabinet.placed:
            if placed.key in move.shifts:
                board = self._cabinet.piece_by_key[placed.piece]
                before = margin_after(project, board, placed.key, 0.0, 0.0)
                after = margin_after(
                    project, board, placed.key, *move.shift(placed.key), also=move.shifts
                )
                if after < min(before, 0.0) - TOUCHING:
                    return False
        return True

    def share_after(self, move: Move, a: Thing, b: Thing) -> bool:
        """Whether two things share space after a move; a board is taken without its openings."""
        steps = self._steps(move)
        i, j = self._at[id(a)], self._at[id(b)]
        return self._share(i, j, steps.get(j, _NOWHERE) - steps.get(i, _NOWHERE))

    def _share(self, i: int, j: int, step: Floats) -> bool:
        """Whether two things share space where the second is so far from where it is now."""
        axes, over, under, _ = self._pair(i, j)
        along = axes @ step
        return bool((np.minimum(over - along, under + along) > TOUCHING).all())

    def _pair(self, i: int, j: int) -> tuple[Floats, Floats, Floats, bool]:
        """Directions that may part two things, how far they overlap along each from both ends, and whether they do."""
        known = self._pairs.get((i, j))
        if known is None:
            (a, mine), (b, other) = outer(self._things[i]), outer(self._things[j])
            axes = all_axes(mine, other)
            pa, pb = a @ axes.T, b @ axes.T
            over = pa.max(axis=0) - pb.min(axis=0)
            under = pb.max(axis=0) - pa.min(axis=0)
            shared = bool((np.minimum(over, under) > TOUCHING).all())
            known = self._pairs[i, j] = (axes, over, under, shared)
        return known

    def _stays_on(self, move: Move, placed: Placed) -> bool:
        board = self._cabinet.piece_by_key[placed.piece]
        du, dv = move.shift(placed.key)
        if not _is_over_after(board, placed, du, dv):
            return False
        for feature in board.features:
            if feature.owner != placed.key:
                continue
            flat = flat_of(feature.shape).moved(du, dv)
            gaps = [
                min(gap_to_edge(f, edge) for edge in edges_of(board))
                for f in (flat_of(feature.shape), flat)
            ]
            if gaps[1] < min(0.0, gaps[0]):
                return False  # what sticks out already may stick out less
            for other in board.features:
                if other.owner == placed.key or other.kind not in ("hole", "opening"):
                    continue
                there = flat_of(other.shape).moved(*move.shift(other.owner))
                if not gap_is_over(flat, there, 0.0) and gap_between(flat, there) < 0:
                    return False
        return True

    def deepened(self, key: str, more: float) -> str:
        """Key of what a board, so much thicker [mm], and what goes along with its back would meet; "" for nothing."""
        board = self._cabinet.piece_by_key[key]
        step = -more * np.array(board.frame.n)
        doors = {name for name, door in self._cabinet.project.doors.items() if door.on == key}
        hosts = {key, *doors}
        backed = {p.key for p in self._cabinet.placed if p.piece in hosts and p.face == "back"}
        along = (i for owner in (*backed, *doors) for i in self._owned.get(owner, ()))
        moving = {self._at[id(board)], *along}
        own = doors | {p.key for p in self._cabinet.placed if p.piece in hosts}
        for index in sorted(moving):
            mover = self._things[index]
            for other, thing in enumerate(self._things):
                if other in moving or _are_one(mover, thing):
                    continue
                if self._gives_way(thing, own, to_part=isinstance(mover, Body)):
                    continue
                if self._share(index, other, -step) and not self._meet_now(index, other):
                    return thing.owner if isinstance(thing, Body) else thing.key
        return ""

    def _meet_now(self, i: int, j: int) -> bool:
        """Whether two things share space as it is: exactly for round bodies, whose outer shape is larger."""
        a, b = self._things[i], self._things[j]
        if not self._pair(i, j)[3]:
            return False
        if isinstance(a, Piece) and isinstance(b, Body) and isinstance(b.shape, Cylinder):
            return bool(met_by(a, [b]))
        return True

    def _gives_way(self, thing: Thing, own: Set[str], *, to_part: bool) -> bool:
        """True for boards that end on a thicker one, and for what goes with it; to a part only cleats are cut away."""
        if isinstance(thing, Body):
            return thing.owner in own
        if to_part:
            return thing.kind == "cleat" or thing.key.partition(".")[0] in own
        inner = self._cabinet.project.inner.get(thing.key)
        return (
            thing.kind in ("panel", "side", "overlay", "cleat", "door")
            or thing.key.partition(".")[0] in own
            or (inner is not None and inner.until == "panels")
        )

    def _meets(self, move: Move, placed: Placed) -> Iterator[Thing]:
        """Things that a part's bodies meet after a move, and did not before."""
        steps = self._steps(move)
        for index in self._owned.get(placed.key, ()):
            body = self._things[index]
            if not isinstance(body, Body):
                continue
            step = steps[index]
            least, most = self._low[index] + step, self._high[index] + step
            near = (self._high > least + TOUCHING).all(axis=1)
            near &= (self._low < most - TOUCHING).all(axis=1)
            for other in {*np.flatnonzero(near).tolist(), *steps}:
                thing = self._things[other]
                by = steps.get(other, _NOWHERE) - step
                if not by.any() or may_meet(body, thing):
                    continue  # what goes along, and what belongs together
                if self._share(index, other, by) and not self._pair(index, other)[3]:
                    yield thing

    def _steps(self, move: Move) -> dict[int, Floats]:
        """How far each thing that moves does so in space, by its number. [mm]"""
        steps: dict[int, Floats] = {}
        for key, (du, dv) in move.shifts.items():
            frame = self._cabinet.piece_by_key[self._cabinet.placed_by_key[key].piece].frame
            step = np.array(frame.u) * du + np.array(frame.v) * dv
            steps |= dict.fromkeys(self._owned.get(key, ()), step)
        return steps


@remembered(4)
def _space(cabinet: Cabinet) -> _Space:
    return _Space(cabinet)


def _is_over_after(board: Piece, placed: Placed, du: float, dv: float) -> bool:
    return _is_over(board, placed.u + du, placed.v + dv) or not _is_over(board, placed.u, placed.v)


def _are_one(mover: Thing, thing: Thing) -> bool:
    """True for what belongs together, or is meant to touch."""
    if isinstance(mover, Body):
        return may_meet(mover, thing)
    return isinstance(thing, Body) and may_meet(thing, mover)


def _is_over(board: Piece, u: float, v: float) -> bool:
    low_u, low_v, high_u, high_v = board.extent
    return low_u <= u <= high_u and low_v <= v <= high_v


__all__ = [
    "Enough",
    "Move",
    "Way",
    "deepened",
    "is_apart",
    "is_beside",
    "is_free",
    "least_move",
    "move_of",
    "moves_onto",
    "shifts_of",
]
