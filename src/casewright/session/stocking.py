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
from casewright.session.edits import Edits
from casewright.session.recent import data_folder
from casewright.stock.layout_taking import taking_of
from casewright.stock.offering import WHATS, BoardOffer, Offer, What, offer_of
from casewright.stock.taking import Taking
from casewright.workflow import REMOVE, KeyPath, Removal, Value, Worked

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
    """What the stock offers an open project.

    Pieces that its accepted layouts took stay in it; where the layout as it is now was accepted, no other boards are
    offered.
    """
    entries = stock.entries()
    live = [one for one in _accepted_of(worked, stock) if not one.is_undone]
    marks = {mark for one in live for mark in one.taken}
    offer = offer_of(worked.cabinet, entries, accepted=marks, again=worked.again)
    return replace(offer, boards=()) if accepted_as(worked, stock) else offer


def accepted_as(worked: Worked, stock: ShopStock) -> Accepted | None:
    """The acceptance of the layout as it is now; None where it was not accepted."""
    try:
        plan = taken(worked).plan
    except RefusedError:
        return None
    found = (one for one in _accepted_of(worked, stock) if one.plan.startswith(plan))
    return next(found, None)


def _accepted_of(worked: Worked, stock: ShopStock) -> tuple[Accepted, ...]:
    return stock.accepted(project=worked.opened.project.name)


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
    "offer_edits",
    "offered",
    "open_stock",
    "stock_address",
    "taken",
]
