"""Cutting: every sheet, its cuts one at a time, and what kerf, grain and stock do to it."""

from __future__ import annotations

import asyncio
from collections.abc import Hashable
from html import escape

from nicegui import run, ui

from casewright.basics.wording import counted
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import heading, press
from casewright.faces.web.drawings import page_svg
from casewright.faces.web.live import Live, said
from casewright.faces.web.views.shop import shop_and_stock
from casewright.geometry.model import Cabinet
from casewright.outputs.drawings.nest_view import label_place, nest_drawing
from casewright.planning.blanks import MaterialPlan
from casewright.planning.cutting import Blank, Placement, SheetLayout, on_sheet
from casewright.planning.cutting.model import CutResult, CutStep
from casewright.planning.stock_marks import mark_of
from casewright.planning.work.apart import nest_step
from casewright.session.keeping import PLACE, StoppableClock, keeping_edits, looked_longer
from casewright.workflow import REMOVE

SheetKey = tuple[str, int]
LONGER = 10
"""Time for each material when asked to look longer. [s]"""
NO_SHEETS = "No sheets: give the materials their sheet sizes on the right."
AMISS = "Nothing can be cut yet; the project text says what is amiss."


def view(bench: Bench) -> None:
    """Sheets on the left, what can be changed on the right."""
    heading(
        "Cutting",
        "Rectangles first, edge to edge; bevels come later. Step through the cuts with the slider.",
    )
    with ui.element("div").classes("columns"):
        with ui.element("div").classes("lane scrolls"):
            bench.live.section(lambda live: _sheets(bench, live), lambda: _sheets_key(bench))
        with ui.element("div").classes("lane scrolls"):
            shop_and_stock(bench)


def _plans(bench: Bench) -> tuple[MaterialPlan, ...]:
    return bench.worked.cutting.plans if bench.worked else ()


def _sheets_key(bench: Bench) -> Hashable:
    kept = bool(bench.opened and bench.opened.project.cutting.kept)
    return (tuple((plan.material, plan.plan) for plan in _plans(bench)), kept, bench.style)


def _sheets(bench: Bench, live: Live) -> None:
    worked, plans = bench.worked, _plans(bench)
    if not plans:
        said(NO_SHEETS if worked else AMISS, "p").classes("quietly")
    else:
        _longer(bench)
    for plan in plans:
        for sheet in plan.plan.sheets:
            _sheet(bench, plan, sheet)
        for blank in plan.blanks:
            if blank.nested and worked:
                _nest_words(bench, worked.cabinet, plan, blank)
    if worked and worked.cutting.battens:
        said("Battens", "h2").classes("block-title")
        with ui.element("table").classes("list"), ui.element("tbody"):
            for cut in worked.cutting.battens:
                with ui.element("tr"):
                    said(cut.label or cut.key, "td")
                    said(bench.length(cut.length), "td").classes("number")


def _longer(bench: Bench) -> None:
    """Look for better layouts for a while, and keep them; forget those that are kept."""
    clock: StoppableClock | None = None
    loop = asyncio.get_running_loop()

    def tell(label: str) -> None:
        loop.call_soon_threadsafe(say, f"Looking: {label} …")

    def say(told: str) -> None:
        if not words.is_deleted:  # another edit may have drawn all of this anew
            words.set_text(told)

    def stop() -> None:
        if clock is not None:
            clock.stop()

    async def look() -> None:
        nonlocal clock
        worked = bench.worked
        if worked is None or clock is not None:
            return
        clock = StoppableClock()
        bench.client.on_delete(clock.stop)
        button.props["aria-disabled"] = "true"
        button.update()
        working.set_visibility(True)
        found = await run.io_bound(looked_longer, worked, seconds=LONGER, clock=clock, tell=tell)
        clock = None
        # What was found is of the cabinet as it was; if that has changed meanwhile, nobody wants it.
        edits = keeping_edits(worked, found) if found and bench.worked is worked else {}
        if not button.is_deleted:
            button.props.pop("aria-disabled", None)
            button.update()
            working.set_visibility(False)
        say("Nothing better was found; the layouts stay as they are.")
        if edits:
            await bench.tell(await bench.edit(edits, "keep better layouts"))

    async def forget() -> None:
        await bench.tell(await bench.set(PLACE, REMOVE, "forget the kept layouts"))

    kept = sum(plan.plan.kept for plan in _plans(bench))
    has_kept = bool(bench.opened and bench.opened.project.cutting.kept)
    with ui.element("div").classes("in-line"):
        button = press(
            f"Look {LONGER} s longer",
            look,
            classes="framed",
            label="Look longer for better layouts",
        )
        with ui.element("span").classes("working") as working:
            ui.spinner(size="18px")
            press("Stop", stop, classes="order", label="Stop, and take what is found so far")
        working.set_visibility(False)
        if has_kept:
            press("Forget what was kept", forget, classes="order")
    start = f"{counted(kept, 'sheet')} as kept from a longer search." if kept else ""
    words = said(start, "p").classes("quietly")
    words.props["aria-live"] = "polite"


