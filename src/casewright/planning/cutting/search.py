"""The search for the cheapest sheets, then the largest offcut, the fewest fence settings, the shortest cuts.

`best_sheets` is the only door. What it does, in order:

1. lay all parts, largest first, by each of ten rules, then again in shuffled orders;
2. take the least-filled sheet away (or put a cheaper one in its place) and try to fit its parts into the others: parts
   of a few boxes are lifted out and put back, again and again, and the area left over may grow a little on the way
   ("ruin and recreate" with late acceptance);
3. set a strip of the last sheet aside as an offcut and try whether the parts still fit, with ever longer strips.

It stops as soon as the bound says that no fewer sheets are possible. All chance comes from one fixed seed.
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations, combinations_with_replacement

from casewright.planning.cutting.compiled import PLAIN, Engine
from casewright.planning.cutting.filling import Filler, ready_engine
from casewright.planning.cutting.grove import (
    BY_AREA,
    BY_CHANCE,
    BY_LENGTH,
    BY_LONGER,
    BY_WIDTH,
    RULES,
)
from casewright.planning.cutting.job import (
    Job,
    Layout,
    Measure,
    Patience,
    Price,
    Roots,
    empty_sheet,
    price_of,
)
from casewright.planning.cutting.polish import polish
from casewright.planning.cutting.tree import Item

_MOST_TRIALS = 12  # sets of cheaper sheets tried before giving up
_ORDERS = (BY_AREA, BY_LONGER, BY_WIDTH, BY_LENGTH)
_WORTH_LOADING = (
    2000  # steps from which compiled functions are quicker, the time to load them included
)
_WORTH_WAITING = 1.0  # seconds of search for which loading compiled functions is worth the wait
_MANY = 100  # parts from which even the first layouts are worth compiled functions
_AFTER_LAYING = 0.9  # share of the time that is left for the search in any case
_MOST_ALSO = 8  # first layouts that are looked at again at the end
_FOR_POLISH = 0.08  # share of the time kept for the offcut and the fence settings


def best_sheets(job: Job, patience: Patience, measure: Measure) -> tuple[Roots, tuple[Item, ...]]:
    """The best sheets found with so much patience, and the parts that found no place.

    `measure` tells what the cuts of a result take.
    """
    loaded = ready_engine.cache_info().currsize > 0
    waits = patience.timed and patience.total >= _WORTH_WAITING
    large = loaded or (waits and len(job.items) > _MANY)
    filler = Filler(job, _ready(patience) if large else PLAIN)
    effort = patience.effort
    policies = _policies(job)
    best = Layout((), job.items)
    price: Price | None = None
    laid: dict[Price, list[Layout]] = {}
    for number in range(len(_ORDERS) * RULES + effort // 8):
        if price is not None and number >= RULES and _cannot_improve(job, price):
            break
        if price is not None and patience.timed and patience.left < _AFTER_LAYING * patience.total:
            break
        if number < len(_ORDERS) * RULES:
            if number >= RULES and number - RULES > effort // 4:
                continue
            order, rule = _ORDERS[number // RULES], number % RULES
        else:
            order, rule = BY_CHANCE, number % RULES
        for policy in policies:
            layout = filler.lay(order, rule, policy)
            found = price_of(job, layout)
            laid.setdefault(found, []).append(layout)
            if price is None or found < price:
                best, price = layout, found
    if price is not None and not _cannot_improve(job, price):
        if not large and (waits or (not patience.timed and 3 * patience.effort >= _WORTH_LOADING)):
            filler = Filler(job, _ready(patience))
        best = _fewer(job, filler, best, patience)
    price = price_of(job, best)
    also = laid.get(price, [])[:_MOST_ALSO]
    if job.aims[0] != "sheets" and not best.left:  # dearer ones may be better in what counts more
        also += [x for cost in sorted(laid) if cost > price for x in laid[cost] if not x.left]
    return polish(job, filler, (best, *also[: 2 * _MOST_ALSO]), patience, measure)


def _ready(patience: Patience) -> Engine:
    """Compiled functions; making them ready, once in a computer's life, is not taken from the time."""
    before = patience.left
    engine = ready_engine()
    patience.give_back(before - patience.left)
    return engine


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


def _fewer(job: Job, filler: Filler, best: Layout, patience: Patience) -> Layout:
    steps = 3 * patience.effort
    kept = _FOR_POLISH * patience.total
    if best.left and best.roots:
        best = filler.refill(best.roots, best.left, steps=steps, patience=patience, until=kept)
    while not best.left:
        trials = _cheaper(job, best)
        for number, (roots, items) in enumerate(trials):
            # each of the trials that are left gets an equal share of the time
            until = patience.left - (patience.left - kept) / (len(trials) - number)
            found = filler.refill(
                roots,
                items,
                steps=steps // (1 + len(trials) // 3),
                patience=patience,
                until=until,
            )
            if not found.left:
                best = found
                break
        else:
            break
    return best


Trial = tuple[Roots, tuple[Item, ...]]


def _cheaper(job: Job, layout: Layout) -> list[Trial]:
    """Sets of sheets that would cost less, with the parts that must find a place again; the boldest first.

    One or two of the emptiest sheets of each size go, none to two others come.
    """
    now = price_of(job, layout)
    kerf = job.kerf
    demand = sum((item.length + kerf) * (item.width + kerf) for item in job.items)
    taken = Counter(stock for stock, _ in layout.roots)
    by_stock: dict[int, list[int]] = {}
    used = [sum(item.area for item in root.items()) for _, root in layout.roots]
    for i in sorted(range(len(used)), key=lambda i: (used[i], i)):
        by_stock.setdefault(layout.roots[i][0], []).append(i)
    goers = sorted(i for indexes in by_stock.values() for i in indexes[:2])
    kinds = range(len(job.supplies))
    comers = [(), *((k,) for k in kinds), *combinations_with_replacement(kinds, 2)]
    trials: dict[Price, Trial] = {}
    for go in [(i,) for i in goers] + list(combinations(goers, 2)):
        going = Counter(layout.roots[i][0] for i in go)
        rest = tuple(sheet for i, sheet in enumerate(layout.roots) if i not in go)
        for come in comers:
            coming = Counter(come)
            if going & coming or len(go) > len(come) + 1:
                continue
            short = any(
                limit is not None and taken[k] + n > limit
                for k, n in coming.items()
                for limit in (job.supplies[k].count,)
            )
            roots = rest + tuple((k, empty_sheet(job, k)) for k in come)
            price = price_of(job, Layout(roots, ()))
            room = sum((box.size[0] + kerf) * (box.size[1] + kerf) for _, box in roots)
            if short or price >= now or price[2] < job.least_bought or room < demand:
                continue
            if price not in trials:
                items = tuple(item for i in go for item in layout.roots[i][1].items())
                trials[price] = (roots, items)
    return [trials[price] for price in sorted(trials)][:_MOST_TRIALS]


__all__ = ["best_sheets"]
