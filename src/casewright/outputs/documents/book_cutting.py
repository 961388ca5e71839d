"""Chapter: every sheet in a picture, its cuts in order, and the battens."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from casewright.basics.wording import capital
from casewright.outputs.documents.book_blocks import (
    TICK,
    Block,
    Cell,
    Column,
    Writer,
    bold,
    chapter,
    facts,
    faint,
    heading,
    listing,
    minor,
    new_page,
    small,
    spans,
    table,
    text,
    together,
)
from casewright.outputs.documents.book_codes import opens_step
from casewright.outputs.documents.book_cut_pictures import cut_line, cut_pictures, pictures_height
from casewright.outputs.drawings.lettering import shortened, text_width
from casewright.outputs.drawings.marks import (
    Box,
    Circle,
    Drawing,
    Line,
    Mark,
    Point,
    Polyline,
    Region,
    Text,
    rectangle,
)
from casewright.outputs.drawings.nest_view import label_place, nest_drawing
from casewright.outputs.drawings.symbols import GrainArrow
from casewright.planning.blanks import REST, MaterialPlan, batten_metres
from casewright.planning.cutting import SheetLayout, on_sheet
from casewright.planning.cutting.model import CutPlan, CutStep
from casewright.planning.sold_lengths import sticks_for
from casewright.planning.stock_marks import mark_of
from casewright.planning.work.apart import nest_step

DISC = 2.4
"""Radius of a cut's number on paper. [mm]"""
SHARES_PAGE = 0.84
"""Plans lower than this share of the text's height stay whole and may stand below another."""
ROW, WORDS_ROUND = 5.6, 74.0
"""About what a row of cuts takes, and title, facts and remarks. [mm]"""
RESULTS, CAPITAL, LINE = 0.6, 2.8, 4.6
"""Share of the text's width that the results of cuts have; how high their capitals are, and each further line. [mm]"""
UNSURE = 14.0
"""By so much that may be wrong. [mm]"""
LEAST_DRAWN = 0.6
"""Share of its usual height that a sheet is drawn at, at least."""


def cutting_chapter(writer: Writer) -> Iterator[Block]:
    """Sheets, then battens."""
    cutting = writer.source.cutting
    shop = writer.cabinet.project.shop
    yield chapter(
        "Cutting",
        f"Saw kerf {writer.length(shop.kerf)}. Fence settings measure the piece that stays against "
        "the fence. Rip: along the grain; crosscut: across it. Bevels come later. The numbers count the cuts "
        "of each sheet; the order of work takes them by setting, across the sheets.",
    )
    yield from opens_step(writer, lambda step: step.stage == "cut")
    yield writer.cautions("saw", "dust")
    first = True
    for material in cutting.plans:
        for sheet in material.plan.sheets:
            blocks = [*_opens_sheet(writer, material, sheet), *_sheet(writer, material, sheet)]
            if _height(writer, sheet) < SHARES_PAGE * writer.height:
                yield {"kind": "space", "height": 7.0}
                yield together(*blocks)
            else:
                if not first:
                    yield new_page()
                yield from blocks
            first = False
    unplaced = [(m, left) for m in cutting.plans for left in m.plan.unplaced]
    if unplaced:
        yield heading("Not placed on any sheet")
        yield listing([f"{m.label}: {writer.say(left.reason)}" for m, left in unplaced])
    if cutting.battens:
        yield new_page()
        yield from opens_step(writer, lambda step: step.stage == "cut" and step.sheet is None)
        yield from _battens(writer)


def _opens_sheet(writer: Writer, material: MaterialPlan, sheet: SheetLayout) -> tuple[Block, ...]:
    place = (material.material, sheet.index)
    return opens_step(writer, lambda step: step.sheet is not None and step.sheet[:2] == place)


def _height(writer: Writer, sheet: SheetLayout) -> float:
    """About how high a sheet's plan comes. [mm]"""
    return _scale(writer, sheet) * sheet.width + _below(writer, sheet)


def _below(writer: Writer, sheet: SheetLayout) -> float:
    """About how high all but its picture comes. [mm]"""
    room = RESULTS * writer.width
    more = sum(int(text_width(_results(writer, cut), CAPITAL) / room) for cut in sheet.cuts)
    return WORDS_ROUND + ROW * len(sheet.cuts) + LINE * more + pictures_height(sheet)


