"""A sheet's cuts as one line of text, so that a layout that was found with much time can be kept and made again.

    sheet 1 | along: 600 (300 deck, 250.5 lid turned), 410 side

A sheet is first divided along its length ("along") or across it; each part of it, with its measure in that direction,
is a blank or is divided the other way in its turn. Measures are millimeters; between neighbors lies a saw cut. Spaces
do not count.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence

from casewright.planning.cutting.model import Blank, Stock
from casewright.planning.cutting.tree import UNITS_PER_MM, Box, Item, add_kid, to_tree

_AXES = ("along", "across")
_TOKENS = re.compile(r"\s*([(),]|[^\s(),]+)")
_DEEPEST = 60
"""Divisions inside each other; more is no layout that anybody saws."""


class Unreadable(ValueError):
    """It is no sheet as `sheet_text` writes it."""


def sheet_text(root: Box, stock: str, key_of: Callable[[int], str]) -> str:
    """Return a sheet's cuts as text.

    Args:
        root: The sheet.
        stock: Key of what it is cut from.
        key_of: Key of a blank by the number its items carry.
    """

    def inside(box: Box) -> str:
        if box.item is not None:
            return key_of(box.item.kind) + (" turned" if box.turned else "")
        return "(" + kids(box) + ")"

    def kids(box: Box) -> str:
        return ", ".join(f"{_measure(kid.size[box.axis])} {inside(kid)}" for kid in box.kids)

    if root.item is not None:
        return f"{stock} | whole: {inside(root)}"
    return f"{stock} | {_AXES[root.axis]}: {kids(root)}"


def read_sheet(
    text: str,
    stock: Mapping[str, Stock],
    kinds: Mapping[str, int],
    blanks: Sequence[Blank],
    kerf: float,
) -> tuple[str, Box]:
    """Return the key of the stock and the tree that a text stands for.

    Args:
        text: As `sheet_text` writes it.
        stock: What there is, by key.
        kinds: Number of each blank, by key.
        blanks: By number.
        kerf: Of the saw. [mm]

    Raises:
        Unreadable: It is no such text, or it does not fit: a blank that is not there or has another size or grain, a
            sheet that is not there, or not enough room for a saw cut.
    """
    key, bar, rest = text.partition("|")
    way, colon, rest = rest.partition(":")
    key, way = key.strip(), way.strip()
    if not bar or not colon or key not in stock or way not in (*_AXES, "whole"):
        raise Unreadable(text)
    sheet = stock[key]
    size = [to_tree(sheet.usable_length), to_tree(sheet.usable_width)]
    reader = _Reader(rest, kinds, blanks, to_tree(kerf))
    root = Box(size, _AXES.index(way) if way in _AXES else 0, None)
    if way == "whole":
        reader.fill(root)
    else:
        reader.divide(root, 0)
    reader.end()
    return key, root


class _Reader:
    def __init__(
        self, text: str, kinds: Mapping[str, int], blanks: Sequence[Blank], kerf: float
    ) -> None:
        self.tokens: list[str] = _TOKENS.findall(text)
        self.place = 0
        self.kinds = kinds
        self.blanks = blanks
        self.kerf = kerf

    def next(self) -> str:
        if self.place == len(self.tokens):
            raise Unreadable("it ends early")
        self.place += 1
        return self.tokens[self.place - 1]

    def peek(self) -> str:
        return self.tokens[self.place] if self.place < len(self.tokens) else ""

    def end(self) -> None:
        if self.peek():
            raise Unreadable(self.peek())

    def divide(self, box: Box, depth: int) -> None:
        """Kids of a box, up to a bracket or the end."""
        if depth > _DEEPEST:
            raise Unreadable("divided too often")
        while True:
            try:
                along = to_tree(float(self.next()))
            except (ValueError, OverflowError):
                raise Unreadable("a measure is missing") from None
            if not 0 < along <= box.free + 0.5:
                raise Unreadable("there is no room for it")
            kid = add_kid(box, along, kerf=self.kerf)
            if self.peek() == "(":
                self.next()
                self.divide(kid, depth + 1)
                if self.next() != ")":
                    raise Unreadable("a bracket is open")
            else:
                self.fill(kid)
            if self.peek() != ",":
                return
            self.next()

    def fill(self, box: Box) -> None:
        """One blank, exactly as large as its box."""
        kind = self.kinds.get(self.next())
        if kind is None:
            raise Unreadable("a blank is not there")
        blank = self.blanks[kind]
        item = Item(kind, to_tree(blank.length), to_tree(blank.width), blank.grain == "none")
        turned = self.peek() == "turned"
        if turned:
            self.next()
        if turned and not item.may_turn:
            raise Unreadable("its grain forbids it to be turned")
        asked = (item.width, item.length) if turned else (item.length, item.width)
        if any(abs(a - b) > 0.5 for a, b in zip(asked, box.size, strict=True)):
            raise Unreadable("a blank has another size")
        box.item, box.turned = item, turned


def _measure(size: float) -> str:
    return f"{size / UNITS_PER_MM:.6f}".rstrip("0").rstrip(".")


__all__ = ["Unreadable", "read_sheet", "sheet_text"]
