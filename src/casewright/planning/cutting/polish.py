"""The same sheets, better laid, by the aims in their order."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial

from casewright.planning.cutting.filling import Filler
from casewright.planning.cutting.grove import BY_AREA, BY_LENGTH, BY_LONGER, BY_WIDTH, RULES
from casewright.planning.cutting.job import (
    Job,
    Layout,
    Measure,
    Measured,
    Patience,
    Price,
    Reserve,
    Roots,
    empty_sheet,
    price_of,
)
from casewright.planning.cutting.model import Aim
from casewright.planning.cutting.tree import Box, Item, Look, add_kid, open_groups, tighten_all


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
        open_groups(root, job.kerf)
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
    layouts: Sequence[Layout],
    patience: Patience,
    measure: Measure,
) -> tuple[Roots, tuple[Item, ...]]:
    """The first layout's sheets, better laid; or another of the layouts, where that suits the aims better."""
    layout = layouts[0]
    if not layout.roots:
        return (), layout.left
    effort = patience.effort
    tried: list[Layout] = list(layouts)
    frames: list[tuple[Roots, Reserve | None]] = [(_emptied(job, layout, None), None)]
    if not layout.left:
        long_strip = _longest_strip(job, filler, layout, patience)
        if long_strip.reserve is not None:
            tried.append(long_strip)
            frames.append((_emptied(job, long_strip, long_strip.reserve), long_strip.reserve))
        frames += [(halved, None) for halved in _halved(job, layout)]
        trials = [(order, rule) for order in _ORDERS for rule in range(RULES)]
        for order, rule in trials[: max(4, effort // 10)]:
            if patience.over:
                break
            for frame, reserve in frames:
                found = filler.fill(frame, order, rule)
                if not found.left and len(found.roots) == len(frame):
                    tried.append(replace(found, reserve=reserve))
    best: Standing | None = None
    chosen: Roots = ()
    seen: set[tuple[tuple[int, Look], ...]] = set()
    for candidate in tried:
        if len(candidate.left) > len(layout.left) or (chosen and patience.over):
            continue
        price = price_of(job, candidate)
        if best is not None and job.aims[0] == "sheets" and price > best.price:
            continue
        for tight in (True, False):
            if chosen and patience.over:
                break
            roots = roots_of(job, candidate, tight=tight)
            look = tuple((stock, root.look()) for stock, root in roots)
            if look in seen:
                continue
            seen.add(look)
            now = Standing(
                price, largest_keepable(job, roots), partial(measure, roots), carries=job.carry > 0
            )
            if job.stages and now.cuts.stages > job.stages:
                continue
            if best is None or better(job.aims, now, best):
                best, chosen = now, roots
    return chosen, layout.left


@dataclass(frozen=True)
class Standing:
    """How a layout does. Its cuts are laid out only where they tell: that is most of the work."""

    price: Price
    offcut: float
    measure: Callable[[], Measured]
    carries: bool = False
    """Whether it is known how long a piece one person handles."""

    @cached_property
    def cuts(self) -> Measured:
        """What the saw has to do."""
        return self.measure()

    @property
    def heavy(self) -> int:
        """Cuts on pieces too long to handle."""
        return self.cuts.heavy if self.carries else 0


_EQUAL = {"offcut": 0.02, "cut length": 0.01}
"""Shares by which two layouts may differ and still count as equal."""


def better(aims: Sequence[Aim], one: Standing, other: Standing) -> bool:
    """Whether one layout beats another: the first aim in which they differ tells.

    Cuts on pieces too long to handle come right after the sheets, and before all else where the sheets do not come
    first.
    """
    for aim in aims:
        if aim == "sheets":
            a: list[float] = [*one.price, one.heavy]
            b: list[float] = [*other.price, other.heavy]
            if a != b:
                return a < b
            continue
        if aims[0] == aim and one.heavy != other.heavy:
            return one.heavy < other.heavy
        if aim == "offcut":
            mine, theirs = -one.offcut, -other.offcut
        elif aim == "settings":
            mine, theirs = float(one.cuts.settings), float(other.cuts.settings)
        else:
            mine, theirs = one.cuts.cut_length, other.cuts.cut_length
        if abs(mine - theirs) > _EQUAL.get(aim, 0.0) * max(abs(mine), abs(theirs)):
            return mine < theirs
    return False


def _halved(job: Job, layout: Layout) -> list[Roots]:
    """The sheets empty and, where one person cannot handle them, divided into two pieces that he can."""
    frames: list[Roots] = []
    if not job.carry:
        return frames
    for place in (0, 1, 2):  # the first piece is half, as long as can be, as short as can be
        sheets = []
        for stock, _ in layout.roots:
            box = empty_sheet(job, stock)
            size = max(box.size)
            rest = size - job.carry - job.kerf
            if job.carry < size and rest <= job.carry and rest >= job.least_side:
                axis = box.size.index(size)
                box = Box(box.size, axis, None)
                near = (float(round((size - job.kerf) / 2)), job.carry, rest)[place]
                add_kid(box, near, kerf=job.kerf)
                if box.free >= job.least_side:
                    add_kid(box, box.free, kerf=job.kerf)
            sheets.append((stock, box))
        if any(box.kids for _, box in sheets):
            frames.append(tuple(sheets))
    return frames


_STEPS_A_SECOND = 300  # of the search as plain Python, on a slow computer
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
            steps = patience.effort // 4
            if patience.timed:
                steps = min(steps, int(_STEPS_A_SECOND * patience.left))
            found = filler.refill(tuple(sheets), root.items(), steps=steps, patience=inner)
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


__all__ = ["Standing", "better", "largest_keepable", "polish", "roots_of"]