def _scale(writer: Writer, sheet: SheetLayout) -> float:
    """At which a sheet is drawn: a little smaller where that saves a page with a row or two on it."""
    most = writer.height * (0.40 if sheet.width > sheet.length * 0.7 else 0.35)
    high = sheet.width * min((writer.width - 4) / sheet.length, most / sheet.width)
    over = high + _below(writer, sheet) - writer.height
    if 0 < over + UNSURE < (1 - LEAST_DRAWN) * high:
        high -= over + UNSURE
    return high / sheet.width


def _sheet(writer: Writer, material: MaterialPlan, sheet: SheetLayout) -> Iterator[Block]:
    plan = material.plan
    stock = next(s for s in material.stock if s.key == sheet.stock)
    count = len(plan.sheets)
    which = f"sheet {sheet.index} of {count}" if count > 1 else "one sheet"
    title = f"{material.label}: {which}"
    if stock.key.startswith(REST):
        title += f", what is left of the sheet of the {_left_by(writer, stock.key)}"
    elif mark := mark_of(writer.cabinet.project, material.material, stock.key):
        title += f", {mark} of the shop's stock"
    elif stock.offcut:
        title += ", from the shop's offcuts"
    settings = len({round(cut.fence, 2) for cut in sheet.cuts})
    thickness = writer.cabinet.project.materials[material.material].thickness
    yield together(
        heading(title),
        writer.drawing(sheet_drawing(writer, sheet, material), margin=1.0),
        facts(
            [
                ("sheet", writer.sizes(sheet.length, sheet.width, thickness)),
                ("used for pieces", f"{100 * sheet.areas.part_share:.0f} %"),
                ("with offcuts worth keeping", f"{100 * sheet.areas.used_share:.0f} %"),
                ("fence settings", str(settings)),
            ]
        ),
        text(bound_sentence(plan)),
    )
    rows: list[list[Cell] | str] = []
    fence: float | None = None
    for cut in sheet.cuts:
        moved = fence is None or round(cut.fence, 2) != round(fence, 2)
        fence = cut.fence
        rows.append(
            [
                TICK,
                bold(str(cut.number)),
                cut.piece,
                cut.direction,
                bold(writer.figure(cut.fence)) if moved else faint(f"same {writer.figure(fence)}"),
                _results(writer, cut),
            ]
        )
    yield table(
        [
            Column(""),
            Column("cut"),
            Column("from"),
            Column("saw"),
            Column(f"fence, {writer.source.style.unit}", 0, "right"),
            Column("gives", 1),
        ],
        rows,
        dense=True,
    )
    yield small(f"Fence settings and their cuts: {fence_words(writer, sheet)}.")
    guided = [str(cut.number) for cut in sheet.cuts if cut.guide]
    if guided:
        yield small(
            f"Past the fence's reach: make cut {', '.join(guided)} along a clamped guide rail."
        )
    if sheet.trim:
        yield small(f"Trim {writer.length(sheet.trim)} off every factory edge, saw cut included.")
    yield from _nests(writer, material, sheet)
    yield minor(
        "After each cut: its number and fence, the piece that stays against the fence tinted"
    )
    yield from cut_pictures(writer, sheet)


def _nests(writer: Writer, material: MaterialPlan, sheet: SheetLayout) -> Iterator[Block]:
    """What is sawn out along the line, once the nest is cut off."""
    laid = {place.blank for place in sheet.placements}
    for blank in material.blanks:
        if not blank.nested or blank.key not in laid:
            continue
        step = nest_step(writer.cabinet, material, blank)
        yield together(
            minor(f"{capital(blank.name)}: cut it off edge to edge, then saw along the lines"),
            writer.drawing(
                nest_drawing(blank, writer.source.style, room=(writer.width, 0.45 * writer.height)),
                margin=1.0,
            ),
            listing([writer.say(order) for order in step.orders]),
        )


