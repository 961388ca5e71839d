"""Boxes and boards with no hole of their own: screws, plugs, air."""

from __future__ import annotations

from casewright.catalog.kinds import Device
from casewright.design.project import Project
from casewright.geometry.devices.mounting import corners, screw_down
from casewright.geometry.devices.seat import Seat
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.model import Body, Box, Placed

FLANGE = 1.6
"""Circuit board or lug under the screw's head. [mm] Source: common practice, the usual board of 1.6."""


def fit_device(placed: Placed, data: Device, stack: Stack, project: Project) -> Fitted:
    """Everything that a box or board asks of its panel; nothing if it stays outside."""
    if data.outside:
        return Fitted()
    seat = Seat(placed, stack, project)
    # n grows toward the viewer: a device on the back goes down from the face, one on the show face up.
    sign = -1.0 if placed.face == "back" else 1.0

    def slab(near: float, far: float) -> tuple[float, float]:
        low, high = sorted((sign * near, sign * far))
        return low, high

    near = placed.wish.standoff
    far = near + data.depth
    low, high = slab(near, far)
    looks_bare = data.role in ("controller", "converter", "amplifier")
    bodies: list[Body] = [
        seat.solid(
            "body",
            Box(0, 0, data.width, data.height, low, high),
            look="board" if looks_bare else "plastic",
        )
    ]
    if data.plug_room > 0:
        room = data.plug_room
        boxes = {
            "left": Box(-(data.width + room) / 2, 0, room, data.height, low, high),
            "right": Box((data.width + room) / 2, 0, room, data.height, low, high),
            "down": Box(0, -(data.height + room) / 2, data.width, room, low, high),
            "up": Box(0, (data.height + room) / 2, data.width, room, low, high),
            "behind": Box(0, 0, data.width, data.height, *slab(far, far + room)),
        }
        bodies.append(
            seat.room("plugs", boxes[data.plug_side], label=f"{placed.label}, room for its plugs")
        )
    if data.air_room > 0:
        bodies.append(
            seat.room(
                "air",
                Box(0, 0, data.width, data.height, *slab(far, far + data.air_room)),
                label=f"{placed.label}, air",
            )
        )
    screws = Fitted()
    if data.holes_width > 0 or data.holes_height > 0:
        screws = screw_down(
            seat,
            corners(data.holes_width, data.holes_height),
            hole=data.screw_hole,
            under_head=FLANGE + placed.wish.standoff,
        )
    return gathered([screws, Fitted(bodies=tuple(bodies))])


__all__ = ["FLANGE", "fit_device"]
