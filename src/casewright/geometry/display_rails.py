"""Rails that register a display's housing on the back of its panel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.reckoning import Reckoning, stated
from casewright.basics.units import TOUCHING, Unit, shown_beyond
from casewright.design.parts import Hold
from casewright.design.project import Project
from casewright.design.writing import length_style
from casewright.geometry.fitting import Fitted, Stack
from casewright.geometry.holding_screws import (
    Screw,
    spaced,
    wood_screw,
)
from casewright.geometry.model import (
    Circle,
    Feature,
    Frame,
    Piece,
    PieceKind,
    Placed,
    Point2,
)
from casewright.geometry.openings import Area, placed_at

RAIL_LEAST = 8.0
"""Narrowest rail that is still glued on well. Source: common practice. [mm]"""
RAIL_SHORTEST = 40.0
"""A shorter piece of rail registers nothing. Source: common practice. [mm]"""

RAIL_ROOM = Rule(
    "display.rail-room",
    Severity.CAUTION,
    "There is room for rails below and beside the housing.",
    "Rails hold the picture in the middle of its opening when the display is taken out and put back.",
    "Common practice",
)
RailSide = Literal["bottom", "left", "right", "top"]


@dataclass(frozen=True)
class Rail:
    """Where a rail lies on the panel's back."""

    side: RailSide
    area: Area


def rails_round(
    housing: Area, hold: Hold, clear: Area, standing: Sequence[Area] = ()
) -> tuple[tuple[Rail, ...], dict[RailSide, float]]:
    """Return the rails, and the room there is at the sides that get none. [mm]

    A rail is made narrower where the room asks for it, down to `RAIL_LEAST`, and interrupted where another piece
    stands.

    Args:
        housing: Its outline in the panel's (u, v).
        hold: Widths and gap wished for.
        clear: The part of the back face that is free.
        standing: Footprints of other pieces on it.
    """
    rails: list[Rail] = []
    missing: dict[RailSide, float] = {}
    rooms: dict[RailSide, float] = {
        "bottom": housing.bottom - clear.bottom,
        "left": housing.left - clear.left,
        "right": clear.right - housing.right,
        "top": clear.top - housing.top,
    }
    gap = hold.gap
    for side, room in rooms.items():
        width = min(hold.rail_width, room - gap)
        if width < RAIL_LEAST - TOUCHING:
            missing[side] = room
            continue
        strip = {
            "bottom": Area(
                housing.left, housing.bottom - gap - width, housing.right, housing.bottom - gap
            ),
            "left": Area(
                housing.left - gap - width, housing.bottom, housing.left - gap, housing.top
            ),
            "right": Area(
                housing.right + gap, housing.bottom, housing.right + gap + width, housing.top
            ),
            "top": Area(housing.left, housing.top + gap, housing.right, housing.top + gap + width),
        }[side].common(clear)
        pieces = _free_parts(strip, standing, along_u=side in ("bottom", "top"))
        rails.extend(Rail(side, area) for area in pieces)
        if not pieces:
            missing[side] = room
    return tuple(rails), missing


def _free_parts(strip: Area, standing: Sequence[Area], *, along_u: bool) -> list[Area]:
    """The strip without the stretches where something stands in it; short remains are dropped."""
    low, high = (strip.left, strip.right) if along_u else (strip.bottom, strip.top)
    taken = sorted(
        (other.left, other.right) if along_u else (other.bottom, other.top)
        for other in standing
        if other.meets(strip)
    )
    spans = []
    at = low
    for start, end in [*taken, (high, high)]:
        if start - at >= RAIL_SHORTEST - TOUCHING:
            spans.append((at, min(start, high)))
        at = max(at, end)
    if along_u:
        return [Area(a, strip.bottom, b, strip.top) for a, b in spans]
    return [Area(strip.left, a, strip.right, b) for a, b in spans]


def rail_keys(owner: str, rails: Sequence[Rail]) -> list[str]:
    """As in "display.rail-left", and "display.rail-left-2" for the second piece of an interrupted one."""
    keys: list[str] = []
    for rail in rails:
        number = sum(key.startswith(f"{owner}.rail-{rail.side}") for key in keys) + 1
        keys.append(f"{owner}.rail-{rail.side}" + (f"-{number}" if number > 1 else ""))
    return keys


def strip_piece(
    stack: Stack,
    key: str,
    label: str,
    kind: PieceKind,
    area: Area,
    thickness: float,
    *,
    depth: float = 0.0,
    material: str = "batten",
    fixing: Literal["glued", "screwed"] = "glued",
    features: tuple[Feature, ...] = (),
) -> Piece:
    """A rectangular piece parallel to the panel, its show face `depth` behind the board's back face."""
    board = stack.board
    frame = Frame(
        board.frame.point(0.0, 0.0, -board.thickness - depth),
        board.frame.u,
        board.frame.v,
        board.frame.n,
    )
    return Piece(
        key,
        label,
        kind,
        "other",
        material,
        thickness,
        frame,
        area.outline,
        area.outline,
        features,
        stack.panel,
        "u" if area.width >= area.height else "v",
        fixing,
    )


