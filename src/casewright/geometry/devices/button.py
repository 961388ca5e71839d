"""Push buttons: hole, counterbore where the thread is too short, nut and fingers."""

from __future__ import annotations

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_most, mm
from casewright.basics.reckoning import Term, total
from casewright.catalog.kinds import PushButton
from casewright.design.project import Project
from casewright.geometry.devices.colors import color_named
from casewright.geometry.devices.seat import Seat
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.model import Cylinder, Placed
from casewright.geometry.thinning import LEAST_WOOD, thin_for_grip

RIM_LAP = 0.5
"""Least that a rim must cover all round a hole. [mm] Source: common practice."""

NUT_ROOM = 2.0
"""Kept free round a nut, in diameter, so that nuts of a row stand 1 apart. [mm] Source: common practice."""

COUNTERBORE_ROOM = 2.0
"""Counterbore over the nut's corners, in diameter. [mm] Source: common practice."""

FINGER_ROOM = 25.0
"""Kept free over a button for a finger. [mm] Source: common practice."""

WIRE_ROOM = 10.0
"""Kept free behind terminals for the bend of a wire. [mm] Source: common practice."""

METAL_PLATE = Rule(
    id="part.metal-plate",
    severity=Severity.STOP,
    asks="The panel is no thicker than the part's thread or clip can hold.",
    why="Thinning the panel far enough would leave too little wood to carry the part.",
    source="Common practice",
)


def fit_button(placed: Placed, data: PushButton, stack: Stack, project: Project) -> Fitted:
    """Everything that a push button asks of its panel."""
    seat = Seat(placed, stack, project)
    grip = thin_for_grip(
        thickness=stack.thickness,
        board=stack.board.thickness,
        grip_least=data.grip_least,
        grip_most=data.grip_most,
        recess=placed.wish.recess,
    )
    hole = seat.round_hole("hole", data.hole, cover=data.bezel - 2 * RIM_LAP, label=placed.label)
    found: list[Fitted] = [hole]
    if grip.recess > 0:
        found.append(
            seat.counterbore(
                "counterbore",
                data.nut + COUNTERBORE_ROOM,
                grip.recess,
                label=f"{placed.label}, room for the nut",
            )
        )
    nut_top = -stack.thickness + grip.recess
    barrel = min(data.body, data.hole)
    bodies = [
        seat.solid(
            "rim",
            Cylinder(0, 0, data.bezel, 0, data.height),
            color=color_named(placed.label, placed.part.label),
        ),
        seat.solid("barrel", Cylinder(0, 0, barrel, max(nut_top, -data.behind), 0)),
        seat.solid("nut", Cylinder(0, 0, data.nut, nut_top - data.nut_thickness, nut_top)),
        seat.room(
            "nut room",
            Cylinder(0, 0, data.nut + NUT_ROOM, nut_top - data.nut_thickness, nut_top),
            label=f"{placed.label}, room to turn the nut",
        ),
        seat.room(
            "fingers",
            Cylinder(0, 0, data.bezel, data.height, data.height + FINGER_ROOM),
            label=f"{placed.label}, room for a finger",
        ),
        seat.room(
            "wires",
            Cylinder(0, 0, data.body, -data.behind - WIRE_ROOM, -data.behind),
            label=f"{placed.label}, bend of its wires",
        ),
    ]
    if data.behind > -nut_top:
        bodies.append(seat.solid("body", Cylinder(0, 0, data.body, -data.behind, nut_top)))
    numbers = (
        total(
            seat.key("grip"),
            f"{placed.label}: thickness that the thread must hold",
            [
                *(Term(piece.label, piece.thickness) for piece in stack.pieces),
                Term("counterbore from behind", grip.recess, -1),
            ],
        ),
    )
    findings = () if grip.possible else (plate_finding(placed, stack, data.grip_most, grip.wood),)
    return gathered([*found, Fitted(bodies=tuple(bodies), numbers=numbers, findings=findings)])


def plate_finding(placed: Placed, stack: Stack, grip_most: float, wood: float) -> Finding:
    """A part whose thread or clip is far too short for the panel; for use by its kin too."""
    left = (
        f"thinning it would leave {mm(wood)} of wood and {mm(LEAST_WOOD)} is asked"
        if wood > 0
        else "no thinning can help"
    )
    remedies = [
        Remedy(
            f"Mount it on a metal plate of at most {at_most(grip_most)}, screwed over a larger hole in the panel."
        )
    ]
    if len(stack.pieces) > 1:
        remedies.append(
            Remedy(
                "Or make the hole in the overlay so large that the part sits on the board below."
            )
        )
    return METAL_PLATE.finding(
        f"{placed.label} holds panels up to {mm(grip_most)}; this one is {mm(stack.thickness)}, and {left}.",
        remedies=tuple(remedies),
        names=(placed.key, stack.panel),
        point=placed.frame.origin,
    )


__all__ = [
    "COUNTERBORE_ROOM",
    "FINGER_ROOM",
    "METAL_PLATE",
    "NUT_ROOM",
    "RIM_LAP",
    "WIRE_ROOM",
    "fit_button",
    "plate_finding",
]
