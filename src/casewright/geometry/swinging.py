"""What a hinged door meets on its way open: boards, parts, the ground."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np
from manifold3d import Manifold

from casewright.geometry.collisions import met_by
from casewright.geometry.hinges import Hanging
from casewright.geometry.model import Body, Cabinet, Frame, Piece, Point3
from casewright.geometry.solids import box_of, solid_of
from casewright.geometry.way_out import LEAST_OVERLAP

STEP_DEG = 5.0
"""A door is followed from one such angle to the next; between them all that it sweeps is looked at. [degrees]"""

FINE_DEG = 1.0
"""As near as the angle is told at which it meets something. [degrees]"""

RESTS = 0.5
"""What comes no farther into the ground than this only rests on it. [mm]"""


GROUND: Final = "the ground"
WALL: Final = "the wall"
"""No piece can be called so: keys have no spaces."""


@dataclass(frozen=True)
class Meeting:
    """Something in the way of a door."""

    mover: str
    """Key of the door, or of a part on it, that meets it."""
    obstacle: str
    """Key of the piece or body; `GROUND` and `WALL` for those."""
    angle_deg: float
    """How far the door opens until then, in whole degrees."""
    point: Point3
    """Where, in the cabinet frame. [mm]"""


def swing(
    cabinet: Cabinet,
    hanging: Hanging,
    opens_deg: float,
    *,
    ground: float | None = None,
    wall: float | None = None,
) -> tuple[Meeting, ...]:
    """What a door meets before it is open so far, the first thing first.

    The door's own clearance in its opening is not looked at here: see `Hanging.gap_asked`. What touches or overlaps
    with the door shut is a collision of its own.

    Args:
        cabinet: The cabinet.
        hanging: The door on its hinges.
        opens_deg: How far it is to open. [degrees]
        ground: z of what the cabinet stands on; None where nothing is. [mm]
        wall: y of the wall behind the cabinet; None where there is none. [mm]

    Source:
        Plain geometry. Between two angles the hull of both places stands for what is swept; its bow falls short of the
        arc by 1 − cos 2.5°, a thousandth of the radius.
    """
    key = hanging.door
    movers = list(_movers(cabinet, key))
    moving = {mover.key for mover in movers}
    own = _round_the_opening(cabinet, hanging)
    others: list[Piece | Body] = [
        *(p for p in cabinet.pieces if p.key not in moving),
        *(b for b in cabinet.bodies if b.kind == "solid" and b.key not in moving),
    ]
    found: dict[str, Meeting] = {}
    for mover in movers:
        is_door = mover.key == key
        past = own if is_door else met_by(mover, others)
        left = [other for other in others if other.key not in past]
        for meeting in _followed(mover, left, hanging, opens_deg, ground, wall):
            known = found.get(meeting.obstacle)
            if known is None or meeting.angle_deg < known.angle_deg:
                found[meeting.obstacle] = meeting
    return tuple(sorted(found.values(), key=lambda m: (m.angle_deg, m.obstacle)))


def _movers(cabinet: Cabinet, door: str) -> Iterator[Piece | Body]:
    """The door and all that is on it."""
    parts = {placed.key for placed in cabinet.placed if placed.piece == door}
    for piece in cabinet.pieces:
        if piece.panel == door or piece.key.partition(".")[0] in parts:
            yield piece
    for body in cabinet.bodies:
        if body.kind == "solid" and body.owner in parts:
            yield body


def _round_the_opening(cabinet: Cabinet, hanging: Hanging) -> frozenset[str]:
    """Keys of what the door's edges pass in its opening, and of its hinges."""
    keys = [
        piece.key
        for piece in cabinet.pieces
        if piece.key == hanging.host
        or (piece.kind == "overlay" and piece.panel == hanging.host)
        or piece.key.startswith(f"{hanging.door}.stop-")
    ]
    keys += [body.key for body in cabinet.bodies if body.owner == hanging.door]
    return frozenset(keys)


