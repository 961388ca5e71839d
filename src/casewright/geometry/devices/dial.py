"""Rotary controls: hole for the bushing, panel thinned where the thread is short, knob and fingers."""

from __future__ import annotations

from casewright.basics.findings import Finding, Rule, Severity, mm
from casewright.basics.reckoning import Term, total
from casewright.catalog.kinds import Dial
from casewright.design.project import Project
from casewright.geometry.devices.button import WIRE_ROOM, plate_finding
from casewright.geometry.devices.seat import Seat
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.model import Box, Cylinder, Placed
from casewright.geometry.thinning import (
    KNOB_LAP,
    LOCK_WASHER,
    NUT_ACROSS,
    Bushing,
    seat_bushing,
)

BODY_ROOM = 2.0
"""Pocket round a dial's body for its lugs, on every side. [mm] Source: common practice."""

KNOB_FINGERS = 15.0
"""Kept free round a knob for two fingers. [mm] Source: common practice."""

SUNK_NUT = Rule(
    id="dial.sunk-nut",
    severity=Severity.NOTE,
    asks="The bushing's thread reaches through the panel.",
    why="Where an overlay makes the panel too thick, the nut can sit on the board below it, hidden by the knob.",
    source="Plain geometry",
)


def fit_dial(placed: Placed, data: Dial, stack: Stack, project: Project) -> Fitted:
    """Everything that a rotary control asks of its panel."""
    seat = Seat(placed, stack, project)
    bushing = seat_bushing(
        thickness=stack.thickness,
        board=stack.board.thickness,
        hole=data.hole,
        thread=data.thread,
        nut=data.nut_thickness,
        knob=data.knob,
        recess=placed.wish.recess,
    )
    grip, sunk = bushing.thin, bushing.overlay_hole is not None
    found = [
        seat.round_hole(
            "hole",
            data.hole,
            cover=max(data.hole, data.knob - 2 * KNOB_LAP),
            overlay=bushing.overlay_hole,
            label=placed.label,
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
    nut_seat = stack.board.thickness if sunk else top
    nut_end = nut_seat + data.nut_thickness
    knob_low = max(nut_end, top)
    bodies = (
        seat.solid(
            "body",
            Box(0, 0, data.body_width, data.body_height, mount - data.body_depth, mount),
            look="metal",
        ),
        seat.solid("bushing", Cylinder(0, 0, data.hole, mount, mount + data.thread), look="metal"),
        seat.solid("nut", Cylinder(0, 0, NUT_ACROSS * data.hole, nut_seat, nut_end), look="metal"),
        seat.solid("knob", Cylinder(0, 0, data.knob, knob_low, knob_low + data.knob_height)),
        seat.room(
            "fingers",
            Cylinder(
                0,
                0,
                data.knob + 2 * KNOB_FINGERS,
                knob_low,
                knob_low + data.knob_height + KNOB_FINGERS,
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
    layers = (stack.board,) if sunk else stack.pieces
    numbers = (
        total(
            seat.key("grip_most"),
            f"{placed.label}: panel that the thread holds",
            [
                Term("thread", data.thread),
                Term("nut", data.nut_thickness, -1),
                Term("toothed washer", LOCK_WASHER, -1),
            ],
        ),
        total(
            seat.key("grip"),
            f"{placed.label}: thickness that the thread must hold",
            [
                *(Term(piece.label, piece.thickness) for piece in layers),
                Term("pocket from behind", grip.recess, -1),
            ],
        ),
    )
    return gathered(
        [*found, Fitted(bodies=bodies, numbers=numbers, findings=_findings(placed, stack, bushing))]
    )


def _findings(placed: Placed, stack: Stack, bushing: Bushing) -> tuple[Finding, ...]:
    if not bushing.thin.possible:
        return (plate_finding(placed, stack, bushing.grip_most, bushing.thin.wood),)
    if bushing.overlay_hole is None:
        return ()
    return (
        SUNK_NUT.finding(
            f"{placed.label}: its thread holds {mm(bushing.grip_most)} and the panel with its overlay is "
            f"{mm(stack.thickness)}, so the overlay gets a hole of {mm(bushing.overlay_hole)} and the nut sits on "
            f"the board below it, hidden by the knob.",
            names=(placed.key, stack.panel),
            point=placed.frame.origin,
        ),
    )


__all__ = ["BODY_ROOM", "KNOB_FINGERS", "SUNK_NUT", "fit_dial"]
