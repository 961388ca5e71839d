"""What may be wrong with a display in its panel: bezels, room, opening, corners, chamfer."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Literal

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, at_most, mm, some
from casewright.basics.units import TOUCHING
from casewright.design.parts import Opening
from casewright.design.project import Project
from casewright.geometry.display_face import LAP_LEAST, DisplayFace, housing_area, opening_area
from casewright.geometry.fitting import Stack
from casewright.geometry.larger import longer_run
from casewright.geometry.model import Placed, Point3
from casewright.geometry.openings import (
    Area,
    CornerCut,
    back_area,
    corner_margin,
    pierced_pieces,
    placed_at,
    wish_field,
)
from casewright.geometry.web_least import web_least

BEARING_LAND = 3.0
"""Straight edge that a bit's bearing rides on. Source: common practice. [mm]"""

BEZELS = Rule(
    "display.bezels",
    Severity.STOP,
    "The lit area lies inside the display's housing.",
    "The opening and the housing's place both come from the bezels; a wrong one moves the picture.",
    "Plain geometry",
)
HOUSING_ROOM = Rule(
    "display.housing-room",
    Severity.STOP,
    "The housing lies flat on the clear part of the panel's back.",
    "A housing that meets a side or a neighboring panel cannot be aligned, or does not go in at all.",
    "Plain geometry",
)
OPENING_ROOM = Rule(
    "display.opening-room",
    Severity.STOP,
    "The opening, chamfer included, leaves panel all round.",
    "An opening that runs past the panel's edge leaves no frame.",
    "Plain geometry",
)
PAST_HOUSING = Rule(
    "display.past-housing",
    Severity.CAUTION,
    "The housing closes the whole opening from behind.",
    "Past the housing's edge one looks into the cabinet, and dust and fingers go in.",
    "Plain geometry",
)
OPENING_HIDES = Rule(
    "display.opening-hides",
    Severity.CAUTION,
    "The opening is at least as large as the lit area.",
    "What the panel covers of the picture cannot be seen by anyone.",
    "Plain geometry",
)
CORNERS = Rule(
    "display.corners",
    Severity.NOTE,
    "The opening's round corners cover none of the picture.",
    "A router bit leaves round corners; the picture's are square.",
    "Plain geometry",
)
CHAMFER_LAND = Rule(
    "display.chamfer-land",
    Severity.CAUTION,
    "The chamfer leaves a straight edge for the bit's bearing.",
    "Without it the bearing has nothing to ride on, and the rim is a weak feather edge.",
    "Common practice",
)
COVERED = Rule(
    "display.covered",
    Severity.NOTE,
    "A clear overlay runs over the screen.",
    "Dust, fingerprints and tint show on a lit picture, and acrylic scratches and crazes easily.",
    "Common practice",
)


