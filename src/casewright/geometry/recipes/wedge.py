"""A wedge: base, back, deck and front, without a screen. Side view:

    __--| C
D -  deck| back
|________|
A  base   B
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from casewright.basics.errors import InputErrors
from casewright.basics.reckoning import Reckoning, Term, derived, total
from casewright.basics.units import TOUCHING
from casewright.design.panels import Panel
from casewright.design.project import Project
from casewright.geometry.recipes.assembly import stack_thickness
from casewright.geometry.recipes.ledger import Ledger


def deck_of_wedge(
    ledger: Ledger,
    project: Project,
    panels: Mapping[str, Panel],
    *,
    slope_deg: float,
    need: Reckoning,
    least: float,
    deck_wish: float | None,
    depth_wish: float | None,
) -> tuple[float, float]:
    """Depth of the deck along its slope, and of the cabinet. [mm]

    The deck runs from the front edge to the back, so either gives the other: depth = deck × cos(slope). The back takes
    its thickness from below the deck's rear, where nothing is placed.

    Raises:
        InputErrors: both are wished for and do not agree.
    """
    cos = math.cos(math.radians(slope_deg))
    back = stack_thickness(project, panels, "back")
    rear = total(
        need.key,
        need.label,
        (*need.terms, Term("back, along the deck", back / cos)),
        rule=need.rule,
    )
    wish, name = deck_wish, "deck_depth"
    if depth_wish is not None:
        if deck_wish is not None and abs(deck_wish * cos - depth_wish) > TOUCHING:
            ledger.refuse(
                "depth",
                ledger.length(depth_wish),
                f"{ledger.length(deck_wish * cos)}, which deck_depth and slope give, or one of the two left out",
                ledger.length(deck_wish * cos),
            )
            raise InputErrors(ledger.errors)
        wish = depth_wish / cos
        name = "depth"
    short = wish is not None and wish < least + back / cos - TOUCHING
    deck = rear.value if wish is None else wish
    depth = deck * cos
    if wish is None:
        ledger.numbers.append(rear)
    else:
        given = [Term("needed", rear.value), Term("from the wish", wish - rear.value)]
        ledger.numbers.append(total(need.key, need.label, given))
    ledger.numbers.append(
        derived(
            "shape.depth",
            "depth, front edge to back",
            depth,
            "deck × cos(slope)",
            [Term("deck", deck, key=need.key), Term("slope", slope_deg, unit="deg")],
        )
    )
    if short:
        enough = least + back / cos
        if name == "deck_depth":
            ledger.too_small("deck-depth", name, need, deck, enough, ("deck",))
        else:  # told as it is wished for: level, not along the slope
            level = replace(need, label="depth of the cabinet, front edge to back")
            ledger.too_small("deck-depth", name, level, depth, enough * cos, ("deck",))
    return deck, depth


__all__ = ["deck_of_wedge"]
