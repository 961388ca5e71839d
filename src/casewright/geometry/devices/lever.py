"""Joysticks: the hole between shaft and washer, the recess, four blind screws, and the room of the tilted ball."""

from __future__ import annotations

import math

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, at_most, mm
from casewright.basics.reckoning import Reckoning, Term, derived, stated, total
from casewright.catalog.kinds import Lever
from casewright.design.project import Project
from casewright.geometry.devices.colors import color_named
from casewright.geometry.devices.mounting import corners, screw_down
from casewright.geometry.devices.seat import Seat
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.lever_window import (
    LEAST_LAND,
    LeverHole,
    height_for_window,
    settle_lever,
)
from casewright.geometry.model import Body, Box, Cylinder, Placed

WASHER_THICKNESS = 1.0
"""Dust washer, for pictures. [mm] Source: common practice."""

HAND_ROOM = 20.0
"""Kept free round the ball at full tilt for the fingers that hold it. [mm] Source: common practice."""

RECESS = Rule(
    id="lever.recess",
    severity=Severity.NOTE,
    asks="The panel over a joystick's pivot is thin enough that a hole can clear the shaft and hide below the washer.",
    why="A pocket in the back face brings the pivot nearer to the top face; it is routed before the panel is fitted.",
    source="Plain geometry",
)

NO_HOLE = Rule(
    id="lever.no-hole",
    severity=Severity.STOP,
    asks="Some hole clears the tilted shaft and stays hidden below the dust washer at full tilt.",
    why="A smaller hole stops the lever short of its switches; a larger one lets light, dust and glances in.",
    source="Plain geometry",
)


def fit_lever(placed: Placed, data: Lever, stack: Stack, project: Project) -> Fitted:
    """Everything that a joystick asks of its panel."""
    seat = Seat(placed, stack, project)
    settled = settle_lever(
        pivot=data.pivot,
        thickness=stack.thickness,
        board=stack.board.thickness,
        tilt_deg=data.tilt_deg,
        shaft=data.shaft,
        washer=data.washer,
        bits=project.shop.bits,
        recess=placed.wish.recess,
    )
    window, recess = settled.window, settled.recess
    found = [
        seat.round_hole(
            "hole",
            settled.hole.size,
            cover=max(window.most, settled.hole.size),
            tool=settled.hole.kind,
            label=placed.label,
        )
    ]
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
    found.append(
        screw_down(
            seat,
            corners(data.holes_width, data.holes_height),
            hole=data.hole,
            under_head=data.plate_thickness,
            recess=recess,
        )
    )
    found.append(
        Fitted(
            bodies=_bodies(seat, data, settled),
            numbers=_numbers(seat, data, settled),
            findings=_findings(seat, data, settled),
        )
    )
    return gathered(found)


def _bodies(seat: Seat, data: Lever, settled: LeverHole) -> tuple[Body, ...]:
    label = seat.placed.label
    mount, top = settled.recess, seat.show_n
    plate_back = mount - data.plate_thickness
    body_end = mount - data.body_depth
    ball_low = mount + data.ball_height
    theta = math.radians(data.tilt_deg)
    # The ball swings about the pivot on an arm from the pivot to its middle.
    arm = data.pivot + data.ball_height + data.ball / 2
    reach = arm * math.sin(theta) + data.ball / 2
    lowest = mount - data.pivot + arm * math.cos(theta) - data.ball / 2
    bodies = [
        seat.solid(
            "plate",
            Box(0, 0, data.plate_width, data.plate_height, plate_back, mount),
            look="metal",
        ),
        seat.solid("body", Box(0, 0, data.body_width, data.body_height, body_end, plate_back)),
        seat.solid("shaft", Cylinder(0, 0, data.shaft, mount - data.pivot, ball_low), look="metal"),
        seat.solid("washer", Cylinder(0, 0, data.washer, top, top + WASHER_THICKNESS)),
        seat.solid(
            "ball",
            Cylinder(0, 0, data.ball, ball_low, ball_low + data.ball),
            color=color_named(label, seat.placed.part.label),
        ),
        seat.room(
            "shaft sweep",
            Cylinder(
                0,
                0,
                settled.window.least,
                top,
                max(lowest, top + 1.0),
                2 * (data.pivot + data.ball_height) * math.tan(theta)
                + data.shaft / math.cos(theta),
            ),
            label=f"{label}, shaft at full tilt",
        ),
        seat.room(
            "ball sweep",
            Cylinder(0, 0, 2 * (reach + HAND_ROOM), lowest, ball_low + data.ball + HAND_ROOM),
            label=f"{label}, ball at full tilt and the hand on it",
        ),
    ]
    if data.plug_room > 0:
        bodies.append(
            seat.room(
                "plug",
                Box(
                    0,
                    (data.body_height + data.plug_room) / 2,
                    data.body_width,
                    data.plug_room,
                    body_end,
                    plate_back,
                ),
                label=f"{label}, room for the plug",
            )
        )
    return tuple(bodies)


