"""Displays side by side, before one is bought: how large, how much of it the content uses, and whether it fits."""

from __future__ import annotations

import asyncio
import math
from functools import partial

from nicegui import ui

from casewright.basics.customary import price_area
from casewright.basics.findings import Severity
from casewright.basics.units import MM_PER_INCH, Unit
from casewright.basics.wording import counted
from casewright.behavior.content import Candidate, candidate, candidates, room_behind
from casewright.catalog.kinds import Display
from casewright.design.looking import Content
from casewright.design.parts import Part
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import dialog, press
from casewright.faces.web.live import said
from casewright.session import Preview
from casewright.workflow import REMOVE, Edits, KeyPath, Removal, Value

ASPECTS = ("16:9", "4:3", "16:10", "1:1", "3:4", "9:16")
"""Shapes of content to choose from, after those that the project names."""


def compare_displays(bench: Bench) -> None:
    """A table of all displays, the project's own first."""
    box, inner = dialog("Compare displays")
    own = _own(bench)
    wished = tuple(c.aspect for c in bench.opened.project.contents) if bench.opened else ()
    aspects = list(dict.fromkeys((*wished, *ASPECTS)))
    displays = {
        key: e.data for key, e in bench.desk.catalog.types.items() if isinstance(e.data, Display)
    }
    cells: dict[str, ui.label] = {}
    stopped = False

    def stop() -> None:
        nonlocal stopped
        stopped = True

    def show() -> None:
        mine, others = _candidates(bench, own, Content(aspect=str(content.value)))
        table.clear()
        cells.clear()
        with table:
            with ui.element("thead"), ui.element("tr"):
                for title in (
                    "display",
                    "lit area",
                    "diagonal",
                    "housing",
                    "content uses",
                    "picture's diagonal",
                    "price",
                    f"per {price_area(_unit(bench))[0]} used",
                    "fits?",
                    "",
                ):
                    said(title, "th")
            with ui.element("tbody"):
                if mine is not None:
                    with ui.element("tr").classes("chosen"):
                        _row(bench, mine, f"{mine.label} (in the project)")
                        said("", "td")
                for one in others:
                    key = one.key
                    with ui.element("tr"):
                        cells[key] = _row(bench, one, one.label)
                        with ui.element("td"):
                            if own is not None:
                                press(
                                    "take it",
                                    partial(take, key),
                                    classes="order",
                                    label=f"Take {one.label}",
                                )

    async def judge() -> None:
        """Try each in the cabinet as it is; one at a time, so that it can be stopped."""
        nonlocal stopped
        stopped = False
        if own is None:
            return
        progress.set_visibility(True)
        for number, key in enumerate(displays, start=1):
            if stopped or box.is_deleted or not box.value:
                break
            state.set_text(f"trying {number} of {len(displays)}")
            seen = await asyncio.to_thread(bench.session.preview, swap_edits(bench, own, key))
            if key in cells and not cells[key].is_deleted:
                cells[key].set_text(_verdict(bench, seen))
        if not box.is_deleted:
            progress.set_visibility(False)

    async def take(key: str) -> None:
        if own is None:
            return
        label = displays[key].label or key
        problems = await bench.edit(swap_edits(bench, own, key), f"take {label}")
        if await bench.tell(problems):
            box.close()

    with inner:
        inner.classes("broad")
        with ui.element("div").classes("in-line"):
            content = ui.select(
                aspects, value=aspects[0], label="Shape of the content", on_change=show
            )
            content.props("dense outlined options-dense")
            if own is not None:
                press("Try each in this cabinet", judge, classes="framed")
            with ui.element("span").classes("in-line") as progress:
                state = said("").classes("quietly")
                press("Stop", stop, classes="order")
            progress.set_visibility(False)
        with ui.element("div").classes("table-room"):
            table = ui.element("table").classes("list")
        said(
            "Catalog sizes are usual ones of the trade; measure the display in hand before you cut.",
            "p",
        ).classes("quietly")
        press("Close", box.close)
        show()
    box.on("hide", stop)
    box.open()


