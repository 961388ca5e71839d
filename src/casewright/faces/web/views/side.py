"""Side view: the outline with what is in it, who looks at it, what is wished and how panels meet."""

from __future__ import annotations

from collections.abc import Hashable
from functools import partial

from nicegui import ui

from casewright.basics.reckoning import Reckoning
from casewright.catalog.explaining import field_label
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import TypedValue, heading, press
from casewright.faces.web.entering import entered_value
from casewright.faces.web.live import Live, said
from casewright.faces.web.views.boards import side_board
from casewright.faces.web.views.figures import why
from casewright.faces.web.views.seams import choose_seam, seam_words
from casewright.workflow import REMOVE, Removal, Value

NOT_WISHES = ("recipe", "side", "board", "corners", "header")
NUMBER_OF = {"screen_tilt_deg": "shape.screen_tilt", "width": "shape.width"}
"""Key of the number that a wish is solved to, where it is not "shape." and the wish's name."""


def view(bench: Bench) -> None:
    """The board, the wishes, the corners."""
    heading(
        "Side view, from the right",
        "Blue can be touched. What you give is pinned; all else is worked out anew with every change.",
    )
    with ui.element("div").classes("columns"):
        with ui.element("div").classes("lane drawing-lane"):
            side_board(bench)
        with ui.element("div").classes("lane scrolls"):
            bench.live.section(lambda live: _wishes(bench, live), lambda: _wishes_key(bench))
            bench.live.section(lambda live: _corners(bench, live), lambda: _corners_key(bench))
            bench.live.section(lambda live: _seams(bench, live), lambda: _seams_key(bench))


# ---- wishes ----


def _wish_names(bench: Bench) -> tuple[str, ...]:
    if bench.opened is None:
        return ()
    return tuple(
        name for name in type(bench.opened.project.shape).model_fields if name not in NOT_WISHES
    )


def _wishes_key(bench: Bench) -> Hashable:
    opened = bench.opened
    if opened is None:
        return None
    pinned = opened.project.shape.model_fields_set
    return (
        opened.project.shape.recipe,
        bench.style.unit,
        tuple(name in pinned for name in _wish_names(bench)),
    )


def _wishes(bench: Bench, live: Live) -> None:
    opened = bench.opened
    if opened is None:
        return
    said("Wishes", "h2").classes("block-title")
    with ui.element("table").classes("list fields"), ui.element("tbody"):
        for name in _wish_names(bench):
            _wish(bench, live, name)
    if opened.project.shape.recipe != "outline":
        press(
            "Turn into a free outline",
            lambda: _free(bench),
            classes="order",
            label="Write the solved corners down as they are",
        )


def _is_pinned(bench: Bench, name: str) -> bool:
    return bench.opened is not None and name in bench.opened.project.shape.model_fields_set


def _solved(bench: Bench, name: str) -> Reckoning | None:
    worked = bench.worked
    if worked is None:
        return None
    key = NUMBER_OF.get(name, f"shape.{name.removesuffix('_deg')}")
    return worked.numbers.get(key) or (worked.numbers.get("width") if name == "width" else None)


def _wish(bench: Bench, live: Live, name: str) -> None:
    words = field_label(name.removesuffix("_deg"))
    is_angle, is_length = name.endswith("_deg"), not name.endswith(("_deg", "_litres"))
    pinned = _is_pinned(bench, name)

    def value() -> float | None:
        given = getattr(bench.opened.project.shape, name) if bench.opened else None
        if given is None:
            number = _solved(bench, name)
            return number.value if number else None
        return float(given)

    def show() -> str:
        now = value()
        if now is None:
            return ""
        return bench.figure(now) if is_length else f"{now:.1f}"

    async def take(text: str) -> list[str]:
        new = bench.typed_length(text) if is_length else entered_value(text)
        if isinstance(new, Removal) and not pinned:
            return []
        return await bench.set(("shape", name), new, words)

    async def pin() -> None:
        if pinned:
            await bench.tell(await bench.set(("shape", name), REMOVE, f"let go of {words}"))
            return
        now = value()
        if now is None:
            ui.notify("There is no value to pin yet: type one.")
            return
        text: Value = f"{now:.2f} mm" if is_length else round(now, 2)
        await bench.tell(await bench.set(("shape", name), text, f"pin {words}"))

    with ui.element("tr").classes("pinned" if pinned else "solved"):
        with ui.element("td").classes("field-name"):
            said(words)
            said("pinned" if pinned else "worked out" if _solved(bench, name) else "usual", "small")
        with ui.element("td"):
            suffix = bench.style.unit if is_length else "°" if is_angle else "L"
            TypedValue(live, words, show, take, suffix=suffix, bare=True)
        with ui.element("td").classes("wish-tools"):
            label = f"Let go of {words}: work it out" if pinned else f"Pin {words} as it is"
            button = press("", pin, icon="pin", label=label)
            button.props["aria-pressed"] = str(pinned).lower()
            why(bench, _solved(bench, name))


