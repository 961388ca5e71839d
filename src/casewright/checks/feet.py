"""Feet set farther out, so that a cabinet stands firmer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.basics.findings import Remedy, mm
from casewright.basics.wording import listed
from casewright.behavior.standing import Edge
from casewright.catalog.kinds import Foot
from casewright.checks.moving import shift_remedy, whole_shift
from casewright.checks.places import Move, is_free, move_of
from casewright.geometry.model import Cabinet

_OUTWARD = {"left": (0, -1.0), "right": (0, 1.0), "front": (1, -1.0), "back": (1, 1.0)}
"""Axis of the cabinet and sign of the way out at each edge."""

_IN_LINE = 1.0
"""Feet this near to the outermost one are its row. [mm]"""


def feet_outward(cabinet: Cabinet, edges: Sequence[tuple[Edge, float]]) -> Iterator[Remedy]:
    """The order to set the feet at some edges so much farther out [mm], where they all keep their place on the base."""
    feet = [placed for placed in cabinet.placed if isinstance(placed.part.data, Foot)]
    wanted: dict[str, tuple[float, float]] = {}
    for edge, by in edges:
        axis, sign = _OUTWARD[edge.name]
        outermost = max((sign * foot.frame.origin[axis] for foot in feet), default=0.0)
        row = [f for f in feet if sign * f.frame.origin[axis] > outermost - _IN_LINE]
        if len(row) < 2:
            return
        for foot in row:
            frame = cabinet.piece_by_key[foot.piece].frame
            du, dv = wanted.get(foot.key, (0.0, 0.0))
            wanted[foot.key] = (
                du + sign * by * round(frame.u[axis]),
                dv + sign * by * round(frame.v[axis]),
            )
    shifts: dict[str, tuple[float, float]] = {}
    remedies: list[Remedy] = []
    for key in sorted(wanted, key=lambda key: _followed(cabinet, key)):
        (du, dv), went = wanted[key], shifts.get(key, (0.0, 0.0))  # with one that it follows
        own = (
            whole_shift(cabinet, key, "u", _left(du, went[0])),
            whole_shift(cabinet, key, "v", _left(dv, went[1])),
        )
        remedy = shift_remedy(cabinet, key, *own)
        if remedy is None:
            continue
        remedies.append(remedy)
        for other, (u, v) in move_of(cabinet, cabinet.placed_by_key[key], *own).shifts.items():
            before = shifts.get(other, (0.0, 0.0))
            shifts[other] = (before[0] + u, before[1] + v)
    if not remedies or not is_free(
        cabinet, Move(cabinet.placed_by_key[next(iter(wanted))], shifts)
    ):
        return
    fields = [
        (field, value)
        for r in remedies
        for field, value in ((r.field, r.value), *r.also)
        if value is not None
    ]
    if not fields:
        return
    where = listed(f"at the {edge.name} {mm(by)}" for edge, by in edges)
    yield Remedy(f"Set the feet {where} farther out.", *fields[0], also=tuple(fields[1:]))


def _followed(cabinet: Cabinet, key: str) -> int:
    """How many others a foot follows, one the other: those go first."""
    placed = cabinet.placed_by_key.get(key)
    if placed is None or placed.wish.like is None:
        return 0
    return 1 + _followed(cabinet, placed.wish.like)


def _left(wanted: float, went: float) -> float:
    """What is left of a shift; nothing where it went as far already, or a little farther as that shows. [mm]"""
    return 0.0 if wanted * went > 0 and abs(went) >= abs(wanted) else wanted - went


__all__ = ["feet_outward"]
