"""Stock: what the shop's own sheets and offcuts do for this project, layouts accepted, and all that there is."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from html import escape
from typing import TYPE_CHECKING

from nicegui import background_tasks, ui

from casewright.basics.errors import RefusedError
from casewright.basics.wording import listed
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import heading, press
from casewright.faces.web.live import said
from casewright.faces.web.stock_room import StockRoom
from casewright.faces.web.views.accepting import accept_sheet
from casewright.faces.web.views.stock_list import stock_list
from casewright.session import Changes
from casewright.session.stocking import offer_edits, taken
from casewright.stock.labels import size_of
from casewright.stock.offering import BoardOffer, What
from casewright.stock.records import BoardRecord, Held
from casewright.stock.taking import Taking
from casewright.stock.words import buying_words, layout_words, value_words

if TYPE_CHECKING:
    from casewright.stock.history import Accepted

GROUPS: tuple[tuple[What, str, str], ...] = (
    ("have", "What need not be bought", "Put it into the project"),
    ("tools", "Saw and bits of the shop", "Put them into the project"),
)


def view(bench: Bench) -> None:
    """What the stock does for the project on the left, the stock itself on the right."""
    heading(
        "Stock",
        "The shop's own boards come first: take them into the project, and accept the layout before the first cut.",
    )
    room = StockRoom(bench)
    bench.live.section(lambda live: _problems(room), lambda: tuple(room.problems))
    with ui.element("div").classes("columns stock-columns"):
        with ui.element("div").classes("lane scrolls"):
            bench.live.section(lambda live: _offers(room), lambda: (room.version, bench.style))
            bench.live.section(lambda live: _layout(room), lambda: (room.version, bench.style))
        with ui.element("div").classes("lane scrolls"):
            stock_list(room)

    def follow(changes: Changes) -> None:
        if changes.text or changes.cutting or changes.shopping:
            background_tasks.create(room.read())

    bench.watchers.append(follow)
    ui.timer(0.01, room.read, once=True)


def _problems(room: StockRoom) -> None:
    if room.problems:
        with ui.element("section").classes("trouble") as box:
            box.props["role"] = "alert"
            for words in room.problems:
                said(words, "p")


# ---- what it offers ----


def _offers(room: StockRoom) -> None:
    bench, offer = room.bench, room.offer
    said("For this project", "h2").classes("block-title")
    if offer is None:
        said("Reading the stock …" if not room.version else "Nothing to offer yet.", "p").classes(
            "quietly"
        )
        return
    worked = bench.worked
    boards: tuple[What, ...] = ("boards",)
    is_news = worked is not None and bool(offer_edits(worked, offer, boards))
    if not offer.boards and room.accepted is None:
        said("No board of the stock is of this project's materials.", "p").classes("quietly")
    for board in offer.boards:
        _board(room, board)
    if is_news:
        press(
            "Take these boards into the project", partial(_take_up, room, "boards"), classes="main"
        )
    elif any(board.matches for board in offer.boards):
        said("The project takes them already.", "p").classes("quietly")
    for what, title, words in GROUPS:
        values = [value for value in offer.values if value.what == what]
        if not values:
            continue
        with ui.element("section").classes("block"):
            said(title, "h3").classes("block-title")
            with ui.element("ul").classes("plain"):
                for value in values:
                    then = value_words(value, bench.length)
                    said(f"{value.label}: {then} ({listed(value.marks)})", "li")
            press(words, partial(_take_up, room, what), classes="order")


def _board(room: StockRoom, board: BoardOffer) -> None:
    bench = room.bench
    with ui.element("section").classes("block"):
        said(board.label, "h3").classes("block-title")
        said(f"{buying_words(board)}.", "p").classes("quietly")
        if board.matches:
            ui.html(boards_svg([match.held for match in board.matches]), sanitize=False).classes(
                "boards"
            )
        with ui.element("ul").classes("plain"):
            for match, sheet in zip(board.matches, board.sheets, strict=True):
                words = [f"{match.held.mark}: {size_of(match.held, bench.style.unit)}"]
                if sheet["quantity"] > 1:
                    words.append(f"{sheet['quantity']} of them")
                if match.held.record.place:
                    words.append(match.held.record.place)
                if match.caution:
                    words.append(match.caution)
                said(", ".join(words), "li")
            for mark in board.gone:
                said(
                    f"{mark} stands in the project and is not to be had, or of no use", "li"
                ).classes("problem")
        if board.others:
            with ui.element("details"):
                said("Why not the others", "summary")
                with ui.element("ul").classes("plain"):
                    for match in board.others:
                        said(f"{match.held.mark}: {bench.say(match.why_not)}", "li")


def boards_svg(boards: Sequence[Held]) -> str:
    """Boards under each other at one scale, the longest across the picture, with their marks and grain."""
    records = [one.record for one in boards if isinstance(one.record, BoardRecord)]
    scale = 300 / max(record.length for record in records)
    body, y = [], 1.0
    for held, record in zip(boards, records, strict=True):
        long, high = record.length * scale, max(record.width * scale, 16.0)
        middle, x = y + high / 2, min(long - 8, 60.0)
        body.append(
            f'<rect x="1" y="{y:.1f}" width="{long - 2:.1f}" height="{high:.1f}" fill="var(--fill-wood)" '
            f'stroke="var(--ink)"/><text x="8" y="{middle + 4:.1f}" font-size="13" fill="var(--ink)">'
            f"{escape(held.mark)}</text>"
        )
        if record.grain == "length" and long > 130:
            body.append(
                f'<path d="M{x:.1f} {middle:.1f}H{long - 14:.1f}M{x + 5:.1f} {middle - 4:.1f}L{x:.1f} {middle:.1f}'
                f"L{x + 5:.1f} {middle + 4:.1f}M{long - 19:.1f} {middle - 4:.1f}L{long - 14:.1f} {middle:.1f}"
                f'L{long - 19:.1f} {middle + 4:.1f}" fill="none" stroke="var(--quiet)"/>'
            )
        y += high + 6
    words = escape(f"Boards of the stock: {listed([held.mark for held in boards])}", quote=True)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 300 {y:.1f}" role="img" aria-label="{words}">'
        f"{''.join(body)}</svg>"
    )


async def _take_up(room: StockRoom, what: What) -> None:
    bench = room.bench
    worked, offer = bench.worked, room.offer
    if worked is None or offer is None:
        return
    edits = offer_edits(worked, offer, (what,))
    if edits:
        await bench.tell(await bench.edit(edits, "take up what the stock offers"))


# ---- the layout ----


def _layout(room: StockRoom) -> None:
    said("The cutting layout", "h2").classes("block-title")
    done = room.accepted
    if done is not None:
        said(f"Accepted by {done.who}, {done.moment}: it {layout_words(done)}.", "p")
        if room.is_changed:
            said(
                "It is another layout now: pieces are cut, or the design has changed.", "p"
            ).classes("quietly")
            press("Accept it as it is now …", partial(_accept, room), classes="order")
    elif room.version:
        said(
            "Accepting takes its boards out of the stock and books the offcuts it leaves, all at once.",
            "p",
        ).classes("quietly")
        press("Accept this layout …", partial(_accept, room), classes="main")
    others = [one for one in room.layouts if done is None or one.number != done.number]
    if done is not None:
        press("Undo it", partial(_undo, room, done.number), classes="order")
    if others:
        said("Layouts before", "h2").classes("block-title")
        with ui.element("ul").classes("plain"):
            for one in others:
                with ui.element("li"):
                    said(f"{one.project}, {one.who}, {one.moment}: {layout_words(one)}. ")
                    if not one.is_undone:
                        press(
                            "undo",
                            partial(_undo, room, one.number),
                            classes="order",
                            label=f"Undo layout {one.number} of {one.project}",
                        )


def _accept(room: StockRoom) -> None:
    async def told(done: Accepted) -> None:
        await room.tell([], f"Accepted: it {layout_words(done)}.")

    def taking() -> Taking:
        worked = room.bench.worked
        if worked is None:
            raise RefusedError(["There is no layout now."])
        return taken(worked)

    with room.sheets:
        accept_sheet(room.bench, taking, change=room.do, told=told)


async def _undo(room: StockRoom, number: int) -> None:
    _, problems = await room.do(lambda stock: stock.undo(number))
    await room.tell(problems)


__all__ = ["boards_svg", "view"]
