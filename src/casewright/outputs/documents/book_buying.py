"""Chapter: what to buy, by group, with boxes to tick."""

from __future__ import annotations

import math
from collections.abc import Iterator

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
    small,
    table,
)
from casewright.outputs.documents.book_codes import opens
from casewright.planning.purchase import Purchase


def buying_chapter(writer: Writer) -> Iterator[Block]:
    """The shopping list and its sum."""
    shopping = writer.source.shopping
    project = writer.cabinet.project
    yield chapter(
        "Shopping list",
        "Sheets as the cutting plan needs them, screws with a tenth to spare. What the shop has is taken off.",
    )
    yield from opens(writer, view="shopping")
    budget = project.limits.budget
    items = [("still to pay", writer.money(shopping.cost.value))]
    if budget is not None:
        left = budget - shopping.cost.value
        items.append(("budget", writer.money(budget)))
        items.append(("left over" if left >= 0 else "over budget", writer.money(abs(left))))
    yield facts(items, across=3)
    rows: list[list[Cell] | str] = []
    for term in shopping.cost.terms:
        mine = [row for row in shopping.rows if row.group == term.label]
        priced = any(row.price for row in mine)  # else a sum of nothing would look like a gift
        cost = writer.money(term.value) if priced else "no prices of their own"
        rows.append(f"{capital(term.label)}: {cost}")
        rows += [_row(writer, row) for row in mine]
    rows.append(["", bold("Sum"), "", "", "", bold(f"{shopping.cost.value:.2f}")])
    yield table(
        [
            Column(""),
            Column("what", 1),
            Column("need", 0, "right"),
            Column("have", 0, "right"),
            Column("price", 0, "right"),
            Column(f"cost, {project.currency}", 0, "right"),
        ],
        rows,
    )
    yield small("Prices are those in the project; a price of nothing stands in another line's sum.")


def _row(writer: Writer, row: Purchase) -> list[Cell]:
    what = row.label
    if row.size is not None:
        what = f"{what}, {writer.sizes(*row.size)}"
    if row.note:
        what = f"{what} ({row.note})"
    need = "" if row.unit == "sum" else _amount(writer, row, row.quantity)
    have = _amount(writer, row, row.have) if row.have else ""
    price = f"{row.price:.2f}" if row.price and row.unit != "sum" else ""
    cost = f"{row.cost:.2f}" if row.cost else ""
    return [TICK, what, need, have, price, cost]


def _amount(writer: Writer, row: Purchase, quantity: float) -> str:
    if row.unit == "ft":
        return f"{math.ceil(quantity - 1e-9)} ft"
    if row.unit == "m":
        return writer.run(quantity)
    return f"{quantity:g} box" if row.unit == "box" else f"{quantity:g}"


__all__ = ["buying_chapter"]
