"""Whether it stays put: tipping on a slope, when somebody leans on it or pushes it, and sliding."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely

from casewright.basics.reckoning import Reckoning, Term, derived, total
from casewright.behavior.balance import Balance
from casewright.catalog.kinds import Foot
from casewright.geometry.cleat_room import corners_of
from casewright.geometry.model import Cabinet, Point2, Point3

GRAVITY = 9.80665
"""Standard gravity. [m/s²] Source: iso-80000-3."""

SLOPE = 10.0
"""Slope on which it must stand. [deg] Source: iec-60335-1, 20.1."""

GRIP_OF_FEET = 0.5
"""Friction of rubber feet on a table, taken low. Common practice."""

GRIP_OF_WOOD = 0.3
"""Friction of bare wood on a table, taken low. Common practice."""

_LEVEL = 1.0
"""What is this near the lowest point stands on the ground. [mm]"""


@dataclass(frozen=True)
class Edge:
    """One edge of the ground that it stands on, about which it can tip."""

    name: str
    """"front", "back", "left" or "right": the way it would fall."""
    start: Point2
    end: Point2
    """In (x, y). [mm]"""
    arm: float
    """Centre of gravity inside the edge. [mm]"""
    tilt_deg: float
    """Slope that tips it over this edge."""


@dataclass(frozen=True)
class Standing:
    """How firmly it stands."""

    stands: bool
    """False on a lap, on a wall, or where nothing is known to weigh anything: all else is then empty."""
    ground: tuple[Point2, ...] = ()
    """Outline in (x, y) of what it stands on. [mm]"""
    level: float = 0.0
    """z of the ground. [mm]"""
    height: float = 0.0
    """Centre of gravity over the ground. [mm]"""
    edges: tuple[Edge, ...] = ()
    lean_at: Point3 | None = None
    """Where a hand leans: the foremost edge of the deck, or of the whole. [mm]"""
    lean_force: float = math.inf
    """Weight on that edge that tips it forward; infinite where the edge is over the ground it stands on. [N]"""
    push_at: float = 0.0
    """Height over the ground of a push from the front. [mm]"""
    push_force: float = math.inf
    """Level push there that tips it backward. [N]"""
    slide_force: float = 0.0
    """Level push that makes it slide. [N]"""
    numbers: tuple[Reckoning, ...] = ()

    @property
    def weakest(self) -> Edge | None:
        """The edge over which it tips first."""
        return min(self.edges, key=lambda edge: edge.tilt_deg, default=None)


def standing_of(cabinet: Cabinet, balance: Balance) -> Standing:
    """Tipping and sliding of the cabinet as it stands on its feet, legs or underside.

    The push comes at the height of the top, where a hand reaches it; no higher than 1.5 m over the ground.

    Source:
        Statics: it tips when the line of weight leaves the ground it stands on; tan(slope) = arm ÷ height, and the
        moments of weight and push about the edge are equal. Height of the push: iec-62368-1, 8.6.
    """
    weight = balance.total_kg * GRAVITY
    if cabinet.project.site.on not in ("table", "floor") or weight <= 0:
        return Standing(stands=False)
    points, level, on_feet = _contacts(cabinet)
    hull = shapely.MultiPoint(points).convex_hull
    if not isinstance(hull, shapely.Polygon):
        return Standing(stands=False)
    ground = tuple((float(x), float(y)) for x, y in hull.exterior.coords[:-1])
    ground = ground if shapely.LinearRing(ground).is_ccw else ground[::-1]
    x, y, z = balance.centre
    height = z - level
    edges = tuple(_edges(ground, (x, y), height))
    if not edges:
        return Standing(stands=False)
    front, back = (min(edges, key=lambda e: _facing(e, way)) for way in ((0.0, -1.0), (0.0, 1.0)))
    lean_at = _lean_point(cabinet)
    over = min(p[1] for p in (front.start, front.end)) - lean_at[1]
    lean = weight * front.arm / over if over > 0 else math.inf
    push_at = min(max(p[2] for piece in cabinet.pieces for p in corners_of(piece)) - level, 1500.0)
    push = weight * back.arm / push_at if push_at > 0 else math.inf
    grip = GRIP_OF_FEET if on_feet else GRIP_OF_WOOD
    found = Standing(
        stands=True,
        ground=ground,
        level=level,
        height=height,
        edges=edges,
        lean_at=lean_at,
        lean_force=lean,
        push_at=push_at,
        push_force=push,
        slide_force=weight * grip,
    )
    numbers = (
        _centre_number(balance, level),
        *_tilt_numbers(edges, height),
        *_force_numbers(found, balance.total_kg, grip, front, back),
    )
    return replace(found, numbers=numbers)


def _centre_number(balance: Balance, level: float) -> Reckoning:
    return total(
        "standing.centre_height",
        "centre of gravity over the ground",
        [Term("centre of gravity, z", balance.centre[2]), Term("ground, z", level, -1)],
        rule="Mean of all pieces and parts, weighted by mass.",
    )


def _tilt_numbers(edges: Sequence[Edge], height: float) -> list[Reckoning]:
    """For each way it can fall, the slope that tips it."""
    least: dict[str, Edge] = {}
    for edge in sorted(edges, key=lambda e: e.tilt_deg):
        least.setdefault(edge.name, edge)
    return [
        derived(
            f"standing.tilt.{way}",
            f"slope that tips it over to the {way}",
            edge.tilt_deg,
            "arctan(arm ÷ height)",
            [
                Term("arm", edge.arm),
                Term("height", height, key="standing.centre_height"),
            ],
            unit="deg",
            rule="It tips when the line of its weight leaves the ground it stands on.",
        )
        for way, edge in least.items()
    ]


def _force_numbers(
    found: Standing, mass: float, grip: float, front: Edge, back: Edge
) -> list[Reckoning]:
    made = []
    weight = [Term("mass", mass, key="cabinet.mass", unit="kg"), Term("g", GRAVITY, unit="m/s²")]
    if found.lean_at is not None and math.isfinite(found.lean_force):
        over = min(front.start[1], front.end[1]) - found.lean_at[1]
        made.append(
            derived(
                "standing.lean_force",
                "weight on the deck's front edge that tips it forward",
                found.lean_force,
                "mass × g × arm ÷ overhang",
                [*weight, Term("arm", front.arm), Term("overhang", over)],
                unit="N",
                rule="Moments of both weights about the front edge of the ground are equal.",
            )
        )
    if math.isfinite(found.push_force):
        made.append(
            derived(
                "standing.push_force",
                "push from the front at the top that tips it backward",
                found.push_force,
                "mass × g × arm ÷ height",
                [*weight, Term("arm", back.arm), Term("height", found.push_at)],
                unit="N",
                rule="Moments of weight and push about the back edge of the ground are equal.",
            )
        )
    made.append(
        derived(
            "standing.slide_force",
            "level push that makes it slide",
            found.slide_force,
            "mass × g × friction",
            [*weight, Term("friction", grip, unit="")],
            unit="N",
            rule="Friction of rubber feet or of bare wood, taken low.",
            source="Common practice",
        )
    )
    return made


def _contacts(cabinet: Cabinet) -> tuple[list[Point2], float, bool]:
    """Points on the ground, its z, and whether they are feet."""
    feet = [
        placed.frame.point(0.0, 0.0, placed.part.data.height)
        for placed in cabinet.placed
        if isinstance(placed.part.data, Foot)
    ]
    wood = [corner for piece in cabinet.pieces for corner in corners_of(piece)]
    level = min(z for _, _, z in (*feet, *wood))
    on_feet = all(z > level + _LEVEL for _, _, z in wood)
    return [(x, y) for x, y, z in (*feet, *wood) if z <= level + _LEVEL], level, on_feet


def _edges(ground: Sequence[Point2], centre: Point2, height: float) -> list[Edge]:
    found = []
    for a, b in zip(ground, (*ground[1:], ground[0]), strict=True):
        length = math.dist(a, b)
        if length < _LEVEL:
            continue
        dx, dy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
        arm = dx * (centre[1] - a[1]) - dy * (centre[0] - a[0])
        tilt = math.degrees(math.atan2(arm, height)) if height > 0 else 90.0
        found.append(Edge(_way(dy, -dx), a, b, arm, tilt))
    return found


def _way(out_x: float, out_y: float) -> str:
    if abs(out_y) >= abs(out_x):
        return "front" if out_y < 0 else "back"
    return "right" if out_x > 0 else "left"


def _facing(edge: Edge, way: Point2) -> float:
    """Least for the edge that looks most that way."""
    length = math.dist(edge.start, edge.end)
    out = ((edge.end[1] - edge.start[1]) / length, -(edge.end[0] - edge.start[0]) / length)
    return -(out[0] * way[0] + out[1] * way[1])


def _lean_point(cabinet: Cabinet) -> Point3:
    """Middle of the front edge that a hand leans on: the deck's, else the foremost of all."""
    decks = [p for p in cabinet.pieces if p.kind in ("panel", "overlay") and p.role == "deck"]
    corners = [point for piece in decks or cabinet.pieces for point in corners_of(piece)]
    x, y, z = min(corners, key=lambda p: (p[1], -p[2]))
    return (cabinet.shape.width / 2 if decks else x, y, z)


__all__ = [
    "GRAVITY",
    "GRIP_OF_FEET",
    "GRIP_OF_WOOD",
    "SLOPE",
    "Edge",
    "Standing",
    "standing_of",
]
