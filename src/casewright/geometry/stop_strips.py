"""The strips behind a door's opening that its back lies on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from casewright.basics.units import TOUCHING
from casewright.design.panels import Door
from casewright.geometry.cleat_room import Obstacles, box_passage
from casewright.geometry.model import Frame, Piece, Point2

LEAST_STRIP: Final = 30.0
"""A shorter strip splits where it is nailed, and is left out. [mm] Common practice."""

Spans = tuple[float, float, float, float]
"""Least and most u, least and most v. [mm]"""


def stop_strips(
    key: str,
    label: str,
    door: Door,
    host: Piece,
    middle: Point2,
    boards: Sequence[Piece] = (),
) -> list[Piece]:
    """Four strips behind the opening's edge; half their width shows in the opening.

    Where a board inside meets the panel's back, a strip stops short of it and goes on behind it.

    Args:
        key: The door's.
        label: The door's.
        door: Its sizes, its gap, the width of its strips.
        host: The board that the opening is cut into.
        middle: The door's middle in the host's frame.
        boards: What stands inside the cabinet.
    """
    u, v = middle
    frame = replace(host.frame, origin=host.frame.point(0.0, 0.0, -host.thickness))
    half_w, half_h, lip = door.width / 2 + door.gap, door.height / 2 + door.gap, door.lip
    in_u, in_v = min(lip, half_w), min(lip, half_h)  # wider ones would meet in the middle
    boxes: dict[str, Spans] = {
        "low": (u - half_w - lip, u + half_w + lip, v - half_h - lip, v - half_h + in_v),
        "high": (u - half_w - lip, u + half_w + lip, v + half_h - in_v, v + half_h + lip),
        "left": (u - half_w - lip, u - half_w + in_u, v - half_h + in_v, v + half_h - in_v),
        "right": (u + half_w - in_u, u + half_w + lip, v - half_h + in_v, v + half_h - in_v),
    }
    standing = Obstacles(boards)
    made = []
    for name, box in boxes.items():
        if box[3] - box[2] <= TOUCHING:
            continue
        parts = _between(frame, box, 0 if name in ("low", "high") else 1, host.thickness, standing)
        for number, (low_u, high_u, low_v, high_v) in enumerate(parts, 1):
            face = ((low_u, low_v), (high_u, low_v), (high_u, high_v), (low_u, high_v))
            several = len(parts) > 1
            made.append(
                Piece(
                    key=f"{key}.stop-{name}{f'-{number}' if several else ''}",
                    label=f"{label} stop strip, {name}{f' {number}' if several else ''}",
                    kind="strip",
                    role="other",
                    material=host.material,
                    thickness=host.thickness,
                    frame=frame,
                    show=face,
                    back=face,
                    panel=host.panel,
                )
            )
    return made


def _between(
    frame: Frame, box: Spans, axis: int, thickness: float, standing: Obstacles
) -> list[Spans]:
    """What boards leave of a strip; the whole of it where they leave less than half, for a finding to tell."""
    across, along = (box[2:], box[:2]) if axis == 0 else (box[:2], box[2:])
    passage = box_passage(frame, axis, across, (-thickness, 0.0))
    free = []
    start = along[0]
    for low, high in sorted(standing.taken(passage)):
        if low >= along[1] or high <= along[0]:
            continue
        free.append((start, low))
        start = max(start, high)
    free = [(a, b) for a, b in [*free, (start, along[1])] if b - a >= LEAST_STRIP]
    if start == along[0] or sum(b - a for a, b in free) < (along[1] - along[0]) / 2:
        return [box]
    return [(*ends, *box[2:]) if axis == 0 else (*box[:2], *ends) for ends in free]


__all__ = ["LEAST_STRIP", "stop_strips"]
