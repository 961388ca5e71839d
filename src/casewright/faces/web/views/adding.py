"""New parts: from the catalog by search, or by measuring the one in hand."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import partial
from typing import Any, Literal, get_args, get_origin

from nicegui import ui

from casewright.catalog.explaining import explain_type, field_label, field_unit
from casewright.catalog.kinds import KINDS
from casewright.catalog.load import CatalogType
from casewright.checks.rules import display_measured
from casewright.checks.rules.part_measured import HOLE_FIELDS
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import Choice, TypedValue, dialog, press
from casewright.faces.web.entering import entered_value
from casewright.faces.web.live import Live, said
from casewright.faces.web.pictures import measure_picture
from casewright.faces.web.views.filling import FILL_IN, USUAL, refused
from casewright.workflow import REMOVE, Edits, Removal, Value

Say = Callable[[list[str]], None]

MOST_SHOWN = 40
LOOSE = ("strip", "hardware")
"""Kinds that are not placed on a panel."""
NOWHERE = "not placed yet"


def add_from_catalog(bench: Bench) -> None:
    """Search the catalog and take a type."""
    box, inner = dialog("Add from the catalog")
    types = bench.desk.catalog.types

    def show() -> None:
        found.clear()
        matches = [entry for entry in types.values() if _matches(entry, words.value or "")]
        with found:
            for entry in matches[:MOST_SHOWN]:
                with ui.element("li"):
                    press(entry.data.label or entry.key, partial(take, entry), classes="order")
                    said(entry.kind, "small")
                    if entry.explains:
                        said(entry.explains, "small")
                    name = entry.data.label or entry.key
                    numbers = press(
                        "its numbers", lambda: None, classes="why", label=f"Numbers of {name}"
                    )
                    numbers.on("click", partial(explain, entry, ui.element("div")))
            if not matches:
                said(
                    "Nothing of that name. Fewer words find more; or add it by measuring.", "li"
                ).classes("quietly")
            elif len(matches) > MOST_SHOWN:
                said(
                    f"and {len(matches) - MOST_SHOWN} more; another word narrows it.", "li"
                ).classes("quietly")

    def explain(entry: CatalogType, room: ui.element) -> None:
        """Every number of a type with its source; pressed again, none."""
        if any(room):
            room.clear()
            return
        with room, ui.element("table").classes("list"), ui.element("tbody"):
            for row in explain_type(entry, bench.length):
                with ui.element("tr"):
                    said(row.label, "td").props["title"] = row.meaning
                    said(row.value, "td").classes("number")
                    said(row.source, "td").classes("quietly")

    async def take(entry: CatalogType) -> None:
        part: dict[str, Value] = {"type": entry.key}
        problems = await _put(
            bench, entry.key, part, str(panel.value), entry.kind, entry.data.label
        )
        if problems:
            problem.set_text(problems[0][1])
        else:
            box.close()

    with inner:
        with ui.element("div").classes("in-line"):
            words = ui.input("Search: display 24, button, fan …", on_change=show).props(
                "dense outlined autofocus"
            )
            words.classes("wide")
            panel = _panel_choice(bench)
        problem = said("", "p").classes("problem")
        problem.props["role"] = "alert"
        found = ui.element("ul").classes("plain found")
        press("Close", box.close)
        show()
    box.open()


def add_measured(bench: Bench) -> None:
    """Choose a kind, then type what the calipers say."""
    box, inner = dialog("Add by measuring")
    texts: dict[str, str] = {}
    says: dict[str, Say] = {}

    def show() -> None:
        texts.clear()
        says.clear()
        sheet.clear()
        kind = str(kinds.value)
        names = [name for name in KINDS[kind].model_fields if name not in ("kind", "label")]
        first = [name for name in names if _is_first(kind, name)]
        with sheet:
            picture = measure_picture(kind)
            if picture:
                ui.html(picture, sanitize=False).classes("measure-picture")
            with ui.element("div").classes("measure-fields"):
                for name in first:
                    says[name] = _box(bench, kind, name, texts)
            with ui.element("details"):
                said("more, where it differs from the usual", "summary")
                with ui.element("div").classes("measure-fields"):
                    for name in names:
                        if name not in first:
                            says[name] = _box(bench, kind, name, texts)

    async def take() -> None:
        kind = str(kinds.value)
        fields = KINDS[kind].model_fields
        empty = {name for name in says if fields[name].is_required() and not texts.get(name)}
        for name, say in says.items():
            say([FILL_IN] if name in empty else [])
        problem.set_text("Fill in what is marked, from the part in your hand." if empty else "")
        if empty:
            return
        measured: dict[str, Value] = {}
        for name in says:
            value = _typed(bench, kind, name, texts.get(name, ""))
            if not isinstance(value, Removal):
                measured[name] = value
        title = (label.value or "").strip() or kind
        part: dict[str, Value] = {"kind": kind, "label": title, "measured": measured}
        wrong = await _put(bench, title, part, str(panel.value), kind, title)
        if box.is_deleted:
            return  # the page around it was built anew by the edit
        others = []
        for field, words in wrong:
            name = field.rpartition(".")[2]
            if name in says:
                says[name]([words])
            else:
                others.append(f"{field}: {words}" if field else words)
        problem.set_text(" ".join(others[:4]))
        if not wrong:
            box.close()

    with inner:
        with ui.element("div").classes("in-line"):
            words = {
                kind: {
                    "fitting": "fitting (socket, switch, jack)",
                    "lever": "lever (joystick)",
                    "port": "port (of a loudspeaker's box)",
                }.get(kind, kind)
                for kind in KINDS
            }
            kinds = ui.select(words, value="display", label="Kind", on_change=show).props(
                "dense outlined options-dense"
            )
            label = (
                ui.input("What it is called").props("dense outlined maxlength=80").classes("wide")
            )
            panel = _panel_choice(bench)
        sheet = ui.element("div").classes("measure-sheet")
        problem = said("", "p").classes("problem")
        problem.props["role"] = "alert"
        with ui.element("div").classes("in-line"):
            press("Add it", take, classes="main")
            press("Cancel", box.close)
        show()
    box.open()


def _is_first(kind: str, name: str) -> bool:
    """Whether it has to be known, or the rules ask for it to be measured."""
    asked = display_measured.FIELDS if kind == "display" else HOLE_FIELDS.get(kind, ())
    return KINDS[kind].model_fields[name].is_required() or name in asked


def _typed(bench: Bench, kind: str, name: str, text: str) -> Value | Removal:
    """What was typed, as the file will hold it."""
    if not text:
        return REMOVE
    if field_unit(kind, name) == "mm":
        return bench.typed_length(text)
    if "yes" in words_of(KINDS[kind].model_fields[name].annotation):
        return text == "yes"
    value = entered_value(text)
    is_mass = name == "mass_kg" and isinstance(value, int | float)
    return f"{value:g} kg" if is_mass else value


def _box(bench: Bench, kind: str, name: str, texts: dict[str, str]) -> Say:
    """A box of the sheet; what says beside it what is wrong."""
    unit, field = field_unit(kind, name), KINDS[kind].model_fields[name]
    words = words_of(field.annotation)

    async def keep(text: str) -> list[str]:
        texts[name] = text.strip()
        return []

    def show() -> str:
        return texts.get(name, "")

    if words:
        return Choice(Live(), field_label(name), {"": USUAL, **words}, show, keep).say
    suffix = bench.style.unit if unit == "mm" else {"deg": "°", "money": ""}.get(unit, unit)
    hint = field.description or ""
    made = TypedValue(Live(), field_label(name), show, keep, suffix=suffix, hint=hint)
    made.input.on_value_change(lambda event: texts.update({name: str(event.value or "").strip()}))
    return made.say


def words_of(annotation: Any) -> dict[str, str]:
    """Words to choose from, where the field takes only some."""
    if annotation is bool:
        return {"yes": "yes", "no": "no"}
    if get_origin(annotation) is Literal:
        return {str(word): str(word) for word in get_args(annotation)}
    members = get_args(annotation)
    if bool in members:
        return {"": "not known", "yes": "yes", "no": "no"}
    return {}


def _panel_choice(bench: Bench) -> ui.select:
    worked = bench.built
    boards = (
        [p for p in worked.cabinet.pieces if p.kind in ("panel", "inner", "board", "door")]
        if worked
        else []
    )
    options: Mapping[str, str] = {
        "": NOWHERE,
        **{piece.key: piece.label or piece.key for piece in boards},
    }
    return ui.select(dict(options), value="", label="Put it on").props(
        "dense outlined options-dense"
    )


async def _put(
    bench: Bench, name: str, part: dict[str, Value], panel: str, kind: str, label: str
) -> list[tuple[str, str]]:
    """Write the new part into the project, on a panel if one was chosen; each field that is wrong, and how."""
    opened = bench.opened
    if opened is None:
        return [("", "The project's text cannot be used as it is; mend it first.")]
    parts = opened.project.parts
    taken = {*parts, *(wish.key for known in parts.values() for wish in known.placed)}
    key = free_key(name, taken)
    if panel and kind not in LOOSE:
        part["placed"] = [{"key": free_key(f"{key}-1", {*taken, key}), "on": panel}]
    edits: Edits = {("parts", key): part}
    problems = await refused(bench, lambda: bench.session.edit(edits, f"add {label}"))
    if not problems:
        bench.part = key
        bench.refresh()
    return problems


def free_key(name: str, taken: set[str]) -> str:
    """A plain key made of a name, unlike those taken.

    Example:
        >>> free_key("Palm button <big>", {"palm-button-big"})
        'palm-button-big-2'
    """
    slug = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40].strip("-") or "part"
    if not slug[0].isalpha():
        slug = f"part-{slug}"
    key, number = slug, 2
    while key in taken:
        key = f"{slug}-{number}"
        number += 1
    return key


def _matches(entry: CatalogType, words: str) -> bool:
    text = f"{entry.key} {entry.kind} {entry.data.label} {entry.explains}".lower()
    return all(word in text for word in words.lower().split())


__all__ = [
    "LOOSE",
    "MOST_SHOWN",
    "NOWHERE",
    "add_from_catalog",
    "add_measured",
    "free_key",
    "words_of",
]
