"""Single lights and rows do not show through the diffuser of a sign."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, at_most, mm
from casewright.behavior.light import SignLight
from casewright.behavior.light_box import RIPPLE, distance_for, pitch_for
from casewright.checks.subject import Subject
from casewright.geometry.openings import part_field

RULE = Rule(
    id="light.dots",
    severity=Severity.CAUTION,
    asks=f"From light to light, and from row to row, a sign is no more than {100 * RIPPLE:g} % brighter or darker.",
    why="Dots and stripes are seen before the words are read.",
    source="Common practice",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding a sign."""
    for sign in subject.behavior.light.signs if subject.behavior else ():
        even = sign.evenness
        if max(even.dots, even.stripes) <= RIPPLE:
            continue
        dots = even.dots > RIPPLE
        what = "single lights" if dots else "rows"
        worst = max(even.dots, even.stripes)
        yield RULE.finding(
            f"The {what} of {sign.label} show: {100 * worst:.0f} % brighter and darker, "
            f"{mm(sign.box.distance)} behind the diffuser.",
            remedies=_remedies(subject, sign, dots=dots),
            names=(sign.key, f"{sign.key}.light-board"),
            point=subject.cabinet.placed_by_key[sign.key].frame.origin,
        )


def _remedies(subject: Subject, sign: SignLight, *, dots: bool) -> tuple[Remedy, ...]:
    """Further off, rows closer together, or a strip with its lights closer together."""
    placed, project = subject.cabinet.placed_by_key[sign.key], subject.cabinet.project
    made = []
    far = distance_for(sign.box)
    if math.isfinite(far):
        far = math.ceil(far * 10 - 1e-6) / 10
        field = part_field(placed, project, "board_distance")
        made.append(Remedy(f"Set the light board {at_least(far)} behind the diffuser.", field, far))
    pitch = 0.0 if dots else math.floor(pitch_for(sign.box) * 10) / 10
    if pitch > 0:
        field = part_field(placed, project, "row_pitch")
        made.append(Remedy(f"Lay the rows {at_most(pitch)} apart.", field, pitch))
    if dots and math.isfinite(far):
        # Alike at every size: what the distance must grow, the lights may come closer instead.
        lights = math.ceil(1000 / sign.box.light_pitch * far / sign.box.distance)
        made.append(Remedy(f"Or take a strip of {lights} lights per metre or more."))
    return tuple(made)


__all__ = ["RULE", "find"]