def _left_by(writer: Writer, stock: str) -> str:
    """The piece that was sawn off last."""
    key = stock.removeprefix(f"{REST} ").rpartition(",")[0]
    return writer.labels.get(key, key)


def fence_words(writer: Writer, sheet: SheetLayout) -> str:
    """Every distance of the fence once, the largest first, with the cuts made at it."""
    cuts: dict[str, list[int]] = {}
    for cut in sorted(sheet.cuts, key=lambda cut: (-round(cut.fence, 2), cut.number)):
        cuts.setdefault(writer.figure(cut.fence), []).append(cut.number)
    return ";  ".join(f"{fence} for {spans(numbers)}" for fence, numbers in cuts.items())


def bound_sentence(plan: CutPlan) -> str:
    """How many sheets, and whether fewer are possible at all."""
    count = plan.bought
    if not count:
        return "No sheet to buy: offcuts are enough."
    noun = "sheet" if count == 1 else "sheets"
    if plan.lower_bound >= count:
        return f"{count} {noun}; fewer than {count} is not possible."
    return (
        f"{count} {noun}; fewer cannot be excluded (at least {plan.lower_bound} are needed "
        "whatever the layout)."
    )


def sheet_drawing(writer: Writer, sheet: SheetLayout, material: MaterialPlan) -> Drawing:
    """The sheet with its parts, offcuts and numbered cuts."""
    scale = _scale(writer, sheet)
    blanks = {blank.key: blank for blank in material.blanks}
    marks: list[Mark] = [
        Region(rectangle(Box(0, 0, sheet.length, sheet.width)), material="paper"),
    ]
    for offcut in sheet.offcuts:
        box = Box(offcut.x, offcut.y, offcut.x + offcut.length, offcut.y + offcut.width)
        marks.append(Region(rectangle(box), material="waste"))
        words = writer.sizes(offcut.length, offcut.width)
        marks += _named(box, "offcut", words, scale, cover=True)
    for place in sheet.placements:
        box = Box(place.x, place.y, place.x + place.length, place.y + place.width)
        blank = blanks.get(place.blank)
        if blank is None or not blank.nested:
            marks += [Region(rectangle(box), material="face"), rectangle(box)]
            continue
        marks += [Region(rectangle(box), material="waste"), rectangle(box)]
        for _, outline in on_sheet(blank, place):
            marks += [Region(Polyline(outline), material="face"), Polyline(outline, pen="thin")]
    for place in sheet.placements:
        box = Box(place.x, place.y, place.x + place.length, place.y + place.width)
        words = f"{writer.figure(place.length)} × {writer.figure(place.width)}"
        blank = blanks.get(place.blank)
        if blank is None or not blank.nested:
            marks += _named(box, blank.name if blank else place.blank, words, scale)
            continue
        for nested, outline in on_sheet(blank, place):
            high = 4.0 / scale
            wide = (text_width(nested.name, 2.5, "bold") + 5) / scale
            x, y = label_place(outline, (wide, high))
            marks += _named(
                Box(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2), nested.name, "", scale
            )
    marks.append(rectangle(Box(0, 0, sheet.length, sheet.width), pen="visible"))
    lettering = [mark.box(scale) for mark in marks if isinstance(mark, Text)]
    taken: list[Point] = []
    for cut in sheet.cuts:
        start, end = cut_line(cut)
        marks.append(Line(start, end, "accent-thin"))
    for cut in sheet.cuts:
        start, end = cut_line(cut)
        at = _spot(start, end, taken, lettering, scale)
        taken.append(at)
        marks += [
            Region(Circle(at, DISC / scale), material="paper"),
            Circle(at, DISC / scale, "accent-thin"),
            Text(at, str(cut.number), 2.2, "middle", "middle", weight="bold", pen="accent"),
        ]
    if writer.cabinet.project.materials[material.material].grain == "length":
        marks.append(GrainArrow((sheet.length / 2, -5.0 / scale), 0.0, 30.0, ""))
        marks.append(
            Text((sheet.length / 2 + 18 / scale, -5.0 / scale), "grain", 2.5, "start", "middle")
        )
    return Drawing(f"Cutting layout of {material.label}", tuple(marks), scale=scale)


