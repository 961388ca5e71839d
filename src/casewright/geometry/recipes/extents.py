"""How much of a panel each placed part takes, for recipes that make the panel large enough."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from casewright.catalog.kinds import (
    Device,
    Dial,
    Display,
    Fan,
    Fitting,
    Foot,
    Grip,
    Kind,
    Lever,
    Port,
    PushButton,
    Sign,
    Speaker,
    Trackball,
    Vent,
)
from casewright.design.parts import KnownPart, Placement
from casewright.design.project import Project
from casewright.geometry.display_face import display_face
from casewright.geometry.sign_layout import with_sheets


@dataclass(frozen=True)
class Spot:
    """A placed part, with its wishes followed along `like`."""

    key: str
    label: str
    data: Kind
    wish: Placement
    field: str
    """Dotted path of the placement."""
    u: float | None
    """None: in the middle, but for `du`."""
    v: float | None
    du: float
    dv: float
    turn: float


@dataclass(frozen=True)
class Taken:
    """Room round a part's middle, turned as placed. All in mm, from the middle outward."""

    left: float
    right: float
    down: float
    up: float
    rim_down: float
    """Of what shows on the show face, toward the front edge."""
    rim_up: float
    """The same to the rear, with a lever at full tilt."""
    depth: float
    """Behind the face it is mounted on."""


def spots_on(project: Project, parts: Mapping[str, KnownPart], panel: str) -> tuple[Spot, ...]:
    """Parts placed on a panel, in the order of the project.

    Circular or unknown `like` are left to the placing of parts, which reports them.
    """
    wishes: dict[str, tuple[KnownPart, Placement, str]] = {}
    for key, part in project.parts.items():
        if key in parts:
            for i, wish in enumerate(part.placed):
                wishes.setdefault(wish.key, (parts[key], wish, f"parts.{key}.placed.{i}"))
    return tuple(
        _spot(project, wishes, key) for key, (_, wish, _) in wishes.items() if wish.on == panel
    )


def _spot(
    project: Project, wishes: Mapping[str, tuple[KnownPart, Placement, str]], key: str
) -> Spot:
    part, wish, field = wishes[key]
    chain, seen = [wish], {key}
    while (name := chain[-1].like) is not None and name in wishes and name not in seen:
        seen.add(name)
        chain.append(wishes[name][1])
    u: float | None = None
    v: float | None = None
    du = dv = turn = 0.0
    for step in reversed(chain):
        if step.u is not None:
            u, du = step.u, 0.0
        if step.v is not None:
            v, dv = step.v, 0.0
        du += step.du
        dv += step.dv
        turn += step.turn
    data = part.data
    return Spot(
        key=key,
        label=wish.label or part.label or key,
        data=with_sheets(data, wish, project) if isinstance(data, Sign) else data,
        wish=wish,
        field=field,
        u=None if u is None else u + du,
        v=None if v is None else v + dv,
        du=du,
        dv=dv,
        turn=turn % 360,
    )


def taken(spot: Spot) -> Taken:
    """The room a placed part takes."""
    data = spot.data
    if isinstance(data, Display):
        return _display(data, spot.turn)
    width, height, depth = _size(data)
    extra_up = data.plug_room if isinstance(data, Lever) else 0.0
    left, right, down, up = _turned(
        width / 2, width / 2, height / 2, height / 2 + extra_up, spot.turn
    )
    rim = _rim(data)
    if rim is None:
        rim_down, rim_up = down, up
    else:
        rim_down = rim_up = rim
    if isinstance(data, Lever):
        # The ball swings about the pivot on an arm from the pivot to its middle.
        arm = data.pivot + data.ball_height + data.ball / 2
        rim_up = arm * math.sin(math.radians(data.tilt_deg)) + data.ball / 2
    return Taken(left, right, down, up, rim_down, rim_up, depth)


def sign_outside(data: Sign) -> tuple[float, float]:
    """Width and height of a sign's frame: opening, artwork beyond it, and the frame beyond its lip. [mm]"""
    beyond = 2 * (data.overlap + max(data.frame_width - data.frame_lip, 0.0))
    return (data.opening_width + beyond, data.opening_height + beyond)


def sign_depth(data: Sign) -> float:
    """Behind the panel's back face: diffuser, cover, light board. [mm]"""
    return data.diffuser + data.cover + data.board_distance + data.board_thickness


def _rim(data: Kind) -> float | None:
    """Half of what shows on the show face, where it is round and smaller than the body."""
    if isinstance(data, PushButton):
        return data.bezel / 2
    if isinstance(data, Lever):
        return max(data.ball, data.washer) / 2
    if isinstance(data, Dial):
        return data.knob / 2
    if isinstance(data, Trackball):
        return data.hole / 2
    return None


def _size(data: Kind) -> tuple[float, float, float]:
    """Width, height and depth of a part that is not turned."""
    match data:
        case PushButton():
            side = max(data.bezel, data.nut)
            return (side, side, data.behind)
        case Lever():
            return (
                max(data.plate_width, data.body_width),
                max(data.plate_height, data.body_height),
                data.body_depth,
            )
        case Dial():
            return (
                max(data.knob, data.body_width),
                max(data.knob, data.body_height),
                data.body_depth,
            )
        case Trackball():
            return (data.plate_width, data.plate_height, data.body_depth)
        case Speaker():
            return (data.frame, data.frame, data.depth)
        case Device():
            return (data.width, data.height, data.depth)
        case Fitting():
            return (data.flange_width, data.flange_height, data.behind)
        case Fan():
            return (data.size, data.size, data.thickness)
        case Port():
            high = data.width if data.shape == "round" else data.height
            rim = data.flange if data.shape == "round" else 0.0
            wide, tall = (max(side + 2 * data.wall, rim) for side in (data.width, high))
            return (wide, tall, 0.0)  # a port is sawn to suit the box, not the box to it
        case Vent():
            rows = (data.count - 1) * data.pitch + data.slot_width
            return (data.slot_length, rows, 0.0)
        case Grip():
            return (data.width, data.height, data.cup_depth)
        case Sign():
            return (*sign_outside(data), sign_depth(data))
        case Foot():
            return (data.diameter, data.diameter, 0.0)
        case _:
            return (0.0, 0.0, 0.0)


def _display(data: Display, turn: float) -> Taken:
    quarters = 90.0 * round(turn / 90)  # another turn is refused where the display is fitted
    face = display_face(data, quarters)
    half_u, half_v = face.housing_width / 2, face.housing_height / 2
    lit_u, lit_v = face.lit.u, face.lit.v
    return Taken(
        left=half_u + lit_u,
        right=half_u - lit_u,
        down=half_v + lit_v,
        up=half_v - lit_v,
        rim_down=half_v + lit_v,
        rim_up=half_v - lit_v,
        depth=data.housing_depth,
    )


def _turned(
    left: float, right: float, down: float, up: float, turn: float
) -> tuple[float, float, float, float]:
    """Extents of a rectangle turned counter-clockwise about its middle."""
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    corners = [(x * cos - y * sin, x * sin + y * cos) for x in (-left, right) for y in (-down, up)]
    us, vs = [c[0] for c in corners], [c[1] for c in corners]
    return (-min(us), max(us), -min(vs), max(vs))


__all__ = ["Spot", "Taken", "sign_depth", "sign_outside", "spots_on", "taken"]
