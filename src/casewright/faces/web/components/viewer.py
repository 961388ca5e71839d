"""The viewer: a cabinet in space, as an element of the page.

Keeps what it was told, so that a browser that connects anew gets the same picture; sends only what changed. The
drawing itself is in `viewer.js`.
"""

from __future__ import annotations

import asyncio
import base64
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal, TypedDict, Unpack

import nicegui
from nicegui import Event
from nicegui.element import Element
from nicegui.events import GenericEventArguments

from casewright.basics.findings import Finding, worded
from casewright.basics.units import LengthStyle, format_length
from casewright.faces.web.components.picture import line_picture, picture_text
from casewright.faces.web.components.scene import PartMesh, scene_changes, scene_parts
from casewright.geometry.model import Cabinet, Point3
from casewright.outputs.drawings.viewpoint import VIEWS

SCENE_MODULE = Path(nicegui.__file__).parent / "elements" / "scene" / "dist"
"""Folder of the module `nicegui-scene`, which holds three.js."""

KEYS_HELP = (
    "Arrow keys turn, plus and minus zoom, Home fits, Page Up and Page Down go from part to part. "
    "While measuring, arrow keys move a cross and Enter puts an end of the tape there."
)

Axis = Literal["x", "y", "z"]


class Section(TypedDict):
    """Where the cabinet is cut open."""

    axis: Axis
    at: float
    """[mm]"""
    keep: Literal["below", "above", "far"]
    """The side that stays: that of lesser or of greater coordinates, or the one away from the eye."""


class Options(TypedDict, total=False):
    """What can be set; see the list atop `viewer.js`. `work` is a name among `Band.works`, "" for none."""

    theme: Literal["light", "dark"]
    apart: float
    section: Section | None
    see_through: bool
    bodies: bool
    rooms: bool
    edges: bool
    hidden: list[str]
    only: list[str] | None
    work: str
    marked: list[str]
    dots: bool
    mode: Literal["turn", "measure"]


@dataclass(frozen=True)
class Picked:
    """What was pressed; `key` "" and `point` None beside all parts."""

    key: str
    """Of the piece or body."""
    owner: str
    """Key of the placed part; a piece's own key."""
    panel: str
    point: Point3 | None
    """In the cabinet's frame, as assembled. [mm]"""


@dataclass(frozen=True)
class Measured:
    """Two points that the tape was put to, as assembled. [mm]"""

    start: Point3
    end: Point3

    @property
    def distance(self) -> float:
        """[mm]"""
        return math.dist(self.start, self.end)

    def texts(self, style: LengthStyle) -> dict[str, str]:
        """Distance, and its shares across, deep and up, in the user's unit."""
        across, deep, up = (b - a for a, b in zip(self.start, self.end, strict=True))
        lengths = {"distance": self.distance, "across": across, "deep": deep, "up": up}
        return {
            name: format_length(length, style, glyphs="typeset") for name, length in lengths.items()
        }


@dataclass(frozen=True)
class Marker:
    """A numbered dot on the picture."""

    number: int
    point: Point3
    names: tuple[str, ...] = ()
    """Parts it is about; it moves with the first one."""
    severity: Literal["stop", "caution", "note"] = "note"
    label: str = ""

    def as_json(self) -> dict[str, Any]:
        """Plain data."""
        return {
            "number": self.number,
            "point": list(self.point),
            "names": list(self.names),
            "severity": self.severity,
            "label": self.label,
        }


def finding_markers(
    findings: Sequence[Finding], write_length: Callable[[float], str]
) -> tuple[Marker, ...]:
    """A dot for each finding that has its place, numbered as in the list from 1."""
    return tuple(
        Marker(
            number,
            finding.place.point,
            finding.place.names,
            finding.severity.value,
            worded(finding.message, write_length),
        )
        for number, finding in enumerate(findings, start=1)
        if finding.place.point is not None
    )


