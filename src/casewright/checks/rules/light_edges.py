"""A sign is light enough to its edges."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.behavior.light import SignLight
from casewright.behavior.light_box import DARKEST, reflectance_for, row_length_for, with_rows
from casewright.catalog.kinds import Sign
from casewright.checks.subject import Subject
from casewright.geometry.openings import part_field

RULE = Rule(
    id="light.edges",
    severity=Severity.CAUTION,
    asks=f"The darkest place of a sign has at least {100 * DARKEST:g} % of its mean light.",
    why="Words that run into a dark end look broken.",
    source="en-13201-2",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding a sign."""
    for sign in subject.behavior.light.signs if subject.behavior else ():
        least = sign.evenness.least
        if least >= DARKEST:
            continue
        yield RULE.finding(
            f"The corners of {sign.label} have {100 * least:.0f} % of its mean light; "
            f"{100 * DARKEST:g} % or more is asked.",
            remedies=_remedies(subject, sign),
            names=(sign.key, f"{sign.key}.light-board"),
            point=subject.cabinet.placed_by_key[sign.key].frame.origin,
        )


def _remedies(subject: Subject, sign: SignLight) -> tuple[Remedy, ...]:
    """White walls round the light board, or longer rows."""
    placed, project = subject.cabinet.placed_by_key[sign.key], subject.cabinet.project
    made = []
    share = reflectance_for(sign.box)
    if math.isfinite(share):
        made.append(
            Remedy(
                f"Wall the light in from its board to the frame, with card or paint that throws back "
                f"{100 * share:.0f} % or more; matt white gives 80 %.",
                part_field(placed, project, "wall_reflectance"),
                share,
            )
        )
    most = sign.box.width + 2 * sign.box.distance
    data = placed.part.data
    if isinstance(data, Sign) and data.board_length:
        most = min(most, data.board_length)  # kept so short for what stands beside it
    length = row_length_for(sign.box, sign.unit, most)
    if math.isfinite(length):
        made.append(
            Remedy(
                f"Make the rows {mm(length)} long, if there is room for their board.",
                part_field(placed, project, "row_length"),
                length,
            )
        )
    made += [] if made else _both(subject, sign, most)
    if not made:
        made.append(Remedy("Add a row, or make the opening smaller than the rows."))
    return tuple(made)


def _both(subject: Subject, sign: SignLight, most: float) -> Iterator[Remedy]:
    """Rows as long as go in, with walls round them, where neither is enough by itself."""
    placed, project = subject.cabinet.placed_by_key[sign.key], subject.cabinet.project
    units = math.floor(min(most, sign.box.width + sign.unit) / sign.unit + 1e-9)
    if units <= sign.box.rows.units:
        return
    share = reflectance_for(with_rows(sign.box, sign.unit, units))
    if math.isfinite(share):
        yield Remedy(
            f"Make the rows {mm(units * sign.unit)} long, if there is room for their board, and wall the light in with "
            f"card or paint that throws back {100 * share:.0f} % or more; matt white gives 80 %.",
            part_field(placed, project, "row_length"),
            units * sign.unit,
            ((part_field(placed, project, "wall_reflectance"), share),),
        )


__all__ = ["RULE", "find"]
