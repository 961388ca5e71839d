"""Room for knees and toes of somebody who plays from a wheelchair, and whether hands come to the controls.

Dimensions are those of the 2010 ADA Standards; other places have their own, and those go first.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from casewright.basics.reckoning import Reckoning, Term, stated, total
from casewright.basics.units import TOUCHING
from casewright.geometry.cleat_room import corners_of, corners_of_body
from casewright.geometry.model import Body, Cabinet, Piece, Placed, Point3
from casewright.geometry.viewers import Viewer, base_over_floor

KNEES_HIGH = 685.0
"""Height of knees, arm rests not counted. [mm] Source: ada-306, 306.3.1 (27 in)."""

TOES_HIGH = 230.0
"""Height of feet on their rests. [mm] Source: ada-306, 306.2.1 (9 in)."""

TOES_DEEP = 430.0
"""Under the front edge, up to `TOES_HIGH`. [mm] Source: ada-306, 306.2.3 (17 in)."""

KNEES_DEEP = (280.0, 205.0)
"""Under the front edge at `TOES_HIGH` and at `KNEES_HIGH`, straight between. [mm]

Source: ada-306, 306.3.3 (11 and 8 in).
"""

WIDE = 760.0
"""Room for the chair, across. [mm] Source: ada-306, 306.3.5 (30 in)."""

REACH_LOW = 380.0
"""Lowest that hands reach. [mm] Source: ada-2010, 308.2.1 (15 in)."""

REACH_HIGH = ((510.0, 1220.0), (635.0, 1120.0))
"""Highest by depth behind the front edge, knees under it. [mm] Source: ada-2010, 308.2.2 (20, 48, 25 and 44 in)."""

TABLE_TOP = 40.0
"""Thickness of a table's top with its frame, where nobody measured it. [mm] Common practice."""

_SLICES = 9
_THIN = 0.5  # mm


@dataclass(frozen=True)
class Chair:
    """What one person in a wheelchair finds."""

    label: str
    under_table: bool
    """Whether the knees go under a table rather than under the cabinet itself."""
    knees_high: float
    """Clear height over the floor, as deep as knees need; infinite where nothing is over them. [mm]"""
    knees_lack: float
    """Depth that knees lack between `TOES_HIGH` and `KNEES_HIGH` (or what is over them). [mm]"""
    toes_deep: float
    """Clear depth for toes; infinite where nothing is in their way. [mm]"""
    front_edge: float
    """Of the deck, over the floor; 0 where there is none. [mm]"""
    beyond: tuple[tuple[str, float], ...]
    """Controls too high, too low or too deep: key, and by how much. [mm]"""

    @property
    def fits(self) -> bool:
        """Whether the chair goes under."""
        return (
            self.knees_high >= KNEES_HIGH - TOUCHING
            and self.knees_lack <= TOUCHING
            and self.toes_deep >= TOES_DEEP - TOUCHING
        )

    @property
    def deep_needed(self) -> float:
        """Depth of a square-cornered room that serves knees and toes. [mm]"""
        return max(TOES_DEEP, *KNEES_DEEP)


def chairs_of(
    cabinet: Cabinet,
    everybody: Sequence[Viewer],
    people: Mapping[int, Viewer],
    by_player: Mapping[int, Sequence[Placed]],
) -> tuple[Chair, ...]:
    """Everybody who plays from a wheelchair.

    Under a table only its height is known; what is below its top is taken to be free.

    Source:
        ada-306 and ada-2010. Plain geometry: pieces and bodies in the side view, over the width of a chair.
    """
    seated = [v for v in everybody if v.plays and v.person.posture == "wheelchair"]
    if not seated:
        return ()
    base = base_over_floor(cabinet.project, cabinet.parts).value
    front = min((y for y, _ in cabinet.shape.corners.values()), default=0.0)
    edge = min(_front_edges(cabinet), default=-base) + base
    site = cabinet.project.site
    found = []
    for viewer in seated:
        mine = [c for n, controls in by_player.items() if people.get(n) is viewer for c in controls]
        everything = mine or [c for controls in by_player.values() for c in controls]
        if site.on == "table":
            room = (base - _feet(cabinet, base) - TABLE_TOP, 0.0, math.inf)
        else:
            room = _room(cabinet, viewer, base, front)
        found.append(
            Chair(
                viewer.label,
                site.on == "table",
                *room,
                edge,
                tuple(_beyond(everything, base, front)),
            )
        )
    return tuple(found)


def _front_edges(cabinet: Cabinet) -> Iterator[float]:
    """The height of each deck's front edge, its overlays on it, over the cabinet's underside. [mm]"""
    decks = {
        piece.panel for piece in cabinet.pieces if piece.role == "deck" and piece.kind == "panel"
    }
    for deck in sorted(decks):
        layers = [p for p in cabinet.pieces if p.panel == deck and p.kind in ("panel", "overlay")]
        corners = [corner for piece in layers for corner in corners_of(piece)]
        front = min(y for _, y, _ in corners)
        yield max(z for _, y, z in corners if y <= front + 1.0)


