"""Which of two plans is better, by the maker's aims."""

from __future__ import annotations

import math
from collections.abc import Sequence

from casewright.planning.cutting.job import Measured, Price
from casewright.planning.cutting.model import AIMS, Aim, CutPlan, SawLimits, Stock, Wishes
from casewright.planning.cutting.polish import Standing, better


def better_plan(
    one: CutPlan,
    other: CutPlan,
    stock: Sequence[Stock],
    *,
    saw: SawLimits,
    wishes: Wishes,
    aims: Sequence[Aim] = AIMS,
) -> bool:
    """Whether one plan beats another of the same parts, as `plan_cuts` compares layouts.

    Args:
        one: A plan.
        other: The plan it is held against; it stands where both are equal.
        stock: What both are cut from.
        saw: Kerf and limits. [mm]
        wishes: What counts most, and the most stages.
        aims: Which of them are looked at; all if not given.
    """
    if wishes.stages and one.stages > max(wishes.stages, other.stages):
        return False
    looked_at = tuple(aim for aim in wishes.aims if aim in aims)
    return better(looked_at, _standing(one, stock, saw), _standing(other, stock, saw))


def _standing(plan: CutPlan, stock: Sequence[Stock], saw: SawLimits) -> Standing:
    kinds = {one.key: one for one in stock}
    used = [kinds[sheet.stock] for sheet in plan.sheets]
    bought = [one for one in used if not one.offcut]
    priced = all(one.price > 0 for one in stock if not one.offcut)
    price: Price = (
        math.fsum(left.need_length * left.need_width * left.quantity for left in plan.unplaced),
        round(plan.price, 6) if priced else float(plan.bought),
        plan.bought,
        math.fsum(one.usable_length * one.usable_width for one in bought),
        len(used) - len(bought),
    )
    offcut = plan.largest_offcut
    long = saw.longest_carry or math.inf
    heavy = sum(
        not cut.trimming and max(cut.length, cut.width) > long + 1e-6
        for sheet in plan.sheets
        for cut in sheet.cuts
    )
    measured = Measured(plan.fence_settings, plan.cut_length, heavy, plan.stages)
    return Standing(
        price,
        offcut.area if offcut else 0.0,
        lambda: measured,
        carries=saw.longest_carry is not None,
    )


__all__ = ["better_plan"]
