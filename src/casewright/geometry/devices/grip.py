"""Hand holes, with or without a blind cup, and screwed-on handles."""

from __future__ import annotations

from casewright.catalog.kinds import Grip
from casewright.design.project import Project
from casewright.geometry.devices.mounting import bolt_through, corners
from casewright.geometry.devices.seat import Seat
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.model import Body, Box, Placed
from casewright.geometry.orders import ROUNDED_OVER

ROUNDING = 6.0
"""Radius that a hand hole's edges are rounded over with, on both faces. [mm] Source: common practice."""

KNUCKLES = 40.0
"""Room behind a hand hole for fingers, where it has no cup. [mm] Source: common practice."""

WOOD = "#d3b98c"
"""Of blind cups, which are glued up from thin board."""

HANDLE_ROOM = 30.0
"""Room round a handle for the knuckles. [mm] Source: common practice."""


def fit_grip(placed: Placed, data: Grip, stack: Stack, project: Project) -> Fitted:
    """Everything that a hand hole or handle asks of its panel."""
    seat = Seat(placed, stack, project)
    return _hand_hole(seat, data) if data.style == "hand hole" else _handle(seat, data)


def _hand_hole(seat: Seat, data: Grip) -> Fitted:
    label = seat.placed.label
    opening = seat.opening(
        "opening",
        data.width,
        data.height,
        radius=min(data.width, data.height) / 2,
        label=f"{label}{ROUNDED_OVER}",
    )
    back = seat.back_n
    if data.cup_depth <= 0:
        room = Box(0, 0, data.width, data.height, back - KNUCKLES, back)
        fingers = seat.room("fingers", room, label=f"{label}, room for fingers")
        return gathered([opening, Fitted(bodies=(fingers,))])
    wall, floor = data.cup_wall, back - data.cup_depth
    wide, high = data.width, data.height
    boxes = {
        "cup left": Box(-(wide + wall) / 2, 0, wall, high + 2 * wall, floor, back),
        "cup right": Box((wide + wall) / 2, 0, wall, high + 2 * wall, floor, back),
        "cup below": Box(0, -(high + wall) / 2, wide, wall, floor, back),
        "cup above": Box(0, (high + wall) / 2, wide, wall, floor, back),
        "cup floor": Box(0, 0, wide + 2 * wall, high + 2 * wall, floor - wall, floor),
    }
    bodies: list[Body] = [
        seat.solid(name, box, look="board", color=WOOD, label=f"{label}, blind cup")
        for name, box in boxes.items()
    ]
    room = Box(0, 0, wide, high, floor, back)
    bodies.append(seat.room("fingers", room, label=f"{label}, room for fingers"))
    return gathered([opening, Fitted(bodies=tuple(bodies))])


def _handle(seat: Seat, data: Grip) -> Fitted:
    label = seat.placed.label
    spacing = data.screw_spacing or data.width
    out = max(data.projection, 1.0)
    on_show = seat.placed.face == "show"
    low, high = (0.0, out) if on_show else (-out, 0.0)
    room_low, room_high = (0.0, out + HANDLE_ROOM) if on_show else (-out - HANDLE_ROOM, 0.0)
    bodies = (
        seat.solid("bar", Box(0, 0, data.width, data.height, low, high), look="metal"),
        seat.room(
            "knuckles",
            Box(0, 0, data.width, data.height + 2 * HANDLE_ROOM, room_low, room_high),
            label=f"{label}, room for knuckles",
        ),
    )
    return gathered(
        [
            bolt_through(seat, corners(spacing, 0.0), data.screw_hole, into_part=True),
            Fitted(bodies=bodies),
        ]
    )


__all__ = ["HANDLE_ROOM", "KNUCKLES", "ROUNDING", "WOOD", "fit_grip"]
