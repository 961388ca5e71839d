"""The shop and what it has: saw and bits, every material with its sheets, battens, other costs."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from functools import partial
from typing import Any

from nicegui import ui

from casewright.design.accuracy import Accuracy
from casewright.design.cutting_wishes import CuttingWishes
from casewright.design.finish import Finish
from casewright.design.fixings import Fixings
from casewright.design.materials import Batten, Material, StockSheet
from casewright.design.project import Project, Shop
from casewright.design.wiring import WiringWishes
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import TypedValue, press
from casewright.faces.web.live import Live, said
from casewright.faces.web.views.adding import free_key
from casewright.faces.web.views.drafts import draft
from casewright.faces.web.views.filling import given_path, kept, shown, suffix_of, typed
from casewright.faces.web.views.forms import amounts, form
from casewright.faces.web.views.rows import Place
from casewright.session.describing import fields_of
from casewright.workflow import REMOVE, Edits, KeyPath, Value, written_length

IN_A_ROW = ("length", "width", "price", "quantity", "mark")
"""Fields of a sheet that stand beside each other."""


def shop_and_stock(bench: Bench) -> None:
    """The column beside the sheets."""
    bench.live.section(
        lambda live: _saw(bench, live), lambda: (bench.opened is not None, bench.style.unit)
    )
    bench.live.section(lambda live: _materials(bench, live), lambda: _materials_key(bench))
    bench.live.section(
        lambda live: _others(bench, live), lambda: (bench.opened is not None, bench.style.unit)
    )


def _saw(bench: Bench, live: Live) -> None:
    said("Saw and bits", "h2").classes("block-title")
    # The paper is chosen where the papers are made.
    form(live, Place(bench, ("shop",)), Shop, skip=("paper",))
    said("Layouts", "h2").classes("block-title")
    wishes = Place(bench, ("cutting",), "the wishes for layouts")
    form(live, wishes, CuttingWishes, skip=("together", "kept"))
    strips = next(one for one in fields_of(CuttingWishes) if one.name == "together")
    amounts(live, wishes, strips, title="piece and strip", sort="name")


def _others(bench: Bench, live: Live) -> None:
    said("Battens", "h2").classes("block-title")
    form(live, Place(bench, ("batten",), "the batten"), Batten)
    said("How exactly the shop works", "h2").classes("block-title")
    form(live, Place(bench, ("accuracy",), "the shop's accuracy"), Accuracy)
    said("Paint", "h2").classes("block-title")
    form(live, Place(bench, ("finish",), "the paint"), Finish)
    said("Wiring", "h2").classes("block-title")
    form(live, Place(bench, ("wiring",), "the wiring"), WiringWishes, skip=("prices",))
    sizes = next(one for one in fields_of(WiringWishes) if one.name == "prices")
    amounts(live, Place(bench, ("wiring",)), sizes, title="wire by size")
    said("Screws", "h2").classes("block-title")
    form(live, Place(bench, ("fixings",), "the screws"), Fixings, skip=("prices", "have"))
    screws = next(one for one in fields_of(Fixings) if one.name == "prices")
    amounts(live, Place(bench, ("fixings",)), screws, title="screws by size")
    had = next(one for one in fields_of(Fixings) if one.name == "have")
    amounts(live, Place(bench, ("fixings",)), had, title="screws at hand")
    extras = next(one for one in fields_of(Project) if one.name == "extras")
    amounts(live, Place(bench, ()), extras, title="other costs")


# ---- materials ----


def _materials_of(bench: Bench) -> Mapping[str, Material]:
    return bench.opened.project.materials if bench.opened else {}


def _materials_key(bench: Bench) -> Hashable:
    sizes = tuple((key, len(one.sheets)) for key, one in _materials_of(bench).items())
    return (sizes, bench.style)


def _materials(bench: Bench, live: Live) -> None:
    said("Materials", "h2").classes("block-title")
    for key in _materials_of(bench):
        _material(bench, live, key)
    press("Add a material …", lambda: _add_material(bench), classes="order")


def _material(bench: Bench, live: Live, key: str) -> None:
    def label() -> str:
        material = _materials_of(bench).get(key)
        return (material.label if material else "") or key

    async def remove() -> None:
        problems = await bench.set(("materials", key), REMOVE, f"take out {label()}")
        await bench.tell(problems)

    with ui.element("section").classes("block material"):
        live.text(label, "h3").classes("block-title")
        place = Place(bench, ("materials", key), key)
        with ui.element("details"):
            with ui.element("summary"):
                live.text(lambda: _thickness_words(bench, key))
            form(live, place, Material, skip=("sheets",))
            press("Take it out", remove, classes="order", label=f"Take out {label()}")
        sheets = len(_materials_of(bench)[key].sheets)
        for number in range(sheets):
            _stock(bench, live, key, number)
        with ui.element("div").classes("in-line"):
            for words, is_offcut in (("Another sheet size", False), ("An offcut of mine", True)):
                add = partial(_add, bench, key, offcut=is_offcut)
                press(words, add, classes="order", label=f"{words}, {key}")


def _thickness_words(bench: Bench, key: str) -> str:
    material = _materials_of(bench).get(key)
    if material is None:
        return ""
    how = "not measured yet" if material.measured is None else "measured"
    return f"{bench.length(material.thickness)} thick, {how}"


def _add_material(bench: Bench) -> None:
    def edits(values: dict[str, Any]) -> tuple[Edits, KeyPath]:
        label = str(values.get("label") or values.get("kind") or "material")
        path = ("materials", free_key(label, set(_materials_of(bench))))
        return {path: values}, path

    draft(bench, "Add a material", (Material,), edits, start={"label": "", "measured": ""})


# ---- sheets ----


def _stock(bench: Bench, live: Live, key: str, number: int) -> None:
    place = Place(bench, ("materials", key, "sheets", number))
    fields = {one.name: one for one in fields_of(StockSheet)}

    def is_offcut() -> bool:
        return bool(place.value("offcut"))

    async def turn() -> None:
        edits = place.edits(("offcut",), REMOVE if is_offcut() else True)
        await bench.tell(await bench.edit(edits, "sheet or offcut"))

    def is_sawn() -> bool:
        material = _materials_of(bench).get(key)
        sheets = material.sheets if material else ()
        return sheets[number].is_sawn if number < len(sheets) else False

    async def turn_edges() -> None:
        edits = place.edits(("edges",), "factory" if is_sawn() else "sawn")
        await bench.tell(await bench.edit(edits, "edges of a sheet"))

    def show(name: str) -> str:
        return shown(bench, fields[name], place.value(name))

    async def take(name: str, text: str) -> list[str]:
        value = typed(bench, fields[name], text)
        return await kept(bench, place.edits((name,), value), f"{name} of a sheet")

    async def remove() -> None:
        await bench.tell(await bench.set(place.path, REMOVE, "remove a sheet size"))

    which = f"sheet {number + 1} of {key}"
    with ui.element("div").classes("stock"):
        kind = press("", turn, classes="order")
        kind.props["data-field"] = given_path((*place.path, "offcut"))
        with kind:
            live.text(lambda: "my offcut" if is_offcut() else "sheet")
        live.props(
            kind,
            lambda: {
                "aria-pressed": str(is_offcut()).lower(),
                "aria-label": f"{which} is an offcut of mine",
                "title": "An offcut that the shop has already, or a sheet to buy: press to change.",
            },
        )
        edges = press("", turn_edges, classes="order")
        edges.props["data-field"] = given_path((*place.path, "edges"))
        with edges:
            live.text(lambda: "sawn edges" if is_sawn() else "factory edges")
        live.props(
            edges,
            lambda: {
                "aria-pressed": str(is_sawn()).lower(),
                "aria-label": f"edges of {which} are sawn",
                "title": "Factory edges are trimmed off first; sawn ones are used as they are: press to change.",
            },
        )
        for name in IN_A_ROW:
            words = "count" if name == "quantity" else name
            box = TypedValue(
                live,
                words,
                partial(show, name),
                partial(take, name),
                suffix=suffix_of(bench, fields[name]),
                hint=fields[name].meaning,
            ).input
            box.props["data-field"] = given_path((*place.path, name))
            box.props["aria-label"] = f"{words} of {which}"
        press("×", remove, classes="quiet", label=f"Remove {which}")


async def _add(bench: Bench, key: str, *, offcut: bool) -> None:
    opened = bench.opened
    if opened is None:
        return
    material = opened.project.materials[key]
    sheets, unit = material.sheets, opened.project.unit
    species = opened.catalog.species.get(material.species or "")
    usual = species.sheets_in(unit) if species is not None and not offcut else ()
    inch = unit == "in"
    sheet: dict[str, Value] = {
        "length": written_length(usual[0].length, unit) if usual else "24 in" if inch else "600 mm",
        "width": written_length(usual[0].width, unit) if usual else "12 in" if inch else "300 mm",
    }
    if offcut:
        sheet |= {"offcut": True, "quantity": 1}
    path = ("materials", key, "sheets", len(sheets)) if sheets else ("materials", key, "sheets")
    await bench.tell(await bench.set(path, sheet if sheets else [sheet], "add a sheet size"))


__all__ = ["IN_A_ROW", "shop_and_stock"]