def _followed(
    mover: Piece | Body,
    others: Iterable[Piece | Body],
    hanging: Hanging,
    opens_deg: float,
    ground: float | None,
    wall: float | None,
) -> Iterator[Meeting]:
    """What one moving thing meets."""
    count = max(1, math.ceil(opens_deg / STEP_DEG - 1e-9))
    angles = [opens_deg * i / count for i in range(count + 1)]
    places = [turned(mover, hanging, angle) for angle in angles]
    swept = [
        Manifold.batch_hull([solid_of(a).manifold, solid_of(b).manifold])
        for a, b in pairwise(places)
    ]
    boxes = [box_of(place) for place in places]
    low = [min(box[0][axis] for box in boxes) for axis in range(3)]
    high = [max(box[1][axis] for box in boxes) for axis in range(3)]
    for other in others:
        least, most = box_of(other)
        if any(least[i] > high[i] or most[i] < low[i] for i in range(3)):
            continue
        theirs = solid_of(other).manifold
        for index, room in enumerate(swept):
            shared = room ^ theirs
            if shared.volume() > LEAST_OVERLAP:
                angle = _finer(mover, theirs, hanging, angles[index], angles[index + 1])
                yield Meeting(_whose(mover), other.key, angle, _middle(shared))
                break
    for name, axis, level, sign in ((GROUND, 2, ground, 1.0), (WALL, 1, wall, -1.0)):
        if level is None:
            continue

        def beyond(
            place: Piece | Body, axis: int = axis, at: float = level, to: float = sign
        ) -> Point3 | None:
            """Its farthest point, where that is past the ground or the wall."""
            points = solid_of(place).mesh[0]
            over = (points[:, axis] - at) * to
            x, y, z = (float(value) for value in points[int(over.argmin())])
            return (x, y, z) if float(over.min()) < -RESTS else None

        if beyond(places[0]) is not None:
            continue  # shut it is past it already, which is no matter of opening
        for before, after in pairwise(angles):
            point = beyond(turned(mover, hanging, after))
            if point is None:
                continue
            angle = before
            while angle + FINE_DEG < after and not beyond(turned(mover, hanging, angle + FINE_DEG)):
                angle += FINE_DEG
            yield Meeting(_whose(mover), name, math.floor(angle), point)
            break


def _whose(mover: Piece | Body) -> str:
    return mover.owner if isinstance(mover, Body) else mover.key


def _finer(
    mover: Piece | Body, obstacle: Manifold, hanging: Hanging, low: float, high: float
) -> float:
    """The last whole degree at which it does not meet yet."""
    angle = low
    while angle + FINE_DEG < high:
        place = turned(mover, hanging, angle + FINE_DEG)
        if (solid_of(place).manifold ^ obstacle).volume() > LEAST_OVERLAP:
            break
        angle += FINE_DEG
    return math.floor(angle)


def _middle(shared: Manifold) -> Point3:
    low_x, low_y, low_z, high_x, high_y, high_z = shared.bounding_box()
    return ((low_x + high_x) / 2, (low_y + high_y) / 2, (low_z + high_z) / 2)


def turned(thing: Piece | Body, hanging: Hanging, angle_deg: float) -> Piece | Body:
    """A thing on a door, with the door open so far. [degrees]

    Source:
        Turning about an axis: along it nothing changes; what points to the free edge turns outward.
    """
    pin = hanging.pin
    old = np.array([pin.u, pin.v, pin.n])
    c, s = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    new = np.array([c * old[0] + s * old[2], old[1], c * old[2] - s * old[0]])
    turn = new.T @ old  # carries each old axis to its new one
    middle = np.array(pin.origin)

    def way(vector: Point3) -> Point3:
        x, y, z = (float(value) for value in turn @ np.array(vector))
        return (x, y, z)

    x, y, z = (float(value) for value in turn @ (np.array(thing.frame.origin) - middle) + middle)
    frame = Frame((x, y, z), way(thing.frame.u), way(thing.frame.v), way(thing.frame.n))
    return replace(thing, frame=frame)


__all__ = ["FINE_DEG", "GROUND", "RESTS", "STEP_DEG", "WALL", "Meeting", "swing", "turned"]