def fit_rail(
    placed: Placed,
    stack: Stack,
    rail: Rail,
    key: str,
    height: float,
    bar: Area | None,
    *,
    unit: Unit,
) -> Fitted:
    """One rail with its screws into the panel, none of them under the bar; `unit` says how screws are sold."""
    along_u = rail.side in ("bottom", "top")
    area = rail.area
    screw = wood_screw(height, stack.board.thickness, counterbore_most=height / 2, unit=unit)
    spots: tuple[Point2, ...] = ()
    if screw is not None:
        middle = area.centre
        low, high = (area.left, area.right) if along_u else (area.bottom, area.top)
        ends = [(low, high)]
        if bar is not None:
            first, last = (bar.left, bar.right) if along_u else (bar.bottom, bar.top)
            ends = [(low, first), (last, high)]
        along = [x for start, end in ends for x in spaced(start, end)]
        spots = tuple((x, middle[1]) if along_u else (middle[0], x) for x in along)
    features, panel_features = screw_features(
        screw, spots, key, label=f"pilot for the rail of {placed.label}"
    )
    piece = strip_piece(
        stack, key, f"{placed.label} rail, {rail.side}", "rail", area, height, features=features
    )
    fastenings = (
        (screw.fastening(f"{key}.screws", key, stack.board.key, len(spots)),)
        if screw and spots
        else ()
    )
    return Fitted(
        features=tuple((stack.board.key, feature) for feature in panel_features),
        pieces=(piece,),
        fastenings=fastenings,
    )


def screw_features(
    screw: Screw | None, spots: Sequence[Point2], key: str, *, label: str
) -> tuple[tuple[Feature, ...], tuple[Feature, ...]]:
    """Holes in the piece under the heads, and pilots in the board behind it (both from the back face)."""
    above: list[Feature] = []
    below: list[Feature] = []
    if screw is None:
        return (), ()
    for number, (u, v) in enumerate(spots, 1):
        if screw.counterbore > 0:
            bore = Circle(u, v, screw.head + 1.0)
            above.append(
                Feature(
                    f"{key}.head-{number}",
                    "counterbore",
                    bore,
                    "back",
                    screw.counterbore,
                    "brad",
                    key,
                )
            )
        shank = Circle(u, v, screw.clearance)
        above.append(
            Feature(f"{key}.shank-{number}", "clearance", shank, "back", None, "brad", key)
        )
        lead = Circle(u, v, screw.pilot)
        below.append(
            Feature(f"{key}.pilot-{number}", "pilot", lead, "back", screw.bite, "brad", key, label)
        )
    return tuple(above), tuple(below)


def rail_numbers(
    key: str, rails: Sequence[Rail], height: float, hold: Hold
) -> tuple[Reckoning, ...]:
    """Return height, gap and widths of the rails."""
    widths: dict[str, float] = {}
    for rail in rails:
        across = rail.area.height if rail.side in ("bottom", "top") else rail.area.width
        widths.setdefault(rail.side, across)
    return (
        stated(f"{key}.rail_height", "rails over the panel's back", height),
        stated(f"{key}.rail_gap", "gap for shims between housing and rail", hold.gap),
        *(
            stated(f"{key}.rail_width_{side}", f"width of the {side} rail", width)
            for side, width in widths.items()
        ),
    )


def rail_findings(
    placed: Placed,
    stack: Stack,
    project: Project,
    hold: Hold,
    missing: dict[RailSide, float],
    above: float,
) -> list[Finding]:
    """What is said of missing rails, with the clear panel above the housing; the upper one only helps."""
    found = []
    for side, room in missing.items():
        if side == "top":
            continue
        least = RAIL_LEAST + hold.gap
        short = least - room
        where = {"bottom": "below", "left": "left of", "right": "right of"}[side]
        if short > TOUCHING:
            need = f"a rail of {mm(RAIL_LEAST)} and a gap of {mm(hold.gap)} need {mm(least)}."
            text = (
                f"{mm(room)} of clear panel {where} the housing of {placed.label} leaves no room for a rail; {need}"
                if room > TOUCHING
                else f"No panel is clear {where} the housing of {placed.label} for a rail; {need}"
            )
            if side == "bottom":
                cures = [Remedy(f"Make the panel's run {at_least(short)} longer below it.")]
                moved = shown_beyond(placed.v + short, length_style(project), up=True)
                if above >= moved - placed.v - TOUCHING:
                    cures.insert(
                        0,
                        Remedy(
                            f"Move the display up by {at_least(moved - placed.v)}.",
                            *placed_at(placed, project, "v", moved),
                        ),
                    )
            else:
                cures = [Remedy(f"Make the cabinet {at_least(2 * short)} wider.")]
        else:
            text = (
                f"Other pieces stand where a rail {where} the housing of {placed.label} would lie."
            )
            cures = [Remedy("Move those pieces, or stand the housing on one of them with a shim.")]
        if side == "bottom" and hold.style == "rails and bar":
            cures.append(Remedy("Let the bar and its screws carry the weight, as drawn."))
        point = stack.board.frame.point(placed.u, placed.v, -stack.board.thickness)
        found.append(
            RAIL_ROOM.finding(
                text, remedies=tuple(cures), names=(placed.key, stack.panel), point=point
            )
        )
    return found


__all__ = [
    "RAIL_LEAST",
    "RAIL_SHORTEST",
    "Rail",
    "RailSide",
    "fit_rail",
    "rail_findings",
    "rail_keys",
    "rail_numbers",
    "rails_round",
    "screw_features",
    "strip_piece",
]