def _sheet(bench: Bench, plan: MaterialPlan, sheet: SheetLayout) -> None:
    count = len(plan.plan.sheets)
    which = f", sheet {sheet.index} of {count}" if count > 1 else ""
    project = bench.opened.project if bench.opened else None
    if project and (mark := mark_of(project, plan.material, sheet.stock)):
        which += f": {mark} of the shop's stock"
    with ui.element("section").classes("block sheet"):
        said(f"{plan.label}{which}", "h2")
        with ui.element("p").classes("quietly"):
            said(
                f"{bench.figure(sheet.length)} × {bench.length(sheet.width)}; "
                f"{sheet.areas.part_share:.0%} becomes pieces; "
                f"{counted(plan.plan.fence_settings, 'fence setting')}, "
                f"{counted(plan.plan.stages, 'stage')}; "
                + (
                    "cannot be done with fewer sheets"
                    if plan.plan.proven
                    else f"at least {counted(plan.plan.lower_bound, 'sheet')} whatever the layout"
                )
            )
        picture = ui.html(sheet_svg(bench, plan, sheet, len(sheet.cuts)), sanitize=False).classes(
            "sheet-picture"
        )
        words = said(_step_words(bench, sheet, len(sheet.cuts)), "p").classes("cut-words")
        words.props["aria-live"] = "polite"

        def show(step: int) -> None:
            picture.set_content(sheet_svg(bench, plan, sheet, step))
            words.set_text(_step_words(bench, sheet, step))

        with ui.element("div").classes("slide"):
            press(
                "‹",
                lambda: slider.set_value(max(0, slider.value - 1)),
                classes="framed",
                label=f"One cut back on {plan.label}{which}",
            )
            slider = ui.slider(min=0, max=len(sheet.cuts), step=1, value=len(sheet.cuts))
            slider.on_value_change(lambda event: show(int(event.value)))
            slider.props["aria-label"] = f"Cuts made on {plan.label}{which}"
            press(
                "›",
                lambda: slider.set_value(min(len(sheet.cuts), slider.value + 1)),
                classes="framed",
                label=f"One cut on, {plan.label}{which}",
            )


def _nest_words(bench: Bench, cabinet: Cabinet, plan: MaterialPlan, blank: Blank) -> None:
    """What is done with a nest once it is off its sheet."""
    with ui.element("section").classes("block nest"):
        said(f"{plan.label}: {blank.name}", "h2")
        said(
            f"{bench.figure(blank.length)} × {bench.length(blank.width)}, cut off edge to edge; then sawn along the "
            "lines.",
            "p",
        ).classes("quietly")
        ui.html(
            page_svg(nest_drawing(blank, bench.style), name=f"nest-{blank.key}"), sanitize=False
        ).classes("sheet-picture")
        with ui.element("ul"):
            for order in nest_step(cabinet, plan, blank).orders:
                said(bench.say(order), "li")


def _step_words(bench: Bench, sheet: SheetLayout, step: int) -> str:
    if step == 0:
        return f"The sheet as bought. {counted(len(sheet.cuts), 'cut')} to make."
    cut = sheet.cuts[step - 1]
    trim = "Trim: " if cut.trimming else ""
    means = {
        "fence": "along the fence",
        "guide": "along a clamped guide rail",
        "sled": "on a sled, against a stop block",
    }
    gives = " and ".join(result.name for result in cut.results) or "dust only"
    return (
        f"Cut {cut.number} of {len(sheet.cuts)}. {trim}{cut.direction.capitalize()} {cut.piece}, {means[cut.means]} at "
        f"{bench.length(cut.fence)}: gives {gives}."
    )


