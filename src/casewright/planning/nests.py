"""Pieces that are no rectangles, some together in one blank, where the maker wishes it and it is better."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import shapely

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.wording import listed
from casewright.design.project import Project, Shop
from casewright.geometry.model import Cabinet, Piece
from casewright.planning.cutting import Blank, CutPlan, SawLimits, Stock, Wishes, better_plan
from casewright.planning.cutting.model import Aim, Outline
from casewright.planning.cutting.nesting import Profile, nested_blanks
from casewright.planning.joints import is_along_u
from casewright.planning.setups import is_rectangle

LEFT_ON = 2.5
"""Left inside or outside the line when sawing out. [mm] Common practice."""

TOGETHER = 4
"""Pieces in one nest at most: more are heavy to turn under a saw, and seldom save more."""

EARNED: tuple[Aim, ...] = ("sheets", "offcut")
"""What a nest has to better: shorter cuts at the table saw are only longer ones at the jigsaw."""

NO_SAW = Rule(
    id="cutting.nest-needs-a-saw",
    severity=Severity.NOTE,
    asks="Where pieces are to be nested, the shop has a jigsaw or a straight bit that saws them apart.",
    why="A nest is sawn along the lines inside a blank, where no table saw gets.",
    source="Project setting",
)
NO_GAIN = Rule(
    id="cutting.nest-brings-nothing",
    severity=Severity.NOTE,
    asks="Nested pieces make a better layout than blanks of their own.",
    why="A blank of its own is squarer to mark and to saw; a nest has to earn its trouble.",
    source="Project setting",
)


@dataclass(frozen=True)
class NestSaw:
    """What saws the pieces of a nest apart."""

    machine: Literal["jigsaw", "router"]
    gap: float
    """Least distance between two lines. [mm]"""
    bit: float = 0.0
    """Diameter of the router's bit. [mm]"""


def nest_saw(shop: Shop, thickness: float) -> NestSaw | None:
    """What the shop has to saw a board's nests apart; None where it has nothing.

    The jigsaw leaves `LEFT_ON` outside both lines and takes its own cut between. A straight bit runs along a template,
    right on both lines; the slimmest that reaches through.

    Args:
        shop: Its tools; a bit of which no cutting length is said counts as long enough.
        thickness: Of the board. [mm]

    Example:
        >>> nest_saw(Shop(jigsaw_kerf=2.0), 18.0)
        NestSaw(machine='jigsaw', gap=7.0, bit=0.0)
    """
    if shop.jigsaw_kerf is not None:
        return NestSaw("jigsaw", 2 * LEFT_ON + shop.jigsaw_kerf)
    sizes = [
        size
        for bit in shop.bits
        if bit.kind == "straight" and (bit.length >= thickness or not bit.length)
        for size in bit.sizes
    ]
    return NestSaw("router", min(sizes), min(sizes)) if sizes else None


def profiles_of(cabinet: Cabinet, blanks: Sequence[Blank]) -> tuple[Profile, ...]:
    """The pieces among these blanks that are no rectangles and not to share a strip, as they lie in their blanks."""
    pieces = cabinet.piece_by_key
    kept = cabinet.project.cutting.together
    return tuple(
        profile_of(pieces[blank.key])
        for blank in blanks
        if blank.key not in kept and blank.quantity == 1 and not is_rectangle(pieces[blank.key])
    )


def profile_of(piece: Piece) -> Profile:
    """A piece's outline over both faces, as it lies in its own blank. [mm]"""
    low_u, low_v, high_u, _ = piece.extent
    outline = piece.show
    if outline != piece.back:
        both = shapely.union(shapely.Polygon(piece.show), shapely.Polygon(piece.back))
        outline = tuple((float(u), float(v)) for u, v in both.exterior.coords[:-1])
    laid: Outline
    if is_along_u(piece):
        laid = tuple((u - low_u, v - low_v) for u, v in outline)
    else:  # a quarter turn to the right: v runs along the blank
        laid = tuple((v - low_v, high_u - u) for u, v in outline)
    return Profile(piece.key, piece.label, laid, "free" if piece.grain == "none" else "half")


