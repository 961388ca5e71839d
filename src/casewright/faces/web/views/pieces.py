"""How panels and boards are made: material, overlays, joints, fixing; their holes and doors; boards that are added."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from functools import partial
from typing import Any

from nicegui import ui
from pydantic import BaseModel

from casewright.basics.reckoning import Reckoning
from casewright.design.base import Section
from casewright.design.panels import Board, Door, Inner, Panel
from casewright.design.project import Project
from casewright.design.shape import SideBoard
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import press
from casewright.faces.web.live import Live, said
from casewright.faces.web.views.adding import free_key
from casewright.faces.web.views.drafts import draft
from casewright.faces.web.views.figures import why
from casewright.faces.web.views.forms import all_keys, form, sections
from casewright.faces.web.views.rows import Place
from casewright.faces.web.wording import value_of
from casewright.session.describing import Field, fields_of
from casewright.workflow import REMOVE, Edits, KeyPath

MODELS: Mapping[str, type[Section]] = {"inner": Inner, "boards": Board, "doors": Door}
"""Boards that the maker adds, by their group in the file."""
GROUPS = {"inner": "inner", "board": "boards", "door": "doors"}
"""The group of each kind of piece."""


def piece_key(bench: Bench) -> Hashable:
    """What the form of the panel shown depends on."""
    return (bench.panel, _kind(bench), _recipe(bench), bench.style.unit)


def piece_form(bench: Bench, live: Live) -> None:
    """How the panel shown is made."""
    key, kind = bench.panel, _kind(bench)
    if not kind:
        return
    label = bench.label(key)
    said(f"How {label} is made", "h2").classes("block-title")
    if kind == "side":
        form(live, Place(bench, ("shape", "side"), "the sides"), SideBoard)
        said("Both sides are alike, a mirrored pair.", "p").classes("quietly")
        return
    _sizes(bench, live, key)
    if kind == "panel":
        read = partial(_merged, bench, key)
        is_free = _recipe(bench) == "outline"
        place = Place(bench, ("panels", key), label, read=read)
        form(live, place, Panel, skip=() if is_free else ("run",))
        if is_free:
            press("Take the panel out", partial(_remove, bench, ("panels", key)), classes="order")
        return
    group = GROUPS[kind]
    form(live, Place(bench, (group, key), label), MODELS[group])
    press("Take it out", partial(_remove, bench, (group, key)), classes="order")


def work_forms(bench: Bench, live: Live) -> None:
    """What is cut into the panel shown: holes, openings and grooves of the maker's own, and doors."""
    key = bench.panel

    def is_here(section: Any) -> bool:
        return bool(section.on == bench.panel)

    def start() -> Mapping[str, str]:
        return {"on": key, "label": ""}

    project = Place(bench, ())
    sections(
        live,
        project,
        held("features"),
        only=is_here,
        start=start,
        title="holes and openings",
        added="hole or opening",
    )
    sections(live, project, held("doors"), only=is_here, start=start)


def other_boards(bench: Bench, live: Live) -> None:
    """Boards that are not on the outline; on a free outline, panels that are missing yet."""
    project = Place(bench, ())

    def start() -> Mapping[str, str]:
        board = bench.opened.project.shape.board if bench.opened else ""
        return {"label": "", "material": board}

    sections(live, project, held("inner"), start=start, title="boards inside", added="board inside")
    sections(live, project, held("boards"), start=start, title="loose boards", added="loose board")
    live.section(partial(_add_panel, bench), lambda: _recipe(bench))


def _add_panel(bench: Bench, live: Live) -> None:
    if _recipe(bench) != "outline":
        return

    def edits(values: dict[str, Any]) -> tuple[Edits, KeyPath]:
        label = str(values.get("label") or values.get("role") or "panel")
        path = ("panels", free_key(label, set(all_keys(bench))))
        return {path: values}, path

    def ask() -> None:
        draft(bench, "Add a panel", (Panel,), edits, start={"run": "", "role": "", "label": ""})

    said("Panels on the outline", "h2").classes("block-title")
    press("Add a panel …", ask, classes="order")


def _sizes(bench: Bench, live: Live, key: str) -> None:
    """What came out of it, each with its reasons."""

    def numbers() -> tuple[Reckoning, ...]:
        worked = bench.worked
        known = worked.numbers if worked else {}
        return tuple(known[name] for name in known if name.partition(".")[0] == key)

    def build(inner: Live) -> None:
        with ui.element("p").classes("quietly sizes-line"):
            for number in numbers():
                said(f"{number.label} {value_of(number, bench.length)} ")
                why(bench, number)

    live.section(build, lambda: (numbers(), bench.style))


def held(name: str) -> Field:
    """A field of the project itself."""
    return next(one for one in fields_of(Project) if one.name == name)


async def _remove(bench: Bench, path: KeyPath) -> None:
    label = bench.label(str(path[-1]))
    if await bench.tell(await bench.set(path, REMOVE, f"take out {label}")):
        bench.notify(f"{label} is taken out; Undo brings it back.")


def _kind(bench: Bench) -> str:
    piece = bench.built.cabinet.piece_by_key.get(bench.panel) if bench.built else None
    return piece.kind if piece else ""


def _recipe(bench: Bench) -> str:
    return bench.opened.project.shape.recipe if bench.opened else ""


def _merged(bench: Bench, key: str) -> BaseModel | None:
    return bench.built.cabinet.shape.panels.get(key) if bench.built else None


__all__ = ["held", "other_boards", "piece_form", "piece_key", "work_forms"]
