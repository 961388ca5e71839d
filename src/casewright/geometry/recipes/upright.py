"""The whole of a console: lower front, deck, screen, header, back; or a lectern where there is no screen."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from casewright.basics.errors import InputErrors
from casewright.basics.reckoning import Term, total
from casewright.basics.units import TOUCHING
from casewright.design.panels import Panel, Seam
from casewright.design.parts import KnownPart
from casewright.design.project import Project
from casewright.geometry.model import Point2, SolvedShape
from casewright.geometry.recipes.assembly import assemble, merged_panels, stack_thickness
from casewright.geometry.recipes.console import Console, ConsoleShape
from casewright.geometry.recipes.deck import deck_need
from casewright.geometry.recipes.extents import Spot, spots_on
from casewright.geometry.recipes.ledger import Ledger
from casewright.geometry.recipes.wedge import deck_of_wedge
from casewright.geometry.recipes.widths import solve_width
from casewright.geometry.viewers import Viewer, base_over_floor, viewers

UPPER: Mapping[str, Panel] = {
    "top": Panel(role="top", label="top", fixing="screwed"),
    "header": Panel(role="header face", label="header face"),
    "underside": Panel(role="header underside", label="header underside"),
    "screen": Panel(role="screen", label="screen panel"),
}
"""Panels of the upper half, but for the back and the deck."""

BODY: Mapping[str, Panel] = {
    "base": Panel(role="floor", label="base"),
    "back": Panel(role="back", label="back", fixing="screwed"),
    "deck": Panel(role="deck", label="deck"),
}

Corners = list[tuple[Point2, str]]


@dataclass(frozen=True)
class Setting:
    """What a recipe knows when it settles its front."""

    project: Project
    ledger: Ledger
    panels: Mapping[str, Panel]
    on_deck: tuple[Spot, ...]
    on_front: tuple[Spot, ...]
    deck_depth: float
    everybody: tuple[Viewer, ...]
    base_over_floor: float

    def thick(self, key: str) -> float:
        """All layers of a panel, its set-back included. [mm]"""
        return stack_thickness(self.project, self.panels, key)


@dataclass(frozen=True)
class Front:
    """The lower front as a recipe settles it."""

    name: str
    """Field of the shape that sets its height."""
    height: float
    """Of the deck's front edge over the cabinet's underside. [mm]"""
    free: bool
    """Whether it may change so that a wished height of the cabinet comes out."""
    spare: float
    """How much of it a wished height of the cabinet may take. [mm]"""
    over: float = 0.0
    """What the field's value is more than `height`: the field of a standing console counts from the floor. [mm]"""
    base_y: float = 0.0
    """y of the base's front edge."""
    lower: Callable[[float], Corners] = lambda height: [((0.0, height), "lip")]
    """From the deck's front edge down, at its final height; the base's front edge is not in it."""


@dataclass(frozen=True)
class Plan:
    """What makes one recipe differ from another."""

    front_panels: Mapping[str, Panel]
    front_seams: Sequence[Seam]
    front: Callable[[Setting], Front]
    tilt_limits: tuple[float, float]
    faced: str
    """Panel below the deck's front edge."""


def solve_upright(
    project: Project, parts: Mapping[str, KnownPart], shape: ConsoleShape, plan: Plan
) -> SolvedShape:
    """Return a console's outline with every wish settled.

    Raises:
        InputErrors: panels or wishes that no such outline can be made of.
    """
    ledger = Ledger.of(project)
    _check_angles(ledger, shape)
    floor = base_over_floor(project, parts)
    ledger.numbers.append(floor)
    everybody = viewers(project, parts)
    named = {key for key in UPPER if shape.header or key not in ("header", "underside")}
    console = Console(
        project,
        parts,
        shape,
        merged_panels(
            project,
            {**BODY, **{k: p for k, p in UPPER.items() if k in named}, **plan.front_panels},
        ),
        everybody=everybody,
        tilt_limits=plan.tilt_limits,
    )
    if not console.has_screen:
        _refuse_upper(ledger, project, parts, shape)
        named = set()
    panels = merged_panels(
        project, {**BODY, **{k: p for k, p in UPPER.items() if k in named}, **plan.front_panels}
    )
    on_deck = spots_on(project, parts, "deck")
    need, least = deck_need(on_deck, shape.palm_room)

    def setting(deck: float) -> Setting:
        return Setting(
            project, ledger, panels, on_deck, spots_on(project, parts, plan.faced), deck,
            everybody, floor.value,
        )  # fmt: skip

    if console.has_screen:
        deck = ledger.settle("deck_depth", shape.deck_depth, need, panels=("deck",), least=least)
        front = plan.front(setting(deck))
        upper, height, top, depth = console.settle(
            ledger,
            front.height,
            deck,
            front_name=front.name,
            front_free=front.free,
            front_base=front.over,
            front_spare=front.spare,
        )
        corners: Corners = [
            ((front.base_y, 0.0), "base"),
            ((depth, 0.0), "back"),
            ((depth, top), "top"),
        ]
        if upper.header_low is not None and upper.header_high is not None:
            corners += [(upper.header_high, "header"), (upper.header_low, "underside")]
        corners += [(upper.screen_top, "screen"), (upper.foot, "deck"), *front.lower(height)]
        seams = _console_seams(shape, tilt_deg=upper.tilt_deg, tilt_most=project.shop.tilt_most)
    else:
        deck, depth = deck_of_wedge(
            ledger,
            project,
            panels,
            slope_deg=shape.deck_slope_deg,
            need=need,
            least=least,
            deck_wish=shape.deck_depth,
            depth_wish=shape.depth,
        )
        front = plan.front(setting(deck))
        corners = _lectern(ledger, shape, front, deck, depth)
        seams = [Seam(between=("deck", "back"), rule="cover", over="deck")]
    width = solve_width(project, parts, tuple(panels), everybody, ledger)
    if front.base_y > depth - 2 * _panels_room(project, panels):
        most = depth - 2 * _panels_room(project, panels)
        ledger.refuse(
            "knee_room",
            ledger.length(front.base_y),
            f"at most {ledger.most(most)}, of the {ledger.length(depth)} that the cabinet is deep, or a depth of "
            f"{ledger.least(front.base_y + depth - most)} and more",
            ledger.most(max(most, 0.0)),
        )
    return assemble(
        project,
        panels,
        corners,
        [*seams, *plan.front_seams, Seam(between=("back", "base"), rule="cover", over="back")],
        width=width,
        ledger=ledger,
    )


