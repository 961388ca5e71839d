"""The start page: a new project from a recipe, a file or a shared page to open, the ones opened last."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from nicegui import run, ui

from casewright.basics.errors import CasewrightError
from casewright.basics.units import Unit, parse_length
from casewright.faces.web.bringing import file_picker, open_named
from casewright.faces.web.controls import press, say_beside
from casewright.faces.web.desk import file_name, free_path
from casewright.faces.web.live import said
from casewright.faces.web.pictures import RECIPE_PICTURES, RECIPE_WORDS
from casewright.faces.web.wording import ago, error_lines
from casewright.workflow import (
    CHOSEN,
    LEAST_LITRES,
    LITRES,
    MOST_LITRES,
    RECIPES,
    build_up,
    open_text,
    starter_text,
)

if TYPE_CHECKING:
    from casewright.faces.web.desk import Desk

ARROWS = {"left": -1, "up": -1, "right": 1, "down": 1}
"""Keys that go from one choice to another, and by how many."""


def start_page(desk: Desk, *, words: str = "") -> None:
    """Build the page for one browser tab."""
    ui.query("body").classes("start-body")
    with ui.element("div").classes("start"):
        with ui.element("header").classes("start-head"):
            said("casewright", "h1")
            said(
                "Designs a one-off wooden cabinet round your bought parts, and writes the papers for the bench.",
                "p",
            )
        if words:
            said(words, "p").classes("problem").props["role"] = "alert"
        with ui.element("div").classes("start-columns"):
            with ui.element("section").classes("start-new"):
                _new(desk)
            with ui.element("section").classes("start-open"):
                _open(desk)


def _new(desk: Desk) -> None:
    said("A new cabinet", "h2")
    chosen = {"recipe": "tabletop"}
    cards: dict[str, ui.element] = {}

    def choose(recipe: str) -> None:
        chosen["recipe"] = recipe
        for name, card in cards.items():
            card.props["aria-checked"] = "true" if name == recipe else "false"
            card.props["tabindex"] = "0" if name == recipe else "-1"
            card.update()
        for word, box in asked.items():
            box.set_visibility(word in CHOSEN[recipe])

    def choose_beside(recipe: str, by: int) -> None:
        """As arrow keys do among choices of which one counts."""
        names = list(cards)
        other = names[(names.index(recipe) + by) % len(names)]
        choose(other)
        ui.run_javascript(f"document.getElementById('c{cards[other].id}').focus()")

    with ui.element("div").classes("recipes") as group:
        group.props["role"] = "radiogroup"
        group.props["aria-label"] = "Kind of cabinet"
        for recipe in RECIPES:
            title, explains = RECIPE_WORDS[recipe]
            with ui.element("button").classes("recipe") as card:
                card.props["type"] = "button"
                card.props["role"] = "radio"
                card.props["aria-checked"] = "true" if recipe == "tabletop" else "false"
                card.props["tabindex"] = "0" if recipe == "tabletop" else "-1"
                card.on("click", partial(choose, recipe))
                for key, by in ARROWS.items():
                    card.on(f"keydown.{key}.prevent", partial(choose_beside, recipe, by))
                ui.html(RECIPE_PICTURES[recipe], sanitize=False)
                said(title, "b")
                said(explains, "small")
            cards[recipe] = card

    displays = {
        key: entry.data.label or key
        for key, entry in desk.catalog.types.items()
        if entry.kind == "display"
    }
    with ui.element("div").classes("start-fields"):
        name = (
            ui.input("What is it called", value="My cabinet")
            .classes("wide")
            .props("dense outlined maxlength=80")
        )
        unit = ui.select({"mm": "millimeters", "in": "inches"}, value="mm", label="Unit").props(
            "dense outlined"
        )
        players = ui.select(
            {1: "1", 2: "2", 3: "3", 4: "4"}, value=1, label="Players abreast"
        ).props("dense outlined")
        buttons = ui.select({n: str(n) for n in range(9)}, value=6, label="Buttons for each").props(
            "dense outlined"
        )
        width = ui.input("Width over both sides", placeholder="worked out").props(
            "dense outlined stack-label maxlength=40 hide-bottom-space"
        )
        display = ui.select({"": "the usual one", **displays}, value="", label="Display").props(
            "dense outlined"
        )
        display.classes("wide")
        litres = ui.number(
            "Volume inside, liters", value=LITRES, min=LEAST_LITRES, max=MOST_LITRES
        ).props("dense outlined")
    asked = {
        "players": players,
        "buttons": buttons,
        "display": display,
        "litres": litres,
        "width": width,
    }
    choose(chosen["recipe"])
    problem = said("", "p").classes("problem")
    problem.props["role"] = "alert"

    async def make() -> None:
        recipe = chosen["recipe"]
        title = (name.value or "").strip() or "My cabinet"
        length_unit: Unit = "in" if unit.value == "in" else "mm"
        for box in (width, litres):
            say_beside(box, [])
        try:
            wide = wished_width(str(width.value or ""), length_unit)
        except CasewrightError as error:
            say_beside(width, error_lines(error)[:1])
            return
        try:
            text = starter_text(
                recipe,
                name=title,
                unit=length_unit,
                display=(display.value or None) if "display" in CHOSEN[recipe] else None,
                players=int(players.value or 1),
                buttons=int(buttons.value if buttons.value is not None else 6),
                width=wide,
                litres=litres.value if "litres" in CHOSEN[recipe] else None,
            )
            if wide is not None and not await run.io_bound(has_room, text):
                say_beside(width, ["What it starts with has no room in that; leave it empty."])
                return
            path = free_path(desk.folder, file_name(title))
            key = await run.io_bound(desk.new, text, path)
        except CasewrightError as error:
            problem.set_text(error_lines(error)[0])
            return
        ui.navigate.to(f"/desk/{key}?view=whole")

    with ui.element("div").classes("in-line"):
        press("Begin", make, classes="main")
        said(f"The file is put into {desk.folder}").classes("quietly")
    said(
        "The whole cabinet stands there at once, with parts of usual sizes. Then measure yours; everything follows.",
        "p",
    ).classes("quietly")


def wished_width(text: str, unit: Unit) -> float | None:
    """A width as it is typed; None for the one that the recipe works out. [mm]

    Raises:
        InputError: It is no length.
    """
    return parse_length(text, unit=unit, field="width") if text.strip() else None


def has_room(text: str) -> bool:
    """Whether what a new project starts with can be put together at all."""
    try:
        build_up(open_text(text))
    except CasewrightError:
        return False
    return True


def _open(desk: Desk) -> None:
    problem = said("", "p").classes("problem")
    problem.props["role"] = "alert"

    async def go(path: Path) -> None:
        try:
            key = await run.io_bound(desk.open, path)
        except CasewrightError as error:
            problem.set_text(error_lines(error)[0])
            return
        ui.navigate.to(f"/desk/{key}")

    recents = [recent for recent in desk.recent.listed() if recent.is_there][:8]
    said("Opened last", "h2")
    if not recents:
        said("Nothing yet.", "p").classes("quietly")
    with ui.element("ul").classes("plain files"):
        for recent in recents:
            with ui.element("li"):
                press(recent.name, partial(go, recent.path), classes="order")
                said(f"{recent.path.name}, {ago(recent.when)}").classes("quietly")
    here = [path for path in desk.projects() if path not in {recent.path for recent in recents}]
    if here:
        said("In this folder", "h2")
        with ui.element("ul").classes("plain files"):
            for path in here[:12]:
                with ui.element("li"):
                    press(path.name, partial(go, path), classes="order")
    kept = desk.kept()
    if kept:
        said("Gone from this folder, but kept", "h2")
        said("The file is not there any more; what was worked on is kept beside it.", "p").classes(
            "quietly"
        )
        with ui.element("ul").classes("plain files"):
            for path in kept[:12]:
                with ui.element("li"):
                    press(f"Take up {path.name} again", partial(go, path), classes="order")
    said("Another file in this folder", "h2")
    with ui.element("div").classes("in-line"):
        box = ui.input("File name").props("dense outlined").classes("wide")
        box.props["title"] = "Of a project, or of a shared page, NAME.html"

        async def take() -> None:
            try:
                key = await run.io_bound(open_named, desk, str(box.value or ""))
            except CasewrightError as error:
                say_beside(
                    box, error_lines(error)[:1]
                )  # the list above may be longer than the window
                return
            ui.navigate.to(f"/desk/{key}")

        box.on("keydown.enter", take)
        press("Open", take, classes="framed")
    said("A shared page, or a file from elsewhere", "h2").classes("from-elsewhere")
    said(
        "A page that somebody shared with you has its project in it. The project is put into this folder, beside what "
        "is there, and opened.",
        "p",
    ).classes("quietly")
    wrong = said("", "p").classes("problem")
    wrong.props["role"] = "alert"

    def tell(lines: list[str]) -> None:
        wrong.set_text("\n".join(lines))

    file_picker(desk, tell)
    said("To work on a file where it lies: casewright open FILE", "p").classes("quietly")


__all__ = ["has_room", "start_page", "wished_width"]
