"""The drawing board, as an element of the page: a panel or the side view, with everything to be dragged in it.

Keeps what it was told, so that a browser that connects anew gets the same drawing; sends only what changed. The
drawing itself is in `board.js`, the scenes are made by `board_scenes` and `board_side`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, TypedDict, Unpack

from nicegui import Event
from nicegui.element import Element
from nicegui.events import GenericEventArguments

from casewright.basics.errors import InputError
from casewright.basics.findings import Finding
from casewright.basics.units import LengthStyle, Unit, parse_length
from casewright.faces.web.components.board_scenes import arranged, finding_marks
from casewright.geometry.model import Cabinet, Point2

Json = dict[str, Any]
_KEYED = ("items", "layers", "corners", "seams", "eyes", "runs")


class BoardOptions(TypedDict, total=False):
    """What can be set; see the list atop `board.js`."""

    theme: Literal["light", "dark"]
    snap: bool
    grid: bool
    behind: bool
    names: bool
    readOnly: bool


@dataclass(frozen=True)
class Moves:
    """Parts on the way or put down: new places in the panel's (u, v). [mm]"""

    places: Mapping[str, Mapping[str, float]]
    """Coordinates by axis, by the key of each part that the user moved himself; only those he changed."""
    carried: Mapping[str, Point2]
    """Where the board shows those that follow them. They need no edit of their own."""
    by: Literal["drag", "keys", "entry", "arranging"]


@dataclass(frozen=True)
class CornerMove:
    """A corner of the outline, a whole edge by its middle, or an eye, on the way or put down."""

    key: str
    at: Mapping[str, float]
    """Coordinates by axis, "y" and "z"; only those that were changed. [mm]"""
    by: Literal["drag", "keys", "entry"]


@dataclass(frozen=True)
class SeamPicked:
    """A seam was pressed."""

    corner: str
    panels: tuple[str, ...]


@dataclass(frozen=True)
class BoardChanges:
    """What the browser needs to come from one scene to another of the same id."""

    changed: Json
    removed: dict[str, list[str]]

    def __bool__(self) -> bool:
        return bool(self.changed or self.removed)


def board_changes(before: Json, after: Json, again: Sequence[str] = ()) -> BoardChanges:
    """What differs between two scenes; entries whose keys are in `again` count as changed."""
    changed: Json = {}
    removed: dict[str, list[str]] = {}
    for name in _KEYED:
        old = {entry["key"]: entry for entry in before.get(name, ())}
        new = {entry["key"]: entry for entry in after.get(name, ())}
        fresh = [e for key, e in new.items() if key in again or old.get(key) != e]
        gone = [key for key in old if key not in new]
        if fresh:
            changed[name] = fresh
        if gone:
            removed[name] = gone
    for name, value in after.items():
        if name not in _KEYED and before.get(name) != value:
            changed[name] = value
    return BoardChanges(changed, removed)


