"""Find a place for parts left over by lifting others out and putting all back."""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence

from casewright.planning.cutting.job import Job, Layout
from casewright.planning.cutting.tree import RULES, Item, Rule, Sheet, find_spot

_BLINK = 0.01  # chance that a better place is overlooked


def refill(
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
    outside = put_back(job, first, set(range(len(first))), outside, RULES[0], 0.0, rng)
    now = first
    cost = sum(item.area for item in outside)
    best, best_out, best_cost = now, outside, cost
    memory = [cost] * max(15, min(100, steps // 40))  # what late acceptance looks back on
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
            boxes = sheet.root.boxes()
            box = boxes[rng.randrange(len(boxes))]
            taken = sheet.take_out(box, job.kerf, tighten=rng.random() < 0.7)
            lifted += len(taken)
            loose += taken
        draw = rng.random()
        if draw < 0.65:
            loose.sort(key=lambda item: -item.area)
        elif draw < 0.9:
            loose.sort(key=lambda item: -item.long)
        else:
            loose = shuffled(loose, rng)
        rule = RULES[0] if rng.random() < 0.8 else RULES[rng.randrange(len(RULES))]
        rest = put_back(job, trial, changed, loose, rule, _BLINK, rng)
        new_cost = sum(item.area for item in rest)
        place = step % len(memory)
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


def put_back(
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


def shuffled(items: Iterable[Item], rng: random.Random) -> list[Item]:
    """The larger ones rather first."""
    spread = rng.choice((0.2, 0.5, 1.0))
    power = rng.choice((0.5, 1.0))
    weight = {item: item.area**power * (1 + spread * rng.random()) for item in items}
    return sorted(weight, key=lambda item: -weight[item])


__all__ = ["put_back", "refill", "shuffled"]
