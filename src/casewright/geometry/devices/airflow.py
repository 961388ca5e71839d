"""Fans and vents."""

from __future__ import annotations

import math

from casewright.basics.reckoning import Term, derived
from casewright.catalog.kinds import Fan, Vent
from casewright.design.project import Project
from casewright.geometry.bits import router_bit
from casewright.geometry.devices.mounting import corners, screw_down
from casewright.geometry.devices.seat import Seat
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.model import Box, Cylinder, Feature, Placed, Rectangle

FAN_AIR = 10.0
"""Kept free before and behind a fan. [mm] Source: common practice."""


def fit_fan(placed: Placed, data: Fan, stack: Stack, project: Project) -> Fitted:
    """Everything that a fan asks of its panel: air opening, four screws through the fan, air before and behind it."""
    seat = Seat(placed, stack, project)
    on_back = placed.face == "back"
    low, high = (-data.thickness, 0.0) if on_back else (0.0, data.thickness)
    front = seat.show_n if on_back else high
    rear = low if on_back else seat.back_n
    screws = screw_down(
        seat,
        corners(data.pitch, data.pitch),
        hole=data.screw_hole,
        under_head=data.thickness,
        else_bolts=True,
    )
    bodies = (
        seat.solid("body", Box(0, 0, data.size, data.size, low, high)),
        seat.room(
            "air out",
            Cylinder(0, 0, data.opening, front, front + FAN_AIR),
            label=f"{placed.label}, air before it",
        ),
        seat.room(
            "air in",
            Cylinder(0, 0, data.opening, rear - FAN_AIR, rear),
            label=f"{placed.label}, air behind it",
        ),
    )
    opening = seat.round_hole("opening", data.opening, label=placed.label)
    return gathered([opening, screws, Fitted(bodies=bodies)])


def fit_vent(placed: Placed, data: Vent, stack: Stack, project: Project) -> Fitted:
    """Slots with round ends, one above the other, through every layer, and their free area."""
    seat = Seat(placed, stack, project)
    bit = router_bit(project.shop.bits, ("straight", "flush trim"), most=data.slot_width)
    tool = "jigsaw" if bit is None and project.shop.bits else "straight"
    features: list[tuple[str, Feature]] = []
    for index in range(data.count):
        u, v = seat.at(0.0, (index - (data.count - 1) / 2) * data.pitch)
        shape = Rectangle(
            u,
            v,
            data.slot_length,
            data.slot_width,
            min(data.slot_width, data.slot_length) / 2,
            placed.turn_deg,
        )
        for piece in stack.pieces:
            feature = seat.feature(
                f"slot{index + 1}",
                "opening",
                shape,
                face="show",
                depth=None,
                tool=tool,
                label=placed.label,
            )
            features.append((piece.key, feature))
    narrow, wide = sorted((data.slot_width, data.slot_length))
    area = data.count * ((wide - narrow) * narrow + math.pi * narrow**2 / 4)
    numbers = (
        derived(
            seat.key("area"),
            f"{placed.label}: free area",
            area / 100,
            "slots × ((length − width) × width + π × width² ÷ 4) ÷ 100",
            [Term("slots", data.count), Term("length", wide), Term("width", narrow)],
            unit="cm²",
        ),
    )
    return Fitted(features=tuple(features), numbers=numbers)


__all__ = ["FAN_AIR", "fit_fan", "fit_vent"]
