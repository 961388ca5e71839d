"""A part's thread or clip holds the panel it sits in."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.catalog.kinds import Dial, Fitting, PushButton
from casewright.checks.moving import placed_field
from casewright.checks.subject import Subject
from casewright.geometry.model import Placed
from casewright.geometry.thinning import LEAST_WOOD

RULE = Rule(
    id="part.grip",
    severity=Severity.STOP,
    asks="The thickness at a threaded or clipped part lies within what it grips.",
    why="A nut that finds no thread holds nothing; a clip made for a thicker panel rattles.",
    source="Plain geometry",
)


class _Held(NamedTuple):
    part: str
    piece: str
    grip: float
    least: float
    most: float
    wood: float


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each kind of part, panel and thickness."""
    cabinet = subject.cabinet
    groups: dict[_Held, list[Placed]] = {}
    for placed in cabinet.placed:
        data, grip = placed.part.data, cabinet.numbers.get(f"{placed.key}.grip")
        if grip is None or ("part.metal-plate", placed.key) in subject.said:
            continue
        if isinstance(data, PushButton | Fitting):
            least, most = data.grip_least, data.grip_most
        elif isinstance(data, Dial):
            least, most = 0.0, cabinet.numbers[f"{placed.key}.grip_most"].value
        else:
            continue
        wood = cabinet.piece_by_key[placed.piece].thickness - placed.recess
        if least - TOUCHING <= grip.value <= most + TOUCHING and (
            placed.recess == 0 or wood >= LEAST_WOOD - TOUCHING
        ):
            continue
        key = _Held(placed.part.key, placed.piece, round(grip.value, 3), least, most, wood)
        groups.setdefault(key, []).append(placed)
    for held, parts in groups.items():
        yield _finding(subject, parts, held)


def _finding(subject: Subject, parts: list[Placed], held: _Held) -> Finding:
    grip, least, most, wood = held.grip, held.least, held.most, held.wood
    placed = parts[0]
    label = listed([p.label for p in parts])
    field = placed_field(subject.cabinet, placed, "recess")
    if grip > most + TOUCHING:
        severity = Severity.STOP
        depth = placed.recess + grip - most
        message = f"{label}: the panel is {mm(grip)} there and the thread holds {mm(most)} at most."
        remedy = Remedy(f"Counterbore {mm(depth)} deep from the back.", field, depth)
    elif grip < least - TOUCHING and placed.recess > 0:
        severity = Severity.CAUTION
        depth = max(placed.recess - (least - grip), 0.0)
        message = f"{label}: the panel is {mm(grip)} there and the part holds {mm(least)} at least."
        remedy = Remedy(f"Make the counterbore {mm(depth)} deep.", field, depth)
    elif grip < least - TOUCHING:
        severity = Severity.CAUTION
        message = f"{label}: the panel is {mm(grip)} there and the part holds {mm(least)} at least."
        remedy = Remedy(f"Put a ring {mm(least - grip)} thick below the nut.")
    else:
        severity = Severity.CAUTION
        depth = max(placed.recess + wood - LEAST_WOOD, 0.0)
        message = f"{label}: the counterbore leaves {mm(wood)} of wood; {mm(LEAST_WOOD)} is asked."
        remedy = Remedy(f"Make the counterbore {mm(depth)} deep.", field, depth)
    return RULE.finding(
        message,
        remedies=(remedy,),
        names=(*(p.key for p in parts), placed.piece),
        point=placed.frame.origin,
        severity=severity,
    )


__all__ = ["RULE", "find"]
