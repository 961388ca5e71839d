"""The drawing board in the views: what is put down on it becomes an edit of the session; here, panels."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from nicegui import ui

from casewright.basics.findings import Severity
from casewright.basics.wording import counted
from casewright.faces.web.bench import Bench
from casewright.faces.web.components.board import Board, Moves
from casewright.faces.web.components.board_scenes import board_panels, panel_scene
from casewright.faces.web.controls import order
from casewright.faces.web.live import said
from casewright.geometry.model import Cabinet
from casewright.session import Gesture, Preview
from casewright.session.arranging import Axis, placed_at, wish_path
from casewright.workflow import REMOVE, Edits

Json = dict[str, Any]

SOON = 1.5
"""Moves by keys that follow each other within this are one step of undo. [s]"""


def panel_board(bench: Bench) -> None:
    """The board with the panel that is chosen, and everything that sits on it."""

    def scene(cabinet: Cabinet) -> Json | None:
        known = {piece.key for piece in board_panels(cabinet)}
        if bench.panel not in known:
            return None
        return panel_scene(cabinet, bench.panel, bench.style)

    work = Work(bench, scene, lambda: bench.panel)

    def edits(moves: Moves) -> Edits:
        built = bench.built
        if built is None:
            return {}
        places: dict[str, Mapping[Axis, float]] = {
            key: {axis: at[axis] for axis in ("u", "v") if axis in at}
            for key, at in moves.places.items()
            if key in built.cabinet.placed_by_key
        }
        return placed_at(built, places)

    async def moved(moves: Moves) -> None:
        keys = tuple(moves.places)
        what = bench.label(keys[0]) if len(keys) == 1 else counted(len(keys), "part")
        await work.edit(edits(moves), f"move {what}", moves.by, keys)

    def moving(moves: Moves) -> None:
        work.preview(edits(moves))

    async def remove(keys: tuple[str, ...]) -> None:
        what = bench.label(keys[0]) if len(keys) == 1 else counted(len(keys), "part")
        await bench.tell(await bench.do(partial(_take_out, bench, keys, f"take out {what}")))
        work.bring(anew=True)

    def selected(keys: tuple[str, ...]) -> None:
        bench.chosen = set(keys)
        bench.live.update()

    def follow() -> None:
        """What is ticked in the table is chosen on the board, as what is chosen there is ticked."""
        if bench.chosen != set(work.board.chosen):
            work.board.choose(sorted(bench.chosen))

    bench.live.add(follow)
    follow()
    work.board.moved.subscribe(moved)
    work.board.moving.subscribe(moving)
    work.board.remove_asked.subscribe(remove)
    work.board.selected.subscribe(selected)


def _take_out(bench: Bench, keys: tuple[str, ...], label: str) -> None:
    """One after another, since the places in the file move up; one step of undo."""
    with bench.session.gesture(label) as gesture:
        for key in keys:
            built = bench.session.built
            path = wish_path(built, key) if built else None
            if path is not None:
                bench.session.edit({path: REMOVE}, label, gesture=gesture)


class Work:
    """A board, kept up with the session."""

    def __init__(
        self,
        bench: Bench,
        scene: Callable[[Cabinet], Json | None],
        what: Callable[[], str],
    ) -> None:
        self._bench, self._scene, self._what = bench, scene, what
        self._shown: object = None
        self._marked: object = None
        self._seen: tuple[str, ...] = ()
        self._gesture: tuple[tuple[str, ...], Gesture, float] | None = None
        self._is_looking = False
        self._puts = 0
        """How often something was put down: what was looked at before that is not said after it."""
        with ui.element("div").classes("board-room"):
            self.board = Board(unit=bench.style.unit)
        with ui.element("div").classes("board-status"):
            self._status = said("", "p")
            self.offers = ui.element("span").classes("orders")
        self._status.props["aria-live"] = "polite"
        self.board.set_options(theme=self._theme())
        self.board.finding_asked.subscribe(self._finding)
        bench.theme_watchers.append(lambda _: self.board.set_options(theme=self._theme()))
        bench.live.add(self.bring)
        bench.early.append(lambda built: self.bring())
        self.bring()

    def _theme(self) -> Any:
        return "dark" if self._bench.is_dark else "light"

    def bring(self, *, anew: bool = False) -> None:
        """Show what there is now; `anew` also where nothing changed, so that a refused move goes back."""
        bench = self._bench
        built, worked = bench.built, bench.worked
        if built is None:
            return
        now = (id(built.cabinet), bench.style, self._what())
        if anew or now != self._shown:
            self._shown = now
            scene = self._scene(built.cabinet)
            if scene is None:
                return
            self.board.unit = bench.style.unit
            self.board.show(scene)
        told = (id(worked), *now)
        if worked is not None and worked.cabinet is built.cabinet and told != self._marked:
            self._marked = told
            self.board.show_findings(worked.findings, worked.cabinet, bench.style)
        if bench.seen != self._seen and self.board.scene is not None:
            self._seen = bench.seen
            items = {item["key"] for item in self.board.scene["items"]}
            keys = [key for key in bench.seen if key in items]
            bench.chosen = set(keys)
            self.board.choose(keys)

    async def edit(self, edits: Edits, label: str, by: str, keys: tuple[str, ...]) -> bool:
        """Hand a move on; true if it was taken. Moves by keys that follow each other are one step."""
        self._puts += 1
        self.say(None)
        did = False
        now = time.monotonic()
        gesture: Gesture | None = None
        if by == "keys":
            last = self._gesture
            is_same = last is not None and last[0] == keys and now - last[2] < SOON
            gesture = last[1] if last is not None and is_same else Gesture(label)
            self._gesture = (keys, gesture, now)
        session = self._bench.session
        if edits:
            did = await self._bench.tell(
                await self._bench.do(lambda: session.edit(edits, label, gesture=gesture))
            )
        self.bring(anew=True)
        return bool(edits) and did

    def preview(self, edits: Edits) -> None:
        """Say what a drag would bring, as often as there is time for it; nothing where all is back in its place."""
        if not edits:
            self._puts += 1
            self.say(None)
        if self._is_looking or not edits:
            return
        self._is_looking = True
        ui.timer(0, partial(self._look, edits, self._puts), once=True)

    async def _look(self, edits: Edits, puts: int) -> None:
        seen: list[Preview] = []
        problems = await self._bench.do(lambda: seen.append(self._bench.session.preview(edits)))
        self._is_looking = False
        is_old = puts != self._puts or self._status.is_deleted
        if not problems and seen and not is_old and not seen[0].is_superseded:
            self.say(seen[0])

    def say(self, seen: Preview | None) -> None:
        """Tell the gravest thing that a move would bring, or nothing any more."""
        self.offers.clear()
        self._status.classes(remove="told")
        if seen is None:
            self._status.set_text("")
            return
        grave = [f for f in seen.changes.findings_new if f.severity is not Severity.NOTE]
        if seen.errors and seen.errors.errors:
            self._status.set_text(str(seen.errors.errors[0]))
        elif grave:
            self._status.set_text(self._bench.say(grave[0].message))
        else:
            self._status.set_text("")

    def tell(self, words: str, *orders: tuple[str, Callable[[], Any]]) -> None:
        """Say something below the board, with orders that can be pressed."""
        self._status.classes(add="told").set_text(words)
        self.offers.clear()
        with self.offers:
            for order_, do in orders:
                order(order_, do)

    def _finding(self, number: int) -> None:
        worked = self._bench.worked
        if worked is not None and 0 < number <= len(worked.findings):
            self._seen = self._bench.seen = worked.findings[number - 1].place.names
            self._bench.strip.update()


__all__ = ["SOON", "Work", "panel_board"]