def sheet_svg(bench: Bench, plan: MaterialPlan, sheet: SheetLayout, step: int) -> str:
    """The sheet after so many cuts: what is loose, what comes next."""
    blanks = {blank.key: blank for blank in plan.blanks}
    size = max(sheet.length, sheet.width)
    stroke, letter = size / 450, size / 36
    done = sheet.cuts[:step]
    loose = {(r.blank, r.copy) for cut in done for r in cut.results if r.kind == "part"}
    body = [
        _rect(0, 0, sheet.length, sheet.width, sheet, 'fill="var(--sheet)" stroke="var(--ink)"')
    ]
    for offcut in sheet.offcuts:
        body.append(
            _rect(
                offcut.x,
                offcut.y,
                offcut.length,
                offcut.width,
                sheet,
                'fill="var(--fill-waste)" stroke="var(--faint)"',
            )
        )
        body += _named(offcut.x, offcut.y, offcut.length, offcut.width, "offcut", "", sheet, letter)
    for place in sheet.placements:
        fill = "var(--fill-wood)" if (place.blank, place.copy) in loose else "var(--fill-face)"
        blank = blanks.get(place.blank)
        if blank is not None and blank.nested:
            body += _nest(blank, place, sheet, fill, letter)
            continue
        body.append(
            _rect(
                place.x,
                place.y,
                place.length,
                place.width,
                sheet,
                f'fill="{fill}" stroke="var(--ink)"',
            )
        )
        words = f"{bench.figure(place.length)} × {bench.figure(place.width)}"
        name = blank.name if blank else place.blank
        body += _named(place.x, place.y, place.length, place.width, name, words, sheet, letter)
    for cut in done:
        body.append(_cut_line(cut, sheet, last=cut.number == step, width=stroke))
    if step < len(sheet.cuts):
        body.append(_cut_line(sheet.cuts[step], sheet, last=False, width=stroke, coming=True))
    margin = size / 80
    box = f"{-margin:.1f} {-margin:.1f} {sheet.length + 2 * margin:.1f} {sheet.width + 2 * margin:.1f}"
    label = escape(f"Cutting layout of {plan.label}, after {step} cuts", quote=True)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" role="img" aria-label="{label}" '
        f'stroke-width="{stroke:.2f}" font-size="{letter:.1f}">{"".join(body)}</svg>'
    )


def _nest(
    blank: Blank, place: Placement, sheet: SheetLayout, fill: str, letter: float
) -> list[str]:
    """The blank of a nest, and in it the outlines that are sawn along the line."""
    body = [
        _rect(
            place.x,
            place.y,
            place.length,
            place.width,
            sheet,
            'fill="var(--fill-waste)" stroke="var(--ink)"',
        )
    ]
    for nested, outline in on_sheet(blank, place):
        points = " ".join(f"{x:.1f},{sheet.width - y:.1f}" for x, y in outline)
        body.append(
            f'<polygon class="nested" points="{points}" fill="{fill}" stroke="var(--ink)"/>'
        )
        x, y = label_place(outline)
        wide = max(p[0] for p in outline) - min(p[0] for p in outline)
        body += _named(x - wide / 2, y - letter, wide, 2 * letter, nested.name, "", sheet, letter)
    return body


def _rect(x: float, y: float, length: float, width: float, sheet: SheetLayout, how: str) -> str:
    return f'<rect x="{x:.1f}" y="{sheet.width - y - width:.1f}" width="{length:.1f}" height="{width:.1f}" {how}/>'


def _named(
    x: float,
    y: float,
    length: float,
    width: float,
    name: str,
    words: str,
    sheet: SheetLayout,
    letter: float,
) -> list[str]:
    """The name in the middle, turned where the piece stands; left out where it would not fit."""
    upright = width > length
    along, across = (width, length) if upright else (length, width)
    if across < letter * 1.1:
        return []
    most = int(along / (letter * 0.55))
    cx, cy = x + length / 2, sheet.width - y - width / 2
    turn = f' transform="rotate(-90 {cx:.1f} {cy:.1f})"' if upright else ""
    lines = [name if len(name) <= most else name[: max(1, most - 1)] + "…"]
    if words and len(words) <= most and across > letter * 2.3:
        lines.append(words)
    start = cy + letter * 0.35 - (len(lines) - 1) * letter * 0.6
    return [
        f'<text x="{cx:.1f}" y="{start + index * letter * 1.2:.1f}" text-anchor="middle" fill="var(--ink)"{turn}>'
        f"{escape(line)}</text>"
        for index, line in enumerate(lines)
        if most >= 2
    ]


def _cut_line(
    cut: CutStep, sheet: SheetLayout, *, last: bool, width: float, coming: bool = False
) -> str:
    """Where the blade runs: along the edge of the piece kept against the fence."""
    kept: CutResult = cut.results[0]
    if cut.direction == "rip":
        high = kept.y > cut.y + 1e-6
        y = sheet.width - (kept.y if high else kept.y + kept.width)
        line = f"M{cut.x:.1f} {y:.1f}H{cut.x + cut.length:.1f}"
    else:
        right = kept.x > cut.x + 1e-6
        x = kept.x if right else kept.x + kept.length
        line = f"M{x:.1f} {sheet.width - cut.y:.1f}V{sheet.width - cut.y - cut.width:.1f}"
    wide = width * (2 if coming else 4 if last else 1.6)
    dashes = f' stroke-dasharray="{width * 6:.1f} {width * 4:.1f}"' if coming else ""
    return f'<path d="{line}" stroke="var(--accent)" stroke-width="{wide:.2f}"{dashes}/>'


__all__ = ["AMISS", "LONGER", "NO_SHEETS", "sheet_svg", "view"]
