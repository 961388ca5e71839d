"""Ports of loudspeaker boxes: hole or mouth in the panel, pipe or duct behind it, air at its inner end."""

from __future__ import annotations

import math

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.reckoning import Term, derived
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import PartKind, Port
from casewright.design.project import Project
from casewright.geometry.bits import router_bit
from casewright.geometry.devices.button import RIM_LAP
from casewright.geometry.devices.fittings import FLANGE_THICKNESS
from casewright.geometry.devices.seat import Seat
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.model import Body, Box, Cabinet, Cylinder, Frame, Piece, Placed, Point3
from casewright.geometry.openings import part_field
from casewright.geometry.sign_layout import material_near

DUCT_AIR = "duct air"
"""Ending of the key of the air in a duct whose walls are pieces."""

WALLS_BOARD = Rule(
    id="port.walls",
    severity=Severity.CAUTION,
    asks="The project has a board as thick as the walls of a slot's duct.",
    why="Walls that nobody has planned for are found missing when the panel is glued in: a bare slot tunes nothing.",
    source="Plain geometry",
)

GLUE = 0.2
"""A pipe in its hole is this much smaller, for the glue. [mm] Source: common practice."""


def fit_port(placed: Placed, data: Port, stack: Stack, project: Project) -> Fitted:
    """Everything that a port asks of its panel and of the room behind it.

    A pipe passes through the panel. A slot's duct is glued behind the panel, its mouth is cut in the panel itself.
    Where the project has a board as thick as its walls, within half a millimeter, they are pieces cut from that. The
    air that is kept free behind the inner end is as deep as the port is wide (a slot: high).

    Source:
        Free end: common practice.
    """
    seat = Seat(placed, stack, project)
    back = seat.back_n
    end = min(-data.length, back)
    bodies: list[Body] = []
    pieces: tuple[Piece, ...] = ()
    findings: tuple[Finding, ...] = ()
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
        wall = data.wall
        if end < back:
            material = material_near(project, data.wall, "")
            if material:
                wall = project.materials[material].thickness
                pieces = duct_walls(seat, data, material, back, end)
                air = Box(0, 0, data.width, data.height, end, back)
                bodies.append(seat.room(DUCT_AIR, air, label=f"{placed.label}, air in its duct"))
            else:
                findings = (_no_board(seat, data),)
                whole = Box(0, 0, data.width + 2 * wall, data.height + 2 * wall, end, back)
                bodies.append(seat.solid("duct", whole, look="board"))
        free = Box(0, 0, data.width + 2 * wall, data.height + 2 * wall, end - narrow, end)
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
    own = Fitted(bodies=tuple(bodies), pieces=pieces, numbers=(number,), findings=findings)
    return gathered([cut, own])


def duct_walls(seat: Seat, data: Port, material: str, back: float, end: float) -> tuple[Piece, ...]:
    """The four walls of a slot's duct behind the panel, the narrow ones between the wide ones; show faces outside.

    Args:
        seat: Where the port sits.
        data: Its dimensions.
        material: Key of what the walls are cut from.
        back: N of the panel's back face, from the show face. [mm, less than 0]
        end: N of the duct's inner end. [mm, less than `back`]

    Source:
        Plain geometry.
    """
    frame, placed = seat.placed.frame, seat.placed
    board = seat.project.materials[material]
    wall = board.thickness
    u, v, n = frame.u, frame.v, frame.n
    minus_u, minus_v, minus_n = (_turned(axis) for axis in (u, v, n))
    half_u, half_v, deep = data.width / 2, data.height / 2, back - end
    wide, high = half_u + wall, half_v
    # The frame of each wall, and how its blank lies in it; u × v = n in each.
    made = (
        ("top", Frame(frame.point(0, half_v + wall, back), u, minus_n, v), wide, 0.0, deep),
        ("bottom", Frame(frame.point(0, -half_v - wall, back), u, n, minus_v), wide, -deep, 0.0),
        ("left", Frame(frame.point(-half_u - wall, 0, back), v, minus_n, minus_u), high, 0.0, deep),
        ("right", Frame(frame.point(half_u + wall, 0, back), v, n, u), high, -deep, 0.0),
    )
    walls = []
    for name, own, half, low, top in made:
        outline = ((-half, low), (half, low), (half, top), (-half, top))
        walls.append(
            Piece(
                key=seat.key(name),
                label=f"{placed.label} duct, {name} wall",
                kind="duct",
                role="other",
                material=material,
                thickness=wall,
                frame=own,
                show=outline,
                back=outline,
                panel=seat.stack.panel,
                grain="none" if board.grain == "none" else "u" if 2 * half >= deep else "v",
            )
        )
    return tuple(walls)


def is_made_here(data: PartKind, key: str, cabinet: Cabinet) -> bool:
    """Whether a placed part is a slot of pieces and a cut in its panel: nothing is bought or weighed for it."""
    if not isinstance(data, Port) or data.shape != "slot":
        return False
    return all(body.key != f"{key}.duct" for body in cabinet.bodies)


def _turned(axis: Point3) -> Point3:
    """The same axis the other way."""
    return (-axis[0], -axis[1], -axis[2])


def _no_board(seat: Seat, data: Port) -> Finding:
    """No board of the project is as thick as the duct's walls."""
    placed, project = seat.placed, seat.project
    boards = {
        material.thickness
        for material in project.materials.values()
        if material.kind in ("plywood", "mdf", "solid wood")
    }
    nearest = min(boards, key=lambda thickness: abs(thickness - data.wall), default=None)
    remedies = []
    if nearest is not None:
        more = nearest - data.wall
        room = (
            f" The duct is then {mm(more)} larger on every side: keep that free, or move it first."
            if more > TOUCHING
            else ""
        )
        remedies.append(
            Remedy(
                f"Make its walls of the board of {mm(nearest)}.{room}",
                part_field(placed, project, "wall"),
                nearest,
            )
        )
    return WALLS_BOARD.finding(
        f"The walls of {placed.label} are {mm(data.wall)} thick; no board of the project is, so none is cut for them.",
        remedies=(
            *remedies,
            Remedy(
                "Or add the board to the materials, or glue the duct up from what is left over."
            ),
        ),
        names=(placed.key,),
        point=placed.frame.origin,
    )


__all__ = ["DUCT_AIR", "GLUE", "duct_walls", "fit_port", "is_made_here"]
