"""Ports of loudspeaker boxes: hole or mouth in the panel, pipe or duct behind it, air at its inner end."""

from __future__ import annotations

import math

from casewright.basics.reckoning import Term, derived
from casewright.catalog.kinds import Port
from casewright.design.project import Project
from casewright.geometry.bits import router_bit
from casewright.geometry.devices.button import RIM_LAP
from casewright.geometry.devices.fittings import FLANGE_THICKNESS
from casewright.geometry.devices.seat import Seat
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.model import Box, Cylinder, Placed

GLUE = 0.2
"""A pipe in its hole is this much smaller, for the glue. [mm] Source: common practice."""


def fit_port(placed: Placed, data: Port, stack: Stack, project: Project) -> Fitted:
    """Everything that a port asks of its panel and of the room behind it.

    A pipe passes through the panel. A slot's duct is glued behind the panel, its mouth is cut in the panel itself. The
    air that is kept free behind the inner end is as deep as the port is wide (a slot: high).

    Source:
        Free end: common practice.
    """
    seat = Seat(placed, stack, project)
    back = seat.back_n
    end = min(-data.length, back)
    bodies = []
    if data.shape == "round":
        outside = data.width + 2 * data.wall
        cover = data.flange - 2 * RIM_LAP if data.flange > outside else None
        cut = seat.round_hole("hole", outside, cover=cover, label=placed.label)
        area = math.pi * data.width**2 / 4
        if data.flange > outside:
            rim = Cylinder(0, 0, data.flange, 0.0, FLANGE_THICKNESS)
            bodies.append(seat.solid("rim", rim))
        bodies.append(seat.solid("in panel", Cylinder(0, 0, outside - GLUE, back, 0.0)))
        if end < back:
            bodies.append(seat.solid("pipe", Cylinder(0, 0, outside, end, back)))
        free: Box | Cylinder = Cylinder(0, 0, outside, end - data.width, end)
    else:
        narrow = min(data.width, data.height)
        bit = router_bit(project.shop.bits, ("flush trim", "straight"), most=narrow)
        cut = seat.opening(
            "mouth", data.width, data.height, radius=(bit or 0.0) / 2, label=placed.label
        )
        area = data.width * data.height
        wide, high = data.width + 2 * data.wall, data.height + 2 * data.wall
        if end < back:
            bodies.append(seat.solid("duct", Box(0, 0, wide, high, end, back), look="board"))
        free = Box(0, 0, wide, high, end - narrow, end)
    bodies.append(seat.room("end", free, label=f"{placed.label}, air at its inner end"))
    terms = [Term("width", data.width)]
    if data.shape == "slot":
        terms.append(Term("height", data.height))
    number = derived(
        seat.key("area"),
        f"{placed.label}: inner area",
        area / 100,
        "π × width² ÷ 400" if data.shape == "round" else "width × height ÷ 100",
        terms,
        unit="cm²",
    )
    return gathered([cut, Fitted(bodies=tuple(bodies), numbers=(number,))])


__all__ = ["GLUE", "fit_port"]
