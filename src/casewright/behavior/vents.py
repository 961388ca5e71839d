"""Where air gets through the walls: vents, fans, open hand holes, ports, runs that no panel closes."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable
from dataclasses import dataclass

import shapely

from casewright.behavior.air import Blower, Opening
from casewright.behavior.enclosure import Enclosure
from casewright.behavior.spaces import dividers, spaces
from casewright.catalog.kinds import Fan, Grip, Port, Vent
from casewright.geometry.model import Cabinet, Placed, Point3
from casewright.geometry.solids import balance_of

FAN_PRESSURE = 15.0
"""Most pressure of a small fan that does not tell its own, taken low. [Pa] From memory of data sheets."""

_WALLS = ("side", "panel", "overlay", "door")

_NEAR = 5.0
"""A port's inner end this near to a space leads into it. [mm]"""


@dataclass(frozen=True)
class AirHole:
    """One vent, fan or other opening in a wall."""

    key: str
    label: str
    area: float
    """Free area. [mm²]"""
    point: Point3
    """Its middle in the cabinet frame. [mm]"""
    outward: Point3
    """Unit vector out of the cabinet."""
    openings: tuple[Opening, ...] = ()
    """Its lower and its upper half; none for a fan."""
    blower: Blower | None = None
    is_port: bool = False
    """Of a loudspeaker's box."""


def air_holes(
    cabinet: Cabinet, inside: Enclosure, warm: Collection[str] = ()
) -> tuple[tuple[AirHole, ...], tuple[str, ...]]:
    """Every opening for air, and keys of vents that something lies against.

    Hand holes with a cup let no air through. Gaps round doors and holes of other parts are not counted. A fan in the
    upper half blows out, one in the lower half in. A loudspeaker's port counts where it leads to air round something
    warm: as a vent of its inner area, for a pipe passes a little more air than a sharp-edged hole of its size. One that
    leads into a box of its own lets none through.

    Args:
        cabinet: The cabinet.
        inside: Its inside.
        warm: Keys of parts that warm the air.

    Source:
        Pipe: half a velocity head lost where air comes in and one where it leaves, common practice. So 0.8 of its
        area is used, against 0.65 of a vent's.
    """
    shut = {wall.key for wall in inside.walls if not wall.exposed}
    found: list[AirHole] = []
    blocked: list[str] = []
    middle = (inside.low + inside.high) / 2
    for placed in cabinet.placed:
        data = placed.part.data
        piece = cabinet.piece_by_key.get(placed.piece)
        if (
            piece is None
            or piece.kind not in _WALLS
            or not isinstance(data, (Vent, Fan, Grip, Port))
        ):
            continue
        if piece.key in shut or piece.panel in shut:
            blocked.append(placed.key)
            continue
        label = placed.label or placed.part.label
        point, out = placed.frame.origin, piece.frame.n
        if isinstance(data, Fan):
            if data.flow_m3h <= 0:
                continue
            blower = Blower(
                placed.key,
                point[2] / 1000,
                data.flow_m3h / 3600,
                data.pressure_pa or FAN_PRESSURE,
                outward=point[2] >= middle,
            )
            area = math.pi * data.opening**2 / 4
            found.append(AirHole(placed.key, label, area, point, out, blower=blower))
        elif isinstance(data, Vent):
            found.append(_vent(placed, label, data, out))
        elif isinstance(data, Port):
            if placed.key in _ports_to_warm_air(cabinet, inside, warm):
                found.append(_port(placed, label, data, out))
        elif data.style == "hand hole" and not data.cup_depth:
            area = _rounded(data.width, data.height)
            spread = _spread(placed, data.width, data.height)
            halves = _halves(
                placed.key, [(point[2] - spread, area / 2), (point[2] + spread, area / 2)]
            )
            found.append(AirHole(placed.key, label, area, point, out, halves))
    for index, (area, low, high) in enumerate(inside.gaps, start=1):
        key = f"open{index}"
        quarter = (high - low) / 4
        z = (low + high) / 2
        halves = _halves(key, [(z - quarter, area / 2), (z + quarter, area / 2)])
        point = (cabinet.shape.width / 2, inside.outline[0][0], z)
        found.append(AirHole(key, "open side", area, point, (0.0, 0.0, 1.0), halves))
    return tuple(found), tuple(blocked)


