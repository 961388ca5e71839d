"""Cutting: every sheet, its cuts one at a time, and what kerf, grain and stock do to it."""

from __future__ import annotations

from collections.abc import Hashable
from functools import partial
from html import escape

from nicegui import ui

from casewright.basics.wording import counted
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import Choice, TypedValue, heading, press
from casewright.faces.web.entering import entered_value
from casewright.faces.web.live import Live, said
from casewright.planning.blanks import MaterialPlan
from casewright.planning.cutting import SheetLayout
from casewright.planning.cutting.model import CutResult, CutStep
from casewright.workflow import REMOVE, Value

SheetKey = tuple[str, int]
GRAIN = {"none": "any way round", "length": "kept along the sheet"}


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
            bench.live.section(lambda live: _shop(bench, live), lambda: _shop_key(bench))


def _plans(bench: Bench) -> tuple[MaterialPlan, ...]:
    return bench.worked.cutting.plans if bench.worked else ()


def _sheets_key(bench: Bench) -> Hashable:
    return (tuple((plan.material, plan.plan) for plan in _plans(bench)), bench.style)


def _sheets(bench: Bench, live: Live) -> None:
    plans = _plans(bench)
    if not plans:
        said("No sheets: give the materials their sheet sizes on the right.", "p").classes(
            "quietly"
        )
    for plan in plans:
        for sheet in plan.plan.sheets:
            _sheet(bench, plan, sheet)
    worked = bench.worked
    if worked and worked.cutting.battens:
        said("Battens", "h2").classes("block-title")
        with ui.element("table").classes("list"), ui.element("tbody"):
            for cut in worked.cutting.battens:
                with ui.element("tr"):
                    said(cut.label or cut.key, "td")
                    said(bench.length(cut.length), "td").classes("number")


def _sheet(bench: Bench, plan: MaterialPlan, sheet: SheetLayout) -> None:
    count = len(plan.plan.sheets)
    which = f", sheet {sheet.index} of {count}" if count > 1 else ""
    with ui.element("section").classes("block sheet"):
        said(f"{plan.label}{which}", "h2")
        with ui.element("p").classes("quietly"):
            said(
                f"{bench.figure(sheet.length)} × {bench.length(sheet.width)}; "
                f"{sheet.areas.part_share:.0%} becomes pieces; "
                f"{counted(plan.plan.fence_settings, 'fence setting')}; at least "
                f"{counted(plan.plan.lower_bound, 'sheet')} whatever the layout"
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
                label="One cut back",
            )
            slider = ui.slider(min=0, max=len(sheet.cuts), step=1, value=len(sheet.cuts))
            slider.on_value_change(lambda event: show(int(event.value)))
            slider.props["aria-label"] = f"Cuts made on {plan.label}{which}"
            press(
                "›",
                lambda: slider.set_value(min(len(sheet.cuts), slider.value + 1)),
                classes="framed",
                label="One cut on",
            )


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
    labels = {blank.key: blank.name for blank in plan.blanks}
    size = max(sheet.length, sheet.width)
    stroke, letter = size / 450, size / 46
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
        name = labels.get(place.blank, place.blank)
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
    if words and len(words) <= most and across > letter * 2.5:
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


# ---- what can be changed ----


def _shop_key(bench: Bench) -> Hashable:
    opened = bench.opened
    if opened is None:
        return None
    sizes = tuple((key, len(material.sheets)) for key, material in opened.project.materials.items())
    return (sizes, bench.style)


def _shop(bench: Bench, live: Live) -> None:
    opened = bench.opened
    if opened is None:
        return
    unit = bench.style.unit

    async def kerf(text: str) -> list[str]:
        return await bench.set(("shop", "kerf"), bench.typed_length(text), "saw kerf")

    async def trim(text: str) -> list[str]:
        return await bench.set(("shop", "edge_trim"), bench.typed_length(text), "edge trim")

    said("Saw", "h2").classes("block-title")
    with ui.element("div").classes("duo"):
        TypedValue(live, "kerf", lambda: _shop_length(bench, "kerf"), kerf, suffix=unit)
        TypedValue(
            live, "trim off new edges", lambda: _shop_length(bench, "edge_trim"), trim, suffix=unit
        )
    for key in opened.project.materials:
        _material(bench, live, key)