def _feet(cabinet: Cabinet, base: float) -> float:
    """What the base stands over the table's top. [mm]"""
    site = cabinet.project.site
    table = site.height or next(
        t.value
        for t in base_over_floor(cabinet.project, cabinet.parts).terms
        if t.label == "usual table"
    )
    return base - table


def _room(
    cabinet: Cabinet, viewer: Viewer, base: float, front: float
) -> tuple[float, float, float]:
    """Clear height, lacking depth and clear depth for toes, under the front edge. [mm]"""
    left, right = viewer.eye[0] - WIDE / 2, viewer.eye[0] + WIDE / 2
    shapes = []
    things: list[Piece | Body] = [
        *cabinet.pieces,
        *(body for body in cabinet.bodies if body.kind == "solid"),
    ]
    for thing in things:
        corners = _corners(thing)
        xs = [x for x, _, _ in corners]
        # A shape as wide as the cabinet is cut by the chair's room; what only touches it is not.
        if min(xs) < right - _THIN and max(xs) > left + _THIN:
            shapes.append(_side_view(thing, base))

    def depth(low: float, high: float) -> float:
        band = shapely.box(front - 1.0, low, front + 1e5, high)
        here = shapely.total_bounds(shapely.intersection(shapes, band))
        return math.inf if np.isnan(here[0]) else float(here[0]) - front

    shelf = shapely.box(front, 0.0, front + KNEES_DEEP[1] - _THIN, 1e5)
    over = shapely.total_bounds(shapely.intersection(shapes, shelf))
    high = math.inf if np.isnan(over[1]) else float(over[1])
    lack = 0.0
    for step in range(_SLICES):
        share = step / (_SLICES - 1)
        z = TOES_HIGH + share * (KNEES_HIGH - TOES_HIGH)
        if z > high - _THIN:
            break  # the height is told already
        asked = KNEES_DEEP[0] + share * (KNEES_DEEP[1] - KNEES_DEEP[0])
        lack = max(lack, asked - depth(z - _THIN, z))
    return high, lack, depth(_THIN, TOES_HIGH)


def _side_view(thing: Piece | Body, base: float) -> shapely.Polygon:
    """A thing as seen from the side, heights over the floor: exact for sides and for what runs across."""
    if isinstance(thing, Piece) and abs(thing.frame.n[0]) > 1 - 1e-9:
        points = [thing.frame.point(u, v) for u, v in thing.show]
        return shapely.Polygon([(y, z + base) for _, y, z in points]).buffer(0)
    return shapely.MultiPoint([(y, z + base) for _, y, z in _corners(thing)]).convex_hull


def _corners(thing: Piece | Body) -> Sequence[Point3]:
    return corners_of(thing) if isinstance(thing, Piece) else corners_of_body(thing)


def _beyond(controls: Sequence[Placed], base: float, front: float) -> Iterator[tuple[str, float]]:
    """Controls outside the reach of somebody seated before them, and by how much. [mm]"""
    for placed in controls:
        _, y, z = placed.frame.origin
        deep, high = y - front, z + base
        most = next((top for far, top in REACH_HIGH if deep <= far), None)
        if most is None:
            yield placed.key, deep - REACH_HIGH[-1][0]
        elif high > most:
            yield placed.key, high - most
        elif high < REACH_LOW:
            yield placed.key, REACH_LOW - high


def chair_numbers(chairs: Sequence[Chair]) -> Iterator[Reckoning]:
    """What was found for each, with what is asked."""
    for number, chair in enumerate(chairs, start=1):
        name = f"hands.wheelchair.{number}"
        if math.isfinite(chair.knees_high):
            yield total(
                f"{name}.knees",
                f"room over the knees of {chair.label}",
                [
                    Term(
                        "underside of the table over the floor"
                        if chair.under_table
                        else "underside over the floor",
                        chair.knees_high,
                    ),
                    Term("knees", KNEES_HIGH, -1),
                ],
                rule="A table's top is taken to be 40 mm thick until it is measured."
                if chair.under_table
                else "Over the first 205 mm behind the front edge.",
                source="ada-306",
            )
        if math.isfinite(chair.toes_deep):
            yield stated(
                f"{name}.toes",
                f"depth for the toes of {chair.label}",
                chair.toes_deep,
                rule=f"{TOES_DEEP:g} mm are asked, up to {TOES_HIGH:g} mm over the floor.",
                source="ada-306",
            )


__all__ = [
    "KNEES_DEEP",
    "KNEES_HIGH",
    "REACH_HIGH",
    "REACH_LOW",
    "TABLE_TOP",
    "TOES_DEEP",
    "TOES_HIGH",
    "WIDE",
    "Chair",
    "chair_numbers",
    "chairs_of",
]