class Board(
    Element,
    component="board.js",
    esm={"casewright-drafting": "drafting"},
    default_style="width: 100%; height: 100%",
):
    """A panel or the side view, to be worked on."""

    def __init__(self, *, unit: Unit = "mm") -> None:
        """An empty board; typed lengths without a unit are in `unit`."""
        super().__init__()
        self.unit: Unit = unit
        self.scene: Json | None = None
        self.options: BoardOptions = {}
        self.marks: list[Json] = []
        self.chosen: tuple[str, ...] = ()
        """Keys of what is chosen."""
        self.selected = Event[tuple[str, ...]]()
        self.moving = Event[Moves]()
        """At most 15 times a second while a drag goes on; after a stopped one once with the old places."""
        self.moved = Event[Moves]()
        """Put down, typed or arranged. Whoever listens edits the project and calls `show` again, edited or not."""
        self.remove_asked = Event[tuple[str, ...]]()
        self.finding_asked = Event[int]()
        """Number of the finding."""
        self.corner_moving = Event[CornerMove]()
        self.corner_moved = Event[CornerMove]()
        self.seam_picked = Event[SeamPicked]()
        self._is_ready = False
        self._touched: set[str] = set()
        self.on("ready", self._ready)
        self.on("gone", self._gone)
        self.on("select", self._select)
        self.on("moving", lambda event: self._tell(self.moving, event))
        self.on("moved", lambda event: self._tell(self.moved, event))
        self.on("corner_moving", lambda event: self._tell_corner(self.corner_moving, event))
        self.on("corner_moved", lambda event: self._tell_corner(self.corner_moved, event))
        self.on("seam_picked", self._seam)
        self.on("command", self._command)

    # ---- what is shown ----

    def show(self, scene: Json) -> None:
        """Show a scene; of one with the same id only what changed is sent, and the view stays where it is.

        What the user has moved is sent again in any case, so that a move that was refused is undone on the board.
        """
        before, self.scene = self.scene, scene
        if before is None or before["id"] != scene["id"]:
            self._touched.clear()
            self._call("set_scene", scene)
            return
        changes = board_changes(before, scene, tuple(self._touched))
        self._touched.clear()
        if changes:
            self._call("update", changes.changed, changes.removed)

    def show_findings(
        self, findings: Sequence[Finding], cabinet: Cabinet, style: LengthStyle
    ) -> None:
        """Point at the findings that concern what is shown, numbered as in the list from 1."""
        if self.scene is None:
            return
        marks = finding_marks(findings, cabinet, self.scene, style)
        if marks != self.marks:
            self.marks = marks
            self._call("mark", marks)

    def choose(self, keys: Sequence[str]) -> None:
        """Choose these parts and no others."""
        self.chosen = tuple(keys)
        self._call("select", list(keys))

    def set_options(self, **options: Unpack[BoardOptions]) -> None:
        """Set some options; the others stay."""
        self.options = {**self.options, **options}
        self._call("set_options", options)

    def would(
        self, key: str, first: str, second: str = "", *, corners: Mapping[str, Point2] | None = None
    ) -> None:
        """Say what the corner or eye that is being dragged would bring, in two lines, and the outline as it would be.

        Args:
            key: What is being dragged; said of anything else it is not shown.
            first: What it is and will be.
            second: What it was, or why it cannot be.
            corners: The outline; none is drawn without it.
        """
        shown = {name: list(at) for name, at in corners.items()} if corners is not None else None
        self._call("would", {"key": key, "first": first, "second": second, "corners": shown})

    # ---- what the browser says ----

    def _call(self, method: str, *arguments: object) -> None:
        if self._is_ready:
            self.run_method(method, *arguments)

    def _ready(self) -> None:
        """All of it: the browser knows nothing yet, or nothing any more."""
        self._is_ready = True
        self._call("begin", self.options, self.scene, self.marks, list(self.chosen))

    def _gone(self) -> None:
        self._is_ready = False

    def _select(self, event: GenericEventArguments) -> None:
        self.chosen = tuple(str(key) for key in event.args["keys"])
        self.selected.emit(self.chosen)

    def _tell(self, who: Event[Moves], event: GenericEventArguments) -> None:
        told = event.args
        carried = {str(one["key"]): _pair(one["at"]) for one in told["carried"]}
        places = {str(one["key"]): self._by_axis(one["at"]) for one in told["moves"]}
        self._touched |= {*places, *carried}
        who.emit(Moves(places, carried, "keys" if told["by"] == "keys" else "drag"))

    def _tell_corner(self, who: Event[CornerMove], event: GenericEventArguments) -> None:
        told = event.args
        self._touched.add(str(told["key"]))
        by: Literal["drag", "keys"] = "keys" if told["by"] == "keys" else "drag"
        who.emit(CornerMove(str(told["key"]), self._by_axis(told["at"]), by))

    def _seam(self, event: GenericEventArguments) -> None:
        panels = tuple(str(key) for key in event.args["panels"])
        self.seam_picked.emit(SeamPicked(str(event.args["corner"]), panels))

    def _command(self, event: GenericEventArguments) -> None:
        told = event.args
        match told["name"]:
            case "remove":
                self.remove_asked.emit(tuple(str(key) for key in told["keys"]))
            case "align" | "spread":
                if self.scene is not None and len(told["keys"]) > 1:
                    self.moved.emit(Moves(arranged(self.scene, told), {}, "arranging"))
            case "place":
                self._place(str(told["key"]), str(told["sort"]), told["at"])
            case "finding":
                self.finding_asked.emit(int(told["number"]))

    def _place(self, key: str, sort: str, typed: Mapping[str, object]) -> None:
        """What was typed, read as a length; told back in words if it is none."""
        try:
            at = {
                axis: parse_length(typed[axis], unit=self.unit, least=None, field=axis)
                for axis in self._axes
                if axis in typed
            }
        except InputError as error:
            self._call("refuse", f"{error.field}: {error.want}, such as {error.example}.")
            return
        self._call("accept")
        if not at:
            return
        self._touched.add(key)
        if sort in ("corner", "eye", "run"):
            self.corner_moved.emit(CornerMove(key, at, "entry"))
        else:
            self.moved.emit(Moves({key: at}, {}, "entry"))

    @property
    def _axes(self) -> tuple[str, ...]:
        return tuple(self.scene["axes"]) if self.scene else ()

    def _by_axis(self, at: Sequence[float]) -> dict[str, float]:
        return dict(zip(self._axes, _pair(at), strict=True))


def _pair(values: Sequence[float]) -> Point2:
    first, second = (float(value) for value in values)
    return (first, second)


__all__ = [
    "Board",
    "BoardChanges",
    "BoardOptions",
    "CornerMove",
    "Moves",
    "SeamPicked",
    "board_changes",
]