class Viewer(
    Element,
    component="viewer.js",
    esm={"casewright-viewing": "viewing", "nicegui-scene": str(SCENE_MODULE)},
    default_style="width: 100%; height: 100%",
):
    """A cabinet in space."""

    def __init__(self, *, style: LengthStyle, label: str = "The cabinet in space") -> None:
        """An empty viewer; `style` is how measured lengths are written."""
        super().__init__()
        self._props["label"] = label
        self._props["help"] = KEYS_HELP
        self.length_style = style
        self.options: Options = {}
        self.scene: Mapping[str, PartMesh] = {}
        self.cabinet: Cabinet | None = None
        self.markers: tuple[Marker, ...] = ()
        self.picked = Event[Picked]()
        """A part was pressed, or the place beside all parts."""
        self.hovered = Event[str]()
        """Key of the part under the pointer, "" for none; only sent after `listen_to_hover`."""
        self.measured = Event[Measured]()
        self.marker_pressed = Event[int]()
        """Number of the dot."""
        self.has_3d = True
        self._is_ready = False
        self._toward: Point3 = VIEWS["cover"].toward
        self.on("ready", self._ready)
        self.on("without_3d", self._without_3d)
        self.on("pick", self._pick)
        self.on("measured", self._measure)
        self.on("marker", self._marker)

    # ---- what is shown ----

    def show(self, cabinet: Cabinet, *, label: str = "", followed: bool = False) -> None:
        """Show a cabinet; of one like the last only what changed is sent, and the eye stays where it is.

        Args:
            cabinet: What to show.
            label: For screen readers.
            followed: Its markers come later: where a processor draws, the fine picture waits for them.
        """
        scene = scene_parts(cabinet)
        changes = scene_changes(self.scene, scene)
        self.scene, self.cabinet = scene, cabinet
        if label and label != self._props["label"]:
            self._props["label"] = label
            self.update()
        if changes and self._is_ready:
            self._call("update", changes.parts_json(), list(changes.removed), followed)
            if self.options.get("work"):
                self._call("set_options", self._told({"work": self.options["work"]}))
        if not self.has_3d:
            self._show_instead(cabinet)

    def set_options(self, **options: Unpack[Options]) -> None:
        """Set some options; the others stay."""
        self.options = {**self.options, **options}
        self._call("set_options", self._told(options))

    def _told(self, options: Options) -> dict[str, Any]:
        """Options as the browser takes them: in place of a work's name what is worked, piece by piece."""
        told: dict[str, Any] = dict(options)
        if "work" in told:
            work = told.pop("work")
            told["works"] = self._works(work) if work else None
        return told

    def _works(self, work: str) -> dict[str, list[dict[str, Any]]]:
        found = {
            key: [band.as_json() for band in part.worked if work in band.works]
            for key, part in self.scene.items()
        }
        return {key: bands for key, bands in found.items() if bands}

    def look(self, view: str | Point3) -> None:
        """Look from a named direction of `VIEWS`, or from (x, y, z), with everything in the picture.

        Raises:
            KeyError: There is no view of that name.
        """
        self._toward = VIEWS[view].toward if isinstance(view, str) else view
        self._call("look", list(self._toward))

    def fit(self) -> None:
        """Bring everything into the picture; the direction stays."""
        self._call("fit")

    def show_markers(self, markers: Sequence[Marker]) -> None:
        """Show these numbered dots and no others."""
        self.markers = tuple(markers)
        self._call("show_markers", [marker.as_json() for marker in self.markers])

    def set_style(self, style: LengthStyle) -> None:
        """Write measured lengths like this from now on."""
        self.length_style = style

    def listen_to_hover(self) -> None:
        """Have the browser tell what the pointer is on."""
        self.on("hover", lambda event: self.hovered.emit(event.args["key"]))

    # ---- what the browser says ----

    def _call(self, method: str, *arguments: object) -> None:
        if self._is_ready:
            self.run_method(method, *arguments)

    def _ready(self) -> None:
        """All of it: the browser knows nothing yet, or nothing any more."""
        self._is_ready = True
        self._call("set_options", self._told(self.options))
        self._call("look", list(self._toward))
        self._call("set_scene", scene_changes({}, self.scene).parts_json())
        self._call("show_markers", [marker.as_json() for marker in self.markers])

    async def _without_3d(self) -> None:
        self.has_3d = False
        if self.cabinet is not None:
            await self._draw_instead(self.cabinet)

    def _show_instead(self, cabinet: Cabinet) -> None:
        nicegui.background_tasks.create(self._draw_instead(cabinet), name="line picture")

    async def _draw_instead(self, cabinet: Cabinet) -> None:
        picture = await asyncio.to_thread(line_picture, cabinet)
        if cabinet is not self.cabinet:
            return  # a newer one is on its way
        self._call(
            "show_instead",
            {
                "picture": base64.b64encode(picture.encode("utf-8")).decode("ascii"),
                "text": "This browser shows no pictures in space. " + picture_text(cabinet),
            },
        )

    def _pick(self, event: GenericEventArguments) -> None:
        told = event.args
        point = _point(told["point"]) if told["point"] is not None else None
        self.picked.emit(Picked(told["key"], told["owner"], told["panel"], point))

    def _measure(self, event: GenericEventArguments) -> None:
        tape = Measured(_point(event.args["from"]), _point(event.args["to"]))
        self._call("show_size", tape.texts(self.length_style))
        self.measured.emit(tape)

    def _marker(self, event: GenericEventArguments) -> None:
        self.marker_pressed.emit(int(event.args["number"]))


def _point(values: Sequence[float]) -> Point3:
    x, y, z = (float(value) for value in values)
    return (x, y, z)


__all__ = [
    "KEYS_HELP",
    "SCENE_MODULE",
    "Axis",
    "Marker",
    "Measured",
    "Options",
    "Picked",
    "Section",
    "Viewer",
    "finding_markers",
]
