"""Fill sheets with parts: the door to the rows of numbers of `grove.py`."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from casewright.planning.cutting import grove
from casewright.planning.cutting.compiled import PLAIN, Engine, fast_engine
from casewright.planning.cutting.grove import BY_AREA, Grove
from casewright.planning.cutting.job import Job, Layout, Patience, Roots, Supply
from casewright.planning.cutting.tree import Box, Item

_SEED = 20240229
_MEMORY = 50  # passes that late acceptance looks back on
_CHUNK = {True: 200, False: 8}  # steps between two looks at the clock, compiled or not


class Filler:
    """Lays the parts of one job."""

    def __init__(self, job: Job, engine: Engine) -> None:
        self.job = job
        self.engine = engine
        self._f = engine.functions
        items = job.items
        kinds: dict[tuple[float, float, bool], int] = {}
        for item in items:
            kinds.setdefault((item.length, item.width, item.may_turn), len(kinds))
        self._number = {id(item): number for number, item in enumerate(items)}
        self._parts = self._f.Parts(
            engine.floats([item.length for item in items]),
            engine.floats([item.width for item in items]),
            engine.floats([item.area for item in items]),
            engine.ints([1 if item.may_turn else 0 for item in items]),
            engine.ints([kinds[item.length, item.width, item.may_turn] for item in items]),
            engine.ints([item.inner_stages for item in items]),
        )
        self._limits = self._f.Limits(job.kerf, job.least_side, job.stages)
        self._desk = self._f.Desk(
            engine.ints([0] * (8 * len(items) + 8)),
            engine.floats([0.0] * len(items)),
            engine.ints([0] * len(items)),
            engine.ints([_SEED, 0]),
            engine.floats([0.0] * _MEMORY),
            engine.floats([0.0, 0.0, grove.PACKED]),
            engine.floats([1.0] * len(items)),
        )

    def lay(self, order: int, rule: int, policy: Sequence[int]) -> Layout:
        """Lay all parts, the largest first, and take a new sheet only where none has room.

        `policy` names the stocks in the order in which new sheets are tried.
        """
        job, engine = self.job, self.engine
        supplies = job.supplies
        stock: list[float] = []
        for supply in supplies:
            stock += [supply.length, supply.width]
        many = len(job.items)
        counts = [many if s.count is None else s.count for s in supplies]
        taken = engine.ints([0] * (len(supplies) + many))
        g = self._empty(many, job.items)
        self._f.sort_outside(g, self._parts, self._desk, order)
        sheets = self._f.lay(
            g,
            self._parts,
            self._desk,
            self._limits,
            rule,
            engine.ints(list(policy)),
            engine.floats(stock),
            engine.ints(counts),
            taken,
        )
        stocks = [int(k) for k in taken[len(supplies) : len(supplies) + sheets]]
        return self._layout(g, stocks)

    def fill(self, frames: Roots, order: int, rule: int) -> Layout:
        """Lay all parts on empty sheets, which may be divided already."""
        g = self._grove(frames, self.job.items)
        self._f.sort_outside(g, self._parts, self._desk, order)
        self._f.put_back(g, self._parts, self._desk, self._limits, rule, 0.0)
        return self._layout(g, [stock for stock, _ in frames])

    def refill(
        self,
        roots: Roots,
        left: Sequence[Item],
        *,
        steps: int,
        patience: Patience,
        until: float = 0.0,
    ) -> Layout:
        """Find a place for the parts left over by lifting others out and putting all back.

        Args:
            roots: The sheets as they are; empty ones may be among them.
            left: What is to find a place.
            steps: How often parts are lifted, where no clock ends the search.
            patience: Time.
            until: Stop when only so much time is left.

        Source:
            J. Gardeyn, T. Wauters, Eur. J. Oper. Res. 301 (2022), for lowering the number of sheets first and then
            working on the area left over; E. Burke, Y. Bykov, Eur. J. Oper. Res. 258 (2017), for late acceptance.
        """
        f, parts = self._f, self._parts
        trial = self._grove(roots, left)
        desk = self._desk
        f.sort_outside(trial, parts, desk, BY_AREA)
        f.put_back(trial, parts, desk, self._limits, 0, 0.0)
        now, best = self._grove(roots, left), self._grove(roots, left)
        f.copy(trial, now)
        f.copy(trial, best)
        cost = f.left_over(trial, parts)
        span = _MEMORY if patience.timed else max(15, min(_MEMORY, steps // 40))
        memory = self.engine.floats([cost] * span)
        costs = self.engine.floats([cost, cost, grove.PACKED])
        weights = self.engine.floats([1.0] * len(self.job.items))
        desk = desk._replace(memory=memory, costs=costs, weights=weights)
        chunk = _CHUNK[self.engine.compiled]
        done = 0
        while costs[1] > 0 and (patience.left > until if patience.timed else done < steps):
            part = chunk if patience.timed else min(chunk, steps - done)
            done = f.search(now, trial, best, parts, desk, self._limits, done, part)
        return self._layout(best, [stock for stock, _ in roots])

    def _empty(self, sheets: int, left: Sequence[Item], there: int = 0) -> Grove:
        """No sheet is open yet; all of `left` is outside, and so many nodes will be there besides the sheets.

        A part takes three nodes at most where it is laid. Those above it stay when its neighbors are lifted out, so
        that no number of them is enough for certain; where they run out, a part stays outside.
        """
        engine, count = self.engine, len(self.job.items)
        nodes = sheets + max(4 * count, there + 3 * len(left))
        if len(self._desk.opened) < nodes:
            self._desk = self._desk._replace(opened=engine.ints([0] * (2 * nodes)))
        outside = [self._number[id(item)] for item in left]
        spare = list(range(nodes - 1, sheets - 1, -1))
        bag = [len(spare), len(outside), *spare, *[0] * sheets, *outside]
        bag += [0] * (count - len(outside))
        made: Grove = self._f.Grove(
            engine.ints([grove.NOWHERE] * (8 * nodes)),
            engine.floats([0.0] * (4 * nodes)),
            engine.ints(bag),
            engine.floats([0.0] * (2 * sheets)),
        )
        return made

    def _grove(self, roots: Sequence[tuple[int, Box]], left: Sequence[Item]) -> Grove:
        there = sum(len(root.boxes()) - 1 for _, root in roots)
        g = self._empty(len(roots), left, there)
        for sheet, (_, root) in enumerate(roots):
            self._f.open_sheet(g, sheet, root.size[0], root.size[1])
            g.links[8 * sheet + grove.AXIS] = root.axis
            g.sizes[4 * sheet + grove.FREE] = root.free
            waiting = [(root, sheet)]
            while waiting:
                box, node = waiting.pop()
                for kid in box.kids:
                    twin = self._f.new_node(g, node, kid.axis, kid.size[0], kid.size[1])
                    g.sizes[4 * twin + grove.FREE] = kid.free
                    if kid.item is not None:
                        g.links[8 * twin + grove.PART] = self._number[id(kid.item)]
                        g.links[8 * twin + grove.TURNED] = 1 if kid.turned else 0
                        g.load[sheet] += kid.item.area
                    waiting.append((kid, twin))
        return g

    def _layout(self, g: Grove, stocks: Sequence[int]) -> Layout:
        """The filled sheets as trees, and what is outside."""
        roots = []
        items = self.job.items
        links, sizes = list(map(int, g.links)), list(map(float, g.sizes))

        def tree(node: int, parent: Box | None) -> Box:
            n, m = 8 * node, 4 * node
            box = Box([sizes[m], sizes[m + 1]], links[n + grove.AXIS], parent)
            box.free = sizes[m + grove.FREE]
            part = links[n + grove.PART]
            if part >= 0:
                box.item, box.turned = items[part], links[n + grove.TURNED] == 1
            kid = links[n + grove.KID]
            while kid >= 0:
                box.kids.append(tree(kid, box))
                kid = links[8 * kid + grove.NEXT]
            box.kids.reverse()  # new ones were linked in at the front
            return box

        for sheet, stock in enumerate(stocks):
            root = tree(sheet, None)
            root.drop_empty(self.job.kerf)
            if root.kids:
                roots.append((stock, root))
        first = grove.HEAD + len(links) // 8
        outside = [int(p) for p in g.bag[first : first + int(g.bag[grove.OUTSIDE])]]
        return Layout(tuple(roots), tuple(items[part] for part in outside))


@lru_cache(maxsize=1)
def ready_engine() -> Engine:
    """The quickest functions there are, every one of them used once.

    That loads them, or compiles them where it has never been done on this computer, which takes some ten seconds.
    """
    engine = fast_engine()
    if engine.compiled:
        items = (Item(0, 3.0, 2.0, True), Item(1, 3.0, 3.0, False))
        job = Job(items, (Supply(4.0, 3.0, None, 1.0, False),), 0.0, 1, (1.0, 1.0))
        filler = Filler(job, engine)
        try:
            found = filler.lay(BY_AREA, 0, (0,))
            filler.refill(found.roots[:1], found.roots[1][1].items(), steps=2, patience=Patience(1))
        except OSError:  # a full disk: they cannot be kept
            return PLAIN
    return engine


__all__ = ["Filler", "ready_engine"]
