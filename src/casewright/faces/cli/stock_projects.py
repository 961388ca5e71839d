"""`casewright stock`: what it offers a project, and layouts accepted and undone."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from rich.text import Text

from casewright.basics.errors import CasewrightError, InputError
from casewright.basics.findings import worded
from casewright.basics.wording import listed
from casewright.faces.cli.exit_codes import FINE
from casewright.faces.cli.speaking import console, print_json, say_error
from casewright.session import Session
from casewright.session.stocking import accepted_as, offer_edits, offered, open_stock, taken
from casewright.stock.history import Accepted
from casewright.stock.labels import size_of
from casewright.stock.offering import WHATS, Offer, What
from casewright.stock.words import buying_words, layout_words, value_words
from casewright.workflow import Worked, open_project, work_out


def offer_stock(
    file: Path,
    *,
    only: Sequence[str],
    save: bool,
    address: str | None,
    as_json: bool,
    catalogs: Sequence[Path],
) -> int:
    """Say what of the stock suits a project; write it into the file only when asked."""
    try:
        what = tuple(_what(word) for word in only) or WHATS
        stock = open_stock(address)
        session = Session.open(file, catalogs=catalogs)
        try:
            worked = session.sound
            offer = offered(worked, stock)
            done = accepted_as(worked, stock)
            edits = offer_edits(worked, offer, what)
            if save and edits:
                session.edit(edits, "take up what the stock offers")
                session.save()
        finally:
            session.close(discard=True)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    write = worked.opened.write_length
    if as_json:
        data = offer_data(offer, what, write)
        print_json(
            {**data, "accepted": done.number if done else None, "saved": save and bool(edits)}
        )
        return FINE
    _print_offer(offer, what, worked)
    if done is not None:
        console().print(
            Text(f"Its layout was accepted by {done.who}, {done.moment} (layout {done.number}).")
        )
    if not edits:
        words = "Nothing to write: the stock adds nothing to what the project has."
    elif save:
        words = f"Written to {file}."
    else:
        words = "Nothing written; --save writes it into the project file."
    console().print(Text(words))
    return FINE


def accept_layout(
    file: Path,
    *,
    place: str,
    again: bool,
    address: str | None,
    who: str,
    as_json: bool,
    catalogs: Sequence[Path],
) -> int:
    """Accept a project's layout as it stands in the file."""
    try:
        stock = open_stock(address, who=who)
        worked = work_out(open_project(file, catalogs=catalogs))
        done = stock.accept(taken(worked), place=place, again=again)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    return _say_layouts([done], as_json, only=True)


def undo_layout(number: int, *, address: str | None, who: str, as_json: bool) -> int:
    """Take an accepted layout back."""
    try:
        done = open_stock(address, who=who).undo(number)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    return _say_layouts([done], as_json, only=True)


def list_layouts(*, address: str | None, as_json: bool) -> int:
    """List accepted layouts, the last first."""
    try:
        done = open_stock(address).accepted()
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    return _say_layouts(done, as_json)


def _what(word: str) -> What:
    for what in WHATS:
        if word.strip().lower() == what:
            return what
    raise InputError("--only", got=word, want="one of " + ", ".join(WHATS), example="boards")


def offer_data(offer: Offer, what: Sequence[What], write: Callable[[float], str]) -> dict[str, Any]:
    """An offer as plain data."""
    return {
        "boards": [
            {
                "material": board.material,
                "label": board.label,
                "sheets": [dict(sheet) for sheet in board.sheets],
                "gone": list(board.gone),
                "to_buy_without": board.bought[0],
                "to_buy_with": board.bought[1],
                "others": [
                    {"mark": m.held.mark, "why": worded(m.why_not, write)} for m in board.others
                ],
            }
            for board in offer.boards
            if "boards" in what
        ],
        "values": [
            {
                "path": ".".join(map(str, value.path)),
                "now": value.now,
                "then": value.then,
                "marks": list(value.marks),
            }
            for value in offer.values
            if value.what in what
        ],
    }


def _print_offer(offer: Offer, what: Sequence[What], worked: Worked) -> None:
    out, write = console(), worked.opened.write_length
    for board in offer.boards if "boards" in what else ():
        out.print(Text(f"{board.label}: {buying_words(board)}", style="bold"))
        for match in board.matches:
            caution = f"; {match.caution}" if match.caution else ""
            place = f", {match.held.record.place}" if match.held.record.place else ""
            out.print(Text(f"  {match.held.mark}  {size_of(match.held)}{place}{caution}"))
        for mark in board.gone:
            out.print(Text(f"  {mark} stands in the project and is not to be had, or of no use"))
        for match in board.others:
            out.print(Text(f"  not {match.held.mark}: {worded(match.why_not, write)}", style="dim"))
    for value in offer.values:
        if value.what in what:
            words = value_words(value, write)
            out.print(Text(f"{value.label}: {words} ({listed(value.marks)})"))


def layout_data(done: Accepted) -> dict[str, Any]:
    """An accepted layout as plain data."""
    return {
        "number": done.number,
        "project": done.project,
        "who": done.who,
        "moment": done.moment,
        "taken": dict(done.taken),
        "booked": list(done.booked),
        "bought": [
            {"label": one.label, "count": one.count, "length": one.length, "width": one.width}
            for one in done.bought
        ],
        "undone_by": done.undone_by,
        "undone_at": done.undone_at,
    }


def _say_layouts(layouts: Sequence[Accepted], as_json: bool, *, only: bool = False) -> int:
    if as_json:
        data = [layout_data(done) for done in layouts]
        print_json(data[0] if only else data)
        return FINE
    for done in layouts:
        out = f"Layout {done.number}, “{done.project}”, {done.who}, {done.moment}: {layout_words(done)}."
        console().print(Text(out))
    if not layouts:
        console().print(Text("No layout was accepted yet."))
    return FINE


__all__ = [
    "accept_layout",
    "layout_data",
    "list_layouts",
    "offer_data",
    "offer_stock",
    "undo_layout",
]