def _spot(
    start: Point, end: Point, taken: list[Point], lettering: list[Box], scale: float
) -> Point:
    """The first free place along a cut for its number, clear of other numbers and of lettering."""
    length = max(abs(end[0] - start[0]), abs(end[1] - start[1]))
    clear = 2.05 * DISC / scale
    best, room = start, -1.0
    for discs, index in product((2.2, 1.1), range(16)):  # close to an end only where it must be
        inset = min(discs * DISC / scale, length / 2)
        share = (inset + index / 15 * max(0.0, length - 2 * inset)) / length if length else 0.0
        at = (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)
        near = min((max(abs(at[0] - x), abs(at[1] - y)) for x, y in taken), default=float("inf"))
        disc = Box(*at, *at).grown(DISC / scale)
        covers = any(disc.overlaps(box) for box in lettering)
        if near >= clear and not covers:
            return at
        near = near / 4 if covers else near
        if near > room:
            best, room = at, near
    return best


def _named(box: Box, name: str, size: str, scale: float, *, cover: bool = False) -> list[Mark]:
    """Name over size in the middle of a rectangle, upright if it is narrow; as much as fits."""
    wide, high = box.width * scale, box.height * scale
    upright = wide < high and wide < 30
    along, across = (high, wide) if upright else (wide, high)
    if across < 3.6 or along < 9:
        return []
    height = 2.5
    lines = [shortened(name, along - 4, height=height, weight="bold")]
    if across >= 9 and text_width(size, height) <= along - 3:
        lines.append(size)
    elif text_width(f"{name}  {size}", height, "bold") <= along - 4:
        lines = [f"{name}  {size}"]
    x, y = box.centre
    marks: list[Mark] = []
    if cover:
        half = max(text_width(line, height, "bold") for line in lines) / 2 + 1.5
        rise = 2.2 * len(lines) + 0.6
        dx, dy = (rise, half) if upright else (half, rise)
        patch = Box(x - dx / scale, y - dy / scale, x + dx / scale, y + dy / scale)
        marks.append(Region(rectangle(patch), material="paper"))
    for index, line in enumerate(lines):
        off = (2.1 if index == 0 else -2.1) / scale if len(lines) == 2 else 0.0
        at = (x - off, y) if upright else (x, y + off)
        marks.append(
            Text(
                at,
                line,
                height,
                "middle",
                "middle",
                angle_deg=90.0 if upright else 0.0,
                weight="bold" if index == 0 else "regular",
            )
        )
    return marks


def _results(writer: Writer, cut: CutStep) -> str:
    return "; ".join(
        f"{result.name} {writer.figure(result.length)} × {writer.figure(result.width)}"
        for result in cut.results
    )


def _battens(writer: Writer) -> Iterator[Block]:
    cuts = sorted(writer.source.cutting.battens, key=lambda cut: (-round(cut.length, 2), cut.key))
    project = writer.cabinet.project
    kerf, unit = project.shop.kerf, project.unit
    sticks = sticks_for([cut.length for cut in cuts], unit, kerf=kerf, stick=project.batten.stick)
    if sticks is None:
        metres = batten_metres(writer.source.cutting.battens, kerf=kerf)
        amount = f"{writer.run(metres)} in all, a kerf each and a tenth to spare."
    else:
        amount = f"{capital(sticks.words(unit))}, a kerf for each cut."
    yield heading(f"Battens: {project.batten.label or 'strip wood'}")
    yield text(f"{amount} The longest first; set a stop for equal lengths and cut them in one go.")
    rows: list[list[Cell] | str] = []
    before: str | None = None
    for index, cut in enumerate(cuts):
        length = writer.figure(cut.length)
        said = bold(length) if length != before else faint(f"same {length}")
        row: list[Cell] = [TICK, said, cut.label]
        rows.append(row if sticks is None else [*row, str(sticks.of[index])])
        before = length
    columns = [
        Column(""),
        Column(f"length, {writer.source.style.unit}", 1, "right"),
        Column("piece", 4),
    ]
    if sticks is not None:
        columns.append(Column("stick", 0, "right"))
    yield table(columns, rows)


__all__ = ["bound_sentence", "cutting_chapter", "fence_words", "sheet_drawing"]