def _numbers(seat: Seat, data: Lever, settled: LeverHole) -> tuple[Reckoning, ...]:
    label, window = seat.placed.label, settled.window
    height_key = seat.key("pivot_height")
    height = Term("h", window.height, key=height_key)
    return (
        total(
            height_key,
            f"{label}: pivot below the panel's top face",
            [
                Term("pivot below the plate", data.pivot),
                *(Term(piece.label, piece.thickness) for piece in seat.stack.pieces),
                Term("recess", settled.recess, -1),
            ],
        ),
        derived(
            seat.key("hole_least"),
            f"{label}: smallest hole that clears the tilted shaft",
            window.least,
            "2 × h × tan(tilt) + shaft ÷ cos(tilt)",
            [height, Term("tilt", data.tilt_deg, unit="deg"), Term("shaft", data.shaft)],
            rule="At full tilt the shaft's flank does not touch the hole's upper edge.",
        ),
        derived(
            seat.key("hole_most"),
            f"{label}: largest hole that the washer hides at full tilt",
            window.most,
            "washer − 2 × h × tan(tilt)",
            [Term("washer", data.washer), height, Term("tilt", data.tilt_deg, unit="deg")],
            rule="At full tilt the washer's far rim still covers the hole's edge.",
        ),
        derived(
            seat.key("hole"),
            f"{label}: hole",
            settled.hole.size,
            "the shop's bit nearest the middle of the window, else the middle",
            [
                Term("smallest", window.least, key=seat.key("hole_least")),
                Term("largest", window.most, key=seat.key("hole_most")),
            ],
            source="Shop's bits" if settled.hole.fits else "Plain geometry",
        ),
        stated(
            seat.key("recess"),
            f"{label}: depth of the pocket in the back face",
            settled.recess,
            rule={
                "none": "The window is open without one.",
                "wished": "Wished for in the project.",
                "opens the window": "The least depth that opens the window.",
                "not enough": f"None helps that leaves {LEAST_LAND:g} mm of board.",
            }[settled.reason],
            source="Project setting" if settled.reason == "wished" else "Plain geometry",
        ),
        total(
            seat.key("ball_height"),
            f"{label}: underside of the ball over the panel",
            [
                Term("ball over the plate", data.ball_height),
                *(Term(piece.label, piece.thickness, -1) for piece in seat.stack.pieces),
                Term("recess", settled.recess),
            ],
        ),
        stated(
            seat.key("land"),
            f"{label}: board left over the plate",
            settled.land,
            source="Plain geometry",
        ),
    )


def _findings(seat: Seat, data: Lever, settled: LeverHole) -> tuple[Finding, ...]:
    placed, window = seat.placed, settled.window
    names, point = (placed.key, seat.stack.panel), placed.frame.origin
    if window.is_open:
        if settled.reason != "opens the window":
            return ()
        return (
            RECESS.finding(
                f"{placed.label}: no hole serves at {mm(seat.stack.thickness)} of panel, so its plate sits in a pocket "
                f"{mm(settled.recess)} deep from the back, which leaves {mm(settled.land)} of board.",
                names=names,
                point=point,
            ),
        )
    theta = math.radians(data.tilt_deg)
    highest = height_for_window(tilt_deg=data.tilt_deg, shaft=data.shaft, washer=data.washer)
    washer = 2 * (2 * window.height * math.tan(theta)) + data.shaft / math.cos(theta)
    thinnest = highest - data.pivot
    remedies = [Remedy(f"Use a dust washer of at least {at_least(washer)} diameter.")]
    if thinnest > 0:
        remedies.append(
            Remedy(
                f"Make the panel, all layers, at most {at_most(thinnest)} thick there; it is "
                f"{mm(seat.stack.thickness - settled.recess)}."
            )
        )
    return (
        NO_HOLE.finding(
            f"{placed.label}: the tilted shaft needs a hole of {mm(window.least)}, and the washer hides one of "
            f"{mm(max(window.most, 0.0))} at most.",
            remedies=tuple(remedies),
            names=names,
            point=point,
        ),
    )


__all__ = ["HAND_ROOM", "NO_HOLE", "RECESS", "WASHER_THICKNESS", "fit_lever"]