def display_findings(
    placed: Placed,
    face: DisplayFace,
    stack: Stack,
    project: Project,
    cut: CornerCut,
    clear: Area | None,
) -> tuple[Finding, ...]:
    """Return what a display's housing, opening, corners and chamfer have against them."""
    wish = placed.wish.opening or Opening()
    board = stack.board
    names = (placed.key, stack.panel)
    spot: Point3 = board.frame.point(placed.u, placed.v)
    lit = Area.around(placed.u, placed.v, face.lit.width, face.lit.height)
    throat = opening_area(placed, face)
    housing = housing_area(placed, face)
    found: list[Finding] = []

    def say(rule: Rule, message: str, *remedies: Remedy, severity: Severity | None = None) -> None:
        found.append(
            rule.finding(message, remedies=remedies, names=names, point=spot, severity=severity)
        )

    name = placed.label
    out = lit.beyond(housing)
    if out > TOUCHING:
        say(
            BEZELS,
            f"The lit area of {name} reaches {some(out)} past its housing.",
            Remedy("Measure lit area, housing, left and lower bezel again, with the screen on."),
        )
    back = clear or back_area(board)
    over = housing.beyond(back)
    if over > TOUCHING:
        wide = housing.width - back.width > TOUCHING
        high = housing.height - back.height > TOUCHING
        if wide or high:
            sizes, more, smaller = [], [], []
            longer: Remedy | None = None
            if wide:
                size, room = housing.width, back.width
                sizes.append(f"{mm(size)} wide; the clear back of {board.label} is {mm(room)}")
                more.append(f"Make the cabinet {at_least(size - room)} wider.")
                smaller.append(f"{at_most(room)} wide")
            if high:
                size, room = housing.height, back.height
                sizes.append(f"{mm(size)} high; the clear back of {board.label} is {mm(room)}")
                more.append(f"Make the panel's run {at_least(size - room)} longer.")
                if not wide and _is_centred(placed):
                    longer = longer_run(project, stack.panel, size - room)
                    if longer is not None:
                        words = f"{longer.text} See then whether it clears the boards above."
                        longer = replace(longer, text=words)
                smaller.append(f"{at_most(room)} high")
            say(
                HOUSING_ROOM,
                f"The housing of {name} is {', and it is '.join(sizes)}.",
                *((longer,) if longer else ()),
                *(Remedy(text) for text in more),
                Remedy(f"Take a display whose housing is {' and '.join(smaller)} at most."),
            )
        else:
            u = min(
                max(placed.u, placed.u + back.left - housing.left),
                placed.u + back.right - housing.right,
            )
            v = min(
                max(placed.v, placed.v + back.bottom - housing.bottom),
                placed.v + back.top - housing.top,
            )
            wanted: tuple[tuple[Literal["u", "v"], float, float], ...] = (
                ("u", u, placed.u),
                ("v", v, placed.v),
            )
            moves = [(axis, to) for axis, to, was in wanted if abs(to - was) > TOUCHING]
            move = _centred_at(placed, project, moves)
            say(
                HOUSING_ROOM,
                f"The housing of {name} reaches {some(over)} past the clear back of {board.label}.",
                move,
            )
    outer = throat.grown(wish.chamfer)
    show = Area.of(pierced_pieces(stack, project)[0].show)
    past = max(outer.beyond(show), throat.beyond(back_area(board)))
    if past > TOUCHING:
        say(
            OPENING_ROOM,
            f"The opening for {name} is {mm(throat.width)} × {mm(throat.height)}"
            + (f" with a chamfer of {mm(wish.chamfer)}" if wish.chamfer else "")
            + f" and runs {some(past)} past the edge of {board.label}.",
            *_room_for_opening(
                placed,
                project,
                ((outer, show), (throat, back_area(board))),
                (housing, back),
                most=board.thickness - BEARING_LAND,
                land=web_least(project, board),
                past=past,
            ),
        )
    open_past = throat.beyond(housing)
    if open_past > TOUCHING:
        say(
            PAST_HOUSING,
            f"The opening reaches {mm(open_past)} past the housing of {name}.",
            _within_housing(placed, wish, project, lit, throat, housing),
            Remedy(
                "Or, if it is cut already, close the rest from behind with a frame of thin black board that leaves "
                f"{mm(lit.width)} × {mm(lit.height)} free round the picture."
            ),
        )
    hides = max(lit.width - throat.width, lit.height - throat.height) / 2
    if hides > TOUCHING:
        say(
            OPENING_HIDES,
            f"The opening hides {mm(hides)} of the picture of {name} at an edge.",
            _as_large_as_lit(placed, wish, project, lit),
        )
    found.extend(_corner_findings(placed, face, throat, cut, project, names, spot))
    found.extend(_chamfer_findings(placed, wish.chamfer, stack, project, names, spot))
    covers = [p for p in stack.pieces if p not in pierced_pieces(stack, project)]
    if covers:
        material = covers[0].material
        known = project.materials[material].species is not None
        tinted = Remedy(
            "If it is tinted or opal, say so: then it gets an opening too.",
            f"materials.{material}.species",
            "acrylic-opal",
        )
        unsaid = not known and project.materials[material].kind == "acrylic"
        say(
            COVERED,
            f"{covers[0].label} is {'taken for clear' if unsaid else 'clear'} and runs over {name} without an opening.",
            *((tinted,) if unsaid else ()),
            Remedy(
                "Keep its film on until the last; wipe both faces with an anti-static cloth and soapy water, "
                "never spirits, before closing up. If it is tinted or frosted, cut an opening in it."
            ),
        )
    return tuple(found)


def _is_centred(placed: Placed) -> bool:
    """Whether a display goes along with the middle of its panel."""
    wish = placed.wish
    return wish.v is None and wish.like is None and abs(wish.dv) <= TOUCHING


