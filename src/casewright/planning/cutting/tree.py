"""A sheet as a tree of edge-to-edge cuts.

A `Box` is a rectangle. It either is one part, exactly, or is divided along one axis into `kids` that span it in the
other axis; what is left after the last kid and its saw cut is `free`. Kids are divided along the other axis, and so on.
Where a kid lies within its box does not matter until the end, so taking one out never leaves a hole in the middle.

    divided along x (0):   +----+------+-----------+
                           | k1 |  k2  |   free    |   free = size − Σ(kid + kerf)
                           +----+------+-----------+

Lengths are whole millionths of a millimeter, held as floats: sums are exact, an exact fit stays exact, and 1/64 in
(0.396875 mm) is a whole number.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import NamedTuple

UNITS_PER_MM = 1e6


def to_tree(length: float) -> float:
    """Millimeters to tree units."""
    return float(round(length * UNITS_PER_MM))


class Way(NamedTuple):
    """A part seen along the axis of a box: its measure along, across, and whether it lies turned."""

    along: float
    across: float
    turned: bool


class Item:
    """One copy of a blank; copies share `kind`."""

    __slots__ = ("area", "fits", "kind", "long", "ways")

    def __init__(self, kind: int, length: float, width: float, may_turn: bool) -> None:
        self.kind = kind
        self.area = length * width
        self.long = max(length, width)
        laid = [(length, width, False)]
        if may_turn and length != width:
            laid.append((width, length, True))
        # ways[axis]: how it can lie in a box divided along that axis
        self.ways = (
            tuple(Way(a, b, t) for a, b, t in laid),
            tuple(Way(b, a, t) for a, b, t in laid),
        )
        self.fits = self.ways[0]


class Box:
    """A rectangle of the sheet: one part, or kids along `axis` and a free rest."""

    __slots__ = ("across", "axis", "free", "item", "kids", "parent", "size", "turned", "twin")

    def __init__(self, size: list[float], axis: int, parent: Box | None) -> None:
        self.size = size
        self.axis = axis
        self.parent = parent
        self.kids: list[Box] = []
        self.free = size[axis]
        self.across = size[1 - axis]
        self.item: Item | None = None
        self.turned = False
        self.twin: Box = self

    def boxes(self) -> list[Box]:
        """This box and all below it."""
        found = [self]
        for box in found:  # grows as it goes
            found += box.kids
        return found

    def copy(self) -> Box:
        """The same tree, to be changed freely."""
        return _clone(self, None)

    def items(self) -> list[Item]:
        """All parts in it."""
        return [box.item for box in self.boxes() if box.item is not None]


class Spot(NamedTuple):
    """A place where a part fits; smaller `cost` is better."""

    cost: float
    sheet: int
    box: Box
    way: Way
    lengthwise: bool
    """The free rest is first divided across: the part starts a row of its own over the whole rest."""


class Rule(NamedTuple):
    """How places are compared: `fit` chooses the free rest, `split` how it is divided."""

    fit: int  # 0 sum of squared rests, 1 least area, 2 least short side, 3 like width
    split: int  # 0 keep the largest rest, 1 cut off first, 2 row first


RULES = tuple(Rule(fit, split) for fit in (0, 1, 2, 3) for split in (0, 1, 2) if fit or not split)


class Sheet:
    """One sheet being filled."""

    __slots__ = ("least", "open", "root", "stock", "used")

    def __init__(self, stock: int, length: float, width: float, least: float) -> None:
        self.stock = stock
        self.least = least  # shortest side of any part: a smaller rest is closed
        self.root = Box([length, width], 0, None)
        self.open = [self.root]
        self.used = 0.0

    def clone(self) -> Sheet:
        """A copy that can be changed freely; each old box then knows its `twin`."""
        copy = Sheet.__new__(Sheet)
        copy.stock, copy.least, copy.used = self.stock, self.least, self.used
        copy.root = _clone(self.root, None)
        copy.open = [box.twin for box in self.open]
        return copy

    def capacity(self) -> float:
        """Its usable area."""
        return self.root.size[0] * self.root.size[1]

    def place(self, spot: Spot, item: Item, kerf: float) -> None:
        """Put the part where `find_spot` said."""
        box, way = spot.box, spot.way
        axis, across, least = box.axis, box.across, self.least
        other = 1 - axis
        rest = box.free
        parent, free_after = box, rest - way.along - kerf
        if spot.lengthwise:
            row = _child(box, axis, rest, other)
            box.free = -kerf
            row.free = across - way.across - kerf
            if row.free >= least:
                self.open.append(row)
            parent = _child(row, other, way.across, axis)
            parent.free = free_after
            if free_after >= least and way.across >= least:
                self.open.append(parent)
            leaf = _child(parent, axis, way.along, other)
        else:
            box.free = free_after
            leaf = _child(box, axis, way.along, other)
            if way.across != across:
                leaf.free = across - way.across - kerf
                if leaf.free >= least and way.along >= least:
                    self.open.append(leaf)
                leaf = _child(leaf, other, way.across, axis)
        leaf.item, leaf.turned = item, way.turned
        self.used += item.area
        if box.free < least:
            self.open.remove(box)

    def take_out(self, box: Box, kerf: float, *, tighten: bool) -> list[Item]:
        """Take a box with all its parts away and give its room back."""
        items = box.items()
        self.used -= sum(item.area for item in items)
        if len(items) == 0 or box.parent is None:
            self.used = 0.0
            self.root = Box(self.root.size, 0, None)
            self.open = [self.root]
            return items
        parent: Box | None = box.parent
        while parent is not None:
            parent.kids.remove(box)
            parent.free += box.size[parent.axis] + kerf
            if parent.kids:
                break
            box, parent = parent, parent.parent
        if tighten:
            _tighten(parent, kerf)
        least = self.least
        self.open = [
            b for b in self.root.boxes() if b.item is None and b.free >= least and b.across >= least
        ]
        return items


def _child(parent: Box, axis: int, along: float, own_axis: int) -> Box:
    size = [parent.across, parent.across]
    size[axis] = along
    box = Box(size, own_axis, parent)
    parent.kids.append(box)
    return box


def _clone(box: Box, parent: Box | None) -> Box:
    copy = Box.__new__(Box)
    copy.size = box.size[:]
    copy.axis, copy.free, copy.across = box.axis, box.free, box.across
    copy.item, copy.turned, copy.parent = box.item, box.turned, parent
    copy.kids = [_clone(kid, copy) for kid in box.kids]
    copy.twin = copy
    box.twin = copy
    return copy


def _tighten(box: Box | None, kerf: float) -> None:
    """Shrink boxes to what their kids need, upward from `box`, so that the room goes to the box above."""
    while box is not None and box.parent is not None:
        _shrink(box, kerf)
        box = box.parent


def _shrink(box: Box, kerf: float) -> None:
    assert box.parent is not None
    axis = 1 - box.axis
    spare = min(0.0 if kid.item is not None else max(0.0, kid.free + kerf) for kid in box.kids)
    if spare > 0:
        box.size[axis] -= spare
        box.across -= spare
        box.parent.free += spare
        for kid in box.kids:
            kid.size[axis] -= spare
            kid.free -= spare


def tighten_all(box: Box, kerf: float) -> None:
    """Shrink every box below to what its kids need, from the leaves up; the room gathers in the boxes above."""
    for kid in box.kids:
        tighten_all(kid, kerf)
    if box.item is None and box.parent is not None:
        _shrink(box, kerf)


def find_spot(
    sheets: Sequence[Sheet],
    item: Item,
    rule: Rule,
    kerf: float,
    *,
    blink: float = 0.0,
    rng: random.Random | None = None,
) -> Spot | None:
    """The best place for a part on any of the sheets, or None.

    With `blink`, a better place is overlooked with that chance, which lets a search get out of a rut.
    """
    best = float("inf")
    found: Spot | None = None
    fit, split = rule
    all_ways = item.ways
    for index, sheet in enumerate(sheets):
        for box in sheet.open:
            free, wide = box.free, box.across
            for way in all_ways[box.axis]:
                along, across, _ = way
                if along > free or across > wide:
                    continue
                rest = free - along - kerf
                side = wide - across - kerf
                rest = 0.0 if rest < 0 else rest
                side = 0.0 if side < 0 else side
                # Cut off first: rest × wide and along × side. Row first: rest × across and free × side.
                if split == 0:
                    lengthwise = free * side > rest * wide and rest > 0 and side > 0
                else:
                    lengthwise = split == 2 and side > 0
                if fit == 0:
                    if lengthwise:
                        one, two = rest * across, free * side
                    else:
                        one, two = rest * wide, along * side
                    whole = free * wide
                    cost = whole * whole - one * one - two * two
                elif fit == 1:
                    cost = free * wide
                elif fit == 2:
                    cost = min(free - along, wide - across)
                else:
                    cost = (wide - across) * 1e6 + free - along
                if cost < best and not (blink and rng and rng.random() < blink):
                    best = cost
                    found = Spot(cost, index, box, way, lengthwise)
    return found


__all__ = [
    "RULES",
    "UNITS_PER_MM",
    "Box",
    "Item",
    "Rule",
    "Sheet",
    "Spot",
    "Way",
    "find_spot",
    "tighten_all",
    "to_tree",
]
