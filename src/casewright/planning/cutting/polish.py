"""The same sheets, better laid: the largest offcut, then the fewest fence settings."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace

from casewright.planning.cutting.job import ORDERS, Job, Layout, Reserve, Roots, new_sheet, price_of
from casewright.planning.cutting.refill import put_back, refill
from casewright.planning.cutting.tree import RULES, Box, Item, Sheet, tighten_all


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


def polish(
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
        trials = [(order, rule) for order in ORDERS for rule in RULES]
        for order, rule in trials[: max(4, effort // 10)]:
            items = sorted(job.items, key=order)
            for frame, reserve in frames:
                sheets = [sheet.clone() for sheet in frame]
                rest = put_back(job, sheets, set(range(len(sheets))), items, rule, 0.0, rng)
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
    sheets = [new_sheet(job, sheet.stock) for sheet in layout.sheets]
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
            found = refill(job, sheets, items, effort // 4, rng)
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


__all__ = ["largest_keepable", "polish", "roots_of"]