def _room_for_opening(
    placed: Placed,
    project: Project,
    within: tuple[tuple[Area, Area], ...],
    wished: tuple[Area, Area],
    *,
    most: float,
    land: float,
    past: float,
) -> Iterator[Remedy]:
    """A move that brings the opening into its panel, its housing too where that has room; else a larger panel.

    Args:
        placed: The display.
        project: For the field that moves it.
        within: Areas, each with the one that it has to lie in.
        wished: The same of the housing.
        most: Widest chamfer that leaves a straight edge below it. [mm]
        land: Of the panel, asked between the chamfer and the edge. [mm]
        past: How far the opening runs past the panel now. [mm]
    """
    wide = max(area.width - room.width for area, room in within)
    high = max(area.height - room.height for area, room in within)
    chamfer = (placed.wish.opening or Opening()).chamfer
    beside = -max(
        area.grown(-by).beyond(room)
        for (area, room), by in zip(within, (chamfer, 0.0), strict=True)
    )
    if chamfer and beside > -TOUCHING:  # without its chamfer it has room
        to = float(max(math.floor(min(beside - land, most)), 0))
        yield Remedy(
            f"Make its chamfer {mm(to)} wide." if to else "Leave its chamfer away.",
            wish_field(placed, project, "opening.chamfer"),
            to,
        )
    if wide > TOUCHING:
        yield Remedy(f"Make the panel {at_least(wide)} wider, or take a smaller display.")
    if high > TOUCHING:
        longer = longer_run(project, placed.piece, 2 * past)  # by as much at both ends
        if longer is not None and _is_centred(placed) and wide <= TOUCHING:
            yield longer
        yield Remedy(f"Make the panel's run {at_least(high)} longer, or take a smaller display.")
    if wide > TOUCHING or high > TOUCHING:
        return
    shifts = _shift((*within, wished)) or _shift(within)
    by_u, by_v = shifts or (0.0, 0.0)
    shifted: tuple[tuple[Literal["u", "v"], float, float], ...] = (
        ("u", placed.u, by_u),
        ("v", placed.v, by_v),
    )
    moves = [(axis, at + by) for axis, at, by in shifted if abs(by) > TOUCHING]
    if not moves:  # what one face asks the other forbids
        yield Remedy(f"Make the panel {at_least(past)} larger there, or take a smaller display.")
        return
    yield _centred_at(placed, project, moves)


def _centred_at(
    placed: Placed, project: Project, moves: Sequence[tuple[Literal["u", "v"], float]]
) -> Remedy:
    """The order to bring a lit area's centre to u, to v, or to both. [mm]"""
    (field, value), *more = (placed_at(placed, project, axis, to) for axis, to in moves)
    where = ", ".join(f"{axis} = {mm(to)}" for axis, to in moves)
    text = f"Move it so that its lit area is centred at {where}."
    return Remedy(text, field, value, tuple(more))


def _shift(within: tuple[tuple[Area, Area], ...]) -> tuple[float, float] | None:
    """The least move across and up that brings each area into its own; None if there is none. [mm]"""
    left = max(room.left - a.left for a, room in within)
    right = min(room.right - a.right for a, room in within)
    down = max(room.bottom - a.bottom for a, room in within)
    up = min(room.top - a.top for a, room in within)
    if left > right + TOUCHING or down > up + TOUCHING:
        return None
    return min(max(0.0, left), right), min(max(0.0, down), up)


def _within_housing(
    placed: Placed, wish: Opening, project: Project, lit: Area, throat: Area, housing: Area
) -> Remedy:
    """The opening's own width and height as the lit area's, or a margin that the bezels lap."""
    needed: list[tuple[str, float]] = []
    bezels = (
        lit.left - housing.left,
        lit.bottom - housing.bottom,
        housing.right - lit.right,
        housing.top - lit.top,
    )
    wide = throat.left < housing.left - TOUCHING or throat.right > housing.right + TOUCHING
    high = throat.bottom < housing.bottom - TOUCHING or throat.top > housing.top + TOUCHING
    if (wide and wish.width is None) or (high and wish.height is None):
        needed.append(("margin", max(0.0, min(bezels) - LAP_LEAST)))
    if wide and wish.width is not None:
        needed.append(("width", lit.width))
    if high and wish.height is not None:
        needed.append(("height", lit.height))
    words = ", ".join(f"{name} {mm(value)}" for name, value in needed)
    fields = [(wish_field(placed, project, f"opening.{name}"), value) for name, value in needed]
    return Remedy(f"Let the opening be smaller: {words}.", *fields[0], also=(*fields[1:],))


