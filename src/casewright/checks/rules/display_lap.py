"""A display's housing laps the panel on all four edges."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING, shown_beyond
from casewright.catalog.kinds import Display
from casewright.checks.moving import placed_field
from casewright.checks.subject import Subject
from casewright.design.writing import length_style
from casewright.geometry.display_face import LAP_LEAST, display_face, housing_area, opening_area

RULE = Rule(
    id="display.lap",
    severity=Severity.STOP,
    asks="The housing laps the back of the panel by 3 mm or more on all four edges.",
    why="Less bears on nothing once the display is shifted to centre its picture, and light shows past it.",
    source="Common practice",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each display; an opening past the housing is told by display.past-housing."""
    for placed in subject.cabinet.placed:
        if not isinstance(placed.part.data, Display):
            continue
        face = display_face(placed.part.data, placed.turn_deg)
        opening, housing = opening_area(placed, face), housing_area(placed, face)
        laps = {
            "left": opening.left - housing.left,
            "right": housing.right - opening.right,
            "lower": opening.bottom - housing.bottom,
            "upper": housing.top - opening.top,
        }
        edge = min(laps, key=lambda name: laps[name])
        lap = laps[edge]
        if lap < -TOUCHING or lap >= LAP_LEAST - TOUCHING:
            continue
        style = length_style(subject.cabinet.project)
        least_lap = {
            "width": (opening.width, min(laps["left"], laps["right"])),
            "height": (opening.height, min(laps["lower"], laps["upper"])),
        }
        best = {
            name: shown_beyond(size - 2 * (LAP_LEAST - least), style, up=False)
            for name, (size, least) in least_lap.items()
            if least < LAP_LEAST - TOUCHING
        }
        (field, value), *more = (
            (placed_field(subject.cabinet, placed, f"opening.{name}"), value)
            for name, value in best.items()
        )
        yield RULE.finding(
            f"The housing of {placed.label} laps the panel by {mm(lap)} at its {edge} edge; {mm(LAP_LEAST)} is asked.",
            remedies=(
                Remedy(
                    "Make the opening's "
                    + " and its ".join(f"{name} {mm(value)}" for name, value in best.items())
                    + ".",
                    field,
                    value,
                    tuple(more),
                ),
            ),
            names=(placed.key, placed.piece),
            point=placed.frame.origin,
        )


__all__ = ["RULE", "find"]
