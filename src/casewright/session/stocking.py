"""The shop's stock and an open project: where the stock is, and its offers as edits of the project file."""

from __future__ import annotations

import os
from collections.abc import Collection
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from casewright.basics.errors import RefusedError
from casewright.design.materials import StockSheet
from casewright.design.project import Project
from casewright.session.recent import data_folder
from casewright.stock.layout_taking import taking_of
from casewright.stock.offering import WHATS, BoardOffer, Offer, What, offer_of
from casewright.stock.taking import Taking
from casewright.workflow import REMOVE, Edits, KeyPath, Removal, Value, Worked

if TYPE_CHECKING:
    from casewright.stock.history import Accepted
    from casewright.stock.shop import ShopStock

STOCK_ADDRESS: Final = "CASEWRIGHT_STOCK"
"""Environment variable that names the stock: the path of a file or a data base's address."""
DEFAULT_FILE: Final = "stock.sqlite"
"""In the user's data folder, where nobody says otherwise."""


def stock_address(wished: str | None = None, *, folder: Path | None = None) -> str:
    """Where the stock is: as wished, else as the environment says, else in a folder.

    Args:
        wished: The path of a file, or a data base's address.
        folder: Of the stock's own file; the user's data folder if not given.
    """
    usual = (folder or data_folder()) / DEFAULT_FILE
    return wished or os.environ.get(STOCK_ADDRESS, "") or str(usual)


def open_stock(wished: str | None = None, *, who: str = "") -> ShopStock:
    """Open the shop's stock.

    Args:
        wished: Its address; the usual one if not given.
        who: In whose name changes are made; the computer's user if not given.

    Raises:
        InputError: The address is none.
        OutputError: It cannot be reached.
    """
    from casewright.stock.shop import ShopStock  # the data base's library takes its time

    return ShopStock(stock_address(wished), who=who)


def offered(worked: Worked, stock: ShopStock) -> Offer:
    """What the stock offers an open project; no boards where a layout of it was accepted and not undone."""
    entries = stock.entries()
    marks = {mark for one in _live(worked, stock) for mark in one.taken}
    offer = offer_of(worked.cabinet, entries, accepted=marks, again=worked.again)
    return replace(offer, boards=()) if marks or accepted_as(worked, stock) else offer


def accepted_as(worked: Worked, stock: ShopStock) -> Accepted | None:
    """How the project's layout was accepted: as it is now, else as it was; None where none is, or it was undone."""
    live = _live(worked, stock)
    same = (one for one in live if is_as_accepted(worked, one))
    return next(same, live[0] if live else None)


def is_as_accepted(worked: Worked, accepted: Accepted) -> bool:
    """Whether the layout as it is now is the one that was accepted."""
    try:
        return accepted.plan.startswith(taken(worked).plan)
    except RefusedError:  # nothing is left to cut
        return False


def _live(worked: Worked, stock: ShopStock) -> list[Accepted]:
    """Accepted layouts of the project that were not undone, the last first."""
    project = worked.opened.project.name
    return [one for one in stock.accepted(project=project) if not one.is_undone]


def taken(worked: Worked) -> Taking:
    """What accepting the layouts of an open project takes of the stock and leaves for it.

    Raises:
        RefusedError: There is nothing to cut, or pieces have no place on any sheet.
    """
    return taking_of(worked.opened.project, worked.cutting)


def offer_edits(worked: Worked, offer: Offer, what: Collection[What] = WHATS) -> Edits:
    """The edits that take an offer up; none where the project holds it already."""
    project = worked.opened.project
    edits: dict[KeyPath, Value | Removal] = {}
    if "boards" in what:
        for board in offer.boards:
            edits |= _board_edits(project, board)
    bits: list[Any] = []
    for value in offer.values:
        if value.what not in what:
            continue
        if value.path[:2] == ("shop", "bits") and not project.shop.bits:
            bits.append(value.then)
        else:
            edits[value.path] = value.then
    if bits:
        edits["shop", "bits"] = bits
    return edits


def _board_edits(project: Project, board: BoardOffer) -> dict[KeyPath, Value | Removal]:
    sheets = project.materials[board.material].sheets
    place: KeyPath = ("materials", board.material, "sheets")
    there = {sheet.mark: number for number, sheet in enumerate(sheets) if sheet.mark}
    edits: dict[KeyPath, Value | Removal] = {}
    new: list[Any] = []
    for sheet in board.sheets:
        number = there.get(sheet["mark"])
        if number is None:
            new.append(dict(sheet))
        elif StockSheet.model_validate(dict(sheet)) != sheets[number]:
            edits[(*place, number)] = dict(sheet)
    if new and not sheets:
        edits[place] = new
    else:
        edits |= {(*place, len(sheets) + at): sheet for at, sheet in enumerate(new)}
    return edits | {(*place, there[mark]): REMOVE for mark in board.gone}


__all__ = [
    "DEFAULT_FILE",
    "STOCK_ADDRESS",
    "accepted_as",
    "is_as_accepted",
    "offer_edits",
    "offered",
    "open_stock",
    "stock_address",
    "taken",
]