def _as_large_as_lit(placed: Placed, wish: Opening, project: Project, lit: Area) -> Remedy:
    """The opening's own width and height, and its margin where it has none, no smaller than the lit area asks."""
    needed: list[tuple[str, float]] = []
    if None in (wish.width, wish.height) and wish.margin < 0:
        needed.append(("margin", 0.0))
    for name, own, least in (
        ("width", wish.width, lit.width),
        ("height", wish.height, lit.height),
    ):
        if own is not None and own < least:
            needed.append((name, least))
    words = ", ".join(f"{name} {mm(value)}" for name, value in needed)
    fields = [(wish_field(placed, project, f"opening.{name}"), value) for name, value in needed]
    assert fields, "an opening smaller than the lit area is so by one of these"
    return Remedy(
        f"Let the opening be as large as the lit area: {words}.", *fields[0], also=(*fields[1:],)
    )


def _corner_findings(
    placed: Placed,
    face: DisplayFace,
    throat: Area,
    cut: CornerCut,
    project: Project,
    names: tuple[str, ...],
    spot: Point3,
) -> list[Finding]:
    margins = ((throat.width - face.lit.width) / 2, (throat.height - face.lit.height) / 2)
    a, b = (cut.radius - max(margin, 0.0) for margin in margins)
    hidden = math.hypot(a, b) - cut.radius if a > 0 and b > 0 else 0.0
    if hidden <= TOUCHING:
        return []
    margin = math.ceil(corner_margin(cut.radius) * 10 - TOUCHING) / 10
    remedies = [
        Remedy(
            "Square the four corners with a sharp chisel from the back, cutting away from the "
            "hand that holds the work.",
            wish_field(placed, project, "opening.corner_radius"),
            0.0,
        )
    ]
    least_bezel = min(face.bezels)
    if margin <= least_bezel - LAP_LEAST + TOUCHING:
        shows = "as much of the housing shows round the picture"
        wish = placed.wish.opening
        if wish is not None and (wish.width is not None or wish.height is not None):
            remedies.append(  # a size that is given goes before a margin
                Remedy(
                    f"Give the opening a margin of {at_least(margin)} on every edge in place of its own width and "
                    f"height; {shows}."
                )
            )
        else:
            remedies.append(
                Remedy(
                    f"Make the opening {mm(margin)} larger than the lit area on every edge; {shows}.",
                    wish_field(placed, project, "opening.margin"),
                    margin,
                )
            )
    bit = " (no router bit is listed; a usual one is counted with)" if cut.assumed else ""
    message = (
        f"Corners of radius {mm(cut.radius)}{bit} cover each corner of the picture of {placed.label} by "
        f"{some(hidden)} along its diagonal."
    )
    return [CORNERS.finding(message, remedies=tuple(remedies), names=names, point=spot)]


def _chamfer_findings(
    placed: Placed,
    chamfer: float,
    stack: Stack,
    project: Project,
    names: tuple[str, ...],
    spot: Point3,
) -> list[Finding]:
    if chamfer <= 0:
        return []
    through = sum(piece.thickness for piece in pierced_pieces(stack, project))
    land = through - chamfer
    if land >= BEARING_LAND - TOUCHING:
        return []
    best = max(through - BEARING_LAND, 0.0)
    message = (
        f"A chamfer of {mm(chamfer)} leaves {mm(max(land, 0.0))} of straight edge in {mm(through)} of panel; "
        f"a bearing wants {mm(BEARING_LAND)}."
    )
    remedy = Remedy(
        f"Make the chamfer {mm(best)}.", wish_field(placed, project, "opening.chamfer"), best
    )
    return [
        CHAMFER_LAND.finding(
            message,
            remedies=(remedy,),
            names=names,
            point=spot,
            severity=Severity.STOP if land < TOUCHING else None,
        )
    ]


__all__ = ["BEARING_LAND", "display_findings"]
