"""The air behind a loudspeaker is shut off from the air before it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.wording import listed
from casewright.behavior.sound import Driver
from casewright.checks.subject import Subject

RULE = Rule(
    id="sound.leak",
    severity=Severity.NOTE,
    asks="The air behind a loudspeaker is shut off: no vent, fan or open hand hole in its chamber.",
    why="Air that gets round from the back of the cone cancels the low notes, and parts in the chamber rattle.",
    source="small-closed-box",
)
SMALL_LITRES = (0.5, 2.0)
"""Behind a small full-range loudspeaker of 50 to 80 mm. Common practice."""

_SMALL = 90.0  # mm


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each chamber that is open."""
    if subject.behavior is None:
        return
    sound = subject.behavior.sound
    for chamber in sound.chambers:
        inside = [d for d in sound.drivers if d.chamber is chamber]
        if not inside or chamber.is_shut:
            continue
        yield RULE.finding(
            f"{listed(d.label for d in inside)}: the air behind is open to {listed(chamber.leaks)}; "
            "low notes are weak.",
            remedies=(
                Remedy(_order(inside[0])),
                Remedy("Or leave it so, for voices and short sounds."),
            ),
            names=tuple(d.key for d in inside),
        )


def _order(driver: Driver) -> str:
    litres = driver.flat_litres
    if litres is not None and math.isfinite(litres):
        size = f"{litres:.1f} L"
    elif driver.data.cutout < _SMALL:
        size = f"{SMALL_LITRES[0]:g} to {SMALL_LITRES[1]:g} L"
    else:
        size = "the volume that its data sheet asks for"
    return f"Set a closed cup of {size} behind each, sealed to the panel."


__all__ = ["RULE", "SMALL_LITRES", "find"]
