"""The whole cabinet in space: turn it, take it apart, cut it open, measure, press a part to see its drawing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from nicegui import ui

from casewright.basics.findings import Finding
from casewright.basics.wording import counted
from casewright.checks.sizes import overall
from casewright.faces.web.bench import Bench
from casewright.faces.web.components.scene_works import CHAMFER, bands_of
from casewright.faces.web.components.viewer import Axis, Measured, Picked, Viewer, finding_markers
from casewright.faces.web.controls import heading, press
from casewright.faces.web.live import said
from casewright.faces.web.views.sheets import show_sheet
from casewright.geometry.model import Piece
from casewright.outputs.drawings.hole_table import TOOLS
from casewright.outputs.drawings.viewpoint import VIEWS
from casewright.session import Changes
from casewright.workflow import Built

AXES: dict[str, tuple[Axis, int, str]] = {
    "across": ("x", 0, "from the left"),
    "deep": ("y", 1, "from the front"),
    "up": ("z", 2, "from below"),
}

WORKS: dict[str, str] = {
    "hole": "holes",
    "opening": "openings",
    "pocket": "pockets",
    "groove": "grooves",
    "slot": "slots for trim",
    "notch": "notches",
    "pilot": "pilot holes",
    "clearance": "clearance holes",
    "counterbore": "counterbores",
    "countersink": "countersinks",
    CHAMFER: "chamfers",
}
"""Kinds of work in words; what else there is are kinds of bit."""


def view(bench: Bench) -> None:
    """The viewer with its tools."""
    heading(
        "Whole cabinet",
        "Drag turns it. Press a part to see what it is; its dots are what to look at.",
    )
    with ui.element("div").classes("columns whole-columns"):
        with ui.element("div").classes("lane"), ui.element("div").classes("space"):
            viewer = Viewer(style=bench.style, label="The cabinet in space")
        with ui.element("div").classes("lane scrolls"):
            about = ui.element("div").classes("about")
            _tools(bench, viewer)
    viewer.set_options(theme="dark" if bench.is_dark else "light", bodies=True, edges=True)
    _show(bench, viewer)
    viewer.set_options(marked=list(bench.seen))

    def early(built: Built) -> None:
        _show_space(built, viewer, followed=True)

    def changed(changes: Changes) -> None:
        _show(bench, viewer)

    def themed(is_dark: bool) -> None:
        viewer.set_options(theme="dark" if is_dark else "light")

    bench.early.append(early)
    bench.watchers.append(changed)
    bench.theme_watchers.append(themed)

    def picked(what: Picked) -> None:
        about.clear()
        if not what.key:
            viewer.set_options(marked=[])
            return
        viewer.set_options(marked=[what.owner or what.key])
        with about:
            _about(bench, viewer, what)

    def measured(tape: Measured) -> None:
        about.clear()
        texts = tape.texts(bench.style)
        with about:
            said(f"{texts['distance']} apart", "h2").classes("block-title")
            said(f"across {texts['across']}, deep {texts['deep']}, up {texts['up']}", "p")

    def pressed(number: int) -> None:
        worked = bench.worked
        if worked and 0 < number <= len(worked.findings):
            finding: Finding = worked.findings[number - 1]
            about.clear()
            with about:
                said(bench.say(finding.message), "p")
            bench.seen = finding.place.names
            bench.strip.update()
            viewer.set_options(marked=list(finding.place.names))

    viewer.picked.subscribe(picked)
    viewer.measured.subscribe(measured)
    viewer.marker_pressed.subscribe(pressed)


def _show(bench: Bench, viewer: Viewer) -> None:
    built, worked = bench.built, bench.worked
    if built is None:
        return
    _show_space(built, viewer)
    if worked is not None and worked.cabinet is built.cabinet:
        viewer.show_markers(finding_markers(worked.findings, bench.length))


def _show_space(built: Built, viewer: Viewer, *, followed: bool = False) -> None:
    if built.cabinet is not viewer.cabinet:
        name = built.opened.project.name
        viewer.show(built.cabinet, label=f"{name} in space", followed=followed)


def _tick(words: str, do: Callable[[bool], None], *, value: bool = False) -> None:
    tick = ui.checkbox(words, value=value).props("dense")
    tick.on_value_change(lambda event: do(bool(event.value)))


def _tools(bench: Bench, viewer: Viewer) -> None:
    def measuring(on: bool) -> None:
        viewer.set_options(mode="measure" if on else "turn")
        if on:
            ui.notify(
                "Press two points: corners, middles of edges and centres of holes catch the tape. "
                "By keys: arrows move a cross, Enter puts an end there."
            )

    said("Look from", "h2").classes("block-title")
    with ui.element("div").classes("tools"):
        for name in VIEWS:
            press(name, partial(viewer.look, name), classes="framed")
        press("fit", viewer.fit, classes="framed")
    said("Take apart", "h2").classes("block-title")
    apart = ui.slider(min=0, max=1.5, step=0.05, value=0)
    apart.on_value_change(lambda event: viewer.set_options(apart=float(event.value)))
    apart.props["aria-label"] = "How far the pieces are moved apart"
    said("Cut open", "h2").classes("block-title")
    _section(bench, viewer)
    said("Show", "h2").classes("block-title")
    with ui.element("div").classes("ticks"):
        _tick("bought parts", lambda on: viewer.set_options(bodies=on), value=True)
        _tick("room for plugs and hands", lambda on: viewer.set_options(rooms=on))
        _tick("edges", lambda on: viewer.set_options(edges=on), value=True)
        _tick("dots of what to look at", lambda on: viewer.set_options(dots=on), value=True)
        _tick("see through", lambda on: viewer.set_options(see_through=on))
        _tick("measure between two points", measuring)
    _works(bench, viewer)
    press(
        "Show all again",
        lambda: viewer.set_options(hidden=[], only=None, marked=[]),
        classes="order",
    )


def _works(bench: Bench, viewer: Viewer) -> None:
    """One kind of work at a time: where all the pilot holes are, or all that the forstner bit does."""
    chosen = ui.select({"": "the pieces"}, value="", label="Work shown")
    chosen.props("dense outlined options-dense").classes("wide")

    def follow() -> None:
        worked = bench.worked
        options = {"": "the pieces", **(work_words(worked.cabinet.pieces) if worked else {})}
        if options != chosen.options:
            value = chosen.value if chosen.value in options else ""
            chosen.set_options(options, value=value)

    chosen.on_value_change(lambda event: viewer.set_options(work=str(event.value or "")))
    bench.live.add(follow)
    follow()


def work_words(pieces: Sequence[Piece]) -> dict[str, str]:
    """What can be shown of these pieces, with how many of it there are and in how many pieces."""
    found: dict[str, list[str]] = {}
    for piece in pieces:
        for band in bands_of(piece):
            for work in band.works:
                found.setdefault(work, []).append(piece.key)
    words = {
        **WORKS,
        **{work: f"by {TOOLS.get(work, work)}" for work in sorted(found) if work not in WORKS},
    }
    return {
        work: f"{word}: {len(found[work])} in {counted(len(set(found[work])), 'piece')}"
        for work, word in words.items()
        if work in found
    }


def _section(bench: Bench, viewer: Viewer) -> None:
    cut: dict[str, Any] = {"axis": "", "at": 0.5}

    def bring() -> None:
        worked = bench.worked
        if not cut["axis"] or worked is None:
            viewer.set_options(section=None)
            words.set_text("")
            return
        axis, index, where = AXES[cut["axis"]]
        low, high = overall(worked.cabinet)
        at = low[index] + cut["at"] * (high[index] - low[index])
        viewer.set_options(section={"axis": axis, "at": at, "keep": "far"})
        words.set_text(f"{bench.length(at)} {where}")

    def choose(axis: str) -> None:
        cut["axis"] = "" if cut["axis"] == axis else axis
        for name, button in buttons.items():
            button.props["aria-pressed"] = str(cut["axis"] == name).lower()
            button.update()
        bring()

    with ui.element("div").classes("tools"):
        buttons = {name: press(name, partial(choose, name), classes="framed") for name in AXES}
        words = said("").classes("quietly")
    slider = ui.slider(min=0.0, max=1.0, step=0.01, value=0.5)
    slider.props["aria-label"] = "Where it is cut"

    def moved(value: float) -> None:
        cut["at"] = value
        bring()

    slider.on_value_change(lambda event: moved(float(event.value)))


def _about(bench: Bench, viewer: Viewer, what: Picked) -> None:
    worked = bench.worked
    if worked is None:
        return
    cabinet = worked.cabinet
    said(bench.label(what.owner or what.key), "h2").classes("block-title")
    piece = cabinet.piece_by_key.get(what.key)
    placed = cabinet.placed_by_key.get(what.owner)
    if piece is not None:
        size = f"{bench.figure(piece.width)} × {bench.figure(piece.height)} × {bench.length(piece.thickness)}"
        said(size, "p")
        said(_material(bench, piece.material), "p").classes("quietly")
    elif placed is not None:
        said(
            f"on {bench.label(placed.piece)}, at u {bench.length(placed.u)}, v {bench.length(placed.v)}",
            "p",
        )
    panel = what.panel or (placed.piece if placed else "")
    with ui.element("div").classes("orders"):
        if piece is not None:
            press("Its drawing", lambda: show_sheet(bench, piece.key), classes="order")
        if panel:
            press("Work on its panel", lambda: _go_panel(bench, panel), classes="order")
        if placed is not None:
            press("Its numbers", lambda: _go_part(bench, placed.part.key), classes="order")
        press(
            "Hide it",
            lambda: viewer.set_options(
                hidden=[*viewer.options.get("hidden", []), what.owner or what.key]
            ),
            classes="order",
        )
        press(
            "Only this", lambda: viewer.set_options(only=[what.owner or what.key]), classes="order"
        )


def _material(bench: Bench, key: str) -> str:
    material = bench.opened.project.materials.get(key) if bench.opened else None
    return (material.label if material else "") or key


def _go_panel(bench: Bench, panel: str) -> None:
    bench.panel = panel
    bench.go("panels")


def _go_part(bench: Bench, key: str) -> None:
    bench.part = key
    bench.go("parts")


__all__ = ["AXES", "WORKS", "view", "work_words"]
