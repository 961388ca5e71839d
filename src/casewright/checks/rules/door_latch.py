"""What holds a hinged door shut sits where it swings."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.catalog.kinds import Hardware
from casewright.checks.doors import other_edges
from casewright.checks.moving import Axis, move_remedy, whole_shift
from casewright.checks.places import is_free, least_move, move_of
from casewright.checks.subject import Subject
from casewright.design.panels import DoorEdge
from casewright.geometry.hinges import Hanging, hangings
from casewright.geometry.model import Placed

RULE = Rule(
    id="door.latch",
    severity=Severity.CAUTION,
    asks="A lock, latch or magnet on a hinged door sits no nearer to the edge it hangs on than a third of the door.",
    why="Beside the hinges the door hardly moves: what holds there is levered open by a finger at the free edge.",
    source="Common practice",
)

HELD_FROM = 1 / 3
"""Share of the way from the hung edge to the free one; nearer than that nothing holds. Source: common practice."""

_HOLD = ("latch", "magnet")

_OPPOSITE: dict[DoorEdge, DoorEdge] = {
    "left": "right",
    "right": "left",
    "top": "bottom",
    "bottom": "top",
}


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each lock, latch or magnet that sits beside the hinges of its door."""
    for hanging in hangings(subject.cabinet):
        holding = [
            placed
            for placed in subject.placed_on.get(hanging.door, ())
            if isinstance(placed.part.data, Hardware) and placed.part.data.role in _HOLD
        ]
        near = HELD_FROM * hanging.reach
        weak = [placed for placed in holding if _arm(subject, hanging, placed) < near]
        for placed in weak:
            yield _finding(subject, hanging, placed, is_only=len(holding) == 1)


def _finding(subject: Subject, hanging: Hanging, placed: Placed, *, is_only: bool) -> Finding:
    arm, door = _arm(subject, hanging, placed), subject.label(hanging.door)
    return RULE.finding(
        f"{placed.label} sits {mm(arm)} from the {hanging.edge} edge of {door}, on which it hangs; "
        f"{mm(hanging.reach - arm)} from the free edge it holds nothing.",
        remedies=subject.orders(lambda: _remedies(subject, hanging, placed, is_only=is_only)),
        names=(placed.key, hanging.door),
        point=placed.frame.origin,
    )


def _arm(subject: Subject, hanging: Hanging, placed: Placed) -> float:
    """From the hung edge to the middle of what is placed. [mm]"""
    low_u, low_v, high_u, high_v = subject.cabinet.piece_by_key[hanging.door].extent
    return {
        "left": placed.u - low_u,
        "right": high_u - placed.u,
        "bottom": placed.v - low_v,
        "top": high_v - placed.v,
    }[hanging.edge]


def _remedies(
    subject: Subject, hanging: Hanging, placed: Placed, *, is_only: bool
) -> Iterator[Remedy]:
    """To the free edge, as far from it as from the other now; where that is taken, to a place beside; or hung there."""
    cabinet = subject.cabinet
    arm = _arm(subject, hanging, placed)
    axis: Axis = "u" if hanging.edge in ("left", "right") else "v"
    sign = 1.0 if hanging.edge in ("left", "bottom") else -1.0
    by = whole_shift(cabinet, placed.key, axis, sign * (hanging.reach - 2 * arm))
    move = move_of(cabinet, placed, *((by, 0.0) if axis == "u" else (0.0, by)))
    if is_free(cabinet, move):
        moved = move_remedy(cabinet, placed.key, axis, by)
    else:
        moved = least_move(cabinet, placed, ((hanging.reach / 2 - arm, axis, sign),))
    if moved is not None:
        yield moved
    opposite = _OPPOSITE[hanging.edge]
    if is_only:
        yield from (r for r in other_edges(subject, hanging) if r.value == opposite)
    if moved is None:
        yield Remedy(f"Move it toward the {opposite} edge, where the door swings.")


__all__ = ["HELD_FROM", "RULE", "find"]
