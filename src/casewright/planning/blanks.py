"""Pieces become rectangles to be cut from sheets, and lengths to be cut from battens."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from casewright.basics.errors import InputError
from casewright.basics.findings import Finding, Place, Remedy, Rule, Severity
from casewright.basics.units import TOUCHING
from casewright.basics.wording import counted
from casewright.design.materials import Material
from casewright.design.project import Project
from casewright.geometry.model import Cabinet, Piece, Point3
from casewright.planning.cutting import (
    Blank,
    CutPlan,
    SawLimits,
    Stock,
    Wishes,
    better_plan,
    cutting_findings,
    plan_cuts,
)
from casewright.planning.joints import is_along_u
from casewright.planning.nests import with_nests
from casewright.planning.sheet_cures import sheet_cures, usable_sizes

WOODS = ("plywood", "mdf", "solid wood")
"""Kinds of sheets whose edges are trimmed before pieces are cut from them."""

MOST_STEPS = 1_000_000
"""Of any search."""

NO_STOCK = Rule(
    id="cutting.no-sheet-size",
    severity=Severity.CAUTION,
    asks="Each material says in which sheets it is bought.",
    why="Without a sheet size nobody can say how many sheets to buy, or whether the pieces fit.",
    source="Project setting",
)


KEPT = Rule(
    id="cutting.kept-layout-outdated",
    severity=Severity.NOTE,
    asks="A layout that was kept is of the pieces and sheets there are.",
    why="Sheets whose pieces have changed or are cut are laid out anew, with less time than was taken for them.",
    source="Project setting",
)


@dataclass(frozen=True)
class MaterialPlan:
    """How one material's pieces are cut."""

    material: str
    label: str
    blanks: tuple[Blank, ...]
    stock: tuple[Stock, ...]
    plan: CutPlan

    @property
    def pieces(self) -> tuple[str, ...]:
        """Keys of all pieces, those of nests too."""
        return tuple(part for blank in self.blanks for part in blank.parts)


@dataclass(frozen=True)
class BattenCut:
    """One length of batten."""

    key: str
    label: str
    length: float


@dataclass(frozen=True)
class Cutting:
    """All cutting of a cabinet."""

    plans: tuple[MaterialPlan, ...]
    battens: tuple[BattenCut, ...]
    findings: tuple[Finding, ...]


def plan_cutting(
    cabinet: Cabinet,
    *,
    effort: int | None = None,
    seconds: float | None = None,
    clock: Callable[[], float] | None = None,
    again: Collection[str] = (),
    tell: Callable[[str], None] = lambda label: None,
) -> Cutting:
    """Lay every sheet piece that is still to be cut out on its material's sheets, and list the battens.

    Args:
        cabinet: The cabinet; pieces that its records call cut are left out.
        effort: Steps of the search; as the project wishes if not given.
        seconds: Look for fewer sheets of each material as long as this instead, by `clock`.
        clock: What tells the time.
        again: Keys of pieces that are cut but have to be made anew.
        tell: Told the label of each material as it is begun. What it raises ends the planning.
    """
    project = cabinet.project
    saw, wishes = saw_of(project), wishes_of(project)
    if effort is None:
        effort = project.cutting.steps
    plans, findings = [], []
    for key, material in project.materials.items():
        blanks = tuple(
            blank for blank in blanks_of(cabinet, key) if to_cut(project, blank.key, again)
        )
        if not blanks:
            continue
        label = material.label or key
        tell(label)
        stock = (*whole_stock(cabinet, key), *rests_of(cabinet, key))
        if not stock:
            findings.append(
                NO_STOCK.finding(
                    f"{label}: {counted(len(blanks), 'piece')} to cut, but no sheet size is given.",
                    names=tuple(blank.key for blank in blanks),
                    missing=f"materials.{key}.sheets",
                )
            )
            continue

        def planned(
            these: tuple[Blank, ...],
            stock: tuple[Stock, ...] = stock,
            *,
            timed: bool = False,
            steps: int = effort,
        ) -> CutPlan:
            if seconds is None or not timed:
                return _planned(these, stock, saw, wishes, steps)
            return plan_cuts(
                these, stock, saw=saw, wishes=wishes, effort=effort, seconds=seconds, clock=clock
            )

        plan = planned(blanks)
        blanks, plan, told_of_nests = with_nests(
            cabinet,
            blanks,
            stock,
            thickness=material.thickness,
            saw=saw,
            wishes=wishes,
            plan=plan,
            planned=planned,
        )
        lines = project.cutting.kept.get(key, ())
        if lines:
            held = _planned(blanks, stock, saw, wishes, effort, lines)
            if better_plan(held, plan, stock, saw=saw, wishes=wishes):
                plan = held
            if held.kept < len(lines):
                told_of_nests += (_outdated(held.kept, len(lines), key),)
        if seconds is not None:
            for longer in _ever_longer(planned, blanks, effort, seconds, clock):
                if better_plan(longer, plan, stock, saw=saw, wishes=wishes):
                    plan = longer
        remarks = (
            *_remarked(blanks, stock, saw, wishes, effort, plan, usable_sizes(cabinet, key)),
            *told_of_nests,
        )
        plans.append(MaterialPlan(key, label, blanks, stock, plan))
        findings += [
            replace(
                told,
                message=f"{label}: {told.message}",
                place=Place(told.place.names, _middle(cabinet, told.place.names)),
                remedies=sheet_cures(cabinet, key, told, blanks, stock),
            )
            for told in remarks
        ]
    battens = tuple(
        BattenCut(piece.key, piece.label, max(piece.width, piece.height))
        for piece in cabinet.pieces
        if piece.material == "batten" and to_cut(project, piece.key, again)
    )
    return Cutting(tuple(plans), battens, tuple(findings))


