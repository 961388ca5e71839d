"""Bought parts: what there is, what is measured and what only assumed, and what to measure from where."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from functools import partial
from typing import Any

from nicegui import ui

from casewright.basics.wording import counted
from casewright.catalog.explaining import field_label, field_unit
from casewright.catalog.kinds import KINDS
from casewright.design.parts import KnownPart, Part
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import Choice, TypedValue, heading, press
from casewright.faces.web.entering import entered_value
from casewright.faces.web.live import Live, said
from casewright.faces.web.pictures import measure_picture
from casewright.faces.web.views.adding import (
    add_from_catalog,
    add_measured,
    free_key,
    words_of,
)
from casewright.faces.web.views.comparing import compare_displays
from casewright.faces.web.views.filling import given_path, number_words
from casewright.faces.web.views.forms import all_keys, form, sections
from casewright.faces.web.views.naming import boards
from casewright.faces.web.views.rows import Place
from casewright.session.describing import fields_of
from casewright.workflow import REMOVE, Edits, KeyPath, Removal, Value

BOUGHT: Mapping[str, str] = {
    "price": "price of one",
    "quantity": "pieces to buy",
    "have": "have already",
}
"""Fields about buying, with what they are called here."""
ORIGIN_WORDS: Mapping[str, str] = {
    "measured": "measured",
    "assumed": "assumed",
    "catalog": "catalog",
    "default": "usual",
}
"""What is said of where a number is from."""

AMISS = "Nothing can be listed yet; the project text says what is amiss."


def view(bench: Bench) -> None:
    """The list of parts, and the one that is chosen."""
    heading(
        "Bought parts",
        "The parts decide the box. Measure what you can hold; what is only assumed says so.",
    )
    with ui.element("div").classes("tools"):
        press("Add from the catalog …", lambda: add_from_catalog(bench), classes="framed")
        press("Add by measuring …", lambda: add_measured(bench), classes="framed")
        press("Compare displays …", lambda: compare_displays(bench), classes="framed")
    with ui.element("div").classes("columns parts-columns"):
        with ui.element("div").classes("lane scrolls"):
            bench.live.section(lambda live: _list(bench, live), lambda: _list_key(bench)).classes(
                "table-room"
            )
        with ui.element("div").classes("lane scrolls part-detail"):
            bench.live.section(lambda live: _detail(bench, live), lambda: _detail_key(bench))


def _parts(bench: Bench) -> Mapping[str, Part]:
    return bench.opened.project.parts if bench.opened else {}


def _list_key(bench: Bench) -> Hashable:
    return (tuple(_parts(bench)), bench.part)


def _choose(bench: Bench, key: str) -> None:
    if bench.part != key:
        bench.part = key
        bench.live.update()


def _list(bench: Bench, live: Live) -> None:
    parts = _parts(bench)
    if bench.part not in parts:
        bench.part = next(iter(parts), "")
    if not parts:
        words = "No parts yet. Begin with the display: it decides most."
        said(words if bench.opened else AMISS, "p").classes("quietly")
        return
    with ui.element("table").classes("list parts-list"):
        with ui.element("thead"), ui.element("tr"):
            for title in ("part", "kind", "pieces", "to measure"):
                said(title, "th").classes("number" if title == "pieces" else "")
        with ui.element("tbody"):
            for key in parts:
                with ui.element("tr").classes("chosen" if key == bench.part else "") as row:
                    with ui.element("td"):
                        button = press("", partial(_choose, bench, key), classes="order")
                        button.props["aria-pressed"] = str(key == bench.part).lower()
                        with button:
                            live.text(partial(_label, bench, key))
                    live.text(partial(_kind, bench, key), "td").classes("quietly")
                    live.text(partial(_pieces, bench, key), "td").classes("number")
                    cell = live.text(partial(_to_measure, bench, key), "td")
                    live.classes(cell, partial(_measure_class, bench, key))
                row.on("click", partial(_choose, bench, key))


def _known(bench: Bench, key: str) -> KnownPart | None:
    return bench.opened.parts.get(key) if bench.opened else None


def _label(bench: Bench, key: str) -> str:
    known = _known(bench, key)
    return (known.label if known else "") or key


def _kind(bench: Bench, key: str) -> str:
    known = _known(bench, key)
    return known.data.kind if known else ""


def _pieces(bench: Bench, key: str) -> str:
    part = _parts(bench).get(key)
    return str(len(part.placed) or (part.quantity or 0)) if part else ""


def _to_measure(bench: Bench, key: str) -> str:
    """How many numbers of a part are only assumed, or asked for by a rule."""
    known, worked = _known(bench, key), bench.worked
    if known is None:
        return ""
    names = {name for name, origin in known.origin.items() if origin == "assumed"}
    group = f"{given_path(_group(key, 'measured'))}."
    for finding in worked.findings if worked else ():
        places = (place.strip() for place in finding.missing.split(","))
        names |= {place.removeprefix(group) for place in places if place.startswith(group)}
    return str(len(names) or "")


def _measure_class(bench: Bench, key: str) -> str:
    return "origin-assumed" if _to_measure(bench, key) else ""


# ---- one part ----


def _detail_key(bench: Bench) -> Hashable:
    known = _known(bench, bench.part)
    return (
        bench.part,
        _kind(bench, bench.part),
        bench.style.unit,
        tuple(sorted(known.origin.items())) if known else (),
    )


def _detail(bench: Bench, live: Live) -> None:
    key = bench.part
    known, part = _known(bench, key), _parts(bench).get(key)
    if known is None or part is None:
        return
    live.text(lambda: _label(bench, key), "h2").classes("block-title")
    with ui.element("p").classes("quietly"):
        live.text(lambda: _type_words(bench, key))
    picture = measure_picture(known.data.kind)
    if picture:
        with ui.element("details").classes("measure").props("open"):
            said("What to measure, and from where", "summary")
            ui.html(picture, sanitize=False).classes("measure-picture")
    _buying(bench, live, key)
    _what_and_where(bench, live, key)
    kind = known.data.kind
    given = [name for name, origin in known.origin.items() if origin != "default"]
    rest = [name for name, origin in known.origin.items() if origin == "default"]
    skipped = ("price",)
    _fields(bench, live, key, kind, [name for name in given if name not in skipped])
    with ui.element("details"):
        said(f"{counted(len(rest), 'more number')} at usual values", "summary")
        _fields(bench, live, key, kind, [name for name in rest if name not in skipped])
    with ui.element("div").classes("in-line"):
        press("Remove this part", lambda: _remove(bench, key), classes="order")


def _type_words(bench: Bench, key: str) -> str:
    part = _parts(bench).get(key)
    if part is None:
        return ""
    entry = bench.desk.catalog.types.get(part.type or "")
    if entry is None:
        return f"{_kind(bench, key)}, described by its own measures"
    return f"{entry.data.label}. {entry.explains}"


def _buying(bench: Bench, live: Live, key: str) -> None:
    def show(name: str) -> str:
        part = _parts(bench).get(key)
        value = getattr(part, name) if part else None
        if value is None and name == "price":
            known = _known(bench, key)
            value = known.data.price if known else None
        return "" if value is None or (name == "have" and not value) else f"{value:g}"

    async def take(name: str, text: str) -> list[str]:
        return await bench.set(
            ("parts", key, name), entered_value(text), f"{name} of {_label(bench, key)}"
        )

    with ui.element("div").classes("trio"):
        for name, label in BOUGHT.items():
            box = TypedValue(live, label, partial(show, name), partial(take, name)).input
            box.props["data-field"] = given_path(("parts", key, name))


def _what_and_where(bench: Bench, live: Live, key: str) -> None:
    """What the part is called and taken from, and every place it sits at."""
    place = Place(bench, ("parts", key), _label(bench, key))
    with ui.element("details"):
        said("What it is called, and taken from", "summary")
        form(live, place, Part, skip=("measured", "assumed", "placed", *BOUGHT))

    def start() -> Mapping[str, str]:
        panel = next(iter(boards(bench)), "")
        return {"key": free_key(f"{key}-1", set(all_keys(bench))), "on": panel}

    with ui.element("details"):
        with ui.element("summary"):
            live.text(lambda: f"Where it sits: {_pieces_placed(bench, key)}")
        placed = next(one for one in fields_of(Part) if one.name == "placed")
        sections(live, place, placed, start=start, title="pieces")


def _pieces_placed(bench: Bench, key: str) -> str:
    part = _parts(bench).get(key)
    names = [bench.label(wish.on) for wish in part.placed] if part else []
    return ", ".join(dict.fromkeys(names)) or "not placed yet"


def _fields(bench: Bench, live: Live, key: str, kind: str, names: list[str]) -> None:
    with ui.element("table").classes("list fields"), ui.element("tbody"):
        for name in names:
            with ui.element("tr"):
                with ui.element("td").classes("field-name"):
                    said(field_label(name))
                    meaning = KINDS[kind].model_fields[name].description
                    if meaning and meaning.lower().rstrip(".") != field_label(name):
                        said(meaning, "small")
                with ui.element("td"):
                    _value(bench, live, key, kind, name)
                with ui.element("td"):
                    _origin(bench, live, key, name)


def _value(bench: Bench, live: Live, key: str, kind: str, name: str) -> None:
    unit = field_unit(kind, name)
    label = field_label(name)
    words = words_of(KINDS[kind].model_fields[name].annotation)

    def show() -> str:
        known = _known(bench, key)
        value = getattr(known.data, name, None) if known else None
        if value is None:
            return ""
        if isinstance(value, bool):
            return "yes" if value else "no"
        if unit == "mm":
            return bench.figure(float(value))
        return number_words(value) if isinstance(value, int | float) else str(value)

    async def take(text: str) -> list[str]:
        value: Value | Removal
        if unit == "mm":
            value = bench.typed_length(text)
        elif text in ("yes", "no") and words and "yes" in words:
            value = text == "yes"
        else:
            value = entered_value(text)
        return await bench.edit(_edits(bench, key, name, value), f"{label} of {_label(bench, key)}")

    made: ui.element
    if words:
        made = Choice(live, label, words, show, take, bare=True).select
    else:
        suffix = bench.style.unit if unit == "mm" else {"deg": "°", "money": ""}.get(unit, unit)
        made = TypedValue(live, label, show, take, suffix=suffix, bare=True).input
    part = _parts(bench).get(key)
    group = "assumed" if part and name in part.assumed else "measured"
    made.props["data-field"] = given_path((*_group(key, group), name))


def _edits(bench: Bench, key: str, name: str, value: Value | Removal) -> Edits:
    """A value goes where it stands already; a new one is a measured one."""
    part = _parts(bench)[key]
    if name == "mass_kg" and isinstance(value, int | float):
        value = f"{value:g} kg"
    if isinstance(value, Removal):
        return {
            (*_group(key, g), name): value
            for g in ("measured", "assumed")
            if name in getattr(part, g)
        }
    group = "assumed" if name in part.assumed else "measured"
    return {(*_group(key, group), name): value}


def _group(key: str, group: str) -> KeyPath:
    return ("parts", key, group)


def _origin(bench: Bench, live: Live, key: str, name: str) -> None:
    def now() -> str:
        known = _known(bench, key)
        return known.origin.get(name, "default") if known else "default"

    async def turn() -> None:
        await bench.tell(
            await bench.edit(_turned(bench, key, name), f"{field_label(name)}: where it is from")
        )

    button = press("", turn, classes="origin")
    with button:
        live.text(lambda: ORIGIN_WORDS[now()])
    live.classes(button, lambda: f"origin-{now()}")
    live.props(
        button,
        lambda: {
            "title": _turn_words(now()),
            "aria-label": f"{field_label(name)}: {ORIGIN_WORDS[now()]}. {_turn_words(now())}",
        },
    )


def _turn_words(origin: str) -> str:
    return {
        "assumed": "Press when you have measured it.",
        "measured": "Press if it is only assumed.",
    }.get(origin, "Press to keep this value as measured.")


def _turned(bench: Bench, key: str, name: str) -> Edits:
    """Measured becomes assumed, all else becomes measured; the value stays."""
    part = _parts(bench)[key]
    if name in part.measured:
        written = bench.session.state.document
        return _moved(key, name, written.data if written else {}, "measured", "assumed")
    if name in part.assumed:
        written = bench.session.state.document
        return _moved(key, name, written.data if written else {}, "assumed", "measured")
    known = _known(bench, key)
    value = getattr(known.data, name) if known else None
    unit = field_unit(known.data.kind, name) if known else ""
    if unit == "mm" and value is not None:
        value = f"{value:g} mm"
    elif unit == "kg" and value is not None:
        value = f"{value:g} kg"
    return {(*_group(key, "measured"), name): value} if value is not None else {}


def _moved(key: str, name: str, data: Mapping[str, Any], source: str, target: str) -> Edits:
    value = data["parts"][key][source][name]
    return {(*_group(key, source), name): REMOVE, (*_group(key, target), name): value}


async def _remove(bench: Bench, key: str) -> None:
    label = _label(bench, key)
    if await bench.tell(await bench.set(("parts", key), REMOVE, f"remove {label}")):
        bench.notify(f"{label} is removed; Undo brings it back.")


__all__ = ["AMISS", "BOUGHT", "ORIGIN_WORDS", "view"]
