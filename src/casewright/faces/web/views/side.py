"""Side view: the outline with what is in it, who looks at it, what is wished and how panels meet."""

from __future__ import annotations

from collections.abc import Hashable
from functools import partial

from nicegui import ui

from casewright.basics.reckoning import Reckoning
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import Choice, TypedValue, heading, press
from casewright.faces.web.live import Live, said
from casewright.faces.web.pictures import RECIPE_WORDS
from casewright.faces.web.views.filling import given_path, kept
from casewright.faces.web.views.forms import form
from casewright.faces.web.views.rows import Place
from casewright.faces.web.views.seams import choose_seam, seam_words
from casewright.faces.web.views.side_board import side_board
from casewright.session.cornering import FEWEST, corner_put_in, corner_taken_out
from casewright.session.describing import fields_of
from casewright.session.reshaping import freed, recipes, with_recipe
from casewright.workflow import Removal

NOT_WISHES = ("recipe", "corners")
"""Of a shape, what has a place of its own in the view."""
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


def _wishes_key(bench: Bench) -> Hashable:
    opened = bench.opened
    return (opened.project.shape.recipe if opened else "", bench.style.unit)


def _wishes(bench: Bench, live: Live) -> None:
    opened = bench.opened
    if opened is None:
        return
    model = type(opened.project.shape)
    said("Wishes", "h2").classes("block-title")
    with ui.element("div").classes("in-line shape-choice"):
        _recipe(bench, live)
    whys = {one.name: partial(_solved, bench, one.name) for one in fields_of(model)}
    place = Place(bench, ("shape",), whys=whys, given_word="pinned")
    form(live, place, model, skip=NOT_WISHES)
    if opened.project.shape.recipe != "outline":
        press(
            "Turn into a free outline",
            lambda: make_free(bench),
            classes="order",
            label="Write the solved corners down as they are",
        )


def _recipe(bench: Bench, live: Live) -> None:
    def show() -> str:
        return bench.opened.project.shape.recipe if bench.opened else ""

    async def take(recipe: str) -> list[str]:
        worked = bench.built
        if worked is None:
            return ["Mend the text first."]
        return await kept(bench, with_recipe(worked, recipe), f"shape: {recipe}")

    words = {name: RECIPE_WORDS.get(name, ("free outline", ""))[0].lower() for name in recipes()}
    Choice(live, "shape", words, show, take).select.props["data-field"] = "shape.recipe"


def _solved(bench: Bench, name: str) -> Reckoning | None:
    worked = bench.built
    if worked is None:
        return None
    key = NUMBER_OF.get(name, f"shape.{name.removesuffix('_deg')}")
    return worked.numbers.get(key) or (worked.numbers.get("width") if name == "width" else None)


async def make_free(bench: Bench) -> None:
    """The recipe's solved corners become the project's own."""
    worked = bench.built
    if worked is None:
        return
    if await bench.tell(await bench.edit(freed(worked), "turn into a free outline")):
        bench.notify("The corners are yours now. Undo brings the recipe back.")


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
    said(
        "y from the front to the back, z up from the underside. + puts a corner halfway to the next one.",
        "p",
    ).classes("quietly")
    names = tuple(opened.project.shape.corners)
    with ui.element("table").classes("list fields corners"), ui.element("tbody"):
        for name, after in zip(names, (*names[1:], names[0]), strict=True):
            with ui.element("tr"):
                said(name, "td")
                for axis, letter in enumerate("yz"):
                    with ui.element("td"):
                        _corner_box(bench, live, name, axis, letter)
                with ui.element("td"):
                    more = f"Put a corner between {name} and {after}"
                    press("+", partial(_put_in, bench, name), classes="framed", label=more)
                with ui.element("td"):
                    if len(names) > FEWEST:
                        less = f"Take corner {name} out"
                        press("−", partial(_take_out, bench, name), classes="framed", label=less)


async def _put_in(bench: Bench, name: str) -> None:
    worked = bench.built
    if worked is not None and await bench.tell(
        await bench.do(
            lambda: bench.session.edit(corner_put_in(worked, name), f"put a corner after {name}")
        )
    ):
        bench.notify(
            "A corner more, halfway: drag it, or type its place. The panel there is two now."
        )


async def _take_out(bench: Bench, name: str) -> None:
    worked = bench.built
    if worked is not None:
        await bench.tell(
            await bench.do(
                lambda: bench.session.edit(
                    corner_taken_out(worked, name), f"take out corner {name}"
                )
            )
        )


def _corner_box(bench: Bench, live: Live, name: str, axis: int, letter: str) -> None:
    def show() -> str:
        shape = bench.opened.project.shape if bench.opened else None
        corners = shape.corners if shape is not None and shape.recipe == "outline" else {}
        return bench.figure(corners[name][axis]) if name in corners else ""

    async def take(text: str) -> list[str]:
        value = bench.typed_length(text)
        if isinstance(value, Removal):
            return ["Type a length."]
        path = ("shape", "corners", name, axis)
        return await kept(bench, {path: value}, f"move corner {name}")

    made = TypedValue(
        live, f"{letter} of corner {name}", show, take, suffix=bench.style.unit, bare=True
    )
    made.input.props["data-field"] = given_path(("shape", "corners", name, axis))


# ---- seams ----


def _seams_key(bench: Bench) -> Hashable:
    worked = bench.built
    return (worked.cabinet.corners if worked else (), bench.seen)


def _seams(bench: Bench, live: Live) -> None:
    worked = bench.built
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


__all__ = ["NOT_WISHES", "NUMBER_OF", "make_free", "view"]
