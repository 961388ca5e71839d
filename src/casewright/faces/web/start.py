"""The start page: a new project from a recipe, a file to open, the ones opened last."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from nicegui import run, ui

from casewright.basics.errors import CasewrightError
from casewright.basics.units import Unit
from casewright.faces.web.controls import press, say_beside
from casewright.faces.web.desk import file_name, path_in
from casewright.faces.web.live import said
from casewright.faces.web.pictures import RECIPE_PICTURES, RECIPE_WORDS
from casewright.faces.web.wording import ago, error_lines
from casewright.workflow import (
    LEAST_LITRES,
    LITRES,
    MOST_LITRES,
    RECIPES,
    SUFFIX,
    starter_text,
)

if TYPE_CHECKING:
    from casewright.faces.web.desk import Desk

ARROWS = {"left": -1, "up": -1, "right": 1, "down": 1}
"""Keys that go from one choice to another, and by how many."""
PLAYED = ("tabletop", "standing", "lap")
"""Recipes that ask for players and buttons."""
SHOWN = ("tabletop", "standing")
"""Recipes that ask for a display."""
FILLED = ("box",)
"""Recipes that ask for a volume."""


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
        players.set_visibility(recipe in PLAYED)
        buttons.set_visibility(recipe in PLAYED)
        display.set_visibility(recipe in SHOWN)
        litres.set_visibility(recipe in FILLED)

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
        display = ui.select({"": "the usual one", **displays}, value="", label="Display").props(
            "dense outlined"
        )
        display.classes("wide")
        litres = ui.number(
            "Volume inside, liters", value=LITRES, min=LEAST_LITRES, max=MOST_LITRES
        ).props("dense outlined")
        litres.set_visibility(False)
    problem = said("", "p").classes("problem")
    problem.props["role"] = "alert"

    async def make() -> None:
        recipe = chosen["recipe"]
        title = (name.value or "").strip() or "My cabinet"
        length_unit: Unit = "in" if unit.value == "in" else "mm"
        try:
            text = starter_text(
                recipe,
                name=title,
                unit=length_unit,
                display=(display.value or None) if recipe in SHOWN else None,
                players=int(players.value or 1),
                buttons=int(buttons.value if buttons.value is not None else 6),
                litres=litres.value if recipe in FILLED else None,
            )
            path = _free_path(desk.folder, file_name(title))
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


def _free_path(folder: Path, name: str) -> Path:
    """That name, or the same with a number where it is taken."""
    stem = name.removesuffix(SUFFIX)
    path = folder / name
    number = 2
    while path.exists():
        path = folder / f"{stem}-{number}{SUFFIX}"
        number += 1
    return path


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

        async def take() -> None:
            try:
                path = path_in(desk.folder, box.value or "")
                key = await run.io_bound(desk.open, path)
            except CasewrightError as error:
                say_beside(
                    box, error_lines(error)[:1]
                )  # the list above may be longer than the window
                return
            ui.navigate.to(f"/desk/{key}")

        box.on("keydown.enter", take)
        press("Open", take)
    said("Files in other folders: casewright open FILE", "p").classes("quietly")


__all__ = ["FILLED", "PLAYED", "SHOWN", "start_page"]
