"""One row of a form: a field's name and meaning, its box, and where its value is from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from nicegui import ui
from pydantic import BaseModel

from casewright.basics.reckoning import Reckoning
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import Choice, TypedValue, press
from casewright.faces.web.live import Live, said
from casewright.faces.web.views.figures import why
from casewright.faces.web.views.filling import (
    choices_of,
    given_path,
    kept,
    shown,
    suffix_of,
    typed,
)
from casewright.session.describing import Field, is_given, value_at
from casewright.workflow import REMOVE, Edits, KeyPath, Removal, Value

Read = Callable[[], BaseModel | None]
Why = Callable[[], Reckoning | None]

MANY_LINES = ("text", "points")
"""Sorts that have room for several lines."""


@dataclass(frozen=True)
class Place:
    """A section of the project that a form is about."""

    bench: Bench
    path: KeyPath
    whose: str | Callable[[], str] = ""
    """Said after a field's name where several forms have it: "distance of tall adult"."""
    read: Read | None = None
    """The section as it counts, where that is more than the file says."""
    write: Callable[[KeyPath, Value | Removal], Edits] | None = None
    """Edits for a value at a path from here; the plain one if not given."""
    whys: Mapping[str, Why] = field(default_factory=dict)
    """Numbers that count where a field is left open, by its name."""
    related: Mapping[str, Why] = field(default_factory=dict)
    """Numbers that a field's value is held against."""
    given_word: str = "given"
    """What is said of a value that the file gives."""

    def value(self, *tail: str | int) -> Any:
        """What counts at a place from here."""
        if self.read is not None:
            section = self.read()
            return value_at(section, tail) if section is not None else None
        opened = self.bench.opened
        return value_at(opened.project, (*self.path, *tail)) if opened else None

    def is_given(self, *tail: str | int) -> bool:
        """Whether the file says it itself."""
        opened = self.bench.opened
        return opened is not None and is_given(opened.project, (*self.path, *tail))

    def edits(self, tail: KeyPath, value: Value | Removal) -> Edits:
        """The edits that bring a value to a place from here."""
        if self.write is not None:
            return self.write(tail, value)
        return {(*self.path, *tail): value}

    def inside(self, *tail: str | int, whose: str | Callable[[], str] = "") -> Place:
        """A section in this one."""
        read, write = self.read, self.write

        def inner() -> BaseModel | None:
            section = read() if read else None
            found = value_at(section, tail) if section is not None else None
            return found if isinstance(found, BaseModel) else None

        return replace(
            self,
            path=(*self.path, *tail),
            whose=whose or self.whose,
            read=inner if read else None,
            write=(lambda more, value: write((*tail, *more), value)) if write else None,
            whys={},
            related={},
        )

    def named(self, label: str) -> str:
        """A field's name for screen readers and for the list of steps."""
        whose = self.whose if isinstance(self.whose, str) else self.whose()
        return f"{label} of {whose}" if whose else label

    def reason(self, name: str) -> Reckoning | None:
        """The number that counts where a field is left open."""
        return self.whys[name]() if name in self.whys else None

    def asked(self, name: str) -> Reckoning | None:
        """What "why?" tells of a field."""
        return self.related[name]() if name in self.related else self.reason(name)


def row(live: Live, place: Place, one: Field) -> None:
    """The row of one field."""
    with ui.element("tr"):
        with ui.element("td").classes("field-name"):
            said(one.label)
            if one.meaning:
                said(one.meaning, "small")
        has_tools = one.sort in ("length", "number") or one.name in (*place.whys, *place.related)
        with ui.element("td") as cell:
            if not has_tools:
                cell.classes("broad").props["colspan"] = 2
            if one.sort == "place":
                with ui.element("div").classes("place-boxes"):
                    for index, letter in enumerate(one.letters):
                        if index < len(place.value(one.name) or one.letters):
                            _part_of_place(live, place, one, index, letter)
            else:
                control(live, place, one)
        if not has_tools:
            return
        with ui.element("td").classes("wish-tools"):
            if one.sort in ("length", "number") and not one.is_needed:
                _origin(live, place, one)
            if one.name in place.whys or one.name in place.related:
                live.section(
                    lambda inner: why(place.bench, place.asked(one.name)),
                    lambda: place.asked(one.name),
                    "span",
                )


def control(live: Live, place: Place, one: Field) -> None:
    """The box of one field, or its words to choose from."""
    bench = place.bench
    name = place.named(one.label)

    def show() -> str:
        value = place.value(one.name)
        if value is None:
            number = place.reason(one.name)
            value = number.value if number else None
            if value is not None and one.sort == "number":
                value = round(value, 2)
        return shown(bench, one, value)

    async def take(text: str) -> list[str]:
        value = typed(bench, one, text)
        if isinstance(value, Removal):
            if one.is_needed:
                return ["It cannot be left open."]
            if not place.is_given(one.name):
                return []
        return await kept(bench, place.edits((one.name,), value), place.named(one.label))

    words = choices_of(bench, one)
    made: ui.element
    if words is not None:
        made = Choice(live, name, words, show, take, bare=True).select
    else:
        made = TypedValue(
            live,
            name,
            show,
            take,
            suffix=suffix_of(bench, one) if one.sort in ("length", "number", "several") else "",
            hint=one.meaning,
            bare=True,
            many_lines=one.sort in MANY_LINES,
        ).input
    made.props["data-field"] = given_path((*place.path, one.name))
    live.props(made, lambda: {"aria-label": place.named(one.label)})


def _part_of_place(live: Live, place: Place, one: Field, index: int, letter: str) -> None:
    bench = place.bench
    name = place.named(f"{one.label}, {letter}")

    def show() -> str:
        value = place.value(one.name, index)
        return "" if value is None else bench.figure(value)

    async def take(text: str) -> list[str]:
        value = bench.typed_length(text)
        if isinstance(value, Removal):
            return ["Type a length."]
        return await kept(bench, place.edits((one.name, index), value), name)

    box = TypedValue(live, name, show, take, suffix=letter, bare=True).input
    box.props["data-field"] = given_path((*place.path, one.name, index))


def _origin(live: Live, place: Place, one: Field) -> None:
    """Where a value is from; a press lets a given one go, or gives the one that counts."""
    bench = place.bench

    def words() -> str:
        if place.is_given(one.name):
            return place.given_word
        if place.value(one.name) is None and place.reason(one.name) is None:
            return "open"
        return "usual" if place.value(one.name) is not None else "worked out"

    def help_() -> str:
        return {
            place.given_word: "Press to let it go.",
            "open": "Nothing is given.",
        }.get(words(), "Press to keep it as it is.")

    async def turn() -> None:
        if place.is_given(one.name):
            edits = place.edits((one.name,), REMOVE)
            await bench.tell(await bench.edit(edits, f"let go of {place.named(one.label)}"))
            return
        value = place.value(one.name)
        number = place.reason(one.name)
        if value is None and number is not None:
            value = number.value
        if value is not None:
            kept_ = f"{value:.2f} mm" if one.sort == "length" else round(value, 4)
            edits = place.edits((one.name,), kept_)
            await bench.tell(await bench.edit(edits, f"keep {place.named(one.label)}"))

    button = press("", turn, classes="origin")
    with button:
        live.text(words)
    live.classes(button, lambda: "origin-given" if place.is_given(one.name) else "origin-default")
    live.props(
        button,
        lambda: {
            "title": help_(),
            "aria-label": f"{place.named(one.label)}: {words()}. {help_()}",
            "disabled": words() == "open",
        },
    )


__all__ = ["MANY_LINES", "Place", "Read", "Why", "control", "row"]