TILT_MOST = 75.0
"""A screen laid back farther is a table's top, for which there is no recipe. Project setting. [deg]"""


def _check_angles(ledger: Ledger, shape: ConsoleShape) -> None:
    """Angles that such a cabinet can be made with."""
    ledger.within("deck_slope_deg", shape.deck_slope_deg, 0.0, 40.0)
    ledger.within("screen_tilt_deg", shape.screen_tilt_deg, 0.0, TILT_MOST)
    ledger.within("header_tilt_deg", shape.header_tilt_deg, 0.0, 60.0)
    if ledger.errors:
        raise InputErrors(ledger.errors)


def _console_seams(shape: ConsoleShape, *, tilt_deg: float, tilt_most: float) -> list[Seam]:
    """How the upper panels meet, where the project does not say."""

    def cover(over: str, other: str) -> Seam:
        return Seam(between=(over, other), rule="cover", over=over)

    seams = [cover("top", "back")]
    if shape.header:
        seams += [cover("top", "header"), cover("header", "underside")]
    elif tilt_deg <= tilt_most:
        seams.append(cover("top", "screen"))
    if tilt_deg + shape.deck_slope_deg <= tilt_most:
        seams.append(cover("deck", "screen"))  # the screen stands on the deck
    else:
        seams.append(Seam(between=("screen", "deck"), rule="miter"))
    return seams


def _panels_room(project: Project, panels: Mapping[str, Panel]) -> float:
    """Depth that a base needs at least at either end: the board that stands there, and as much again. [mm]"""
    return 2 * max(stack_thickness(project, panels, key) for key in ("back", "base"))


def _lectern(
    ledger: Ledger, shape: ConsoleShape, front: Front, deck: float, depth: float
) -> Corners:
    rise = deck * math.sin(math.radians(shape.deck_slope_deg))
    height = front.height
    if shape.height is not None:
        if not front.free and abs(shape.height - height - rise) > TOUCHING:
            ledger.refuse(
                "height",
                ledger.length(shape.height),
                f"{ledger.length(height + rise)}, which the deck gives, or {front.name} left out",
                ledger.length(height + rise),
            )
        elif shape.height - rise < 20.0:
            ledger.refuse(
                "height",
                ledger.length(shape.height),
                f"at least {ledger.least(rise + 20)}",
                ledger.length(height + rise),
            )
        if ledger.errors:
            raise InputErrors(ledger.errors)
        wished = shape.height - rise
        if wished < height - front.spare - TOUCHING:
            need = total("shape.height", "height, without feet", [Term("as wished", shape.height)])
            least = height - front.spare + rise
            ledger.too_small("height", "height", need, shape.height, least, ("deck",))
        height = wished
    ledger.numbers.append(
        total(
            "shape.height",
            "height, without feet",
            [
                Term("deck's front edge", height, key=f"shape.{front.name}"),
                Term("deck's rise", rise),
            ],
        )
    )
    return [
        ((front.base_y, 0.0), "base"),
        ((depth, 0.0), "back"),
        ((depth, height + rise), "deck"),
        *front.lower(height),
    ]


def _refuse_upper(
    ledger: Ledger, project: Project, parts: Mapping[str, KnownPart], shape: ConsoleShape
) -> None:
    """Without a display there is no screen; what asks for one nevertheless is an error."""
    reasons = [f"a panel {key}" for key in UPPER if key in project.panels]
    reasons += [f"parts on {key}" for key in UPPER if spots_on(project, parts, key)]
    if shape.header and "header" in shape.model_fields_set:
        reasons.append("a header")
    if reasons:
        ledger.refuse(
            "screen_length",
            f"nothing, and no display on the screen, but {reasons[0]}",
            "a display placed on the screen, or the length of a screen panel without one",
            "300 mm",
        )
        raise InputErrors(ledger.errors)


__all__ = ["BODY", "TILT_MOST", "UPPER", "Corners", "Front", "Plan", "Setting", "solve_upright"]
