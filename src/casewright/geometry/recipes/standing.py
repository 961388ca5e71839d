"""A console or kiosk on the floor: deck at the height of working hands, screen over it, riser below it."""

from __future__ import annotations

from collections.abc import Mapping

from casewright.basics.findings import Remedy, mm
from casewright.basics.reckoning import Reckoning, Term, stated, total
from casewright.basics.units import TOUCHING
from casewright.design.panels import Panel, Seam
from casewright.design.parts import KnownPart
from casewright.design.project import Project
from casewright.design.shape import StandingShape
from casewright.geometry.model import SolvedShape
from casewright.geometry.recipes.deck import front_need
from casewright.geometry.recipes.ledger import TOO_SMALL
from casewright.geometry.recipes.upright import Corners, Front, Plan, Setting, solve_upright
from casewright.geometry.viewers import Viewer, playing

TILT_LIMITS = (5.0, 60.0)
"""A screen on a floor-standing console is laid back between these. [deg]

Source: common practice: 30 to 50° for people who stand; above 60° it is a table.
"""

BELOW_ELBOW = 125.0
"""Hands of somebody who stands work this far below the elbow. [mm]

Source: common practice for light work, 100 to 150 mm.
"""

WHEELCHAIR_DECK = (710.0, 865.0)
"""Front edge over the floor where somebody in a wheelchair plays. [mm] Source: ada-2010, 902.3."""


def solve_standing(
    project: Project, parts: Mapping[str, KnownPart], shape: StandingShape
) -> SolvedShape:
    """Return the outline with every wish settled.

    Raises:
        InputErrors: panels or wishes that no such outline can be made of.
    """
    knees = shape.knee_room > 0
    panels: dict[str, Panel] = {}
    seams = []
    if knees:
        panels["lip"] = Panel(role="front", label="front lip")
        panels["knee"] = Panel(role="other", label="underside of the deck box")
        seams += [
            Seam(between=("deck", "lip"), rule="cover", over="deck"),
            Seam(between=("lip", "knee"), rule="cover", over="lip"),
            Seam(between=("knee", "riser"), rule="cover", over="knee"),
        ]
    else:
        seams.append(Seam(between=("deck", "riser"), rule="cover", over="deck"))
    panels["riser"] = Panel(role="riser", label="riser", grain="up")
    panels["back"] = Panel(role="back", label="back", fixing="screwed", grain="up")
    seams.append(Seam(between=("riser", "base"), rule="cover", over="riser"))

    def front(setting: Setting) -> Front:
        box, lowest = front_need(
            setting.on_deck,
            setting.on_front if knees else (),
            key="shape.deck_box",
            label="height of the deck's box at the front",
            deck_depth=setting.deck_depth,
            slope_deg=shape.deck_slope_deg,
            deck=setting.thick("deck"),
            base=setting.thick("knee" if knees else "base"),
            batten=project.batten.height,
        )
        over_floor = _deck_over_floor(setting)
        edge = _settled(setting, shape, over_floor, box, lowest)
        height = edge - setting.base_over_floor
        if knees:
            setting.ledger.numbers.append(box)

        def lower(final: float) -> Corners:
            if not knees:
                return [((0.0, final), "riser")]
            low = final - box.value
            return [
                ((0.0, final), "lip"),
                ((0.0, low), "knee"),
                ((shape.knee_room, low), "riser"),
            ]

        return Front(
            "deck_height",
            height,
            shape.deck_height is None,
            max(height - lowest, 0.0),
            setting.base_over_floor,
            shape.knee_room,
            lower,
        )

    return solve_upright(
        project,
        parts,
        shape,
        Plan(panels, seams, front, TILT_LIMITS, "lip" if knees else "riser"),
    )


def deck_over_floor(everybody: tuple[Viewer, ...], base: float) -> Reckoning:
    """Front edge of the deck over the floor: midway between what the highest and the lowest player ask for. [mm]

    Who stands asks for 125 mm below the elbow; who sits, for the elbow's own height, within 710 to 865 mm in a
    wheelchair.

    Args:
        everybody: Who uses it.
        base: The cabinet's underside over the floor. [mm]

    Source:
        Elbows: ansur-ii. Wheelchairs: ada-2010, 902.3.
    """
    asked = {v.label: _hands(v, base) for v in playing(everybody)}
    low = min(asked, key=lambda label: asked[label])
    high = max(asked, key=lambda label: asked[label])
    terms = [Term(f"hands of {low}", asked[low])]
    if high != low:
        terms = [
            Term(f"hands of {low}", asked[low], 0.5),
            Term(f"hands of {high}", asked[high], 0.5),
        ]
    chairs = [v.label for v in playing(everybody) if v.person.posture == "wheelchair"]
    most = WHEELCHAIR_DECK[1]
    value = total("", "", terms).value
    rule = "Hands of who stands are 125 mm below the elbow, of who sits at the elbow."
    if chairs and value > most:
        terms.append(Term("kept within a wheelchair's reach", most - value))
        rule += f" At most {most:g} mm where {chairs[0]} plays from a wheelchair (ada-2010)."
    return total(
        "shape.deck_height", "deck's front edge over the floor", terms, rule=rule, source="ansur-ii"
    )


def _hands(viewer: Viewer, base: float) -> float:
    elbow = viewer.elbow + base
    if viewer.person.posture == "standing":
        return elbow - BELOW_ELBOW
    if viewer.person.posture == "wheelchair":
        return min(max(elbow, WHEELCHAIR_DECK[0]), WHEELCHAIR_DECK[1])
    return elbow


def _deck_over_floor(setting: Setting) -> Reckoning:
    return deck_over_floor(setting.everybody, setting.base_over_floor)


def _settled(
    setting: Setting, shape: StandingShape, asked: Reckoning, box: Reckoning, lowest: float
) -> float:
    """Front edge over the floor; refused where what hangs below the deck would stand on the base. [mm]"""
    ledger = setting.ledger
    least = lowest + setting.base_over_floor
    wish = shape.deck_height
    if wish is None:
        ledger.numbers.append(asked)
        return max(asked.value, box.value + setting.base_over_floor)
    ledger.numbers.append(stated(asked.key, asked.label, wish))
    bare = setting.base_over_floor + setting.thick("deck") + setting.thick("base") + 1.0
    bare += box.value if shape.knee_room > 0 else 0.0
    if wish < bare:
        ledger.refuse(
            "deck_height",
            ledger.length(wish),
            f"more than {ledger.least(bare)}",
            ledger.length(asked.value),
        )
    elif wish < least - TOUCHING:
        ledger.findings.append(
            TOO_SMALL["lip-height"].finding(
                f"The deck's front edge is {mm(wish)} over the floor; what hangs below it asks for {mm(least)}. "
                f"{box.rule}",
                remedies=(Remedy(f"Make it {mm(least)}.", "shape.deck_height", least),),
                names=("deck",),
            )
        )
    return wish


__all__ = [
    "BELOW_ELBOW",
    "TILT_LIMITS",
    "WHEELCHAIR_DECK",
    "deck_over_floor",
    "solve_standing",
]