@lru_cache(maxsize=128)
def _planned(
    blanks: tuple[Blank, ...],
    stock: tuple[Stock, ...],
    saw: SawLimits,
    wishes: Wishes,
    effort: int,
    kept: tuple[str, ...] = (),
) -> CutPlan:
    """Remembered by value: a control that moves changes no blank."""
    return plan_cuts(blanks, stock, saw=saw, wishes=wishes, effort=effort, kept=kept)


@lru_cache(maxsize=128)
def _remarked(
    blanks: tuple[Blank, ...],
    stock: tuple[Stock, ...],
    saw: SawLimits,
    wishes: Wishes,
    effort: int,
    plan: CutPlan,
    sold: tuple[tuple[float, float], ...],
) -> tuple[Finding, ...]:
    return cutting_findings(plan, blanks, stock, saw=saw, wishes=wishes, effort=effort, sold=sold)


def _ever_longer(
    planned: Callable[..., CutPlan],
    blanks: tuple[Blank, ...],
    effort: int,
    seconds: float,
    clock: Callable[[], float] | None,
) -> Iterator[CutPlan]:
    """Plans of so many seconds: fewer sheets first; where those need no more time, ever more steps for the rest.

    The last one is begun only where it should come to its end in time.
    """
    now = clock or float  # without a clock the first says what is wrong
    begun = now()
    yield planned(blanks, timed=True)
    steps, took = max(effort, 200), 0.0
    while True:
        before = now()
        if before + 4 * took > begun + seconds:
            return
        steps = min(4 * steps, MOST_STEPS)
        yield planned(blanks, steps=steps)
        if steps == MOST_STEPS:
            return
        took = now() - before


def _outdated(holding: int, kept: int, material: str) -> Finding:
    return KEPT.finding(
        f"of the {kept} sheets kept {holding or 'none'} can still be cut as they were kept; the rest is laid out anew.",
        remedies=(
            Remedy("Look for a better layout again: casewright cut --seconds 10 --keep."),
            Remedy("Or forget what was kept.", f"cutting.kept.{material}", None),
        ),
    )


def to_cut(project: Project, key: str, again: Collection[str] = ()) -> bool:
    """Whether a piece is still to be cut: it does not exist, or has to be made anew."""
    record = project.as_built.get(key)
    return record is None or not record.reached("cut") or key in again


def saw_of(project: Project) -> SawLimits:
    """The saw that sheets are cut with, and the person at it. [mm]"""
    shop = project.shop
    return SawLimits(shop.kerf, shop.fence_reach, shop.carry_most)


def wishes_of(project: Project) -> Wishes:
    """What the project wishes of its layouts."""
    return Wishes(project.cutting.stages, project.cutting.order, project.cutting.strips)


def strip_errors(cabinet: Cabinet) -> list[InputError]:
    """Pieces that are to share a strip and do not exist, or are of another material than their neighbors."""
    pieces = cabinet.piece_by_key
    errors: list[InputError] = []
    first: dict[str, Piece] = {}
    for key, name in cabinet.project.cutting.together.items():
        at = f"cutting.together.{key}"
        piece = pieces.get(key)
        if piece is None:
            errors.append(
                InputError(at, got=key, want=f"the key of a piece: {', '.join(sorted(pieces))}")
            )
            continue
        other = first.setdefault(name, piece)
        if piece.material != other.material:
            errors.append(
                InputError(
                    at,
                    got=f"a piece of {piece.material}",
                    want=f"one of {other.material}, like {other.key}, with which it shares {name!r}",
                )
            )
    return errors


