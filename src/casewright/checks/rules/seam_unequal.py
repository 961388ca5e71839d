"""A miter of unequal boards is cut at two tilts."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.checks.subject import Subject

RULE = Rule(
    id="seam.unequal-miter",
    severity=Severity.NOTE,
    asks="Both boards of a miter are cut at the same tilt.",
    why="Who halves the angle between unequal boards gets both ends wrong, and the seam gapes.",
    source="Plain geometry",
)

_CLOSE = 0.05  # degrees; nobody sets a blade finer


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each miter whose two tilts differ."""
    cabinet = subject.cabinet
    for corner in cabinet.corners:
        a, b = abs(corner.first_tilt_deg), abs(corner.second_tilt_deg)
        if corner.rule != "miter" or not corner.first or not corner.second or abs(a - b) <= _CLOSE:
            continue
        slabs = cabinet.slab_by_panel
        if corner.first not in slabs or corner.second not in slabs:
            continue  # nothing is left of one of the two, which is told by itself
        first, second = subject.label(corner.first), subject.label(corner.second)
        thick = [mm(slabs[key].thickness) for key in (corner.first, corner.second)]
        yield RULE.finding(
            f"The miter of {first} and {second} joins boards of {' and '.join(thick)}: the saw tilts to {a:.1f}° for "
            f"the one and to {b:.1f}° for the other, not to half the angle for both.",
            remedies=(Remedy("Set the blade for each of the two, and try both on offcuts."),),
            names=(corner.first, corner.second),
            point=(cabinet.shape.width / 2, *corner.point),
        )


__all__ = ["RULE", "find"]
