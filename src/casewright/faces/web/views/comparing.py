"""Displays side by side, before one is bought: how large, how much of it the content uses, and whether it fits."""

from __future__ import annotations

import asyncio
from collections.abc import Mapping
from functools import partial

from nicegui import ui

from casewright.basics.findings import Severity
from casewright.basics.units import MM_PER_INCH
from casewright.basics.wording import counted
from casewright.catalog.kinds import Display
from casewright.design.parts import Part
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import dialog, press
from casewright.faces.web.live import said
from casewright.geometry.picture import content_on_display
from casewright.session import Preview
from casewright.session.edits import Edits
from casewright.workflow import REMOVE, KeyPath, Removal, Value

ASPECTS: Mapping[str, tuple[float, float]] = {
    "16:9": (16, 9),
    "4:3": (4, 3),
    "16:10": (16, 10),
    "1:1": (1, 1),
    "3:4": (3, 4),
    "9:16": (9, 16),
}


def compare_displays(bench: Bench) -> None:
    """A table of all displays, the project's own first."""
    box, inner = dialog("Compare displays")
    own = _own(bench)
    displays = {
        key: e.data for key, e in bench.desk.catalog.types.items() if isinstance(e.data, Display)
    }
    cells: dict[str, ui.label] = {}
    stopped = False

    def stop() -> None:
        nonlocal stopped
        stopped = True

    def show() -> None:
        across, up = ASPECTS[str(content.value)]
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
                    "fits?",
                    "",
                ):
                    said(title, "th")
            with ui.element("tbody"):
                if own is not None:
                    known = bench.opened.parts[own] if bench.opened else None
                    if known is not None and isinstance(known.data, Display):
                        with ui.element("tr").classes("chosen"):
                            _row(bench, known.data, across / up, f"{known.label} (in the project)")
                            said("", "td")
                for key, data in displays.items():
                    with ui.element("tr"):
                        cells[key] = _row(bench, data, across / up, data.label or key)
                        with ui.element("td"):
                            if own is not None:
                                press(
                                    "take it",
                                    partial(take, key),
                                    classes="order",
                                    label=f"Take {data.label}",
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
                list(ASPECTS), value="16:9", label="Shape of the content", on_change=show
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


def _own(bench: Bench) -> str | None:
    """Key of the project's first display."""
    parts = bench.opened.parts if bench.opened else {}
    return next((key for key, part in parts.items() if isinstance(part.data, Display)), None)


def _row(bench: Bench, data: Display, aspect: float, label: str) -> ui.label:
    """Fill a row; its last cell, for the verdict."""
    fit = content_on_display(aspect, data.lit_width, data.lit_height)
    whole = content_on_display(data.lit_width / data.lit_height, data.lit_width, data.lit_height)
    said(label, "td")
    for words in (
        f"{bench.figure(data.lit_width)} × {bench.length(data.lit_height)}",
        _diagonal(whole.diagonal),
        f"{bench.figure(data.housing_width)} × {bench.length(data.housing_height)}",
        f"{fit.share:.0%}",
        _diagonal(fit.diagonal),
        f"{data.price:g}" if data.price else "–",
    ):
        said(words, "td").classes("number")
    return said("", "td")


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
