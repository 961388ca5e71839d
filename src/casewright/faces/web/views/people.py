"""Who uses it and where it stands, what it must fit through and may weigh and cost, what it is called."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from nicegui import ui

from casewright.basics.reckoning import Reckoning
from casewright.design.project import Limits, Project, Site
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import heading
from casewright.faces.web.live import Live, said
from casewright.faces.web.views.forms import form, sections
from casewright.faces.web.views.rows import Place, Why
from casewright.faces.web.views.side_board import side_board
from casewright.geometry.viewers import settled
from casewright.session.describing import fields_of

ELSEWHERE = ("casewright", "as built", "steps done")
"""Of the project itself, what is not for the maker to set: the form's version, and what is only kept so far."""


def view(bench: Bench) -> None:
    """The eyes in the side view, and a form for everything that was there before the cabinet."""
    heading(
        "People and place",
        "Who uses it, where it stands and what it must pass through decide the rest. Eyes can be dragged.",
    )
    with ui.element("div").classes("columns people-columns"):
        with ui.element("div").classes("lane drawing-lane"):
            side_board(bench)
        with ui.element("div").classes("lane scrolls"):
            bench.live.section(
                lambda live: _forms(bench, live),
                lambda: (bench.opened is not None, bench.style.unit),
            )


def _forms(bench: Bench, live: Live) -> None:
    if bench.opened is None:
        return
    project = Place(bench, ())
    held = {one.name: one for one in fields_of(Project)}
    sections(live, project, held["people"], whys=partial(_person_whys, bench), opened=1)
    sections(live, project, held["contents"], title="what the display shows", added="content")
    said("Where it stands", "h2").classes("block-title")
    base = _number(bench, "shape.base_over_floor")
    form(
        live, Place(bench, ("site",), "the place", related={"height": base}), Site, skip=("lamps",)
    )
    lamps = next(one for one in fields_of(Site) if one.name == "lamps")
    sections(
        live, Place(bench, ("site",)), lamps, title="lamps and windows", added="lamp or window"
    )
    said("Limits", "h2").classes("block-title")
    limits = Place(bench, ("limits",), related=_limit_whys(bench))
    form(live, limits, Limits, skip=("passages",))
    passages = next(one for one in fields_of(Limits) if one.name == "passages")
    sections(live, limits, passages, title="must fit through, or into", added="passage")
    said("The project", "h2").classes("block-title")
    shown_below = [one.name for one in held.values() if one.sort in ("group", "list", "named")]
    form(live, project, Project, skip=(*ELSEWHERE, *shown_below, "extras"))


def _person_whys(bench: Bench, number: str | int) -> Mapping[str, Why]:
    def why(name: str) -> Why:
        def now() -> Reckoning | None:
            people = bench.opened.project.people if bench.opened else ()
            is_there = isinstance(number, int) and number < len(people)
            return settled(people[int(number)])[name] if is_there else None

        return now

    whys: dict[str, Why] = {name: why(name) for name in ("eye", "elbow", "distance")}
    if isinstance(number, int):
        whys["aside"] = _number(bench, f"hands.aside.{number + 1}")
    return whys


def _limit_whys(bench: Bench) -> Mapping[str, Why]:
    def mass() -> Reckoning | None:
        return bench.worked.balance.number if bench.worked else None

    return {"heavy_kg": mass, "mass_kg": mass, "budget": _number(bench, "cost")}


def _number(bench: Bench, key: str) -> Why:
    return lambda: bench.worked.numbers.get(key) if bench.worked else None


__all__ = ["ELSEWHERE", "view"]
