"""Sheet: what it costs, against the budget, with what the shop has."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.wording import listed
from casewright.geometry.model import Cabinet
from casewright.outputs.drawings.marks import Box, Drawing, Line, Mark, Region, Text, rectangle
from casewright.outputs.topics.sheet import Picture, Rows, TopicSheet
from casewright.planning.buying import Shopping

_WIDTH, _ROW, _BAR, _NAMES, _SUMS = 148.0, 9.0, 5.0, 42.0, 24.0  # mm on paper
_LETTERS = 2.8
_MOST = 8
"""Rows of the dearest."""


def sheet(cabinet: Cabinet, shopping: Shopping) -> TopicSheet | None:
    """Groups, the dearest rows and the budget; nothing where no price is known."""
    if not shopping.worth.value:
        return None
    currency, budget = cabinet.project.currency, cabinet.project.limits.budget
    cost = shopping.cost.value
    return TopicSheet(
        key="cost",
        title="Cost",
        question="What does it cost?",
        answer=f"{cost:.2f} {currency} still to pay{_against(cost, budget)}.",
        pictures=(
            Picture(
                _bars(shopping, budget),
                "What is still to pay, by group, and all together"
                + ("" if budget is None else "; the line is the budget"),
            ),
        ),
        tables=(
            Rows(
                "By group",
                ("group", f"all of it, {currency}", "the shop has", "to pay"),
                (*_group_rows(shopping),),
                (1, 2, 3),
            ),
            Rows(
                "The dearest",
                ("what", "how many", f"each, {currency}", "to pay"),
                tuple(
                    (row.label, f"{row.to_buy:g}", f"{row.price:.2f}", f"{row.cost:.2f}")
                    for row in sorted(shopping.rows, key=lambda row: -row.cost)[:_MOST]
                    if row.cost
                ),
                (1, 2, 3),
            ),
        ),
        numbers=tuple(number.key for number in shopping.numbers),
        notes=tuple(_notes(shopping)),
    )


def _against(cost: float, budget: float | None) -> str:
    if budget is None:
        return "; no budget is set"
    left = budget - cost
    return f"; {abs(left):.2f} {'left of' if left >= 0 else 'over'} the budget of {budget:.2f}"


def _group_rows(shopping: Shopping) -> Iterator[tuple[str, ...]]:
    for group, number in shopping.groups.items():
        worth = shopping.worth_of(group)
        if worth:
            yield _figures(group, worth, number.value)
    yield _figures("together", shopping.worth.value, shopping.cost.value)


def _figures(label: str, worth: float, cost: float) -> tuple[str, ...]:
    had = worth - cost
    return (label, f"{worth:.2f}", f"{had:.2f}" if had > 0.005 else "", f"{cost:.2f}")


def _notes(shopping: Shopping) -> Iterator[str]:
    yield "Prices are those of the project file; a catalog's price is a rough guess until yours stands in its place."
    free = [row.label for row in shopping.rows if not row.price and row.group == "bought parts"]
    if free:
        yield f"Without a price, or paid with something else: {listed(free)}."
    hardware = [row for row in shopping.rows if row.group == "screws and hardware"]
    lumped = any(row.unit == "sum" for row in hardware) or any(
        word in row.label.lower()
        for row in shopping.rows
        if row.group == "other"
        for word in ("screw", "fixing")
    )
    if not lumped and any(not row.price for row in hardware):
        yield (
            "Screws without a price are not in the sum: give price_each, prices by size, or what they cost together "
            "under “fixings”."
        )
    wires = [row for row in shopping.rows if row.group == "wiring"]
    lump = any("wire" in row.label.lower() for row in shopping.rows if row.group == "other")
    if lump and any(row.price for row in wires):
        yield "Wire stands in the list by the metre and under “extras” too: keep one of the two."
    elif wires and not lump and not all(row.price for row in wires):
        yield (
            "Wire, ends, fuses and cables without a price are not in the sum: give price_per_m, end_price, fuse_price "
            "and cable_price under “wiring”, or a sum under “extras”."
        )


def _bars(shopping: Shopping, budget: float | None) -> Drawing:
    """A bar for each group that costs something, and one for the sum."""
    groups: list[tuple[str, float]] = [(g, n.value) for g, n in shopping.groups.items() if n.value]
    rows = [*groups, ("together", shopping.cost.value)]
    most = max(shopping.cost.value, budget or 0.0, 1e-9)
    per = (_WIDTH - _NAMES - _SUMS) / most
    top = len(rows) * _ROW
    marks: list[Mark] = []
    start = 0.0
    for number, (label, value) in enumerate(rows):
        low = top - (number + 1) * _ROW + (_ROW - _BAR) / 2
        middle = low + _BAR / 2
        is_sum = number == len(rows) - 1
        left = _NAMES + (0.0 if is_sum else start * per)
        box = rectangle(Box(left, low, left + max(value * per, 0.2), low + _BAR), pen="thin")
        marks.append(Text((_NAMES - 2.0, middle), label, _LETTERS, "end", "middle"))
        marks += [Region(box, material="new" if is_sum else "face"), box]
        marks.append(Text((_WIDTH, middle), f"{value:.2f}", _LETTERS, "end", "middle"))
        start += value
    marks.append(Line((_NAMES, 0.0), (_NAMES, top), "thin"))
    if budget is not None:
        x = _NAMES + budget * per
        marks.append(Line((x, -1.0), (x, top + 1.0), "accent"))
        marks.append(Text((x, top + 2.0), f"budget {budget:.2f}", _LETTERS, "middle"))
    return Drawing("Cost by group", tuple(marks))


__all__ = ["sheet"]
