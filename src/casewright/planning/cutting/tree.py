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

Look = tuple[object, ...]
"""What tells one layout from another."""
UNITS_PER_MM = 1e6
SHAVING = 0.05  # mm; a rest thinner than this is left on: no saw takes it off


def to_tree(length: float) -> float:
    """Millimeters to tree units."""
    return float(round(length * UNITS_PER_MM))


class Item:
    """One copy of a blank, or of a group that stays together; copies share `kind`."""

    __slots__ = ("area", "kind", "length", "long", "may_turn", "members", "width")

    def __init__(
        self,
        kind: int,
        length: float,
        width: float,
        may_turn: bool,
        members: tuple[Item, ...] = (),
    ) -> None:
        self.kind = kind
        self.length = length
        self.width = width
        self.area = length * width
        self.long = max(length, width)
        self.may_turn = may_turn and length != width
        self.members = members
        """Of a group: what it is cut into, end to end along its length."""

    @property
    def inner_stages(self) -> int:
        """Stages that cutting a group up takes: across the strip, then along it where one is narrower."""
        if not self.members:
            return 0
        return 2 if any(member.width < self.width for member in self.members) else 1

    def fits(self, length: float, width: float) -> bool:
        """Whether a rectangle takes it."""
        straight = self.length <= length and self.width <= width
        return straight or (self.may_turn and self.width <= length and self.length <= width)


class Box:
    """A rectangle of the sheet: one part, or kids along `axis` and a free rest."""

    __slots__ = ("across", "axis", "free", "item", "kids", "parent", "size", "turned")

    def __init__(self, size: list[float], axis: int, parent: Box | None) -> None:
        self.size = size
        self.axis = axis
        self.parent = parent
        self.kids: list[Box] = []
        self.free = size[axis]
        self.across = size[1 - axis]
        self.item: Item | None = None
        self.turned = False

    def boxes(self) -> list[Box]:
        """This box and all below it."""
        found = [self]
        for box in found:  # grows as it goes
            found += box.kids
        return found

    def copy(self, parent: Box | None = None) -> Box:
        """The same tree, to be changed freely."""
        twin = Box(self.size[:], self.axis, parent)
        twin.free, twin.across = self.free, self.across
        twin.item, twin.turned = self.item, self.turned
        twin.kids = [kid.copy(twin) for kid in self.kids]
        return twin

    def look(self) -> Look:
        """Equal for boxes that are divided alike into parts of the same sizes."""
        part = -1 if self.item is None else self.item.kind
        return (*self.size, self.axis, part, self.turned, *(kid.look() for kid in self.kids))

    def items(self) -> list[Item]:
        """All parts in it."""
        return [box.item for box in self.boxes() if box.item is not None]

    def drop_empty(self, kerf: float) -> None:
        """Give the room of kids that hold nothing back."""
        for kid in self.kids:
            kid.drop_empty(kerf)
        for kid in [kid for kid in self.kids if kid.item is None and not kid.kids]:
            self.kids.remove(kid)
            self.free += kid.size[self.axis] + kerf

    @property
    def area(self) -> float:
        """Area of the rectangle, in square tree units."""
        return self.size[0] * self.size[1]


def add_kid(parent: Box, along: float, *, kerf: float) -> Box:
    """Cut a kid off the free rest of a box; it is divided across in its turn."""
    size = [parent.across, parent.across]
    size[parent.axis] = along
    kid = Box(size, 1 - parent.axis, parent)
    parent.kids.append(kid)
    parent.free -= along + kerf
    return kid


def tighten_all(box: Box, kerf: float) -> None:
    """Shrink every box below to what its kids need, from the leaves up; the room gathers in the boxes above."""
    for kid in box.kids:
        tighten_all(kid, kerf)
    if box.item is None and box.parent is not None:
        _shrink(box, kerf)


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


def open_groups(box: Box, kerf: float) -> None:
    """Divide every part that is a group into its members."""
    for each in box.boxes():
        group = each.item
        if group is None or not group.members:
            continue
        each.item = None
        axis = 1 if each.turned else 0
        each.axis, each.free, each.across = axis, each.size[axis], each.size[1 - axis]
        for member in group.members:
            along, across = member.length, member.width
            kid = add_kid(each, along, kerf=kerf)
            if across < kid.across:
                kid = add_kid(kid, across, kerf=kerf)
            kid.item, kid.turned = member, each.turned


def stages(box: Box, kerf: float, before: int = -1) -> int:
    """How often the direction of the cuts changes until all parts are free, waste cut off; the first counts as 1.

    `before` is the axis of the cut that freed the box, −1 for a whole sheet.
    """
    cut = len(box.kids) > 1 or (bool(box.kids) and box.free + kerf > SHAVING * UNITS_PER_MM)
    axis = box.axis if cut else before
    below = max((stages(kid, kerf, axis) for kid in box.kids), default=0)
    return below + (1 if cut and axis != before else 0)


__all__ = [
    "SHAVING",
    "UNITS_PER_MM",
    "Box",
    "Item",
    "Look",
    "add_kid",
    "open_groups",
    "stages",
    "tighten_all",
    "to_tree",
]
