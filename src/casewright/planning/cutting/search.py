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
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, combinations_with_replacement

from casewright.planning.cutting.tree import RULES, Box, Item, Rule, Sheet, find_spot, tighten_all

_SEED = 20240229
_MOST_TRIALS = 12  # sets of cheaper sheets tried before giving up
_MEMORY = 60  # steps that late acceptance looks back
_ORDERS: tuple[Callable[[Item], tuple[float, ...]], ...] = (
    lambda item: (-item.area, -item.long),
    lambda item: (-item.long, -item.area),
    lambda item: (-min(w.across for w in item.fits), -item.area),
    lambda item: (-max(w.across for w in item.fits), -item.long),
)


@dataclass(frozen=True)
class Supply:
    """One stock size in tree units, trimmed."""

    length: float
    width: float
    count: int | None
    cost: float
    """Of one; 0 for the shop's own offcuts."""
    offcut: bool

    @property
    def area(self) -> float:
        """Usable area, in square tree units."""
        return self.length * self.width


@dataclass(frozen=True)
class Reserve:
    """A strip of a sheet kept whole: measured along axis 0 or 1, its saw cut not included."""

    sheet: int
    axis: int
    strip: float


@dataclass(frozen=True)
class Layout:
    """A result: filled sheets, what found no place, and the strip set aside, if any."""

    sheets: tuple[Sheet, ...]
    left: tuple[Item, ...]
    reserve: Reserve | None = None


@dataclass(frozen=True)
class Job:
    """What all steps of the search need to know."""

    items: tuple[Item, ...]
    supplies: tuple[Supply, ...]
    kerf: float
    least_bought: int
    """Bound on the bought sheets."""
    keep: tuple[float, float]
    """Shorter and longer side of an offcut worth keeping."""

    @property
    def least_side(self) -> float:
        """Shortest side of any part."""
        return min((min(w.along, w.across) for i in self.items for w in i.fits), default=0.0)


Price = tuple[float, float, int, float, int]
Roots = tuple[tuple[int, Box], ...]
"""The result as trees: the stock and the whole trimmed sheet, for each sheet."""