def _shop_length(bench: Bench, name: str) -> str:
    return bench.figure(getattr(bench.opened.project.shop, name)) if bench.opened else ""


def _material(bench: Bench, live: Live, key: str) -> None:
    unit = bench.style.unit

    def material_value(name: str) -> str:
        material = bench.opened.project.materials.get(key) if bench.opened else None
        value = getattr(material, name) if material else None
        return (
            "" if value is None else bench.figure(value) if isinstance(value, float) else str(value)
        )

    async def take(name: str, text: str) -> list[str]:
        value: object = text if name == "grain" else bench.typed_length(text)
        return await bench.set(("materials", key, name), value, f"{name} of {key}")  # type: ignore[arg-type]

    with ui.element("section").classes("block"):
        live.text(lambda: _material_label(bench, key), "h2")
        with ui.element("div").classes("duo"):
            TypedValue(
                live,
                "measured thickness",
                lambda: material_value("measured"),
                lambda text: take("measured", text),
                suffix=unit,
                hint="By calipers at three or four places; all arithmetic uses it.",
            )
            Choice(
                live,
                "grain",
                GRAIN,
                lambda: material_value("grain"),
                lambda text: take("grain", text),
            )
        sheets = bench.opened.project.materials[key].sheets if bench.opened else ()
        for number in range(len(sheets)):
            _stock(bench, live, key, number)
        with ui.element("div").classes("in-line"):
            press("Another sheet size", lambda: _add(bench, key, offcut=False), classes="order")
            press("An offcut of mine", lambda: _add(bench, key, offcut=True), classes="order")


def _material_label(bench: Bench, key: str) -> str:
    material = bench.opened.project.materials.get(key) if bench.opened else None
    return (material.label if material else "") or key


def _stock(bench: Bench, live: Live, key: str, number: int) -> None:
    def show(name: str) -> str:
        materials = bench.opened.project.materials if bench.opened else {}
        sheets = materials[key].sheets if key in materials else ()
        if number >= len(sheets):
            return ""
        value = getattr(sheets[number], name)
        if name in ("length", "width"):
            return bench.figure(value)
        return "" if value is None else f"{value:g}"

    async def take(name: str, text: str) -> list[str]:
        value = bench.typed_length(text) if name in ("length", "width") else entered_value(text)
        return await bench.set(
            ("materials", key, "sheets", number, name), value, f"{name} of a sheet"
        )

    async def remove() -> None:
        await bench.tell(
            await bench.set(("materials", key, "sheets", number), REMOVE, "remove a sheet size")
        )

    sheet = bench.opened.project.materials[key].sheets[number] if bench.opened else None
    with ui.element("div").classes("stock"):
        said("my offcut" if sheet and sheet.offcut else "sheet", "small")
        for name in ("length", "width", "price", "quantity"):
            suffix = bench.style.unit if name in ("length", "width") else ""
            words = "count" if name == "quantity" else name
            TypedValue(
                live,
                words,
                partial(show, name),
                partial(take, name),
                suffix=suffix,
            )
        press("×", remove, classes="quiet", label="Remove this size")


async def _add(bench: Bench, key: str, *, offcut: bool) -> None:
    opened = bench.opened
    if opened is None:
        return
    sheets = opened.project.materials[key].sheets
    inch = opened.project.unit == "in"
    sheet: dict[str, Value] = {
        "length": "24 in" if inch else "600 mm",
        "width": "12 in" if inch else "300 mm",
    }
    if offcut:
        sheet |= {"offcut": True, "quantity": 1}
    path = ("materials", key, "sheets", len(sheets)) if sheets else ("materials", key, "sheets")
    await bench.tell(await bench.set(path, sheet if sheets else [sheet], "add a sheet size"))


__all__ = ["GRAIN", "sheet_svg", "view"]
