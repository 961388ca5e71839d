"""How often something must be set at the very least, whatever the order: so the order found can be judged.

Every step of a machine belongs to a class: the tilt, the bit, the tilt with its fence. A class is set anew whenever the
machine stood otherwise in between. Two things force more than one setting a class:

- a chain of needs that leaves a class and comes back to it (bit 24, then bit 16, then bit 24 through what that made);
- a ring of classes, each with a step that must come before a step of the next: one class of the ring is set twice.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from itertools import combinations

EXACT = 14
"""Classes in rings up to which the least number that opens all rings is searched whole."""


def least_settings(classes: Sequence[Hashable | None], before: Sequence[int]) -> int:
    """Return a number of settings that no order can undercut.

    Args:
        classes: Class of each step; None for a step of another machine.
        before: Bits of all that must come before each step, as `earlier_steps` gives them.

    Source:
        Plain reasoning. A class visited once keeps its steps together; if every class of a ring were, each would have
        to stand before itself. So the classes visited more than once open every ring (a feedback vertex set).

    Example:
        >>> least_settings(["a", "b", "a"], [0, 0b001, 0b011])
        3
    """
    members = _members(classes)
    if not members:
        return 0
    follows = class_graph(members, before)
    runs = dict.fromkeys(members, 1)
    rings = [ring for ring in knots(follows) if len(ring) > 1]
    for ring in rings:
        for name in ring:
            runs[name] = _returns(name, classes, members, before)
    extra = 0
    for ring in rings:
        once = {name for name in ring if runs[name] == 1}
        extra += sum(_opened(knot, follows) for knot in knots(_within(follows, once)))
    return sum(runs.values()) + extra


def _members(classes: Sequence[Hashable | None]) -> dict[Hashable, int]:
    """Bits of the steps of each class, in the order of the steps."""
    members: dict[Hashable, int] = {}
    for index, name in enumerate(classes):
        if name is not None:
            members[name] = members.get(name, 0) | 1 << index
    return members


def class_graph(
    members: Mapping[Hashable, int], before: Sequence[int]
) -> dict[Hashable, set[Hashable]]:
    """Which classes have a step that some step of each must come before."""
    follows: dict[Hashable, set[Hashable]] = {name: set() for name in members}
    for later, bits in members.items():
        earlier = 0
        for index in _bits(bits):
            earlier |= before[index]
        for name, own in members.items():
            if name != later and own & earlier:
                follows[name].add(later)
    return follows


def _bits(value: int) -> list[int]:
    found = []
    while value:
        low = value & -value
        found.append(low.bit_length() - 1)
        value ^= low
    return found


def _returns(
    name: Hashable,
    classes: Sequence[Hashable | None],
    members: Mapping[Hashable, int],
    before: Sequence[int],
) -> int:
    """Most often that one chain of needs comes to a class, other classes of the machine between."""
    own = members[name]
    others = 0
    for another, bits in members.items():
        if another != name:
            others |= bits
    order = sorted(_bits(own | others), key=lambda index: before[index].bit_count())
    best: dict[int, int] = {}
    for index in order:
        earlier = _bits(before[index] & (own | others))
        if classes[index] == name:
            # Straight from its own class it is the same visit; from another one it is the next.
            best[index] = max(
                [1, *(best[i] + (classes[i] != name) for i in earlier if best[i] > 0)]
            )
        else:
            best[index] = max([0, *(best[i] for i in earlier)])
    return max(best[index] for index in _bits(own))


def _within(
    follows: Mapping[Hashable, set[Hashable]], names: set[Hashable]
) -> dict[Hashable, set[Hashable]]:
    return {name: follows[name] & names for name in follows if name in names}


def _opened(knot: Sequence[Hashable], follows: Mapping[Hashable, set[Hashable]]) -> int:
    """Fewest classes whose taking away leaves no ring in a knot; a safe lower number where the knot is large."""
    if len(knot) < 2:
        return 0
    names = set(knot)
    if len(knot) <= EXACT:
        for count in range(1, len(knot)):
            for taken in combinations(knot, count):
                rest = _within(follows, names - set(taken))
                if all(len(part) < 2 for part in knots(rest)):
                    return count
        return len(knot) - 1
    # Rings that share no class each need one of their own.
    count, rest = 0, _within(follows, names)
    while ring := _short_ring(rest):
        count += 1
        rest = _within(rest, set(rest) - set(ring))
    return count


def _short_ring(follows: Mapping[Hashable, set[Hashable]]) -> list[Hashable]:
    """A shortest ring, or nothing."""
    best: list[Hashable] = []
    for start in follows:
        paths: dict[Hashable, list[Hashable]] = {start: [start]}
        queue: list[Hashable] = [start]
        while queue and (not best or len(paths[queue[0]]) < len(best)):
            name = queue.pop(0)
            for after in sorted(follows[name], key=str):
                if after == start and (not best or len(paths[name]) < len(best)):
                    best = paths[name]
                elif after not in paths:
                    paths[after] = [*paths[name], after]
                    queue.append(after)
    return best


def knots(follows: Mapping[Hashable, set[Hashable]]) -> list[list[Hashable]]:
    """Strongly connected parts of a graph, in an order that follows the arrows.

    Source:
        Tarjan, Depth-first search and linear graph algorithms, 1972; from memory.
    """
    index: dict[Hashable, int] = {}
    low: dict[Hashable, int] = {}
    stack: list[Hashable] = []
    on_stack: set[Hashable] = set()
    found: list[list[Hashable]] = []

    def visit(name: Hashable) -> None:
        index[name] = low[name] = len(index)
        stack.append(name)
        on_stack.add(name)
        for after in sorted(follows[name], key=str):
            if after not in index:
                visit(after)
                low[name] = min(low[name], low[after])
            elif after in on_stack:
                low[name] = min(low[name], index[after])
        if low[name] == index[name]:
            part = []
            while True:
                top = stack.pop()
                on_stack.remove(top)
                part.append(top)
                if top == name:
                    break
            found.append(part)

    for name in follows:
        if name not in index:
            visit(name)
    return found[::-1]


__all__ = ["EXACT", "class_graph", "knots", "least_settings"]
