"""Rotary controls: hole for the bushing, panel thinned where the thread is short, knob and fingers."""

from __future__ import annotations

from casewright.basics.reckoning import Term, derived, total
from casewright.catalog.kinds import Dial
from casewright.design.project import Project
from casewright.geometry.devices.button import WIRE_ROOM, plate_finding
from casewright.geometry.devices.seat import Seat
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.model import Box, Cylinder, Placed
from casewright.geometry.thinning import DEPTH_ALLOWANCE, thin_for_grip

BODY_ROOM = 2.0
"""Pocket round a dial's body for its lugs, on every side. [mm] Source: common practice."""

KNOB_FINGERS = 15.0
"""Kept free round a knob for two fingers. [mm] Source: common practice."""

NUT_ACROSS = 1.7
"""Nut across corners, in bushing diameters. Source: common practice (bushing 7: nut 10 across flats)."""


def fit_dial(placed: Placed, data: Dial, stack: Stack, project: Project) -> Fitted:
    """Everything that a rotary control asks of its panel."""
    seat = Seat(placed, stack, project)
    most = data.thread - data.nut_thickness
    grip = thin_for_grip(
        thickness=stack.thickness,
        board=stack.board.thickness,
        grip_most=most,
        recess=placed.wish.recess,
    )
    found = [
        seat.round_hole(
            "hole", data.hole, cover=max(data.hole, data.knob - 4.0), label=placed.label
        )
    ]
    if grip.recess > 0:
        found.append(
            seat.plate_pocket(
                "pocket",
                data.body_width + 2 * BODY_ROOM,
                data.body_height + 2 * BODY_ROOM,
                grip.recess,
                label=f"{placed.label}, panel thinned for the thread",
            )
        )
    mount, top = grip.recess, seat.show_n
    nut_end = top + data.nut_thickness
    bodies = (
        seat.solid(
            "body",
            Box(0, 0, data.body_width, data.body_height, mount - data.body_depth, mount),
            look="metal",
        ),
        seat.solid("bushing", Cylinder(0, 0, data.hole, mount, mount + data.thread), look="metal"),
        seat.solid("nut", Cylinder(0, 0, NUT_ACROSS * data.hole, top, nut_end), look="metal"),
        seat.solid("knob", Cylinder(0, 0, data.knob, nut_end, nut_end + data.knob_height)),
        seat.room(
            "fingers",
            Cylinder(
                0,
                0,
                data.knob + 2 * KNOB_FINGERS,
                nut_end,
                nut_end + data.knob_height + KNOB_FINGERS,
            ),
            label=f"{placed.label}, room for fingers",
        ),
        seat.room(
            "wires",
            Box(
                0,
                0,
                data.body_width,
                data.body_height,
                mount - data.body_depth - WIRE_ROOM,
                mount - data.body_depth,
            ),
            label=f"{placed.label}, bend of its wires",
        ),
    )
    numbers = (
        derived(
            seat.key("grip_most"),
            f"{placed.label}: panel that the thread holds",
            most,
            "thread − nut",
            [Term("thread", data.thread), Term("nut", data.nut_thickness)],
        ),
        total(
            seat.key("grip"),
            f"{placed.label}: thickness left for the thread",
            [
                *(Term(piece.label, piece.thickness) for piece in stack.pieces),
                Term("pocket from behind", grip.recess, -1),
            ],
            rule=f"{DEPTH_ALLOWANCE:g} mm less than the thread holds, for washer and error, where a pocket is cut.",
        ),
    )
    findings = () if grip.possible else (plate_finding(placed, stack, most, grip.wood),)
    return gathered([*found, Fitted(bodies=bodies, numbers=numbers, findings=findings)])


__all__ = ["BODY_ROOM", "KNOB_FINGERS", "NUT_ACROSS", "fit_dial"]
