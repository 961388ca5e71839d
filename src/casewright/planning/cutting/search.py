"""The search for the cheapest sheets, then the largest offcut, then the fewest fence settings.

`best_sheets` is the only door. What it does, in order:

1. lay all parts, largest first, by each of ten rules, then again in shuffled orders;
2. take the least-filled sheet away (or put a cheaper one in its place) and try to fit its parts into the others: parts
   of a few boxes are lifted out and put back, again and again, and the area left over may grow a little on the way
   ("ruin and recreate" with late acceptance);
3. set a strip of the last sheet aside as an offcut and try whether the parts still fit, with ever longer strips.

It stops as soon as the bound says that no fewer sheets are possible. All chance comes from one fixed seed.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Sequence
from itertools import combinations, combinations_with_replacement

from casewright.planning.cutting.job import ORDERS, Job, Layout, Price, Roots, new_sheet, price_of
from casewright.planning.cutting.polish import polish
from casewright.planning.cutting.refill import refill, shuffled
from casewright.planning.cutting.tree import RULES, Item, Rule, Sheet, find_spot

_SEED = 20240229
_MOST_TRIALS = 12  # sets of cheaper sheets tried before giving up


def best_sheets(
    job: Job, effort: int, settings: Callable[[Roots], int]
) -> tuple[Roots, tuple[Item, ...]]:
    """The best sheets found with so much effort, and the parts that found no place.

    `settings` counts the fence settings of a result.
    """
    rng = random.Random(_SEED)
    policies = _policies(job)
    best = Layout((), job.items)
    price: Price | None = None
    shuffles = effort // 8
    for number in range(4 * len(RULES) + shuffles):
        if price is not None and _cannot_improve(job, price) and number >= len(RULES):
            break
        if number < 4 * len(RULES):
            rule, order = RULES[number % len(RULES)], ORDERS[number // len(RULES)]
            if number >= len(RULES) and number - len(RULES) > effort // 4:
                continue
            items = sorted(job.items, key=order)
        else:
            rule = rng.choice(RULES)
            items = shuffled(job.items, rng)
        for policy in policies:
            layout = _lay(job, items, rule, policy)
            found = price_of(job, layout)
            if price is None or found < price:
                best, price = layout, found
    best = _fewer(job, best, effort, rng)
    return polish(job, best, effort, rng, settings)


def _cannot_improve(job: Job, price: Price) -> bool:
    left, cost, bought, area, offcuts = price
    if left > 0 or offcuts:
        return False
    sizes = [s for s in job.supplies if not s.offcut]
    if not bought:
        return True
    cheapest, smallest = min(s.cost for s in sizes), min(s.area for s in sizes)
    return (
        bought <= job.least_bought
        and cost <= job.least_bought * cheapest + 1e-9
        and area <= job.least_bought * smallest + 0.5
    )


def _policies(job: Job) -> list[tuple[int, ...]]:
    """Orders in which new sheets are taken: each bought size first, with and without the offcuts before it."""
    bought = [i for i, s in enumerate(job.supplies) if not s.offcut]
    own = sorted(
        (i for i, s in enumerate(job.supplies) if s.offcut), key=lambda i: job.supplies[i].area
    )
    rest = sorted(bought, key=lambda i: (job.supplies[i].cost / job.supplies[i].area, i))
    orders = []
    for first in rest or [-1]:
        tail = tuple(i for i in (first, *(i for i in rest if i != first)) if i >= 0)
        if bought:
            orders.append(tail + tuple(reversed(own)))
        if own:
            orders.append((*own, *tail))
    return orders


def _lay(job: Job, items: Sequence[Item], rule: Rule, policy: Sequence[int]) -> Layout:
    """Put the parts down one by one, taking a new sheet only when none has room."""
    sheets: list[Sheet] = []
    left: list[Item] = []
    taken: Counter[int] = Counter()
    for item in items:
        spot = find_spot(sheets, item, rule, job.kerf)
        if spot is None:
            for stock in policy:
                supply = job.supplies[stock]
                if supply.count is not None and taken[stock] >= supply.count:
                    continue
                spot = find_spot([new_sheet(job, stock)], item, rule, job.kerf)
                if spot is not None:
                    sheet = new_sheet(job, stock)
                    sheets.append(sheet)
                    taken[stock] += 1
                    spot = spot._replace(sheet=len(sheets) - 1, box=sheet.root)
                    break
        if spot is None:
            left.append(item)
        else:
            sheets[spot.sheet].place(spot, item, job.kerf)
    return Layout(tuple(sheets), tuple(left))


def _fewer(job: Job, best: Layout, effort: int, rng: random.Random) -> Layout:
    steps = 3 * effort
    if best.left and best.sheets:
        best = refill(job, best.sheets, best.left, steps, rng)
    while not best.left:
        trials = _cheaper(job, best)
        for sheets, items in trials:
            found = refill(job, sheets, items, steps // (1 + len(trials) // 3), rng)
            if not found.left:
                best = found
                break
        else:
            break
    return best


Trial = tuple[tuple[Sheet, ...], tuple[Item, ...]]


def _cheaper(job: Job, layout: Layout) -> list[Trial]:
    """Sets of sheets that would cost less, with the parts that must find a place again; the boldest first.

    One or two of the emptiest sheets of each size go, none to two others come.
    """
    now = price_of(job, layout)
    kerf = job.kerf
    demand = sum((w.along + kerf) * (w.across + kerf) for w in (i.fits[0] for i in job.items))
    taken = Counter(sheet.stock for sheet in layout.sheets)
    by_stock: dict[int, list[int]] = {}
    for i in sorted(range(len(layout.sheets)), key=lambda i: (layout.sheets[i].used, i)):
        by_stock.setdefault(layout.sheets[i].stock, []).append(i)
    goers = sorted(i for indexes in by_stock.values() for i in indexes[:2])
    kinds = range(len(job.supplies))
    comers = [(), *((k,) for k in kinds), *combinations_with_replacement(kinds, 2)]
    trials: dict[Price, Trial] = {}
    for go in [(i,) for i in goers] + list(combinations(goers, 2)):
        going = Counter(layout.sheets[i].stock for i in go)
        rest = tuple(sheet for i, sheet in enumerate(layout.sheets) if i not in go)
        for come in comers:
            coming = Counter(come)
            if going & coming or len(go) > len(come) + 1:
                continue
            short = any(
                limit is not None and taken[k] + n > limit
                for k, n in coming.items()
                for limit in (job.supplies[k].count,)
            )
            sheets = rest + tuple(new_sheet(job, k) for k in come)
            price = price_of(job, Layout(sheets, ()))
            room = sum((s.root.size[0] + kerf) * (s.root.size[1] + kerf) for s in sheets)
            if short or price >= now or price[2] < job.least_bought or room < demand:
                continue
            if price not in trials:
                items = tuple(item for i in go for item in layout.sheets[i].root.items())
                trials[price] = (sheets, items)
    return [trials[price] for price in sorted(trials)][:_MOST_TRIALS]


__all__ = ["best_sheets"]
