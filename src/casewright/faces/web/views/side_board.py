"""The board with the side view: corners and edges of a free outline move, a recipe's pull at a wish, eyes at people."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import partial

from nicegui import run, ui

from casewright.faces.web.bench import Bench
from casewright.faces.web.components.board import CornerMove, SeamPicked
from casewright.faces.web.components.board_marks import grid_step
from casewright.faces.web.components.board_side import EYE, side_scene
from casewright.faces.web.views.boards import Work
from casewright.faces.web.views.seams import choose_seam
from casewright.geometry.model import Point2
from casewright.session.describing import fields_of
from casewright.session.grips import RUN, grip_of, pushed
from casewright.session.pulling import Pull, Way, eye_edits, eye_sizes, pulled, ways_of, wish_edits
from casewright.session.reshaping import freed
from casewright.workflow import REMOVE, Built, Edits, KeyPath, Removal, Value, written_length

PAUSE = 0.3
"""A pull that rests for this long is worked out whole, to tell what it would bring. [s]"""


def side_board(bench: Bench) -> None:
    """The board with the outline, the seams and the eyes."""
    work = Work(bench, lambda cabinet: side_scene(cabinet, bench.style), lambda: "side")
    hand = _Hand(bench, work)

    def picked(seam: SeamPicked) -> None:
        choose_seam(bench, seam.corner)

    work.board.corner_moved.subscribe(hand.moved)
    work.board.corner_moving.subscribe(hand.moving)
    work.board.seam_picked.subscribe(picked)


class _Hand:
    """What is being pulled on the board, and what it means."""

    def __init__(self, bench: Bench, work: Work) -> None:
        self._bench, self._work = bench, work
        self._known: tuple[Built, tuple[Way, ...]] | None = None
        self._next: CornerMove | None = None
        self._is_busy = False
        self._count = 0

    # ---- on the way ----

    def moving(self, move: CornerMove) -> None:
        """Say what a pull would bring, as often as there is time for it."""
        self._count += 1
        self._next = move
        ui.timer(PAUSE, partial(self._rest, self._count, move), once=True)
        if not self._is_busy:
            self._is_busy = True
            ui.timer(0, self._follow, once=True)

    async def _follow(self) -> None:
        try:
            while (move := self._newest()) is not None:
                await self._tell(move)
        finally:
            self._is_busy = False

    def _newest(self) -> CornerMove | None:
        """What was heard last and is not told yet."""
        move, self._next = self._next, None
        return move

    async def _tell(self, move: CornerMove) -> None:
        board, worked = self._work.board, self._bench.built
        if worked is None or self._is_gone():
            return
        if move.key.startswith(EYE):
            board.would(move.key, self._label(worked, move), self._eye_words(worked, move))
            return
        if not _is_recipe(worked):
            if (corners := _pushed(worked, move)) is not None:
                far = self._bench.length(math.dist(self._to(worked, move), _home(worked, move.key)))
                board.would(move.key, self._label(worked, move), f"{far} on", corners=corners)
            elif move.key.startswith(RUN):
                board.would(move.key, self._label(worked, move), "no further: edges would cross")
            return
        pull = await self._pull(worked, move)
        if self._is_gone():
            return
        if pull is None:
            board.would(
                move.key,
                f"{self._label(worked, move)}: no wish moves it that way",
                "it can be a free outline",
            )
        elif pull.wishes:
            first = ", ".join(self._wish_words(worked, pull, name) for name in pull.wishes)
            second = ", ".join(self._was_words(worked, pull, name) for name in pull.wishes)
            if pull.is_at_end:
                second = "no further that way"
            board.would(move.key, first, second, corners=pull.corners)

    def _is_gone(self) -> bool:
        return self._work.board.is_deleted

    async def _rest(self, count: int, move: CornerMove) -> None:
        """Once it rests: what would be found then."""
        worked = self._bench.built
        if count != self._count or worked is None:
            return
        edits = await self._edits(worked, move)
        if edits and count == self._count:
            self._work.preview(edits)

    # ---- put down ----

    async def moved(self, move: CornerMove) -> None:
        """Make it an edit, or say why it is none."""
        self._count += 1
        self._next = None
        worked = self._bench.built
        if worked is None:
            return
        if move.key.startswith(EYE) or not _is_recipe(worked):
            what = self._label(worked, move)
            edits = await self._edits(worked, move)
            if not edits:  # an edge that stays, or that has no place there
                self._work.bring(anew=True)
                crossed = _pushed(worked, move) is None
                self._work.tell(f"With {what} there, edges would cross." if crossed else "")
                return
            await self._work.edit(edits, f"move {what}", move.by, (move.key,))
            return
        pull = await self._pull(worked, move)
        if pull is None:
            self._work.bring(anew=True)
            is_edge = move.key.startswith(RUN)
            what = self._label(worked, move) if is_edge else move.key
            words = f"No wish moves {what} that way."
            moved = _pushed(worked, move) or {move.key: self._to(worked, move)}
            if is_edge and len(moved) == 1:
                self._work.tell(words)
                return
            make = partial(self._make_free, moved)
            self._work.tell(words, (f"Make it a free outline, with {what} there", make))
            return
        if not pull.wishes:
            self._work.bring(anew=True)
            return
        names = [_label_of(worked, name) for name in pull.wishes]
        label = f"pin {' and '.join(names)}"
        if await self._work.edit(wish_edits(worked, pull), label, move.by, (move.key,)):
            said_ = ", ".join(self._wish_words(worked, pull, name) for name in pull.wishes)
            is_new = [name for name in pull.wishes if name not in _given(worked)]
            orders = [
                (f"Let go of {_label_of(worked, n)}", partial(self._let_go, n)) for n in is_new
            ]
            self._work.tell(f"Pinned: {said_}.", *orders)

    async def _make_free(self, corners: Mapping[str, Point2]) -> None:
        worked = self._bench.built
        if worked is not None:
            edits = freed(worked, corners)
            done = await self._bench.edit(edits, "turn into a free outline")
            if await self._bench.tell(done):
                self._work.tell("The corners are yours now; Undo brings the recipe back.")

    async def _let_go(self, name: str) -> None:
        worked = self._bench.built
        if worked is not None:
            edits: Edits = {("shape", name): REMOVE}
            await self._bench.tell(
                await self._bench.edit(edits, f"let go of {_label_of(worked, name)}")
            )
            self._work.tell("")

    # ---- what it means ----

    async def _edits(self, worked: Built, move: CornerMove) -> Edits:
        if move.key.startswith(EYE):
            return eye_edits(worked, _number(move.key), move.at)
        if not _is_recipe(worked):
            return _corner_edits(worked, move)
        pull = await self._pull(worked, move)
        return wish_edits(worked, pull) if pull else {}

    async def _pull(self, worked: Built, move: CornerMove) -> Pull | None:
        """Aside from the page's own thread: a recipe takes a while to solve."""
        grid = grid_step(self._bench.style)
        to = self._to(worked, move)
        if grip_of(worked.cabinet.shape.corners, move.key) is None:
            return None

        def find() -> Pull | None:
            if self._known is None or self._known[0] is not worked:
                self._known = (worked, ways_of(worked))
            return pulled(worked, self._known[1], move.key, to, grid=grid)

        return await run.io_bound(find)

    @staticmethod
    def _to(worked: Built, move: CornerMove) -> Point2:
        y, z = _home(worked, move.key)
        return (move.at.get("y", y), move.at.get("z", z))

    # ---- words ----

    def _label(self, worked: Built, move: CornerMove) -> str:
        if move.key.startswith(RUN):
            return f"edge {move.key.removeprefix(RUN)}"
        if not move.key.startswith(EYE):
            return f"corner {move.key}"
        people = worked.opened.project.people
        number = _number(move.key)
        return f"the eye of {people[number].label}" if number < len(people) else "the usual eye"

    def _eye_words(self, worked: Built, move: CornerMove) -> str:
        distance, eye = eye_sizes(worked, move.at)
        said_ = []
        if distance is not None:
            said_.append(f"{self._bench.length(distance)} in front of the edge")
        if eye is not None:
            said_.append(f"{self._bench.length(eye)} over the floor")
        return ", ".join(said_)

    def _wish_words(self, worked: Built, pull: Pull, name: str) -> str:
        return f"{_label_of(worked, name)} {self._figure(worked, name, pull.wishes[name])}"

    def _was_words(self, worked: Built, pull: Pull, name: str) -> str:
        how = "pinned" if name in _given(worked) else "worked out"
        return f"was {self._figure(worked, name, pull.before[name])}, {how}"

    def _figure(self, worked: Built, name: str, value: float) -> str:
        field = next(
            one for one in fields_of(type(worked.opened.project.shape)) if one.name == name
        )
        if field.sort == "length":
            return self._bench.length(value)
        return f"{value:.1f}{'°' if field.unit == 'deg' else ' ' + field.unit}"


