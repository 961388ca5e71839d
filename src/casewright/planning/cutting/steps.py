"""From the tree of a sheet to the order of cuts, one pass of the saw at a time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from casewright.planning.cutting.model import (
    Areas,
    CutResult,
    CutStep,
    Means,
    Offcut,
    Placement,
    ResultKind,
    SawLimits,
    SheetLayout,
    Stock,
)
from casewright.planning.cutting.tree import SHAVING, UNITS_PER_MM, Box

SLED_REACH = 600.0  # mm; the widest piece a home-made crosscut sled takes: common practice


@dataclass(frozen=True)
class Rect:
    """A rectangle on the sheet. [mm]"""

    x: float
    y: float
    length: float
    width: float

    def along(self, axis: int) -> float:
        """Its measure along x (0) or y (1)."""
        return self.width if axis else self.length

    def slice(self, axis: int, start: float, size: float) -> Rect:
        """The piece of it from `start` on, measured along `axis` from its low end."""
        if axis:
            return Rect(self.x, self.y + start, self.length, size)
        return Rect(self.x + start, self.y, size, self.width)

    @property
    def area(self) -> float:
        """Area. [mm²]"""
        return self.length * self.width


@dataclass
class _Piece:
    """What lies on the bench: a rectangle and what is still to be made of it."""

    rect: Rect
    kind: ResultKind
    blank: int = -1
    turned: bool = False
    axis: int = 0
    kids: tuple[Box, ...] = ()
    copy: int = 0


@dataclass
class _Cut:
    """A cut known by its two results."""

    piece: _Piece
    axis: int
    near: _Piece
    far: _Piece | None
    long_first: bool
    dust: float = 0.0
    """What the blade takes. [mm²]"""
    trimming: bool = False

    @property
    def fence(self) -> float:
        return round(self.near.rect.along(self.axis), 4)


Namer = Callable[[int, int], tuple[str, str]]
"""From a blank's number and a copy's number to its key and its name."""


def cut_up(
    root: Box,
    stock: Stock,
    index: int,
    *,
    saw: SawLimits,
    keepable: tuple[float, float],
    copies: dict[int, int],
    namer: Namer,
    fence: float | None,
) -> SheetLayout:
    """Lay out one sheet and put its cuts in order.

    Args:
        root: The sheet's tree, spanning the trimmed sheet.
        stock: What the sheet is.
        index: Its number in the plan.
        saw: Kerf and limits.
        keepable: Shorter and longer side of an offcut worth keeping. [mm]
        copies: How many copies of each blank are laid already; counted on.
        namer: Keys and names of the parts.
        fence: Where the fence stands from the sheet before. [mm]
    """
    usable = Rect(stock.trim, stock.trim, stock.usable_length, stock.usable_width)
    cuts: list[_Cut] = []
    leaves: list[_Piece] = []
    start = _settled(_piece(root, usable, keepable), leaves, keepable)
    whole = _trimming(stock, start, cuts)
    _divide(start, saw, keepable, cuts, leaves)
    parts = [leaf for leaf in leaves if leaf.kind == "part"]
    parts.sort(key=lambda p: (p.rect.x, p.rect.y))
    for part in parts:
        copies[part.blank] = copies.get(part.blank, 0) + 1
        part.copy = copies[part.blank]
    placements = tuple(
        Placement(
            namer(p.blank, p.copy)[0],
            p.copy,
            p.rect.x,
            p.rect.y,
            p.rect.length,
            p.rect.width,
            p.turned,
        )
        for p in parts
    )
    offcuts = sorted(
        (
            Offcut(p.rect.x, p.rect.y, p.rect.length, p.rect.width)
            for p in leaves
            if p.kind == "offcut"
        ),
        key=lambda o: (-o.area, o.x, o.y),
    )
    part_area = sum(p.rect.area for p in parts)
    offcut_area = sum(o.area for o in offcuts)
    waste = sum(p.rect.area for p in leaves if p.kind == "waste")
    dust = sum(cut.dust for cut in cuts)
    areas = Areas(
        sheet=stock.length * stock.width,
        parts=part_area,
        offcuts=offcut_area,
        waste=waste,
        kerf=dust,
        trim=stock.length * stock.width - usable.area,
    )
    return SheetLayout(
        stock=stock.key,
        index=index,
        length=stock.length,
        width=stock.width,
        trim=stock.trim,
        placements=placements,
        cuts=_steps(_ordered(cuts, whole, fence), whole, saw, namer),
        offcuts=tuple(offcuts),
        areas=areas,
    )


def _piece(box: Box, rect: Rect, keepable: tuple[float, float]) -> _Piece:
    if box.item is not None:
        return _Piece(rect, "part", box.item.kind, box.turned)
    if not box.kids:
        return _rest(rect, keepable)
    # widest first, equal ones together, so that the fence moves least and always inward
    kids = tuple(sorted(box.kids, key=lambda kid: -kid.size[box.axis]))
    return _Piece(rect, "piece", axis=box.axis, kids=kids)


def _rest(rect: Rect, keepable: tuple[float, float]) -> _Piece:
    sides = sorted((rect.length, rect.width))
    keep = sides[0] >= min(keepable) and sides[1] >= max(keepable)
    return _Piece(rect, "offcut" if keep else "waste")


def _trimming(stock: Stock, start: _Piece, cuts: list[_Cut]) -> _Piece:
    """The cuts that take the factory edges off; returns the whole sheet as it comes."""
    trim = stock.trim
    rect = Rect(0.0, 0.0, stock.length, stock.width)
    whole = _Piece(rect, "piece")
    if trim <= 0:
        return start
    piece = whole
    for axis, at_far_end in ((1, True), (1, False), (0, True), (0, False)):
        size = piece.rect.along(axis) - trim
        kept_rect = piece.rect.slice(axis, 0.0 if at_far_end else trim, size)
        last = axis == 0 and not at_far_end
        kept = start if last else _Piece(kept_rect, "piece")
        cuts.append(_Cut(piece, axis, kept, None, long_first=True, trimming=True))
        piece = kept
    return whole


def _divide(
    piece: _Piece,
    saw: SawLimits,
    keepable: tuple[float, float],
    cuts: list[_Cut],
    leaves: list[_Piece],
) -> None:
    if piece.kind != "piece":
        leaves.append(piece)
        return
    kerf, axis, kids, rect = saw.kerf, piece.axis, piece.kids, piece.rect
    sizes = [kid.size[axis] / UNITS_PER_MM for kid in kids]
    ends = []  # where each kid ends, measured from the low end of the piece
    at = 0.0
    for size in sizes:
        ends.append(at + size)
        at += size + kerf
    length = rect.along(axis)
    left_over = length - ends[-1]
    last_gap = len(kids) if left_over > SHAVING else len(kids) - 1
    assert last_gap > 0, "a piece of which nothing is to be cut"
    gap = 1
    too_long = saw.longest_carry is not None and max(rect.length, rect.width) > saw.longest_carry
    if too_long and length >= max(rect.length, rect.width):
        gap = min(
            range(1, last_gap + 1),
            key=lambda g: (max(ends[g - 1], length - ends[g - 1] - kerf), g),
        )
    near_rect = rect.slice(axis, 0.0, ends[gap - 1])
    near = _Piece(near_rect, "piece", axis=axis, kids=kids[:gap])
    far: _Piece | None = None
    far_size = length - ends[gap - 1] - kerf
    if far_size > 1e-6:
        far_rect = rect.slice(axis, ends[gap - 1] + kerf, far_size)
        rest_of_kids = _Piece(far_rect, "piece", axis=axis, kids=kids[gap:])
        far = rest_of_kids if kids[gap:] else _rest(far_rect, keepable)
    near = _settled(near, leaves, keepable)
    far = _settled(far, leaves, keepable) if far is not None else None
    dust = (min(kerf, length - ends[gap - 1]) if far_size <= 1e-6 else kerf) * rect.along(1 - axis)
    cuts.append(_Cut(piece, axis, near, far, long_first=too_long, dust=dust))
    _divide(near, saw, keepable, cuts, leaves)
    if far is not None:
        _divide(far, saw, keepable, cuts, leaves)


def _settled(piece: _Piece, leaves: list[_Piece], keepable: tuple[float, float]) -> _Piece:
    """A piece whose only kid fills it but for a shaving is that kid: nothing is cut off it."""
    while piece.kind == "piece" and len(piece.kids) == 1:
        size = piece.kids[0].size[piece.axis] / UNITS_PER_MM
        over = piece.rect.along(piece.axis) - size
        if over > SHAVING:
            break
        if over > 1e-6:
            leaves.append(_Piece(piece.rect.slice(piece.axis, size, over), "waste"))
        piece = _piece(piece.kids[0], piece.rect.slice(piece.axis, 0.0, size), keepable)
    return piece


def _ordered(cuts: list[_Cut], whole: _Piece, fence: float | None) -> list[_Cut]:
    """Trimming first, then pieces too long to carry, then as long as possible with the fence where it stands."""
    ready = [cut for cut in cuts if cut.piece is whole]
    waiting = {id(cut.piece): cut for cut in cuts if cut.piece is not whole}
    ordered: list[_Cut] = []
    while ready:
        settings = [cut.fence for cut in ready]
        ready.sort(
            key=lambda cut: (
                not cut.trimming,
                not cut.long_first,
                cut.fence != fence,
                -settings.count(cut.fence),
                -cut.piece.rect.area,
                cut.piece.rect.x,
                cut.piece.rect.y,
            )
        )
        cut = ready.pop(0)
        fence = cut.fence
        ordered.append(cut)
        for result in (cut.near, cut.far):
            if result is not None and id(result) in waiting:
                ready.append(waiting.pop(id(result)))
    assert not waiting, "a cut whose piece is never freed"
    return ordered


def _means(cut: _Cut, saw: SawLimits) -> Means:
    if saw.fence_reach is not None and cut.fence > saw.fence_reach:
        return "guide"
    rect = cut.piece.rect
    edge = rect.along(1 - cut.axis)
    if edge >= rect.along(cut.axis):
        return "fence"
    return "sled" if edge <= SLED_REACH else "guide"


def _letters(number: int) -> str:
    """0 is A, 25 Z, 26 AA."""
    text = ""
    number += 1
    while number:
        number, digit = divmod(number - 1, 26)
        text = chr(ord("A") + digit) + text
    return text


def _steps(
    cuts: Sequence[_Cut], whole: _Piece, saw: SawLimits, namer: Namer
) -> tuple[CutStep, ...]:
    names: dict[int, str] = {id(whole): "the sheet"}
    divided = {id(cut.piece) for cut in cuts}
    steps: list[CutStep] = []
    letter = 0
    for number, cut in enumerate(cuts, start=1):
        results = []
        for piece in (cut.near, cut.far):
            if piece is None:
                continue
            key = ""
            kind = piece.kind
            if kind == "part":
                key, name = namer(piece.blank, piece.copy)
            elif id(piece) in divided:
                if cut.trimming:
                    name = "the sheet"
                else:
                    name = f"piece {_letters(letter)}"
                    letter += 1
            else:
                name = kind
            names[id(piece)] = name
            rect = piece.rect
            results.append(
                CutResult(kind, name, rect.x, rect.y, rect.length, rect.width, key, piece.copy)
            )
        rect = cut.piece.rect
        steps.append(
            CutStep(
                number=number,
                piece=names[id(cut.piece)],
                x=rect.x,
                y=rect.y,
                length=rect.length,
                width=rect.width,
                direction="rip" if cut.axis else "crosscut",
                fence=cut.fence,
                means=_means(cut, saw),
                trimming=cut.trimming,
                results=tuple(results),
            )
        )
    return tuple(steps)


def fence_settings(sheets: Sequence[SheetLayout]) -> int:
    """How many different distances the fence or guide is set to over all sheets."""
    return len({round(step.fence, 2) for sheet in sheets for step in sheet.cuts})


__all__ = ["SHAVING", "SLED_REACH", "Namer", "Rect", "cut_up", "fence_settings"]
