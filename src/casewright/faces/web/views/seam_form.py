"""All that can be said of one seam, typed: rule, gap, ends as given, a batten behind it."""

from __future__ import annotations

from typing import Any

from nicegui import ui

from casewright.design.panels import Seam
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import press
from casewright.faces.web.live import Live
from casewright.faces.web.views.forms import amounts, form
from casewright.faces.web.views.rows import Place
from casewright.geometry.model import Corner
from casewright.session.describing import fields_of
from casewright.workflow import REMOVE, Edits, KeyPath, Removal, Value

BY_PANEL = ("tilt", "setback")
"""Fields with a value for each of the two panels."""


def seam_form(bench: Bench, live: Live, corner: Corner) -> None:
    """The form of the seam at a corner; one that the file does not name yet is written with the first value."""
    pair = (corner.first, corner.second)
    place = seam_place(bench, corner)
    form(live, place, Seam, skip=("between", *BY_PANEL))
    for one in fields_of(Seam):
        if one.name in BY_PANEL:
            amounts(live, place, one, names=lambda: {key: bench.label(key) for key in pair})

    async def leave() -> None:
        at = _index(bench, pair)
        if at is not None:
            edits: Edits = {("seams", at): REMOVE}
            await bench.tell(await bench.edit(edits, f"seam at {corner.name}: leave it open"))

    with ui.element("p"):
        live.text(lambda: _who_chose(bench, pair)).classes("quietly")
    press("Leave this seam to be chosen", leave, classes="order")


def seam_place(bench: Bench, corner: Corner) -> Place:
    """Where a seam stands in the file, or would."""
    pair = (corner.first, corner.second)

    def read() -> Seam | None:
        worked = bench.worked
        seams = worked.cabinet.shape.seams if worked else ()
        wished = next((seam for seam in seams if set(seam.between) == set(pair)), None)
        now = (
            next((c for c in worked.cabinet.corners if c.name == corner.name), corner)
            if worked
            else corner
        )
        made = Seam(
            between=pair, rule=now.rule, over=now.over or None, gap=now.gap, cleat=now.cleat
        )
        return wished or made

    def write(tail: KeyPath, value: Value | Removal) -> Edits:
        at = _index(bench, pair)
        if at is not None:
            return {("seams", at, *tail): value}
        if isinstance(value, Removal):
            return {}
        now = read()
        new: dict[str, Any] = {"between": list(pair)}
        if now is not None:
            new |= {"rule": now.rule, **({"over": now.over} if now.over else {})}
        nested: Any = value
        for step in reversed(tail[1:]):
            nested = {step: nested}
        new[str(tail[0])] = nested
        count = len(bench.opened.project.seams) if bench.opened else 0
        return {("seams", count): new} if count else {("seams",): [new]}

    at = _index(bench, pair)
    path: KeyPath = (
        "seams",
        len(bench.opened.project.seams) if at is None and bench.opened else at or 0,
    )
    return Place(bench, path, f"the seam at {corner.name}", read=read, write=write)


def _index(bench: Bench, pair: tuple[str, str]) -> int | None:
    seams = bench.opened.project.seams if bench.opened else ()
    return next((at for at, seam in enumerate(seams) if set(seam.between) == set(pair)), None)


def _who_chose(bench: Bench, pair: tuple[str, str]) -> str:
    return (
        ""
        if _index(bench, pair) is not None
        else "The project does not say; this is what was chosen for you. "
    )


__all__ = ["BY_PANEL", "seam_form", "seam_place"]