def _unit(bench: Bench) -> Unit:
    return bench.opened.project.unit if bench.opened else "mm"


def _own(bench: Bench) -> str | None:
    """Key of the project's first display."""
    parts = bench.opened.parts if bench.opened else {}
    return next((key for key, part in parts.items() if isinstance(part.data, Display)), None)


def _candidates(
    bench: Bench, own: str | None, content: Content
) -> tuple[Candidate | None, tuple[Candidate, ...]]:
    """The project's display and all of the catalog, turned as it is, in the room behind its panel."""
    worked, contents = bench.worked, (content,)
    placed = None
    if worked is not None:
        placed = next((p for p in worked.cabinet.placed if p.part.key == own), None)
    if worked is None or placed is None or not isinstance(placed.part.data, Display):
        return None, candidates(bench.desk.catalog, 0.0, contents, None)
    room = room_behind(worked.cabinet, placed)
    price = worked.cabinet.project.parts[placed.part.key].price
    mine = candidate(
        placed.key, placed.label, placed.part.data, placed.turn_deg, contents, room, price=price
    )
    return mine, candidates(bench.desk.catalog, placed.turn_deg, contents, room)


def _row(bench: Bench, one: Candidate, label: str) -> ui.label:
    """Fill a row; its last cell says what the room lacks, until the whole is tried."""
    (fit,) = one.shown
    lit = one.face.lit
    price = one.price_by_area(_unit(bench))
    said(label, "td")
    for words in (
        f"{bench.figure(lit.width)} × {bench.length(lit.height)}",
        _diagonal(math.hypot(lit.width, lit.height)),
        f"{bench.figure(one.face.housing_width)} × {bench.length(one.face.housing_height)}",
        f"{fit.share:.0%}",
        _diagonal(fit.diagonal),
        f"{one.price:g}" if one.price else "–",
        f"{price:.1f}" if price is not None else "–",
    ):
        said(words, "td").classes("number")
    return said(_lacking(bench, one), "td")


def _lacking(bench: Bench, one: Candidate) -> str:
    """What the housing wants beyond the room there is; nothing said where it goes in."""
    wants = [
        f"{bench.length(short)} {way}"
        for short, way in zip(one.short, ("wider", "longer"), strict=True)
        if short > 0
    ]
    return f"panel {' and '.join(wants)}" if wants else ""


def _diagonal(length: float) -> str:
    """Displays are sold by inches everywhere."""
    return f"{length / MM_PER_INCH:.1f}\u202fin"


def swap_edits(bench: Bench, own: str, key: str) -> Edits:
    """The catalog's display in the place of the project's: what was measured on the old one goes."""
    opened = bench.opened
    assert opened is not None
    part: Part = opened.project.parts[own]
    edits: dict[KeyPath, Value | Removal] = {("parts", own, "type"): key}
    for name in ("measured", "assumed"):
        if getattr(part, name):
            edits[("parts", own, name)] = REMOVE
    for name in ("kind", "price", "label"):
        if name in part.model_fields_set:
            edits[("parts", own, name)] = REMOVE
    for number, wish in enumerate(part.placed):
        if wish.opening is not None:
            for name in ("width", "height"):
                if name in wish.opening.model_fields_set:
                    edits[("parts", own, "placed", number, "opening", name)] = REMOVE
    return edits


def _verdict(bench: Bench, seen: Preview) -> str:
    if seen.worked is None:
        return "no: " + (
            str(seen.errors.errors[0])
            if seen.errors and seen.errors.errors
            else "it cannot be built"
        )
    stops = seen.worked.stops
    if not stops:
        cautions = sum(f.severity is Severity.CAUTION for f in seen.findings)
        return "yes" + (f", {counted(cautions, 'caution')}" if cautions else "")
    return "no: " + bench.say(stops[0].message)


__all__ = ["ASPECTS", "compare_displays", "swap_edits"]
