"""Light strip, feet and hardware."""

from __future__ import annotations

import math

from casewright.basics.findings import Remedy, Rule, Severity, mm
from casewright.basics.reckoning import Term, derived
from casewright.catalog.kinds import Foot, Hardware, Strip
from casewright.design.project import Project
from casewright.geometry.bits import choose_bit
from casewright.geometry.devices.mounting import screw_down
from casewright.geometry.devices.seat import Seat
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.model import Box, Circle, Cylinder, Placed
from casewright.geometry.thicker import thicker_board
from casewright.geometry.web_least import WALL_LEAST

THROUGH = Rule(
    "part.hole-through",
    Severity.STOP,
    "A blind hole for a hinge's cup, a magnet or an insert ends inside its board.",
    "One that comes out on the other face spoils it, and holds nothing.",
    "Plain geometry",
)

STRIP_THICKNESS = 3.0
"""Light strip with its tape. [mm] Source: common practice."""

FOOT_UNDER_HEAD = 5.0
"""Foot left between the screw's head and the base; less in a foot lower than twice this. [mm]

Source: common practice.
"""


def fit_strip(placed: Placed, data: Strip, stack: Stack, project: Project) -> Fitted:
    """A light strip: as many whole cut units as its share of the metres bought gives, else as the panel holds."""
    seat = Seat(placed, stack, project)
    board = stack.board
    room = board.width if round(placed.turn_deg / 90) % 2 == 0 else board.height
    part = project.parts.get(placed.part.key)
    wanted = room
    if part is not None and part.amount is not None and part.placed:
        wanted = part.amount * 1000 / len(part.placed)
    units = math.floor(wanted / data.cut_unit + 1e-9)
    length = units * data.cut_unit
    if units == 0:
        return Fitted()
    low, high = (-STRIP_THICKNESS, 0.0) if placed.face == "back" else (0.0, STRIP_THICKNESS)
    body = seat.solid("strip", Box(0, 0, length, data.width, low, high), look="lit")
    numbers = (
        derived(
            seat.key("length"),
            f"{placed.label}: length of the strip",
            length,
            "whole cut units × unit",
            [Term("units", units), Term("unit", data.cut_unit), Term("room or share", wanted)],
        ),
    )
    return Fitted(bodies=(body,), numbers=numbers)


def fit_foot(placed: Placed, data: Foot, stack: Stack, project: Project) -> Fitted:
    """A foot and its one screw."""
    seat = Seat(placed, stack, project)
    low, high = (-data.height, 0.0) if placed.face == "back" else (0.0, data.height)
    body = seat.solid("body", Cylinder(0, 0, data.diameter, low, high), look="rubber")
    under_head = min(FOOT_UNDER_HEAD, data.height / 2)
    screw = screw_down(seat, ((0.0, 0.0),), hole=data.screw_hole, under_head=under_head)
    return gathered([screw, Fitted(bodies=(body,))])


def fit_hardware(placed: Placed, data: Hardware, stack: Stack, project: Project) -> Fitted:
    """The hole that a piece of hardware asks for, blind from its face or right through; nothing if it asks for none."""
    if data.hole <= 0:
        return Fitted()
    seat = Seat(placed, stack, project)
    if data.hole_depth <= 0:
        return seat.round_hole("hole", data.hole, label=placed.label)
    choice = choose_bit(data.hole, project.shop.bits)
    first, *inner = stack.pieces if placed.face == "show" else stack.pieces[::-1]
    features = []
    depth = data.hole_depth
    for piece in (first, *inner):
        through = depth >= piece.thickness
        shape = Circle(placed.u, placed.v, choice.size)
        feature = seat.feature(
            "hole",
            "hole" if through else "pocket",
            shape,
            face=placed.face,
            depth=None if through else depth,
            tool=choice.kind,
            label=placed.label,
        )
        features.append((piece.key, feature))
        depth -= piece.thickness
        if depth <= 0:
            break
    if data.hole_depth < stack.thickness:
        return Fitted(features=tuple(features))
    board = stack.board
    others = stack.thickness - board.thickness
    finding = THROUGH.finding(
        f"{placed.label}: its blind hole is {mm(data.hole_depth)} deep, {board.label} {mm(stack.thickness)} thick, so "
        "it comes out on the other face.",
        remedies=(
            *thicker_board(project, board, lambda t: others + t >= data.hole_depth + WALL_LEAST),
            Remedy("Take one with a shallower cup or insert, made for thin boards."),
        ),
        names=(placed.key, board.key),
        point=placed.frame.origin,
    )
    return Fitted(features=tuple(features), findings=(finding,))


__all__ = ["FOOT_UNDER_HEAD", "STRIP_THICKNESS", "THROUGH", "fit_foot", "fit_hardware", "fit_strip"]