async def _free(bench: Bench) -> None:
    """The recipe's solved corners become the project's own."""
    worked = bench.worked
    if worked is None:
        return
    shape = worked.opened.project.shape
    solved = worked.cabinet.shape
    corners: dict[str, Value] = {
        name: [f"{y:.2f} mm", f"{z:.2f} mm"] for name, (y, z) in solved.corners.items()
    }
    new: dict[str, Value] = {
        "recipe": "outline",
        "width": f"{solved.width:.2f} mm",
        "side": shape.side.model_dump(exclude_none=True),
        "board": shape.board,
        "corners": corners,
    }
    edits: dict[tuple[str | int, ...], Value | Removal] = {("shape",): new}
    for key, panel in solved.panels.items():
        run = next((run.name for run in solved.runs if run.panel == key), panel.run)
        edits[("panels", key, "run")] = run
        edits[("panels", key, "role")] = panel.role
    if await bench.tell(await bench.edit(edits, "turn into a free outline")):
        ui.notify("The corners are yours now. Undo brings the recipe back.")


# ---- corners ----


def _corners_key(bench: Bench) -> Hashable:
    opened = bench.opened
    if opened is None or opened.project.shape.recipe != "outline":
        return None
    return (tuple(opened.project.shape.corners), bench.style.unit)


def _corners(bench: Bench, live: Live) -> None:
    opened = bench.opened
    if opened is None or opened.project.shape.recipe != "outline":
        return
    said("Corners", "h2").classes("block-title")
    said("y from the front to the back, z up from the underside.", "p").classes("quietly")
    with ui.element("table").classes("list fields corners"), ui.element("tbody"):
        for name in opened.project.shape.corners:
            with ui.element("tr"):
                said(name, "td")
                for axis, letter in enumerate("yz"):
                    with ui.element("td"):
                        _corner_box(bench, live, name, axis, letter)


def _corner_box(bench: Bench, live: Live, name: str, axis: int, letter: str) -> None:
    def show() -> str:
        shape = bench.opened.project.shape if bench.opened else None
        corners = shape.corners if shape is not None and shape.recipe == "outline" else {}
        return bench.figure(corners[name][axis]) if name in corners else ""

    async def take(text: str) -> list[str]:
        value = bench.typed_length(text)
        if isinstance(value, Removal):
            return ["Type a length."]
        return await bench.set(("shape", "corners", name, axis), value, f"move corner {name}")

    TypedValue(live, f"{letter} of corner {name}", show, take, suffix=bench.style.unit, bare=True)


# ---- seams ----


def _seams_key(bench: Bench) -> Hashable:
    worked = bench.worked
    return (worked.cabinet.corners if worked else (), bench.seen)


def _seams(bench: Bench, live: Live) -> None:
    worked = bench.worked
    if worked is None:
        return
    said("Seams", "h2").classes("block-title")
    with ui.element("ul").classes("plain seams"):
        for corner in worked.cabinet.corners:
            if not corner.first or not corner.second:
                continue
            is_seen = {corner.first, corner.second} <= set(bench.seen)
            with ui.element("li").classes("seen" if is_seen else ""):
                said(
                    f"{corner.name}: {bench.label(corner.first)} and {bench.label(corner.second)}",
                    "b",
                )
                said(seam_words(bench, corner), "span").classes("quietly")
                press(
                    "change the seam …",
                    partial(choose_seam, bench, corner.name),
                    classes="order",
                    label=f"Change the seam at {corner.name}",
                )


__all__ = ["NOT_WISHES", "NUMBER_OF", "view"]
