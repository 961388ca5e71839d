"""Sockets, switches, inlets and jacks: hole or cut-out, flange, screws, panel thinned where the grip is short."""

from __future__ import annotations

from casewright.basics.reckoning import Term, total
from casewright.catalog.kinds import Fitting
from casewright.design.project import Project
from casewright.geometry.devices.button import RIM_LAP, WIRE_ROOM, plate_finding
from casewright.geometry.devices.mounting import bolt_through, corners, screw_down
from casewright.geometry.devices.seat import Seat
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.model import Box, Cylinder, Placed, Point2
from casewright.geometry.thinning import thin_for_grip

FLANGE_THICKNESS = 2.0
"""Flange over the show face. [mm] Source: common practice; the kind has no field for it."""

LEAST_FOR_SCREWS = 8.0
"""Thinnest board that small wood screws are driven into from the show face; thinner ones get bolts right through. [mm]

Source: common practice.
"""


def fit_fitting(placed: Placed, data: Fitting, stack: Stack, project: Project) -> Fitted:
    """Everything that a socket, switch, inlet or jack asks of its panel."""
    seat = Seat(placed, stack, project)
    grip = thin_for_grip(
        thickness=stack.thickness,
        board=stack.board.thickness,
        grip_least=data.grip_least,
        grip_most=data.grip_most,
        recess=placed.wish.recess,
    )
    found: list[Fitted] = []
    body: Box | Cylinder
    if data.hole > 0:
        cover = min(data.flange_width, data.flange_height) - 2 * RIM_LAP
        found.append(seat.round_hole("hole", data.hole, cover=cover, label=placed.label))
        body = Cylinder(0, 0, data.hole, -data.behind, 0)
    else:
        found.append(
            seat.opening(
                "cutout",
                data.cutout_width,
                data.cutout_height,
                radius=data.corner_radius,
                label=placed.label,
            )
        )
        body = Box(0, 0, data.cutout_width, data.cutout_height, -data.behind, 0)
    if grip.recess > 0:
        found.append(
            seat.plate_pocket(
                "pocket",
                data.flange_width,
                data.flange_height,
                grip.recess,
                label=f"{placed.label}, panel thinned for its grip",
            )
        )
    points = _screw_points(data)
    if points and stack.board.thickness - grip.recess >= LEAST_FOR_SCREWS:
        found.append(
            screw_down(
                seat,
                points,
                hole=data.screw_hole,
                under_head=FLANGE_THICKNESS,
                recess=grip.recess,
                else_bolts=True,
            )
        )
    elif points:
        found.append(bolt_through(seat, points, data.screw_hole, under_head=FLANGE_THICKNESS))
    flange = FLANGE_THICKNESS
    bodies = [
        seat.solid(
            "flange", Box(0, 0, data.flange_width, data.flange_height, 0, flange), look="metal"
        ),
        seat.solid("body", body),
        seat.room(
            "wires",
            Box(
                0,
                0,
                data.hole or data.cutout_width,
                data.hole or data.cutout_height,
                -data.behind - WIRE_ROOM,
                -data.behind,
            ),
            label=f"{placed.label}, bend of its wires",
        ),
    ]
    if data.plug_room > 0:
        bodies.append(
            seat.room(
                "plug",
                Box(0, 0, data.flange_width, data.flange_height, flange, flange + data.plug_room),
                label=f"{placed.label}, plug and cable",
            )
        )
    numbers = (
        total(
            seat.key("grip"),
            f"{placed.label}: thickness that it must hold",
            [
                *(Term(piece.label, piece.thickness) for piece in stack.pieces),
                Term("pocket from behind", grip.recess, -1),
            ],
        ),
    )
    findings = () if grip.possible else (plate_finding(placed, stack, data.grip_most, grip.wood),)
    return gathered([*found, Fitted(bodies=tuple(bodies), numbers=numbers, findings=findings)])


def _screw_points(data: Fitting) -> tuple[Point2, ...]:
    if data.screws == 0:
        return ()
    if data.screws == 4 or data.screws_width == 0 or data.screws_height == 0:
        return corners(data.screws_width, data.screws_height)
    u, v = data.screws_width / 2, data.screws_height / 2
    return ((-u, v), (u, -v))


__all__ = ["FLANGE_THICKNESS", "LEAST_FOR_SCREWS", "fit_fitting"]
