"""The same sheets, better laid: the largest offcut, then the fewest fence settings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from casewright.planning.cutting.filling import Filler
from casewright.planning.cutting.grove import BY_AREA, BY_LENGTH, BY_LONGER, BY_WIDTH, RULES
from casewright.planning.cutting.job import (
    Job,
    Layout,
    Patience,
    Reserve,
    Roots,
    empty_sheet,
    price_of,
)
from casewright.planning.cutting.tree import Box, Item, tighten_all


def roots_of(job: Job, layout: Layout, *, tight: bool) -> Roots:
    """The trees of a layout, each spanning its whole sheet."""
    roots = []
    for i, (stock, box) in enumerate(layout.roots):
        root = box.copy()
        supply = job.supplies[stock]
        if layout.reserve is not None and layout.reserve.sheet == i:
            across = 1 - layout.reserve.axis
            if root.axis == layout.reserve.axis:
                whole = (supply.length, supply.width)[root.axis]
                root.free += whole - root.size[root.axis]
                root.size[root.axis] = whole
            else:
                outer = Box([supply.length, supply.width], 1 - root.axis, None)
                outer.kids.append(root)
                outer.free -= root.size[1 - root.axis] + job.kerf
                root.parent, root = outer, outer
            assert root.size[across] == (supply.length, supply.width)[across]
        if tight:
            tighten_all(root, job.kerf)
        roots.append((stock, root))
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
    job: Job,
    filler: Filler,
    layout: Layout,
    patience: Patience,
    settings: Callable[[Roots], int],
) -> tuple[Roots, tuple[Item, ...]]:
    """Same sheets, better laid."""
    if not layout.roots:
        return (), layout.left
    price = price_of(job, layout)
    effort = patience.effort
    tried: list[Layout] = [layout]
    frames: list[tuple[Roots, Reserve | None]] = [(_emptied(job, layout, None), None)]
    if not layout.left:
        long_strip = _longest_strip(job, filler, layout, patience)
        if long_strip.reserve is not None:
            tried.append(long_strip)
            frames.append((_emptied(job, long_strip, long_strip.reserve), long_strip.reserve))
        trials = [(order, rule) for order in _ORDERS for rule in range(RULES)]
        for order, rule in trials[: max(4, effort // 10)]:
            if patience.over:
                break
            for frame, reserve in frames:
                found = filler.fill(frame, order, rule)
                if not found.left and len(found.roots) == len(frame):
                    tried.append(replace(found, reserve=reserve))
    best: tuple[float, int] | None = None
    chosen: Roots = ()
    for candidate in tried:
        if price_of(job, candidate) > price or (chosen and patience.over):
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


_ORDERS = (BY_AREA, BY_LONGER, BY_WIDTH, BY_LENGTH)


def _emptied(job: Job, layout: Layout, reserve: Reserve | None) -> Roots:
    sheets = [(stock, empty_sheet(job, stock)) for stock, _ in layout.roots]
    if reserve is not None:
        sheets[reserve.sheet] = _shortened(job, sheets[reserve.sheet][0], reserve)
    return tuple(sheets)


def _shortened(job: Job, stock: int, reserve: Reserve) -> tuple[int, Box]:
    supply = job.supplies[stock]
    size = [supply.length, supply.width]
    size[reserve.axis] -= reserve.strip + job.kerf
    return stock, Box(size, 0, None)


def _longest_strip(job: Job, filler: Filler, layout: Layout, patience: Patience) -> Layout:
    """Set strips of the emptiest sheet aside, halving the interval between what works and what cannot."""
    best = layout
    score = max(largest_keepable(job, roots_of(job, layout, tight=t)) for t in (True, False))
    spares = [root.area - sum(item.area for item in root.items()) for _, root in layout.roots]
    last = max(range(len(spares)), key=lambda i: (spares[i], -i))
    spare = sum(spares)
    inner = Patience(patience.effort)
    for axis in (0, 1):
        size = layout.roots[last][1].size
        cross = size[1 - axis]
        low = max(score / cross, min(job.keep))
        high = min(size[axis] - job.least_side - job.kerf, spare / cross)
        base = layout
        for _ in range(6):
            if high - low < 0.01 * size[axis] or patience.over:
                break
            middle = float(round((low + high) / 2))
            reserve = Reserve(last, axis, middle)
            sheets = list(base.roots)
            stock, root = sheets[last]
            sheets[last] = _shortened(job, stock, reserve)
            found = filler.refill(
                tuple(sheets), root.items(), steps=patience.effort // 4, patience=inner
            )
            if found.left or len(found.roots) != len(sheets):
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
