"""The list of the stock: what is there, entries put in, changed and taken, labels, and the whole as a table."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any, get_args
from urllib.parse import urlencode

from nicegui import ui

from casewright.basics.errors import InputErrors
from casewright.basics.wording import counted
from casewright.faces.web.controls import dialog, press, say_beside
from casewright.faces.web.file_box import MOST_WHOLE, file_box, file_bytes
from casewright.faces.web.live import said
from casewright.faces.web.stock_room import StockRoom, change_stock
from casewright.faces.web.views.filling import FILL_IN, beside
from casewright.faces.web.wording import error_lines
from casewright.outputs.documents.tiles import PAPERS
from casewright.session.describing import Field, fields_of
from casewright.stock.labels import size_of
from casewright.stock.records import KINDS, WORDS, Held, read_record
from casewright.stock.shop import ShopStock
from casewright.stock.tables_csv import rows_of_csv

CHOICES = {"yes or no", "choice"}
MOST_TOLD = 20
"""Lines of what happened to an entry, the last ones."""


def stock_list(room: StockRoom) -> None:
    """The column beside the offers."""
    bench = room.bench
    bench.live.section(
        lambda live: _listed(room), lambda: (room.version, room.kind, bench.style.unit)
    )


def _listed(room: StockRoom) -> None:
    said("What there is", "h2").classes("block-title")

    def choose(kind: str) -> None:
        room.kind = kind
        room.bench.live.update()

    with ui.element("div").classes("tools") as box:
        box.props["role"] = "group"
        box.props["aria-label"] = "Kind of entries"
        for kind, words in {"": "all", **WORDS}.items():
            button = press(words, partial(choose, kind), classes="order")
            button.props["aria-pressed"] = str(room.kind == kind).lower()
    shown = [one for one in room.entries if room.kind in ("", one.record.kind)]
    if not shown and room.version and not room.problems:
        said("Nothing yet. Put in the offcuts on the rack, or read a table.", "p").classes(
            "quietly"
        )
    if shown:
        with ui.element("div").classes("table-room"), ui.element("table").classes("list"):
            with ui.element("thead"), ui.element("tr"):
                for title in ("mark", "what", "size", "count", "place", ""):
                    said(title, "th").classes("number" if title == "count" else "")
            with ui.element("tbody"):
                for held in shown:
                    _row(room, held)
    with ui.element("div").classes("in-line"):
        for kind in KINDS if not room.kind else (room.kind,):
            press(f"Add {ARTICLES[kind]} …", partial(_form, room, kind, None), classes="order")
    _papers(room, shown)
    if room.address:
        said(f"{counted(len(room.entries), 'entry', 'entries')} in {room.address}", "p").classes(
            "quietly"
        )


ARTICLES = {
    "sheet": "a sheet",
    "offcut": "an offcut",
    "length": "a length",
    "hardware": "hardware",
    "paint": "paint",
    "tool": "a tool",
}


def _row(room: StockRoom, held: Held) -> None:
    record = held.record
    with ui.element("tr"):
        with ui.element("td"):
            press(
                held.mark,
                partial(_form, room, record.kind, held),
                classes="order",
                label=f"Change {held.mark}, {record.name}",
            )
        with ui.element("td"):
            said(record.name)
            notes = [
                words for words in (held.origin and f"from {held.origin}", record.note) if words
            ]
            if notes:
                said("; ".join(notes), "small")
        said(size_of(held, room.bench.style.unit), "td").classes("size")
        said(str(held.count), "td").classes("number")
        said(record.place, "td")
        with ui.element("td"):
            press(
                "take one",
                partial(_take, room, held),
                classes="order",
                label=f"Take one of {held.mark}",
            )


async def _take(room: StockRoom, held: Held) -> None:
    done, problems = await room.do(lambda stock: stock.take(held.mark))
    await room.tell(problems, f"{held.mark}: {done.count} left." if done else "")


# ---- one entry ----


def _form(room: StockRoom, kind: str, held: Held | None) -> None:
    """Put an entry in, or change it."""
    model, unit = KINDS[kind], room.bench.style.unit
    title = f"{held.mark}, {held.record.name}" if held else f"Add {ARTICLES[kind]}"
    with room.sheets:
        box, inner = dialog(title)
    boxes: dict[str, ui.input | ui.select] = {}
    start: dict[str, Any] = {**held.written, "count": str(held.count)} if held else {"count": "1"}

    def values() -> dict[str, str]:
        return {name: str(one.value or "").strip() for name, one in boxes.items()}

    async def keep() -> None:
        data = values()
        for one in boxes.values():
            say_beside(one, [])
        try:
            read_record(
                {"kind": kind, **{k: v for k, v in data.items() if k not in ("mark", "count")}},
                unit=unit,
            )
        except InputErrors as wrong:
            for error in wrong.errors:
                if error.field in boxes:
                    words = beside(error) if data[error.field] else FILL_IN
                    say_beside(boxes[error.field], [words])
            if any(error.field in boxes for error in wrong.errors):
                return
        if held is None:
            done, problems = await room.do(
                lambda stock: stock.add({"kind": kind, **data}, unit=unit)
            )
        else:
            done, problems = await room.do(
                lambda stock: stock.change(held.mark, data, unit=unit, revision=held.revision)
            )
        if done is not None:
            box.close()
        await room.tell(problems)

    async def remove() -> None:
        assert held is not None
        _, problems = await room.do(lambda stock: stock.remove(held.mark))
        await room.tell(problems)
        if not problems:
            box.close()

    with inner:
        with ui.element("div").classes("measure-fields"):
            if held is None:
                boxes["mark"] = ui.input("mark, if it has one").props("dense outlined")
            boxes["count"] = ui.input("count", value=start["count"]).props("dense outlined")
            for one in sorted(fields_of(model), key=_order):
                if one.name == "kind":
                    continue
                choices = (
                    get_args(model.model_fields[one.name].annotation) if one.sort in CHOICES else ()
                )
                value = str(start.get(one.name, ""))
                needed = " *" if one.is_needed else ""
                if choices:
                    options = {"": "–", **{str(c): str(c) for c in choices}}
                    made: ui.input | ui.select = ui.select(
                        options, value=value, label=one.label + needed
                    )
                    made.props("dense outlined options-dense hide-bottom-space")
                else:
                    made = ui.input(one.label + needed, value=value).props(
                        "dense outlined hide-bottom-space"
                    )
                    if one.name in model.lengths:
                        made.props["suffix"] = "" if value else unit
                if one.meaning:
                    made.props["title"] = one.meaning
                made.props["aria-label"] = one.label
                boxes[one.name] = made
        with ui.element("div").classes("in-line"):
            press("Keep" if held else "Put it in", keep, classes="main")
            if held is not None:
                press("Take it off the list", remove, classes="order")
            press("Cancel", box.close, classes="order")
        if held is not None:
            _moving(room, held, box)
    box.open()


def _moving(room: StockRoom, held: Held, box: ui.dialog) -> None:
    """Take pieces of an entry for something, or put them back; what happened to it so far."""

    async def move(change: Callable[[ShopStock, int], Held]) -> None:
        number = int(count.value or 0)
        done, problems = await room.do(lambda stock: change(stock, number))
        if done is not None:
            box.close()
        await room.tell(problems, f"{held.mark}: {done.count} left." if done else "")

    said("Take some of it, or put some back", "h3").classes("moving")
    with ui.element("div").classes("in-line"):
        count = ui.number("pieces", value=1, min=1, step=1).props("dense outlined")
        purpose = ui.input("what for").props("dense outlined maxlength=80")
        press(
            "Take them",
            partial(
                move,
                lambda stock, n: stock.take(held.mark, n, project=str(purpose.value or "").strip()),
            ),
            classes="framed",
        )
        press(
            "Put them back",
            partial(move, lambda stock, n: stock.put_back(held.mark, n)),
            classes="framed",
        )

    async def tell() -> None:
        moves, problems = await change_stock(
            room.bench, lambda stock: stock.journal(mark=held.mark, most=MOST_TOLD)
        )
        if told.is_deleted:
            return
        told.clear()
        with told:
            for line in problems:
                said(line, "li").classes("problem")
            for one in moves or ():
                count = f" {abs(one.change)}" if one.change else ""
                project = f" for “{one.project}”" if one.project else ""
                said(f"{one.moment}: {one.what}{count} by {one.who}{project}", "li")

    press("What happened to it", tell, classes="order")
    told = ui.element("ul").classes("plain")
    told.props["aria-live"] = "polite"


def _order(one: Field) -> tuple[bool, bool]:
    """What must be filled in first, then what it is, then where it lies and what it costs."""
    return not one.is_needed, one.name in ("label", *LATER)


LATER = ("place", "price", "note")

# ---- papers ----


def _papers(room: StockRoom, shown: list[Held]) -> None:
    """Labels to print, and the table out and in."""
    opened = room.bench.opened
    paper = opened.project.shop.paper if opened else "A4"
    asked: dict[str, str] = {"paper": paper if paper in PAPERS else "A4"}
    if room.kind:
        asked["kind"] = room.kind
    address = (opened.project.shop.bench_address if opened else "") or room.bench.desk.bench_address
    if address:
        asked["bench"] = address
    with ui.element("div").classes("in-line"):
        if shown:
            words = f"Labels for {counted(len(shown), 'entry', 'entries')} (PDF)"
            _link(words, f"/stock/labels.pdf?{urlencode(asked)}")
            _link("The whole as a table (CSV)", "/stock/stock.csv")
        press("Read a table …", partial(_read_table, room), classes="order")


def _link(words: str, address: str) -> None:
    link = ui.element("a").classes("press order")
    link.props["href"] = address
    link.props["download"] = address.partition("?")[0].rpartition("/")[2]
    with link:
        said(words)


def _read_table(room: StockRoom) -> None:
    with room.sheets:
        box, inner = dialog("Read a table")
    unit = room.bench.style.unit

    async def take(told: dict[str, str]) -> None:
        name, amiss = told.get("name", ""), told.get("wrong", "")
        if amiss:
            problems = [f"{name} is {amiss}: at most {MOST_WHOLE:,} bytes."]
        else:
            problems = await table_read(room, file_bytes(told))
        wrong.clear()
        with wrong:
            for line in problems[:8]:
                said(line, "p").classes("problem")
        if not problems:
            box.close()

    with inner:
        said(
            "CSV, its first line the names of the columns. All of it comes in, or nothing; entries whose mark is there "
            f"already are changed. Lengths without a unit are in {unit}.",
            "p",
        )
        file_box("A CSV file", (".csv",), take, most=MOST_WHOLE)
        wrong = ui.element("div")
        wrong.props["role"] = "alert"
        press("Close", box.close, classes="order")
    box.open()


async def table_read(room: StockRoom, data: bytes) -> list[str]:
    """Bring a table in; what is wrong with it."""
    unit = room.bench.style.unit
    try:
        rows = rows_of_csv(data, unit=unit)
    except InputErrors as wrong:
        return error_lines(wrong)
    _, problems = await room.do(lambda stock: stock.bring(rows, unit=unit))
    return problems


__all__ = ["stock_list", "table_read"]
