"""New parts: from the catalog by search, or by measuring the one in hand."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import partial

from nicegui import ui

from casewright.catalog.explaining import field_label, field_unit
from casewright.catalog.kinds import KINDS
from casewright.catalog.load import CatalogType
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import dialog, press
from casewright.faces.web.entering import entered_value
from casewright.faces.web.live import said
from casewright.faces.web.pictures import measure_picture
from casewright.workflow import Removal, Value

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
            if not matches:
                said(
                    "Nothing of that name. Fewer words find more; or add it by measuring.", "li"
                ).classes("quietly")
            elif len(matches) > MOST_SHOWN:
                said(
                    f"and {len(matches) - MOST_SHOWN} more; another word narrows it.", "li"
                ).classes("quietly")

    async def take(entry: CatalogType) -> None:
        part: dict[str, Value] = {"type": entry.key}
        problems = await _put(
            bench, entry.key, part, str(panel.value), entry.kind, entry.data.label
        )
        if problems:
            problem.set_text(problems[0])
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
    boxes: dict[str, ui.input] = {}

    def show() -> None:
        boxes.clear()
        sheet.clear()
        kind = str(kinds.value)
        with sheet:
            picture = measure_picture(kind)
            if picture:
                ui.html(picture, sanitize=False).classes("measure-picture")
            with ui.element("div").classes("measure-fields"):
                for name, field in KINDS[kind].model_fields.items():
                    if name not in ("kind", "label") and field.is_required():
                        boxes[name] = _box(bench, kind, name)
            rest = [
                n
                for n, f in KINDS[kind].model_fields.items()
                if n not in ("kind", "label") and not f.is_required()
            ]
            with ui.element("details"):
                said("more, where it differs from the usual", "summary")
                with ui.element("div").classes("measure-fields"):
                    for name in rest:
                        boxes[name] = _box(bench, kind, name)

    async def take() -> None:
        kind = str(kinds.value)
        measured: dict[str, Value] = {}
        for name, box_ in boxes.items():
            text = str(box_.value or "").strip()
            if not text:
                continue
            value = (
                bench.typed_length(text)
                if field_unit(kind, name) == "mm"
                else _other(kind, name, text)
            )
            if not isinstance(value, Removal):
                measured[name] = value
        title = (label.value or "").strip() or kind
        part: dict[str, Value] = {"kind": kind, "label": title, "measured": measured}
        problems = await _put(bench, title, part, str(panel.value), kind, title)
        if problems:
            problem.set_text(" ".join(problems[:4]))
        else:
            box.close()

    with inner:
        with ui.element("div").classes("in-line"):
            words = {
                kind: {
                    "fitting": "fitting (socket, switch, jack)",
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


def _other(kind: str, name: str, text: str) -> Value | Removal:
    if KINDS[kind].model_fields[name].annotation is bool:
        return text.lower() in ("yes", "true", "1")
    return entered_value(text)


def _box(bench: Bench, kind: str, name: str) -> ui.input:
    unit = field_unit(kind, name)
    made = ui.input(field_label(name)).props("dense outlined")
    suffix = bench.style.unit if unit == "mm" else {"deg": "°", "money": ""}.get(unit, unit)
    if suffix:
        made.props["suffix"] = suffix
    meaning = KINDS[kind].model_fields[name].description
    if meaning:
        made.props["title"] = meaning
    return made


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
) -> list[str]:
    """Write the new part into the project, on a panel if one was chosen."""
    opened = bench.opened
    if opened is None:
        return ["The project's text cannot be used as it is; mend it first."]
    parts = opened.project.parts
    taken = {*parts, *(wish.key for known in parts.values() for wish in known.placed)}
    key = free_key(name, taken)
    if panel and kind not in LOOSE:
        part["placed"] = [{"key": free_key(f"{key}-1", {*taken, key}), "on": panel}]
    problems = await bench.set(("parts", key), part, f"add {label}")
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


__all__ = ["LOOSE", "MOST_SHOWN", "NOWHERE", "add_from_catalog", "add_measured", "free_key"]
