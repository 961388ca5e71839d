"""Which sheets of a plan that was kept still hold: the blanks are the same and still to be cut, the sheet is there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from casewright.planning.cutting.job import Roots, Supply
from casewright.planning.cutting.keeping import Unreadable, read_sheet
from casewright.planning.cutting.model import Blank, Stock, Wishes
from casewright.planning.cutting.tree import Box, stages, to_tree


@dataclass(frozen=True)
class Held:
    """The sheets that hold."""

    roots: Roots
    copies: Counter[int]
    """Of each blank, by its number, so many lie on them."""
    used: Counter[int]
    """Of each stock, by its number."""

    def less(self, supplies: Sequence[Supply]) -> tuple[Supply, ...]:
        """What is left of the stock."""
        return tuple(
            s if s.count is None else replace(s, count=s.count - self.used[number])
            for number, s in enumerate(supplies)
        )


def held_sheets(
    texts: Sequence[str],
    blanks: Sequence[Blank],
    stock: Sequence[Stock],
    kerf: float,
    wishes: Wishes,
) -> Held:
    """The sheets that can be cut just as they were kept, one after the other as they stand.

    Args:
        texts: Of a plan.
        blanks: What is still to be cut.
        stock: What there is.
        kerf: Of the saw. [mm]
        wishes: The most stages, and the blanks of one strip: a sheet with a strip that is not whole does not hold.
    """
    kinds = {blank.key: number for number, blank in enumerate(blanks)}
    places = {one.key: number for number, one in enumerate(stock)}
    by_key = {one.key: one for one in stock}
    strips = [
        tuple(kinds[key] for key in keys if key in kinds)
        for keys in wishes.together
        if sum(key in kinds for key in keys) > 1
    ]
    roots: list[tuple[int, Box]] = []
    copies: Counter[int] = Counter()
    used: Counter[int] = Counter()
    for text in texts:
        try:
            key, root = read_sheet(text, by_key, kinds, blanks, kerf)
        except Unreadable:
            continue
        mine = Counter(item.kind for item in root.items())
        number, limit = places[key], by_key[key].available
        if (
            any(copies[kind] + count > blanks[kind].quantity for kind, count in mine.items())
            or (limit is not None and used[number] >= limit)
            or (wishes.stages and stages(root, to_tree(kerf)) > wishes.stages)
            or not all(_is_whole(strip, root) for strip in strips if set(strip) & set(mine))
        ):
            continue
        roots.append((number, root))
        copies += mine
        used[number] += 1
    return Held(tuple(roots), copies, used)


def _is_whole(strip: tuple[int, ...], root: Box) -> bool:
    """Whether the blanks of a strip lie end to end along their length, in their order, and nothing else between."""
    for box in root.boxes():
        kinds = [_end_to_end(kid, box.axis) for kid in box.kids]
        order = list(dict.fromkeys(kinds))
        if order == list(strip) and kinds == sorted(kinds, key=order.index):
            return True
    return False


def _end_to_end(box: Box, axis: int) -> int:
    """The kind of the one blank in a box, its length along an axis; −1 where it lies across, or others with it."""
    leaves = [one for one in box.boxes() if one.item is not None]
    if len(leaves) != 1 or leaves[0].item is None or leaves[0].turned != (axis == 1):
        return -1
    return leaves[0].item.kind


__all__ = ["Held", "held_sheets"]
