"""The closed spaces inside a cabinet, how much air each holds, and whether it is shut."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from casewright.behavior.balance import Balance
from casewright.behavior.enclosure import Enclosure
from casewright.behavior.spaces import dividers, spaces
from casewright.behavior.vents import AirHole
from casewright.geometry.devices.port import DUCT_AIR
from casewright.geometry.model import Cabinet, Point2, Point3
from casewright.geometry.solids import balance_of

LITRE = 1e6  # mm³

_WALLS = ("panel", "overlay", "side", "door")


@dataclass(frozen=True)
class Chamber:
    """One space between the sides."""

    outline: tuple[Point2, ...]
    """In the side view (y, z)."""
    empty_litres: float
    """Between panels, before what is in it."""
    taken_litres: float
    """By cleats, frames, boards and bought parts."""
    leaks: tuple[str, ...]
    """Labels of vents, fans and open hand holes into it; its own ports are none."""

    @property
    def litres(self) -> float:
        """Air in it."""
        return max(self.empty_litres - self.taken_litres, 0.0)

    @property
    def is_shut(self) -> bool:
        """Whether nothing lets air out."""
        return not self.leaks

    def holds(self, point: Point3) -> bool:
        """Whether a point lies in it."""
        return bool(shapely.contains_xy(shapely.Polygon(self.outline), point[1], point[2]))


def chambers_of(
    cabinet: Cabinet, inside: Enclosure, holes: Sequence[AirHole], balance: Balance
) -> tuple[Chamber, ...]:
    """Every chamber, the largest first; inner boards from side to side part them.

    Boards that stand upright from front to back do not part it here, and sheets of lit signs count as what they take.

    Source:
        Plain geometry: area in the side view × width between the sides, less the volumes of what lies in it. The air
        in a duct belongs to its port.
    """
    divides = dividers(cabinet, inside)
    parts = spaces(inside, divides)
    dividing = {piece.key for piece in divides}
    things = [
        (weight.volume, weight.centre)
        for weight in balance.items
        if weight.kind == "piece"
        and weight.key not in dividing
        and cabinet.piece_by_key[weight.key].kind not in _WALLS
    ]
    things += [
        balance_of(body)
        for body in cabinet.bodies
        if body.kind == "solid" or body.key == f"{body.owner}.{DUCT_AIR}"
    ]
    found = []
    for part in parts:
        shapely.prepare(part)
        at = [(c[1], c[2]) for _, c in things]
        lies = shapely.contains_xy(part, at) if at else []
        taken = math.fsum(volume for (volume, _), here in zip(things, lies, strict=True) if here)
        found.append(
            Chamber(
                tuple((float(y), float(z)) for y, z in part.exterior.coords[:-1]),
                part.area * inside.width / LITRE,
                taken / LITRE,
                tuple(h.label for h in holes if not h.is_port and _opens_into(h, part)),
            )
        )
    return tuple(found)


def _opens_into(hole: AirHole, part: shapely.Polygon) -> bool:
    _, y, z = hole.point
    _, oy, oz = hole.outward
    return bool(part.distance(shapely.Point(y - 20 * oy, z - 20 * oz)) < 10.0)


__all__ = ["LITRE", "Chamber", "chambers_of"]