def _ports_to_warm_air(
    cabinet: Cabinet, inside: Enclosure, warm: Collection[str]
) -> frozenset[str]:
    """Keys of ports into a space that holds something warm."""
    whole = spaces(inside, dividers(cabinet, inside))
    sources = [
        balance_of(body)[1]
        for body in cabinet.bodies
        if body.kind == "solid"
        and (owner := cabinet.placed_by_key.get(body.owner)) is not None
        and owner.part.key in warm
    ]
    heated = [
        space for space in whole if any(shapely.contains_xy(space, y, z) for _, y, z in sources)
    ]
    found = []
    for placed in cabinet.placed:
        if not isinstance(placed.part.data, Port):
            continue
        board = cabinet.piece_by_key.get(placed.piece)
        thickness = board.thickness if board else 0.0
        behind = max(placed.part.data.length, thickness)
        _, y, z = placed.frame.point(0.0, 0.0, -behind)
        if any(space.distance(shapely.Point(y, z)) < _NEAR for space in heated):
            found.append(placed.key)
    return frozenset(found)


def _port(placed: Placed, label: str, data: Port, out: Point3) -> AirHole:
    """A port as a vent of its inner area."""
    is_round = data.shape == "round"
    area = math.pi * data.width**2 / 4 if is_round else data.width * data.height
    point = placed.frame.origin
    spread = _spread(placed, data.width, data.width if is_round else data.height)
    halves = _halves(placed.key, [(point[2] - spread, area / 2), (point[2] + spread, area / 2)])
    return AirHole(placed.key, label, area, point, out, halves, is_port=True)


def vent_free_area(data: Vent) -> float:
    """All slots of a vent together. [mm²]"""
    return data.count * _rounded(data.slot_length, data.slot_width)


def _vent(placed: Placed, label: str, data: Vent, out: Point3) -> AirHole:
    each = _rounded(data.slot_length, data.slot_width)
    spread = _spread(placed, data.slot_length, data.slot_width)
    parts = []
    for index in range(data.count):
        z = placed.frame.point(0.0, (index - (data.count - 1) / 2) * data.pitch)[2]
        parts += [(z - spread, each / 2), (z + spread, each / 2)]
    return AirHole(
        placed.key,
        label,
        each * data.count,
        placed.frame.origin,
        out,
        _halves(placed.key, parts),
    )


def _halves(key: str, parts: Iterable[tuple[float, float]]) -> tuple[Opening, ...]:
    """The lower and the upper half of the area, each at its middle; one where both lie level."""
    ordered = sorted(parts)
    half = len(ordered) // 2
    made = []
    for name, some in (("low", ordered[:half]), ("high", ordered[half:])):
        area = math.fsum(a for _, a in some)
        z = math.fsum(z * a for z, a in some) / area if area else 0.0
        made.append(Opening(f"{key}|{name}", z / 1000, area / 1e6))
    return tuple(made)


def _spread(placed: Placed, width: float, height: float) -> float:
    """A quarter of the rise of a hole in its wall. [mm]"""
    return (width * abs(placed.frame.u[2]) + height * abs(placed.frame.v[2])) / 4


def _rounded(width: float, height: float) -> float:
    """Area of a slot with round ends. [mm²]"""
    narrow, wide = sorted((width, height))
    return (wide - narrow) * narrow + math.pi * narrow**2 / 4


__all__ = ["FAN_PRESSURE", "AirHole", "air_holes", "vent_free_area"]
