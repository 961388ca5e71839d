"""Controls only: a wedge for the lap or a table."""

from __future__ import annotations

import math
from collections.abc import Mapping

from casewright.basics.errors import InputErrors
from casewright.basics.reckoning import Term, total
from casewright.design.panels import Seam
from casewright.design.parts import KnownPart
from casewright.design.project import Project
from casewright.design.shape import LapShape
from casewright.geometry.model import SolvedShape
from casewright.geometry.recipes.assembly import assemble, merged_panels, stack_thickness
from casewright.geometry.recipes.deck import deck_need, front_need
from casewright.geometry.recipes.extents import spots_on
from casewright.geometry.recipes.ledger import Ledger
from casewright.geometry.recipes.tabletop import LIP, LIP_SEAMS
from casewright.geometry.recipes.upright import BODY
from casewright.geometry.recipes.wedge import deck_of_wedge
from casewright.geometry.recipes.widths import solve_width
from casewright.geometry.viewers import base_over_floor, viewers


def solve_lap(project: Project, parts: Mapping[str, KnownPart], shape: LapShape) -> SolvedShape:
    """Return the outline with every wish settled.

    Raises:
        InputErrors: panels or wishes that no such outline can be made of.
    """
    ledger = Ledger.of(project)
    ledger.within("slope_deg", shape.slope_deg, 0.0, 40.0)
    if ledger.errors:
        raise InputErrors(ledger.errors)
    ledger.numbers.append(base_over_floor(project, parts))
    panels = merged_panels(project, {**BODY, **LIP})
    on_deck = spots_on(project, parts, "deck")
    need, least = deck_need(on_deck, shape.palm_room)
    deck, depth = deck_of_wedge(
        ledger,
        project,
        panels,
        slope_deg=shape.slope_deg,
        need=need,
        least=least,
        deck_wish=None,
        depth_wish=shape.depth,
    )
    asked, lowest = front_need(
        on_deck,
        spots_on(project, parts, "lip"),
        key="shape.front_height",
        label="height of the front lip",
        deck_depth=deck,
        slope_deg=shape.slope_deg,
        deck=stack_thickness(project, panels, "deck"),
        base=stack_thickness(project, panels, "base"),
        batten=project.batten.height,
    )
    front = ledger.settle(
        "front_height",
        shape.front_height,
        asked,
        panels=("lip", "deck"),
        rule="lip-height",
        least=lowest,
    )
    thin = stack_thickness(project, panels, "deck") + stack_thickness(project, panels, "base") + 1.0
    if front < thin:
        ledger.refuse(
            "front_height",
            ledger.length(front),
            f"more than {ledger.least(thin)}",
            ledger.length(asked.value),
        )
    rise = deck * math.sin(math.radians(shape.slope_deg))
    ledger.numbers.append(
        total(
            "shape.height",
            "height, without feet",
            [Term("front lip", front, key="shape.front_height"), Term("deck's rise", rise)],
        )
    )
    width = solve_width(project, parts, tuple(panels), viewers(project, parts), ledger)
    return assemble(
        project,
        panels,
        [
            ((0.0, 0.0), "base"),
            ((depth, 0.0), "back"),
            ((depth, front + rise), "deck"),
            ((0.0, front), "lip"),
        ],
        [
            *LIP_SEAMS,
            Seam(between=("deck", "back"), rule="cover", over="deck"),
            Seam(between=("back", "base"), rule="cover", over="back"),
        ],
        width=width,
        ledger=ledger,
    )


__all__ = ["solve_lap"]
