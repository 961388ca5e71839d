"""What a project's cutting layouts take of the stock and leave for it."""

from __future__ import annotations

import hashlib
import json
import math
from dataclasses import fields
from typing import Any

from casewright.basics.errors import RefusedError
from casewright.basics.units import LengthStyle, format_length, rounding_error, shown_beyond
from casewright.design.materials import Material, StockSheet
from casewright.design.project import Project
from casewright.planning.blanks import Cutting, stock_of
from casewright.planning.cutting import Areas, SheetLayout
from casewright.stock.taking import Bought, Leftover, Taking, Wanted


def taking_of(project: Project, cutting: Cutting) -> Taking:
    """Return what a project's cutting layouts take of the stock and leave for it.

    Sheets of the project with a mark are the stock's; the others are bought for it. Leftovers are written in the
    project's unit, rounded down, so that none is promised larger than it is.

    Raises:
        RefusedError: There is nothing to cut, or pieces have no place on any sheet.
    """
    missing = [
        f"{plan.label}: {sum(left.quantity for left in plan.plan.unplaced)} pieces have no place on any sheet."
        for plan in cutting.plans
        if plan.plan.unplaced
    ]
    if missing:
        raise RefusedError(missing)
    if not cutting.plans:
        raise RefusedError([f"{project.name}: there is nothing left to cut from sheets."])
    counts: dict[tuple[str, float, float], int] = {}
    bought: dict[tuple[str, float, float], int] = {}
    leftovers: list[Leftover] = []
    shares: list[Areas] = []
    told: list[object] = [project.name]
    for plan in cutting.plans:
        material = project.materials[plan.material]
        sheets = sheets_by_key(project, material)
        for layout in plan.plan.sheets:
            sheet = sheets.get(layout.stock)
            if sheet is None:  # what is left of a sheet that is begun: taken already
                continue
            at = (sheet.mark or plan.label, sheet.length, sheet.width)
            into = counts if sheet.mark else bought
            into[at] = into.get(at, 0) + 1
            told.append(_trace(plan.material, sheet.mark or "", layout))
            shares.append(layout.areas)
            leftovers += [
                _leftover(
                    material,
                    plan.label,
                    sheet.mark or "a bought sheet",
                    project,
                    offcut.length,
                    offcut.width,
                )
                for offcut in layout.offcuts
            ]
    text = json.dumps(told, sort_keys=True, separators=(",", ":"))
    return Taking(
        project=project.name,
        plan=hashlib.sha256(text.encode()).hexdigest(),
        wanted=tuple(Wanted(mark, n, le, wi) for (mark, le, wi), n in sorted(counts.items())),
        bought=tuple(Bought(label, n, le, wi) for (label, le, wi), n in sorted(bought.items())),
        leftovers=tuple(leftovers),
        areas=sum_of(shares),
    )


def sheets_by_key(project: Project, material: Material) -> dict[str, StockSheet]:
    """A material's sheets by the keys that its plan gives them; what is left of begun sheets is not among them."""
    stock = stock_of(project, material)
    return {one.key: sheet for one, sheet in zip(stock, material.sheets, strict=True)}


def sum_of(shares: list[Areas]) -> Areas:
    """Areas of several sheets together. [mm²]"""
    return Areas(
        **{
            one.name: math.fsum(getattr(share, one.name) for share in shares)
            for one in fields(Areas)
        }
    )


def _trace(material: str, mark: str, layout: SheetLayout) -> object:
    """What tells one sheet's layout from another, to a thousandth of a millimeter."""
    return [
        material,
        mark,
        round(layout.length, 3),
        round(layout.width, 3),
        [
            [p.blank, round(p.x, 3), round(p.y, 3), round(p.length, 3), round(p.width, 3)]
            for p in layout.placements
        ],
    ]


def _leftover(
    material: Material,
    label: str,
    origin: str,
    project: Project,
    length: float,
    width: float,
) -> Leftover:
    # A 32nd of an inch or a millimeter's tenth: what a tape tells.
    style = LengthStyle("in" if project.unit == "in" else "mm")

    def write(value: float) -> str:
        return format_length(shown_beyond(value, style, up=False), style)

    def exact(value: float) -> str:
        """A thickness: in inches where it is a whole number of 64ths, else to the hundredth of a millimeter."""
        fine = LengthStyle("in", denominator=64)
        if project.unit == "in" and abs(rounding_error(value, fine)) < 0.005:
            return format_length(value, fine)
        return f"{round(value, 2):g} mm"

    written: dict[str, Any] = {
        "kind": "offcut",
        "label": label,
        "material": material.kind,
        "species": material.species,
        "nominal": exact(material.nominal),
        "measured": None if material.measured is None else exact(material.measured),
        "length": write(length),
        "width": write(width),
        "grain": material.grain,
        "color": material.color,
    }
    kept = {name: value for name, value in written.items() if value not in (None, "")}
    return Leftover(kept, origin, length, width)


__all__ = ["sheets_by_key", "sum_of", "taking_of"]
