"""Loudspeakers: cut-out or drilled grille, frame, cone, magnet and screws."""

from __future__ import annotations

import math

from casewright.basics.reckoning import Term, derived
from casewright.catalog.kinds import Speaker
from casewright.design.project import Project
from casewright.geometry.bits import choose_bit
from casewright.geometry.devices.mounting import corners, screw_down
from casewright.geometry.devices.seat import Seat
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.model import Circle, Cylinder, Feature, Placed, Point2

GRILLE_OPEN = 0.40
"""Open share wished of a drilled grille.

Source: audio-visual information page on perforated grilles (a ceiling speaker's grille that works well).
"""

GRILLE_HOLE = 5.0
"""Hole of a drilled grille, if the shop has no bit nearer. [mm] Source: 3 to 8, the same page."""

MAGNET_SHARE = 0.6
"""Magnet in shares of the cut-out, where it was not measured. Source: common practice."""


def hexagonal_pitch(hole: float, open_share: float) -> float:
    """Pitch of 60° staggered holes that leaves this share open. [mm]

    Source:
        Plain geometry: share = π ÷ (2·√3) × (hole ÷ pitch)².

    Example:
        >>> round(hexagonal_pitch(4, 0.403067), 3)
        6.0
    """
    return hole * math.sqrt(math.pi / (2 * math.sqrt(3)) / open_share)


def grille_points(circle: float, hole: float, pitch: float) -> tuple[Point2, ...]:
    """Middles of staggered holes that lie wholly inside a circle round (0, 0), row by row from below. [mm]"""
    reach = (circle - hole) / 2 + 1e-9
    rise = pitch * math.sqrt(3) / 2
    rows = math.floor(reach / rise)
    columns = math.floor(reach / pitch) + 1
    points = []
    for row in range(-rows, rows + 1):
        shift = pitch / 2 if row % 2 else 0.0
        for column in range(-columns, columns + 1):
            u, v = column * pitch + shift, row * rise
            if math.hypot(u, v) <= reach:
                points.append((u, v))
    return tuple(points)


def fit_speaker(placed: Placed, data: Speaker, stack: Stack, project: Project) -> Fitted:
    """Everything that a loudspeaker asks of its panel."""
    seat = Seat(placed, stack, project)
    found: list[Fitted] = []
    if placed.face == "back" and placed.wish.grille == "drilled":
        found.append(_grille(seat, data))
    elif placed.face == "show" or placed.wish.grille == "open":
        # on the show face its basket goes through the panel, whatever is wished in front of it
        cover = data.frame - 2.0 if placed.face == "show" else None
        found.append(seat.round_hole("cutout", data.cutout, cover=cover, label=placed.label))
    found.append(
        screw_down(
            seat,
            corners(data.holes_square, data.holes_square),
            hole=data.screw_hole,
            under_head=data.frame_thickness,
        )
    )
    # On the back the frame lies behind the mounting face, on the show face before it.
    frame_back = -data.frame_thickness if placed.face == "back" else 0.0
    magnet = data.magnet if data.magnet is not None else MAGNET_SHARE * data.cutout
    bodies = (
        seat.solid(
            "frame",
            Cylinder(0, 0, data.frame, frame_back, frame_back + data.frame_thickness),
            look="metal",
        ),
        seat.solid(
            "basket",
            Cylinder(0, 0, magnet, -data.depth, frame_back, min(data.cutout, data.frame)),
            look="metal",
        ),
        seat.room(
            "wires",
            Cylinder(0, 0, magnet, -data.depth - 10.0, -data.depth),
            label=f"{placed.label}, air and wires behind the magnet",
        ),
    )
    return gathered([*found, Fitted(bodies=bodies)])


def _grille(seat: Seat, data: Speaker) -> Fitted:
    placed = seat.placed
    drills = [
        (bit.kind, size)
        for bit in seat.project.shop.bits
        if bit.kind in ("brad", "twist")
        for size in bit.sizes
        if 3.0 <= size <= 8.0
    ]
    hole = min(
        (size for _, size in drills), key=lambda d: (abs(d - GRILLE_HOLE), d), default=GRILLE_HOLE
    )
    tool = choose_bit(hole, seat.project.shop.bits).kind
    pitch = hexagonal_pitch(hole, GRILLE_OPEN)
    points = grille_points(data.cutout, hole, pitch)
    features: list[tuple[str, Feature]] = []
    for index, (du, dv) in enumerate(points, start=1):
        u, v = seat.at(du, dv)
        for piece in seat.stack.pieces:
            shape = Circle(u, v, hole)
            feature = seat.feature(
                f"grille{index}", "hole", shape, face="show", depth=None, tool=tool
            )
            features.append((piece.key, feature))
    share = len(points) * hole**2 / data.cutout**2
    numbers = (
        derived(
            seat.key("grille_open"),
            f"{placed.label}: open share of the drilled grille",
            share,
            "holes × hole² ÷ cone²",
            [
                Term("holes", len(points)),
                Term("hole", hole),
                Term("cone", data.cutout),
                Term("pitch", pitch),
            ],
            unit="",
        ),
    )
    return Fitted(features=tuple(features), numbers=numbers)


__all__ = [
    "GRILLE_HOLE",
    "GRILLE_OPEN",
    "MAGNET_SHARE",
    "fit_speaker",
    "grille_points",
    "hexagonal_pitch",
]