def price_of(job: Job, layout: Layout) -> Price:
    """What a layout costs, the gravest first: parts left over, cost, bought sheets, their area, offcuts used up."""
    used = [job.supplies[sheet.stock] for sheet in layout.sheets]
    bought = [s for s in used if not s.offcut]
    return (
        sum(item.area for item in layout.left),
        round(sum(s.cost for s in bought), 6),
        len(bought),
        sum(s.area for s in bought),
        len(used) - len(bought),
    )


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
            rule, order = RULES[number % len(RULES)], _ORDERS[number // len(RULES)]
            if number >= len(RULES) and number - len(RULES) > effort // 4:
                continue
            items = sorted(job.items, key=order)
        else:
            rule = rng.choice(RULES)
            items = _shuffled(job.items, rng)
        for policy in policies:
            layout = _lay(job, items, rule, policy)
            found = price_of(job, layout)
            if price is None or found < price:
                best, price = layout, found
    best = _fewer(job, best, effort, rng)
    return _polish(job, best, effort, rng, settings)


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


def _shuffled(items: Iterable[Item], rng: random.Random) -> list[Item]:
    spread = rng.choice((0.2, 0.5, 1.0))
    power = rng.choice((0.5, 1.0))
    weight = {item: item.area**power * (1 + spread * rng.random()) for item in items}
    return sorted(weight, key=lambda item: -weight[item])


def _new_sheet(job: Job, stock: int) -> Sheet:
    supply = job.supplies[stock]
    return Sheet(stock, supply.length, supply.width, job.least_side)


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
                spot = find_spot([_new_sheet(job, stock)], item, rule, job.kerf)
                if spot is not None:
                    sheet = _new_sheet(job, stock)
                    sheets.append(sheet)
                    taken[stock] += 1
                    spot = spot._replace(sheet=len(sheets) - 1, box=sheet.root)
                    break
        if spot is None:
            left.append(item)
        else:
            sheets[spot.sheet].place(spot, item, job.kerf)
    return Layout(tuple(sheets), tuple(left))


# ---- fewer or cheaper sheets -------------------------------------------------------------------------------------


def _fewer(job: Job, best: Layout, effort: int, rng: random.Random) -> Layout:
    steps = 3 * effort
    if best.left and best.sheets:
        best = _refill(job, best.sheets, best.left, steps, rng)
    while not best.left:
        trials = _cheaper(job, best)
        for sheets, items in trials:
            found = _refill(job, sheets, items, steps // (1 + len(trials) // 3), rng)
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
            sheets = rest + tuple(_new_sheet(job, k) for k in come)
            price = price_of(job, Layout(sheets, ()))
            room = sum((s.root.size[0] + kerf) * (s.root.size[1] + kerf) for s in sheets)
            if short or price >= now or price[2] < job.least_bought or room < demand:
                continue
            if price not in trials:
                items = tuple(item for i in go for item in layout.sheets[i].root.items())
                trials[price] = (sheets, items)
    return [trials[price] for price in sorted(trials)][:_MOST_TRIALS]


def _refill(
    job: Job, sheets: Sequence[Sheet], left: Sequence[Item], steps: int, rng: random.Random
) -> Layout:
    """Find a place for the parts left over by lifting others out and putting all back.

    Source:
        J. Gardeyn, T. Wauters, Eur. J. Oper. Res. 301 (2022), for lowering the number of sheets first and then
        working on the area left over; E. Burke, Y. Bykov, Eur. J. Oper. Res. 258 (2017), for late acceptance.
    """
    now = list(sheets)
    outside = sorted(left, key=lambda item: -item.area)
    first = [sheet.clone() for sheet in now]
    outside = _put_back(job, first, set(range(len(first))), outside, RULES[0], 0.0, rng)
    now = first
    cost = sum(item.area for item in outside)
    best, best_out, best_cost = now, outside, cost
    memory = [cost] * _MEMORY
    count = len(job.items)
    for step in range(steps):
        if best_cost == 0:
            break
        trial = list(now)
        changed: set[int] = set()
        loose = list(outside)
        goal = rng.randint(1, max(2, min(count // 3, 10)))
        lifted = 0
        while lifted < goal:
            index = _pick_sheet(trial, rng)
            if index is None:
                break
            if index not in changed:
                trial[index] = trial[index].clone()
                changed.add(index)
            sheet = trial[index]
            boxes = list(sheet.root.boxes())
            box = boxes[rng.randrange(len(boxes))]
            taken = sheet.take_out(box, job.kerf, tighten=rng.random() < 0.7)
            lifted += len(taken)
            loose += taken
        draw = rng.random()
        if draw < 0.5:
            loose.sort(key=lambda item: -item.area)
        elif draw < 0.7:
            loose.sort(key=lambda item: -item.long)
        else:
            loose = _shuffled(loose, rng)
        rule = RULES[0] if rng.random() < 0.6 else RULES[rng.randrange(len(RULES))]
        rest = _put_back(job, trial, changed, loose, rule, 0.03, rng)
        new_cost = sum(item.area for item in rest)
        place = step % _MEMORY
        if new_cost <= cost or new_cost <= memory[place]:
            now, outside, cost = trial, rest, new_cost
            if cost < best_cost:
                best, best_out, best_cost = now, outside, cost
        memory[place] = min(memory[place], cost)
    return Layout(tuple(sheet for sheet in best if sheet.root.kids), tuple(best_out))


def _pick_sheet(sheets: Sequence[Sheet], rng: random.Random) -> int | None:
    """A sheet with parts on it; every other time the emptier of two."""
    filled = [i for i, sheet in enumerate(sheets) if sheet.root.kids]
    if not filled:
        return None
    one = filled[rng.randrange(len(filled))]
    if rng.random() < 0.5:
        two = filled[rng.randrange(len(filled))]
        share = [sheets[i].used / sheets[i].capacity() for i in (one, two)]
        return one if share[0] <= share[1] else two
    return one


def _put_back(
    job: Job,
    sheets: list[Sheet],
    changed: set[int],
    items: Sequence[Item],
    rule: Rule,
    blink: float,
    rng: random.Random,
) -> list[Item]:
    """Place what fits, copying a sheet before its first change; returns what does not fit."""
    rest: list[Item] = []
    hopeless: set[int] = set()
    for item in items:
        spot = None
        if item.kind not in hopeless:
            spot = find_spot(sheets, item, rule, job.kerf, blink=blink, rng=rng)
        if spot is None:
            hopeless.add(item.kind)
            rest.append(item)
            continue
        if spot.sheet not in changed:
            sheets[spot.sheet] = sheets[spot.sheet].clone()
            changed.add(spot.sheet)
            spot = spot._replace(box=spot.box.twin)
        sheets[spot.sheet].place(spot, item, job.kerf)
    return rest


# ---- the largest offcut, the fewest settings ---------------------------------------------------------------------


def roots_of(job: Job, layout: Layout, *, tight: bool) -> Roots:
    """The trees of a layout, each spanning its whole sheet."""
    roots = []
    for i, sheet in enumerate(layout.sheets):
        root = sheet.root.copy()
        supply = job.supplies[sheet.stock]
        if layout.reserve is not None and layout.reserve.sheet == i:
            root.free += supply.length - root.size[0]
            root.size[0] = supply.length
        if root.size[1] < supply.width:
            outer = Box([supply.length, supply.width], 1, None)
            outer.kids.append(root)
            outer.free -= root.size[1] + job.kerf
            root.parent, root = outer, outer
        if tight:
            tighten_all(root, job.kerf)
        roots.append((sheet.stock, root))
    return tuple(roots)


def largest_keepable(job: Job, roots: Roots) -> float:
    """Area of the largest rest worth keeping, in square tree units."""
    short, long = job.keep
    best = 0.0
    for _, root in roots:
        for box in root.boxes():
            size = (box.free, box.across)
            if box.item is None and min(size) >= short and max(size) >= long:
                best = max(best, box.free * box.across)
    return best


def _polish(
    job: Job, layout: Layout, effort: int, rng: random.Random, settings: Callable[[Roots], int]
) -> tuple[Roots, tuple[Item, ...]]:
    """Same sheets, better laid."""
    if not layout.sheets:
        return (), layout.left
    price = price_of(job, layout)
    tried: list[Layout] = [layout]
    frames: list[tuple[list[Sheet], Reserve | None]] = [(_emptied(job, layout, None), None)]
    if not layout.left:
        long_strip = _longest_strip(job, layout, effort, rng)
        if long_strip.reserve is not None:
            tried.append(long_strip)
            frames.append((_emptied(job, long_strip, long_strip.reserve), long_strip.reserve))
        trials = [(order, rule) for order in _ORDERS for rule in RULES]
        for order, rule in trials[: max(4, effort // 10)]:
            items = sorted(job.items, key=order)
            for frame, reserve in frames:
                sheets = [sheet.clone() for sheet in frame]
                rest = _put_back(job, sheets, set(range(len(sheets))), items, rule, 0.0, rng)
                if not rest and all(sheet.root.kids for sheet in sheets):
                    tried.append(Layout(tuple(sheets), (), reserve))
    best: tuple[float, int] | None = None
    chosen: Roots = ()
    for candidate in tried:
        if price_of(job, candidate) > price:
            continue
        for tight in (True, False):
            roots = roots_of(job, candidate, tight=tight)
            offcut = largest_keepable(job, roots)
            # offcuts that differ by less than 2 % count as equal
            if best is not None and offcut < 0.98 * best[0]:
                continue
            count = settings(roots)
            if best is None or 0.98 * offcut > best[0] or count < best[1]:
                best, chosen = (offcut, count), roots
    return chosen, layout.left


def _emptied(job: Job, layout: Layout, reserve: Reserve | None) -> list[Sheet]:
    sheets = [_new_sheet(job, sheet.stock) for sheet in layout.sheets]
    if reserve is not None:
        sheets[reserve.sheet] = _shortened(job, sheets[reserve.sheet], reserve)
    return sheets


def _shortened(job: Job, sheet: Sheet, reserve: Reserve) -> Sheet:
    supply = job.supplies[sheet.stock]
    size = [supply.length, supply.width]
    size[reserve.axis] -= reserve.strip + job.kerf
    return Sheet(sheet.stock, size[0], size[1], job.least_side)


def _longest_strip(job: Job, layout: Layout, effort: int, rng: random.Random) -> Layout:
    """Set strips of the emptiest sheet aside, halving the interval between what works and what cannot."""
    best = layout
    score = max(largest_keepable(job, roots_of(job, layout, tight=t)) for t in (True, False))
    last = max(
        range(len(layout.sheets)),
        key=lambda i: (layout.sheets[i].capacity() - layout.sheets[i].used, -i),
    )
    spare = sum(sheet.capacity() - sheet.used for sheet in layout.sheets)
    for axis in (0, 1):
        size = layout.sheets[last].root.size
        cross = size[1 - axis]
        low = max(score / cross, min(job.keep))
        high = min(size[axis] - job.least_side - job.kerf, spare / cross)
        base = layout
        for _ in range(6):
            if high - low < 0.01 * size[axis]:
                break
            middle = float(round((low + high) / 2))
            reserve = Reserve(last, axis, middle)
            sheets = list(base.sheets)
            items = sheets[last].root.items()
            sheets[last] = _shortened(job, sheets[last], reserve)
            found = _refill(job, sheets, items, effort // 4, rng)
            if found.left or len(found.sheets) != len(sheets):
                high = middle
                continue
            base = found = replace(found, reserve=reserve)
            low = middle
            roots = roots_of(job, found, tight=True)
            top = roots[last][1]
            if top.axis == axis:  # what is free beside the strip belongs to it
                low = max(low, top.free)
            value = largest_keepable(job, roots)
            if value > score:
                best, score = found, value
    return best


__all__ = [
    "Job",
    "Layout",
    "Price",
    "Reserve",
    "Roots",
    "Supply",
    "best_sheets",
    "largest_keepable",
    "price_of",
    "roots_of",
]
