"""Cut rectangular blanks from sheets with a table or track saw, edge to edge."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.findings import at_least, mm
from casewright.basics.wording import counted, listed
from casewright.planning.cutting.bound import least_sheets
from casewright.planning.cutting.holding import held_sheets
from casewright.planning.cutting.job import Job, Measured, Patience, Roots, Supply
from casewright.planning.cutting.keeping import sheet_text
from casewright.planning.cutting.model import (
    AIMS,
    Areas,
    Blank,
    CutPlan,
    SawLimits,
    SheetLayout,
    Stock,
    Unplaced,
    Wishes,
)
from casewright.planning.cutting.search import best_sheets
from casewright.planning.cutting.steps import cut_up, fence_settings
from casewright.planning.cutting.tree import Item, stages, to_tree

_FITS = 1e-6  # mm; the grain of the tree's lengths


_LAST = 0.010  # s

NO_WISHES = Wishes()


def plan_cuts(
    blanks: Sequence[Blank],
    stock: Sequence[Stock],
    *,
    saw: SawLimits,
    wishes: Wishes = NO_WISHES,
    effort: int = 200,
    seconds: float | None = None,
    clock: Callable[[], float] | None = None,
    keepable: tuple[float, float] = (150.0, 300.0),
    kept: Sequence[str] = (),
) -> CutPlan:
    """Return where every blank lies and the order of the cuts.

    Sought are, in this order unless the wishes name another: the fewest bought sheets (the lowest price, if all bought
    stock has prices), the smallest bought area, the fewest of the shop's own offcuts used up, the fewest cuts on pieces
    longer than one person handles; the largest keepable offcut; the fewest fence settings; the shortest cuts. Offcuts
    are used where they save a bought sheet or money. The result depends on the arguments alone.

    Args:
        blanks: What is to be cut, one material and thickness. [mm]
        stock: Sheets to buy and offcuts at hand, of that material. [mm]
        saw: Kerf and limits of the saw and of the person at it. [mm]
        wishes: Most stages, what counts most, what stays together.
        effort: Steps of the search, 0 or more; time grows in proportion.
        seconds: Look for fewer sheets as long as this instead, by `clock`, unless none are possible.
        clock: What tells the time, such as `time.perf_counter`; needed with `seconds`.
        keepable: Shorter and longer side of the smallest leftover worth keeping. [mm]
        kept: Sheets of a plan found before, as its `texts` have them. Those that can still be cut just so are taken as
            they are, the rest is laid out anew.

    Raises:
        InputErrors: Everything that cannot be used: a length that is no number or not above 0, a key given twice, a
            sheet that trimming uses up.

    Source:
        Plain geometry; the search is described in `search.py`.

    Example:
        >>> sides = [Blank("side", 600, 400, quantity=3, grain="length")]
        >>> board = [Stock("board", 1220, 610)]
        >>> len(plan_cuts(sides, board, saw=SawLimits(kerf=3.2)).sheets)
        2
    """
    _check(blanks, stock, saw, effort, keepable, wishes, seconds, clock)
    # Putting the cuts in order comes after the search, and takes some milliseconds too.
    patience = Patience(effort, seconds and seconds - min(_LAST, seconds / 3), clock)
    fitting: list[Blank] = []
    too_large: list[Blank] = []
    for blank in blanks:
        fits = any(_fits(blank, s) for s in stock if s.available != 0)
        (fitting if fits else too_large).append(blank)
    supplies, chosen = _supplies(stock)
    held = held_sheets(kept, fitting, chosen, saw.kerf, wishes)
    left_to_lay = [
        replace(blank, quantity=blank.quantity - held.copies[number])
        for number, blank in enumerate(fitting)
    ]
    items, apart = _items(left_to_lay, stock, saw.kerf, wishes)
    there = [s for s in stock if s.available != 0]
    bound = least_sheets(fitting, there, saw.kerf)
    job = Job(
        items,
        held.less(supplies),
        to_tree(saw.kerf),
        least_sheets(left_to_lay, there, saw.kerf) if held.roots else bound,
        (to_tree(min(keepable)), to_tree(max(keepable))),
        wishes.stages or 0,
        to_tree(saw.longest_carry or 0.0),
        wishes.aims,
    )

    def namer(blank: int, copy: int) -> tuple[str, str]:
        part = fitting[blank]
        return part.key, part.name if part.quantity == 1 else f"{part.name} {copy}"

    def laid_out(roots: Roots) -> tuple[SheetLayout, ...]:
        order = sorted(
            range(len(roots)),
            key=lambda i: (roots[i][0], -sum(item.area for item in roots[i][1].items()), i),
        )
        copies: dict[int, int] = {}
        sheets: list[SheetLayout] = []
        fence: float | None = None
        for i in order:
            number, root = roots[i]
            done = cut_up(
                root,
                chosen[number],
                len(sheets) + 1,
                saw=saw,
                keepable=keepable,
                copies=copies,
                namer=namer,
                fence=fence,
            )
            fence = done.cuts[-1].fence if done.cuts else fence
            sheets.append(done)
        return tuple(sheets)

    def measure(found: Roots) -> Measured:
        sheets = laid_out(found)
        long = saw.longest_carry or math.inf
        steps = [step for sheet in sheets for step in sheet.cuts]
        return Measured(
            fence_settings(sheets),
            math.fsum(s.length if s.direction == "rip" else s.width for s in steps),
            sum(not s.trimming and max(s.length, s.width) > long + _FITS for s in steps),
            max((stages(root, job.kerf) for _, root in found), default=0),
        )

    roots, left = held.roots, tuple[Item, ...]()
    if items or not roots:
        found, left = best_sheets(job, patience, measure)
        roots += found
    sheets = laid_out(roots)
    bought = [chosen[number] for number, _ in roots if not chosen[number].offcut]
    shares = [sheet.areas for sheet in sheets]
    return CutPlan(
        sheets=sheets,
        unplaced=(
            *(_too_large(blank, stock) for blank in too_large),
            *_ran_out([one for item in left for one in item.members or (item,)], fitting),
        ),
        bought=len(bought),
        price=math.fsum(s.price for s in bought),
        lower_bound=bound,
        fence_settings=fence_settings(sheets),
        stages=max((stages(root, job.kerf) for _, root in roots), default=0),
        apart=apart,
        texts=tuple(
            sheet_text(root, chosen[number].key, lambda kind: fitting[kind].key)
            for number, root in roots
        ),
        kept=len(held.roots),
        areas=Areas(
            sheet=math.fsum(a.sheet for a in shares),
            parts=math.fsum(a.parts for a in shares),
            offcuts=math.fsum(a.offcuts for a in shares),
            waste=math.fsum(a.waste for a in shares),
            kerf=math.fsum(a.kerf for a in shares),
            trim=math.fsum(a.trim for a in shares),
        ),
    )


def _items(
    blanks: Sequence[Blank], stock: Sequence[Stock], kerf: float, wishes: Wishes
) -> tuple[tuple[Item, ...], tuple[tuple[str, ...], ...]]:
    """One item a copy, or a group; and the groups for which there is no sheet or no stage."""
    copies = {
        blank.key: [
            Item(number, to_tree(blank.length), to_tree(blank.width), blank.grain == "none")
            for _ in range(blank.quantity)
        ]
        for number, blank in enumerate(blanks)
    }
    groups: list[Item] = []
    apart: list[tuple[str, ...]] = []
    for number, keys in enumerate(wishes.together):
        members = tuple(item for key in keys for item in copies.get(key, ()))
        if len(members) < 2:
            continue
        group = Item(
            len(blanks) + number,
            sum(item.length for item in members) + (len(members) - 1) * to_tree(kerf),
            max(item.width for item in members),
            all(blank.grain == "none" for blank in blanks if blank.key in keys),
            members,
        )
        room = any(
            group.fits(to_tree(s.usable_length), to_tree(s.usable_width))
            for s in stock
            if s.available != 0
        )
        if not room or (wishes.stages and group.inner_stages + 2 > wishes.stages):
            apart.append(keys)
            continue
        groups.append(group)
        for key in keys:
            copies.pop(key, None)
    return (*(item for items in copies.values() for item in items), *groups), tuple(apart)


def _fits(blank: Blank, stock: Stock) -> bool:
    return fits_sheet(blank, stock.usable_length, stock.usable_width)


def _supplies(stock: Sequence[Stock]) -> tuple[tuple[Supply, ...], tuple[Stock, ...]]:
    """The stock there is, with costs: prices if all bought stock has one, else every sheet counts 1."""
    chosen = tuple(s for s in stock if s.available != 0)
    priced = all(s.price > 0 for s in chosen if not s.offcut)
    supplies = tuple(
        Supply(
            to_tree(s.usable_length),
            to_tree(s.usable_width),
            s.available,
            0.0 if s.offcut else s.price if priced else 1.0,
            s.offcut,
        )
        for s in chosen
    )
    return supplies, chosen


def _too_large(blank: Blank, stock: Sequence[Stock]) -> Unplaced:
    """What to say of a blank that fits no sheet there is."""
    reason, remedies, need = told_too_large([blank], stock)
    return Unplaced(blank.key, blank.quantity, reason, remedies, *need, is_too_large=True)


def told_too_large(
    blanks: Sequence[Blank], stock: Sequence[Stock]
) -> tuple[str, tuple[str, ...], tuple[float, float]]:
    """Why blanks fit no sheet there is, what would do, and the least untrimmed sheet that takes any of them. [mm]"""
    names = listed(f"{blank.name} ({mm(blank.length)} × {mm(blank.width)})" for blank in blanks)
    one = len(blanks) == 1
    there = [s for s in stock if s.available != 0]
    trim = max((s.trim for s in there if not s.offcut), default=0.0)
    sizes = [
        (b.length, b.width)
        if b.grain == "length" or one
        else (max(b.length, b.width), min(b.length, b.width))
        for b in blanks
    ]
    need = (max(a for a, _ in sizes) + 2 * trim, max(b for _, b in sizes) + 2 * trim)
    buy = f"{BUY} {at_least(need[0])} × {at_least(need[1])}."
    if not there:
        return f"{names} {'has' if one else 'have'} no sheet to be cut from.", (buy,), need
    largest = max(there, key=lambda s: (s.usable_length * s.usable_width, s.usable_length))
    reason = (
        f"{names} {'does' if one else 'do'} not fit the largest sheet, which takes "
        f"{mm(largest.usable_length)} × {mm(largest.usable_width)}"
    )
    grained = [blank for blank in blanks if blank.grain == "length"]
    if grained:
        reason += " with the grain along the first measure"
    remedies = [buy]
    if grained and all(fits_turned(blank, there) for blank in blanks):
        turned = listed(blank.name for blank in blanks)
        remedies.append(
            f"{TURN} {turned}: {'it fits' if one else 'they fit'} with the grain across "
            f"{'its' if one else 'their'} length."
        )
    if len(blanks) <= MOST_JOINTS:
        remedies += [joint for blank in blanks if (joint := _joint(blank, there))]
    return f"{reason}.", tuple(remedies), need


def fits_turned(blank: Blank, stock: Sequence[Stock]) -> bool:
    """Whether a sheet there is takes a blank with its grain across its length."""
    turned = replace(blank, length=blank.width, width=blank.length)
    return any(_fits(turned, s) for s in stock if s.available != 0)


def fits_sheet(blank: Blank, length: float, width: float) -> bool:
    """Whether a blank fits a sheet of that usable size. [mm]"""
    straight = blank.length <= length + _FITS and blank.width <= width + _FITS
    return straight or (
        blank.grain == "none" and blank.width <= length + _FITS and blank.length <= width + _FITS
    )


BUY = "Buy a sheet of at least"
"""The beginning of the order to buy a larger sheet; who knows what it is of says which is sold."""

TURN = "Turn"
"""The beginning of the order to turn a blank against its grain."""

MOST_JOINTS = 6
"""Of how many pieces it is told where each could be joined: who has more of them buys a larger sheet."""

JOINED = "joined over a backing strip."
"""The end of the order to make a part of several pieces; who knows its holes says where."""


def _joint(blank: Blank, stock: Sequence[Stock]) -> str:
    """Into how many pieces, end to end or else edge to edge, the blank would have to be cut."""
    ends: list[int] = []
    edges: list[int] = []
    for s in stock:
        ways = [(s.usable_length, s.usable_width)]
        if blank.grain == "none":
            ways.append((s.usable_width, s.usable_length))
        for along, across in ways:
            if blank.width <= across + _FITS:
                ends.append(math.ceil((blank.length - _FITS) / along))
            elif blank.length <= along + _FITS:
                edges.append(math.ceil((blank.width - _FITS) / across))
    if ends and min(ends) > 1:
        pieces, length, width = min(ends), blank.length / min(ends), blank.width
    elif not ends and edges:
        pieces, length, width = min(edges), blank.length, blank.width / min(edges)
    else:
        return ""
    return f"Or make {blank.name} of {pieces} pieces of {mm(length)} × {mm(width)}, {JOINED}"


def _ran_out(left: Sequence[Item], blanks: Sequence[Blank]) -> list[Unplaced]:
    result = []
    for number, blank in enumerate(blanks):
        count = sum(item.kind == number for item in left)
        if count:
            size = f"{mm(blank.length)} × {mm(blank.width)}"
            result.append(
                Unplaced(
                    blank.key,
                    count,
                    f"{blank.name} ({size}): {count} of {blank.quantity} found no room, the stock is used up.",
                    (
                        f"Buy more: at least {counted(count, 'piece')} of {size}, or one more sheet.",
                    ),
                    blank.length,
                    blank.width,
                )
            )
    return result


def _check(
    blanks: Sequence[Blank],
    stock: Sequence[Stock],
    saw: SawLimits,
    effort: int,
    keepable: tuple[float, float],
    wishes: Wishes,
    seconds: float | None,
    clock: Callable[[], float] | None,
) -> None:
    errors: list[InputError] = []

    def length(field: str, value: float, *, zero: bool = False) -> None:
        good = math.isfinite(value) and (value >= 0 if zero else value >= _FITS) and value <= 1e6
        if not good:
            want = "0 mm or more" if zero else "more than 0 mm"
            errors.append(InputError(field, got=f"{value} mm", want=f"{want}, 1 km at most"))

    seen: set[str] = set()
    for blank in blanks:
        at = f"blanks.{blank.key}"
        if blank.key in seen:
            errors.append(InputError(at, got="the same key twice", want="a key of its own"))
        seen.add(blank.key)
        length(f"{at}.length", blank.length)
        length(f"{at}.width", blank.width)
        if blank.quantity < 0:
            errors.append(InputError(f"{at}.quantity", got=blank.quantity, want="0 or more"))
        if blank.grain not in ("none", "length"):
            errors.append(InputError(f"{at}.grain", got=blank.grain, want="none or length"))
    seen.clear()
    for s in stock:
        at = f"stock.{s.key}"
        if s.key in seen:
            errors.append(InputError(at, got="the same key twice", want="a key of its own"))
        seen.add(s.key)
        length(f"{at}.length", s.length)
        length(f"{at}.width", s.width)
        length(f"{at}.trim", s.trim, zero=True)
        if s.quantity is not None and s.quantity < 0:
            errors.append(InputError(f"{at}.quantity", got=s.quantity, want="0 or more"))
        if not (math.isfinite(s.price) and s.price >= 0):
            errors.append(InputError(f"{at}.price", got=s.price, want="0 or more"))
        if min(s.usable_length, s.usable_width) < _FITS:
            errors.append(
                InputError(
                    f"{at}.trim",
                    got=f"{s.trim} mm",
                    want=f"less than half of the sheet's {min(s.length, s.width)} mm",
                )
            )
    length("saw.kerf", saw.kerf, zero=True)
    for field, limit in (("fence_reach", saw.fence_reach), ("longest_carry", saw.longest_carry)):
        if limit is not None:
            length(f"saw.{field}", limit)
    if effort < 0:
        errors.append(InputError("effort", got=effort, want="0 or more"))
    for side in keepable:
        length("keepable", side, zero=True)
    if seconds is not None and not (math.isfinite(seconds) and seconds > 0 and clock is not None):
        errors.append(
            InputError("seconds", got=seconds, want="more than 0, and a clock to tell them by")
        )
    if wishes.stages is not None and wishes.stages < 2:
        errors.append(InputError("wishes.stages", got=wishes.stages, want="2 or more"))
    if len(set(wishes.order)) < len(wishes.order) or not set(wishes.order) <= set(AIMS):
        errors.append(
            InputError("wishes.order", got=list(wishes.order), want=f"each once, of {list(AIMS)}")
        )
    grouped = [key for keys in wishes.together for key in keys]
    if len(set(grouped)) < len(grouped):
        errors.append(
            InputError("wishes.together", got=grouped, want="each blank in one group only")
        )
    if errors:
        raise InputErrors(errors)


__all__ = [
    "BUY",
    "JOINED",
    "MOST_JOINTS",
    "TURN",
    "fits_sheet",
    "fits_turned",
    "plan_cuts",
    "told_too_large",
]