def with_nests(
    cabinet: Cabinet,
    blanks: tuple[Blank, ...],
    stock: Sequence[Stock],
    *,
    thickness: float,
    saw: SawLimits,
    wishes: Wishes,
    plan: CutPlan,
    planned: Callable[[tuple[Blank, ...]], CutPlan],
) -> tuple[tuple[Blank, ...], CutPlan, tuple[Finding, ...]]:
    """The blanks and the plan with nests, as far as they make it better by the maker's aims.

    Args:
        cabinet: Whose pieces are cut.
        blanks: One for each piece, of one material.
        stock: What they are cut from.
        thickness: Of the board. [mm]
        saw: As for `plan_cuts`.
        wishes: As for `plan_cuts`.
        plan: Of these blanks without nests; it is kept where no nest is better.
        planned: Plans other blanks.
    """
    project = cabinet.project
    profiles = profiles_of(cabinet, blanks)
    if project.cutting.shapes == "blanks" or len(profiles) < 2:
        return blanks, plan, ()
    names = tuple(profile.key for profile in profiles)
    tool = nest_saw(project.shop, thickness)
    if tool is None:
        return blanks, plan, (_no_saw(project, names),)
    either = project.cutting.shapes == "nested, either face up"
    best_blanks, best = blanks, plan
    own = {blank.key: blank for blank in blanks}
    for group in _groups(profiles):
        for nest in _nests(group, tool.gap, either):
            if not any(_takes(one, nest) for one in stock):
                continue
            trial = _with(best_blanks, nest, own)
            found = planned(trial)
            if better_plan(found, best, stock, saw=saw, wishes=wishes) and better_plan(
                found, plan, stock, saw=saw, wishes=wishes, aims=EARNED
            ):
                best_blanks, best = trial, found
    if best is plan:
        told = NO_GAIN.finding(
            f"nested, {listed(profile.name for profile in profiles)} make no better layout; each has a blank of its "
            "own.",
            names=names,
            remedies=_turning(project),
        )
        return blanks, plan, (told,)
    return best_blanks, best, ()


def nested_parts(blanks: Sequence[Blank]) -> frozenset[str]:
    """Keys of the pieces that lie in nests."""
    return frozenset(part for blank in blanks if blank.nested for part in blank.parts)


def _groups(profiles: Sequence[Profile]) -> Iterator[tuple[Profile, ...]]:
    """Those of like area together, as a left and a right side are: two by two, then more; one may be left over.

    More than two together come to large ones with small ones in what these leave.
    """
    order = sorted(profiles, key=lambda p: (-round(p.polygon.area), p.key))
    for count in range(2, min(TOGETHER, len(order)) + 1):
        for start in range(0, len(order) - count + 1, count):
            yield tuple(order[start : start + count])


def _with(blanks: Sequence[Blank], nest: Blank, own: Mapping[str, Blank]) -> tuple[Blank, ...]:
    """The blanks with this nest; what lay with its parts in another nest is given its own blank again."""
    taken = set(nest.parts)
    kept = [blank for blank in blanks if not taken.intersection(blank.parts)]
    freed = [
        own[part]
        for blank in blanks
        if taken.intersection(blank.parts)
        for part in blank.parts
        if part not in taken
    ]
    return (*kept, *freed, nest)


@lru_cache(maxsize=32)
def _nests(group: tuple[Profile, ...], gap: float, either: bool) -> tuple[Blank, ...]:
    return nested_blanks(*group, gap=gap, either_face=either)


def _takes(stock: Stock, nest: Blank) -> bool:
    length, width = stock.usable_length, stock.usable_width
    straight = nest.length <= length and nest.width <= width
    turned = nest.grain == "none" and nest.width <= length and nest.length <= width
    return stock.available != 0 and (straight or turned)


def _no_saw(project: Project, names: tuple[str, ...]) -> Finding:
    return NO_SAW.finding(
        "pieces are to be nested, but the shop names neither a jigsaw nor a straight bit that reaches through; each "
        "has a blank of its own.",
        names=names,
        remedies=(
            Remedy(
                "Say how wide the jigsaw cuts, about 2 mm.",
                "shop.jigsaw_kerf",
                "2 mm" if project.unit != "in" else "5/64 in",
            ),
        ),
    )


def _turning(project: Project) -> tuple[Remedy, ...]:
    if project.cutting.shapes != "nested":
        return ()
    return (
        Remedy(
            "If both faces of the board are alike, let one lie turned over.",
            "cutting.shapes",
            "nested, either face up",
        ),
    )


__all__ = [
    "LEFT_ON",
    "NO_GAIN",
    "NO_SAW",
    "TOGETHER",
    "NestSaw",
    "nest_saw",
    "nested_parts",
    "profile_of",
    "profiles_of",
    "with_nests",
]
