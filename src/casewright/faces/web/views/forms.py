"""Forms made from the design's own models: a row for every field, whatever section it is in.

Nothing here knows a field by name. A section that the design gains a field in has it in its form at once.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Mapping
from dataclasses import replace
from functools import partial
from typing import Any

from nicegui import ui

from casewright.basics.wording import capital
from casewright.design.base import Section
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import TypedValue, press
from casewright.faces.web.live import Live, said
from casewright.faces.web.views.adding import free_key
from casewright.faces.web.views.drafts import draft, draft_amount
from casewright.faces.web.views.filling import given_path, kept, shown, suffix_of, typed
from casewright.faces.web.views.rows import Place, Why, row
from casewright.session.describing import PLAIN, Field, Sort, fields_of, model_with, tag_of
from casewright.workflow import REMOVE, Edits, KeyPath

SHORT = 4
"""Values that are told of a section that is folded away."""


def form(live: Live, place: Place, model: type[Section], *, skip: Collection[str] = ()) -> None:
    """A row for every field of a section, then a block for every section in it."""
    fields = [one for one in fields_of(model) if one.name not in skip]
    rows = [one for one in fields if one.sort in PLAIN]
    if rows:
        with ui.element("table").classes("list fields form-rows"), ui.element("tbody"):
            for one in rows:
                row(live, place, one)
    for one in fields:
        if one.sort == "group":
            _group(live, place, one)
        elif one.sort in ("list", "named"):
            sections(live, place, one)
        elif one.sort == "by name":
            amounts(live, place, one)


# ---- sections in sections ----


def _group(live: Live, place: Place, one: Field) -> None:
    inner = place.inside(one.name, whose=lambda: place.named(one.label))
    with ui.element("details").classes("form-group"):
        with ui.element("summary"):
            said(one.label)
            live.text(lambda: "" if place.is_given(one.name) else ", as usual").classes("quietly")
        if one.meaning:
            said(one.meaning, "p").classes("quietly")
        form(live, inner, one.models[0])
        if not one.is_needed:

            async def leave() -> None:
                if place.is_given(one.name):
                    edits = place.edits((one.name,), REMOVE)
                    await place.bench.tell(await place.bench.edit(edits, f"usual {one.label}"))

            usual = "Leave all of it to the usual"
            press(usual, leave, classes="order", label=f"{usual}: {one.label}")


def sections(
    live: Live,
    place: Place,
    one: Field,
    *,
    skip: Collection[str] = (),
    start: Callable[[], Mapping[str, str]] = dict,
    only: Callable[[Any], bool] = lambda section: True,
    title: str = "",
    added: str = "",
    whys: Callable[[str | int], Mapping[str, Why]] = lambda key: {},
    opened: int = 0,
) -> None:
    """A list of sections, each with its own form, and a way to add one.

    Args:
        live: Keeps them up to date.
        place: The section they are in.
        one: The field that holds them.
        skip: Fields that are not shown here.
        start: What a new one begins with, by field.
        only: Which of them are shown.
        title: What they are called; the field's label if not given.
        added: What one of them is called.
        whys: Numbers behind their fields, by the key or position of each.
        opened: So many are unfolded at first.
    """
    open_ones: set[str | int] = set()
    first = True

    def keys() -> tuple[str | int, ...]:
        held = place.value(one.name) or ()
        known = list(held) if one.sort == "named" else list(range(len(held)))
        return tuple(key for key in known if only(held[key]))

    def structure() -> Hashable:
        tag = tag_of(one.models)
        kinds = tuple(place.value(one.name, key, tag) for key in keys()) if tag else ()
        return keys(), kinds, place.bench.style.unit

    def build(inner: Live) -> None:
        nonlocal first
        if first:
            open_ones.update(keys()[:opened])
            first = False
        said(capital(title or one.label), "h2").classes("block-title")
        if not keys():
            said("None.", "p").classes("quietly")
        for key in keys():
            _item(inner, place, one, key, skip, open_ones, whys(key))
        one_more = added or singular(title or one.label)
        press(
            f"Add a {one_more} …",
            partial(_add, place, one, one_more, skip, start, open_ones),
            classes="order",
        )

    live.section(build, structure).classes("block form-list")


def _item(
    live: Live,
    place: Place,
    one: Field,
    key: str | int,
    skip: Collection[str],
    open_ones: set[str | int],
    whys: Mapping[str, Why],
) -> None:
    bench = place.bench
    model = model_with(one.models, place.value(one.name, key, tag_of(one.models) or "kind"))

    def name() -> str:
        section = place.value(one.name, key)
        for said_ in ("label", "key", "kind", "shape"):
            if getattr(section, said_, ""):
                return str(getattr(section, said_))
        return key if isinstance(key, str) else f"{singular(one.label)} {key + 1}"

    async def remove() -> None:
        edits = place.edits((one.name, key), REMOVE)
        await bench.tell(await bench.edit(edits, f"take out {name()}"))

    def toggled(event: Any) -> None:
        (open_ones.discard if key in open_ones else open_ones.add)(key)

    inner = replace(place.inside(one.name, key, whose=name), whys=whys)
    with ui.element("details").classes("form-item") as fold:
        if key in open_ones:
            fold.props["open"] = True
        with ui.element("summary") as head:
            live.text(name)
            live.text(partial(_digest, inner, model), "small")
        head.on("click", toggled)
        form(live, inner, model, skip=(tag_of(one.models), *skip))
        press("Take it out", remove, classes="order", label=f"Take out {name()}")


def _digest(place: Place, model: type[Section]) -> str:
    """What the file says of a section, in a few words."""
    words: list[str] = []
    for one in fields_of(model):
        if one.sort in ("choice", "length", "several") and place.is_given(one.name):
            text = shown(place.bench, one, place.value(one.name))
            text = f"{text[:27]} …" if len(text) > 28 else text
            words.append(text if one.sort != "length" else f"{one.label} {text}")
    return ", ".join(words[:SHORT])


def _add(
    place: Place,
    one: Field,
    added: str,
    skip: Collection[str],
    start: Callable[[], Mapping[str, str]],
    open_ones: set[str | int],
) -> None:
    def edits(values: dict[str, Any]) -> tuple[Edits, KeyPath]:
        held = place.value(one.name) or ()
        if one.sort == "named":
            key: str | int = draft_key(values, set(all_keys(place.bench)), added)
            tail: KeyPath = (one.name, key)
            made: Any = values
        elif held:
            key, tail, made = len(held), (one.name, len(held)), values
        else:
            key, tail, made = 0, (one.name,), [values]
        open_ones.add(key)
        return place.edits(tail, made), (*place.path, one.name, key)

    draft(place.bench, f"Add a {added}", one.models, edits, skip=skip, start=start())


def draft_key(values: Mapping[str, Any], taken: set[str], added: str) -> str:
    """A key for a new section, from its label."""
    return free_key(str(values.get("label") or added), taken)


def all_keys(bench: Bench) -> list[str]:
    """Every key that a new one must differ from."""
    if bench.opened is None:
        return []
    project = bench.opened.project
    named = (project.materials, project.panels, project.inner, project.boards, project.doors)
    wishes = [wish.key for part in project.parts.values() for wish in part.placed]
    shape = bench.built.cabinet.shape.panels if bench.built else {}
    return [
        *(key for group in named for key in group),
        *project.parts,
        *wishes,
        *shape,
        "left",
        "right",
        "sides",
    ]


# ---- plain values by name ----


def amounts(
    live: Live,
    place: Place,
    one: Field,
    *,
    names: Callable[[], Mapping[str, str]] | None = None,
    title: str = "",
    sort: Sort = "number",
) -> None:
    """Plain values by name, each in a row; `names` are all there can be, where that is known."""
    bench = place.bench
    measure = replace(one, sort="length" if one.unit == "mm" else sort)

    def known() -> tuple[str, ...]:
        held = tuple(place.value(one.name) or ())
        return tuple(dict.fromkeys((*(names() if names else ()), *held)))

    def build(inner: Live) -> None:
        said(capital(title or one.label), "h2").classes("block-title")
        if one.meaning:
            said(one.meaning, "p").classes("quietly")
        if known():
            with ui.element("table").classes("list fields form-rows"), ui.element("tbody"):
                for name in known():
                    with ui.element("tr"):
                        said((names() if names else {}).get(name, name), "td").classes("field-name")
                        with ui.element("td"):
                            amount(inner, name)
        if names is None:
            press(f"Add to {title or one.label} …", add, classes="order")

    def amount(inner: Live, name: str) -> None:
        label = place.named(f"{one.label} {name}")

        async def take(text: str) -> list[str]:
            return await kept(
                bench, place.edits((one.name, name), typed(bench, measure, text)), label
            )

        box = TypedValue(
            inner,
            label,
            lambda: shown(bench, measure, place.value(one.name, name)),
            take,
            suffix=suffix_of(bench, measure),
            bare=True,
        ).input
        box.props["data-field"] = given_path((*place.path, one.name, name))

    def add() -> None:
        draft_amount(
            bench,
            f"Add to {title or one.label}",
            lambda name, text: place.edits((one.name, name), typed(bench, measure, text)),
        )

    live.section(build, lambda: (known(), bench.style.unit)).classes("block form-list")


def singular(plural: str) -> str:
    """What one of them is called.

    Example:
        >>> singular("passages"), singular("people"), singular("boxes")
        ('passage', 'person', 'box')
    """
    odd = {"people": "person", "placed": "piece", "inner": "board inside", "boxes": "box"}
    return odd.get(plural, plural.removesuffix("s"))


__all__ = ["SHORT", "all_keys", "amounts", "draft_key", "form", "sections", "singular"]
