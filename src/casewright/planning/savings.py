"""Where money can be saved when the sum is over the budget: the largest first, each with its value."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.reckoning import Reckoning
from casewright.basics.wording import listed
from casewright.geometry.model import Cabinet
from casewright.planning.blanks import Cutting
from casewright.planning.purchase import Purchase

OVER_BUDGET = Rule(
    id="cost.budget",
    severity=Severity.CAUTION,
    asks="All of it together stays inside the budget.",
    why="The budget was set before the parts were.",
    source="Project setting",
)

CHEAPEST = 0.5
"""A part is not proposed for less than this share of its price. Common practice."""

FEW_PIECES, SMALL_SHARE = 3, 0.25
"""A sheet that holds no more pieces, on no more of its area, may be saved by an offcut. Common practice."""

_SAME = 1e-9


def over_budget(
    cabinet: Cabinet, cutting: Cutting, rows: Sequence[Purchase], cost: Reckoning
) -> tuple[Finding, ...]:
    """One finding past the budget, with what brings the sum inside it."""
    budget = cabinet.project.limits.budget
    if budget is None or cost.value <= budget + _SAME:
        return ()
    currency = cabinet.project.currency
    over = cost.value - budget
    dearest = sorted((row for row in rows if row.cost), key=lambda row: -row.cost)
    remedies = [
        *_cheaper_parts(dearest, over, currency),
        *_fewer_coats(cabinet, rows, over, currency),
        *_spare_sheets(cabinet, cutting, currency),
    ]
    if not any(remedy.field for remedy in remedies) and len(dearest) > 1:
        most = listed([f"{row.label} {row.cost:.2f}" for row in dearest[:3]])
        remedies.append(Remedy(f"Save where most of it goes: {most} {currency}."))
    remedies.append(
        Remedy(
            f"Save {over:.2f} {currency}, or raise the budget to {math.ceil(cost.value)} {currency}.",
            "limits.budget",
            math.ceil(cost.value),
        )
    )
    return (
        OVER_BUDGET.finding(
            f"It costs {cost.value:.2f} {currency}; the budget is {budget:.2f} {currency}.",
            remedies=tuple(remedies),
        ),
    )


def _cheaper_parts(dearest: Sequence[Purchase], over: float, currency: str) -> Iterator[Remedy]:
    """For the two dearest parts that can carry all of it: the price that would do."""
    named = 0
    for row in dearest:
        if row.group != "bought parts" or named == 2:
            continue
        price = math.floor((row.price - over / row.to_buy) * 100 + _SAME) / 100
        if price < CHEAPEST * row.price:
            continue
        named += 1
        each = " each" if row.to_buy > 1 else ""
        yield Remedy(
            f"Find {row.label} for {price:.2f} {currency}{each} instead of {row.price:.2f}.",
            f"parts.{row.key}.price",
            price,
        )


def _fewer_coats(
    cabinet: Cabinet, rows: Sequence[Purchase], over: float, currency: str
) -> Iterator[Remedy]:
    """One coat of color or clear less, where the cans that it saves are enough."""
    finish = cabinet.project.finish
    for coat in (finish.clear, finish.color):
        row = next((r for r in rows if r.group == "paint" and r.key == coat.kind), None)
        if row is None or coat.coats < 2:
            continue
        cans = math.ceil(row.quantity * (coat.coats - 1) / coat.coats)
        saved = row.cost - max(0.0, cans - row.have) * row.price
        if saved >= over - _SAME:
            yield Remedy(
                f"Leave out one coat of {coat.name}: {saved:.2f} {currency} less.",
                f"finish.{coat.kind}.coats",
                coat.coats - 1,
            )


def _spare_sheets(cabinet: Cabinet, cutting: Cutting, currency: str) -> Iterator[Remedy]:
    """Sheets that are bought for a few small pieces."""
    for plan in cutting.plans:
        stock = {s.key: s for s in plan.stock}
        names = {blank.key: blank.name for blank in plan.blanks}
        for sheet in plan.plan.sheets:
            price = stock[sheet.stock].price
            few = len(sheet.placements) <= FEW_PIECES
            if stock[sheet.stock].offcut or not price or not few:
                continue
            if sheet.areas.part_share > SMALL_SHARE:
                continue
            held = listed([names.get(p.blank, p.blank) for p in sheet.placements])
            yield Remedy(
                f"Cut {held} from an offcut: a sheet of {plan.label} at {price:.2f} {currency} is bought "
                "for nothing else."
            )


__all__ = ["OVER_BUDGET", "over_budget"]
