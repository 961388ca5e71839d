"""Trackballs: opening, blind screws from behind, body and plug."""

from __future__ import annotations

from casewright.catalog.kinds import Trackball
from casewright.design.project import Project
from casewright.geometry.devices.mounting import corners, screw_down
from casewright.geometry.devices.seat import Seat
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.model import Box, Cylinder, Placed

PLATE_THICKNESS = 2.0
"""Plate of a trackball under its screws' heads. [mm] Source: common practice; the kind has no field for it."""

PALM_ROOM = 40.0
"""Kept free over the ball for the hand. [mm] Source: common practice."""


def fit_trackball(placed: Placed, data: Trackball, stack: Stack, project: Project) -> Fitted:
    """Everything that a trackball asks of its panel."""
    seat = Seat(placed, stack, project)
    recess = placed.wish.recess or 0.0
    found = [seat.round_hole("hole", data.hole, label=placed.label)]
    if recess > 0:
        found.append(
            seat.plate_pocket(
                "pocket",
                data.plate_width,
                data.plate_height,
                recess,
                label=f"{placed.label}, pocket for the plate",
            )
        )
    end = recess - data.body_depth
    bodies = [
        seat.solid(
            "plate",
            Box(0, 0, data.plate_width, data.plate_height, recess - PLATE_THICKNESS, recess),
            look="metal",
        ),
        seat.solid(
            "body", Box(0, 0, data.plate_width, data.plate_height, end, recess - PLATE_THICKNESS)
        ),
        seat.room(
            "hand",
            Cylinder(0, 0, 2 * data.hole, seat.show_n, seat.show_n + PALM_ROOM),
            label=f"{placed.label}, room for the hand",
        ),
    ]
    if data.plug_room > 0:
        bodies.append(
            seat.room(
                "plug",
                Box(0, 0, data.plate_width, data.plate_height, end - data.plug_room, end),
                label=f"{placed.label}, room for the plug",
            )
        )
    screws = screw_down(
        seat,
        corners(data.holes_width, data.holes_height),
        hole=data.screw_hole,
        under_head=PLATE_THICKNESS,
        recess=recess,
    )
    return gathered([*found, screws, Fitted(bodies=tuple(bodies))])


__all__ = ["PALM_ROOM", "PLATE_THICKNESS", "fit_trackball"]
