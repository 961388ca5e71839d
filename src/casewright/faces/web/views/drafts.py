"""New sections: a sheet with the fields that must be filled in, and the others folded away below."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from typing import Any

from nicegui import ui

from casewright.design.base import Section
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import Choice, TypedValue, dialog, press
from casewright.faces.web.live import Live, said
from casewright.faces.web.views.filling import (
    FILL_IN,
    choices_of,
    given_path,
    refused,
    suffix_of,
    typed,
)
from casewright.session.describing import PLAIN, Field, fields_of, model_with, tag_of
from casewright.workflow import Edits, KeyPath, Removal, Value

Say = Callable[[list[str]], None]


def draft(
    bench: Bench,
    title: str,
    models: tuple[type[Section], ...],
    edits: Callable[[dict[str, Any]], tuple[Edits, KeyPath]],
    *,
    skip: Collection[str] = (),
    start: Mapping[str, str] | None = None,
) -> None:
    """Ask for what a new section needs, then put it into the project in one step.

    Args:
        bench: The page.
        title: "Add a door".
        models: What it may be; one of its fields tells them apart where there are several.
        edits: The edits that put the new section in, and where it will stand.
        skip: Fields that are not asked for.
        start: What boxes hold at first, by field.
    """
    box, inner = dialog(title)
    texts: dict[str, str] = dict(start or {})
    says: dict[str, Say] = {}
    tag = tag_of(models)

    def model() -> type[Section]:
        return model_with(models, texts.get(tag))

    def show() -> None:
        sheet.clear()
        says.clear()
        asked = [
            one for one in fields_of(model()) if one.name not in (*skip, tag) and one.sort in PLAIN
        ]
        with sheet:
            with ui.element("div").classes("measure-fields"):
                for one in asked:
                    if one.is_needed or one.name in (start or {}):
                        _ask(bench, one, texts, says)
            rest = [one for one in asked if not one.is_needed and one.name not in (start or {})]
            if rest:
                with ui.element("details"):
                    said("more, where it differs from the usual", "summary")
                    with ui.element("div").classes("measure-fields"):
                        for one in rest:
                            _ask(bench, one, texts, says)

    def needed() -> list[str]:
        """Boxes that must be filled in."""
        found: list[str] = []
        for one in fields_of(model()):
            if one.is_needed and one.sort == "place":
                found += [f"{one.name}.{index}" for index in range(len(one.letters))]
            elif one.is_needed:
                found.append(one.name)
        return [name for name in found if name in says]

    async def kind(text: str) -> list[str]:
        texts[tag] = text
        show()
        return []

    async def take() -> None:
        empty = [name for name in needed() if not texts.get(name, "").strip()]
        for name, say in says.items():
            say([FILL_IN] if name in empty else [])
        if empty:
            problem.set_text("")
            return
        values = _values(bench, model(), texts)
        if tag:
            values[tag] = texts[tag]
        made, path = edits(values)
        wrong = await refused(bench, lambda: bench.session.edit(made, title.lower()))
        if box.is_deleted:
            return  # the page around it was built anew by the edit
        others = []
        for field, words in wrong:
            below = field.removeprefix(f"{given_path(path)}.")
            name = next((n for n in (below, below.partition(".")[0]) if n in says), "")
            if name:
                says[name]([words])
            else:
                others.append(f"{field}: {words}" if field else words)
        problem.set_text(" ".join(others[:3]))
        if not wrong:
            box.close()

    with inner:
        if tag:
            words = {str(m): str(m) for one in models for m in _tags(one, tag)}
            texts.setdefault(tag, next(iter(words)))
            Choice(Live(), tag, words, lambda: texts[tag], kind)
        sheet = ui.element("div").classes("measure-sheet")
        problem = said("", "p").classes("problem")
        problem.props["role"] = "alert"
        with ui.element("div").classes("in-line"):
            press("Add it", take, classes="main")
            press("Cancel", box.close)
        show()
    box.open()


def draft_amount(bench: Bench, title: str, edits: Callable[[str, str], Edits]) -> None:
    """Ask for a name and a plain value."""
    box, inner = dialog(title)

    async def take() -> None:
        label = str(name.value or "").strip()
        if not label:
            problem.set_text("Give it a name.")
            return
        made = edits(label, str(amount.value or ""))
        wrong = await refused(bench, lambda: bench.session.edit(made, f"add {label}"))
        if box.is_deleted:
            return
        problem.set_text(" ".join(words for _, words in wrong))
        if not wrong:
            box.close()

    with inner:
        with ui.element("div").classes("measure-fields"):
            name = ui.input("name").props("dense outlined maxlength=80 autofocus")
            amount = ui.input("amount").props("dense outlined")
        problem = said("", "p").classes("problem")
        problem.props["role"] = "alert"
        with ui.element("div").classes("in-line"):
            press("Add it", take, classes="main")
            press("Cancel", box.close)
    box.open()


def _tags(model: type[Section], tag: str) -> tuple[str | int, ...]:
    return next(one.choices for one in fields_of(model) if one.name == tag)


def _ask(bench: Bench, one: Field, texts: dict[str, str], says: dict[str, Say]) -> None:
    """The boxes of one field; a place has several."""
    if one.sort == "place":
        for index, letter in enumerate(one.letters):
            _box(bench, one, f"{one.name}.{index}", f"{one.label}, {letter}", texts, says)
    else:
        _box(bench, one, one.name, one.label, texts, says)


def _box(
    bench: Bench,
    one: Field,
    name: str,
    label: str,
    texts: dict[str, str],
    says: dict[str, Say],
) -> None:
    words = choices_of(bench, one)
    if words is not None:
        usual = (
            ""
            if one.usual is None
            else ("yes" if one.usual is True else "no")
            if isinstance(one.usual, bool)
            else str(one.usual)
        )
        texts.setdefault(name, usual if usual in words else next(iter(words), ""))

    async def keep(text: str) -> list[str]:
        texts[name] = text
        return []

    def show() -> str:
        return texts.get(name, "")

    if words is not None:
        choice = Choice(Live(), label, words, show, keep)
        says[name] = choice.say
        return
    made = TypedValue(
        Live(),
        label,
        show,
        keep,
        suffix=suffix_of(bench, one),
        hint=one.meaning,
        many_lines=one.sort in ("text", "points"),
    )
    made.input.on_value_change(lambda event: texts.update({name: str(event.value or "")}))
    says[name] = made.say


def _values(bench: Bench, model: type[Section], texts: Mapping[str, str]) -> dict[str, Any]:
    """What was filled in, as the file will hold it; what is as usual is left out."""
    values: dict[str, Any] = {}
    for one in fields_of(model):
        if one.sort == "place":
            parts = [
                texts[f"{one.name}.{index}"].strip()
                for index in range(len(one.letters))
                if texts.get(f"{one.name}.{index}", "").strip()
            ]
            if parts:
                values[one.name] = [bench.typed_length(part) for part in parts]
            continue
        value: Value | Removal = typed(bench, one, texts.get(one.name, ""))
        if isinstance(value, Removal) or (not one.is_needed and value == one.usual):
            continue
        values[one.name] = value
    return values


__all__ = ["draft", "draft_amount"]