def blanks_of(cabinet: Cabinet, material: str) -> tuple[Blank, ...]:
    """Rectangles to cut from one material: each piece's extent over both faces. [mm]"""
    return tuple(_blank(piece) for piece in cabinet.pieces if piece.material == material)


def stock_of(project: Project, material: Material) -> tuple[Stock, ...]:
    """Sheets and offcuts of a material in its own order; new wood is trimmed, plastic and offcuts are not."""
    wood = material.kind in WOODS
    return tuple(
        Stock(
            key=f"{'offcut' if sheet.offcut else 'sheet'} {number}",
            length=sheet.length,
            width=sheet.width,
            quantity=sheet.quantity,
            price=sheet.price,
            offcut=sheet.offcut,
            trim=project.shop.edge_trim if wood and not sheet.is_sawn else 0.0,
        )
        for number, sheet in enumerate(material.sheets, start=1)
    )


REST = "left by"
"""Begins the keys of the stock that is left of sheets."""


def whole_stock(cabinet: Cabinet, material: str) -> tuple[Stock, ...]:
    """Sheets and offcuts of a material less those that made pieces were sawn from."""
    project = cabinet.project
    begun = [
        project.as_built[key].sheet
        for key in project.as_built
        if (piece := cabinet.piece_by_key.get(key)) is not None and piece.material == material
    ]
    return tuple(
        one
        if one.available is None
        else replace(one, quantity=max(0, one.available - begun.count(one.key)))
        for one in stock_of(project, project.materials[material])
    )


def rests_of(cabinet: Cabinet, material: str) -> tuple[Stock, ...]:
    """What is left of the sheets that made pieces were sawn from; used as it is."""
    return tuple(
        Stock(f"{REST} {key}, {number}", rest.length, rest.width, quantity=1, offcut=True)
        for key, record in cabinet.project.as_built.items()
        if (piece := cabinet.piece_by_key.get(key)) is not None and piece.material == material
        for number, rest in enumerate(record.rests, start=1)
    )


def stock_errors(project: Project) -> list[InputError]:
    """Sheets of which nothing is left once their edges are trimmed off, by the field as the project writes it."""
    return [
        InputError(
            f"materials.{key}.sheets.{index}",
            got=f"a sheet of {stock.length:g} × {stock.width:g} mm",
            want=f"a sheet wider than {2 * stock.trim:g} mm: {stock.trim:g} mm are trimmed off each edge",
            example="{length: 2440 mm, width: 1220 mm}",
        )
        for key, material in project.materials.items()
        for index, stock in enumerate(stock_of(project, material))
        if min(stock.usable_length, stock.usable_width) < TOUCHING
    ]


def batten_metres(battens: tuple[BattenCut, ...], *, kerf: float) -> float:
    """Metres of batten to buy: the cuts, a kerf each, a tenth more; to a whole half metre."""
    return metres_to_buy(math.fsum(cut.length + kerf for cut in battens))


def metres_to_buy(length: float) -> float:
    """Metres to buy of what is sold by the metre: a tenth more than needed [mm], to a whole half metre.

    Example:
        >>> metres_to_buy(4600)
        5.5
    """
    return math.ceil(length * 1.1 / 500 - 1e-9) / 2


def _blank(piece: Piece) -> Blank:
    length, width = piece.width, piece.height
    if not is_along_u(piece):
        length, width = width, length
    return Blank(
        key=piece.key,
        length=length,
        width=width,
        grain="none" if piece.grain == "none" else "length",
        label=piece.label,
    )


def _middle(cabinet: Cabinet, keys: Sequence[str]) -> Point3 | None:
    """Middle of the piece, where a finding names just one."""
    piece = cabinet.piece_by_key.get(keys[0]) if len(keys) == 1 else None
    if piece is None:
        return None
    (u0, v0, u1, v1) = piece.extent
    return piece.frame.point((u0 + u1) / 2, (v0 + v1) / 2)


def plans_by_material(cutting: Cutting) -> Mapping[str, MaterialPlan]:
    """Plans by material key."""
    return {plan.material: plan for plan in cutting.plans}


__all__ = [
    "KEPT",
    "NO_STOCK",
    "REST",
    "BattenCut",
    "Cutting",
    "MaterialPlan",
    "batten_metres",
    "blanks_of",
    "metres_to_buy",
    "plan_cutting",
    "plans_by_material",
    "rests_of",
    "saw_of",
    "stock_errors",
    "stock_of",
    "strip_errors",
    "to_cut",
    "whole_stock",
    "wishes_of",
]