def _is_recipe(worked: Built) -> bool:
    return worked.opened.project.shape.recipe != "outline"


def _given(worked: Built) -> set[str]:
    return worked.opened.project.shape.model_fields_set


def _label_of(worked: Built, name: str) -> str:
    shape = type(worked.opened.project.shape)
    return next(one.label for one in fields_of(shape) if one.name == name)


def _number(key: str) -> int:
    return int(key.removeprefix(EYE)) - 1


def _home(worked: Built, key: str) -> Point2:
    """Where a corner is, or the middle of an edge. [mm]"""
    grip = grip_of(worked.cabinet.shape.corners, key)
    return grip.home if grip else (0.0, 0.0)


def _pushed(worked: Built, move: CornerMove) -> dict[str, Point2] | None:
    """The outline with an edge put elsewhere; None for a corner, and where none can be."""
    corners = worked.cabinet.shape.corners
    grip = grip_of(corners, move.key)
    if grip is None or grip.normal is None:
        return None
    y, z = grip.home
    return pushed(corners, grip, (move.at.get("y", y), move.at.get("z", z)))


def _corner_edits(worked: Built, move: CornerMove) -> Edits:
    """A corner of a free outline goes where it is put, written as it was; an edge takes its two along."""
    places = {move.key: move.at}
    if move.key.startswith(RUN):
        there, here = _pushed(worked, move) or {}, worked.cabinet.shape.corners
        places = {
            name: {a: v for a, v, old in zip("yz", to, here[name], strict=True) if v != old}
            for name, to in there.items()
        }
    corners = worked.opened.document.data.get("shape", {}).get("corners", {})
    found: dict[KeyPath, Value | Removal] = {}
    for name, at in places.items():
        for index, axis in enumerate("yz"):
            if axis in at:
                old = corners[name][index] if name in corners else None
                length = written_length(at[axis], worked.opened.project.unit, like=old)
                found[("shape", "corners", name, index)] = length
    return found


__all__ = ["PAUSE", "side_board"]
