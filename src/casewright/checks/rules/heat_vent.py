"""Vents and fans that are there do their work."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.customary import area_words
from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import Unit
from casewright.checks.subject import Subject

RULE = Rule(
    id="heat.vent",
    severity=Severity.CAUTION,
    asks="Every vent is free, and every fan gets the air that it blows from as much free area as its own opening.",
    why="A fan that cannot draw air only makes noise, and a vent that lies on the table is none.",
    source="Common practice",
)
_ENOUGH = 0.5
"""Share of its free delivery that a fan should move. Common practice."""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each vent that is covered and each fan that is choked."""
    if subject.behavior is None:
        return
    heat, unit = subject.behavior.heat, subject.cabinet.project.unit
    for key in heat.blocked:
        yield RULE.finding(
            f"{subject.label(key)} lies against what the cabinet stands on or hangs at.",
            remedies=(
                Remedy(f"Put feet of {mm(12)} or more under the base, or move it to a free wall."),
            ),
            names=(key,),
            point=subject.cabinet.placed_by_key[key].frame.origin,
        )
    moved = {key: abs(mass) for key, mass in heat.flow.out}
    for fan in heat.fans:
        blower = fan.blower
        if blower is None or heat.power_w <= 0:
            continue
        share = moved.get(fan.key, 0.0) / 1.16 / blower.free  # kg/m³ of air at 30 °C
        if share >= _ENOUGH:
            continue
        free = math.fsum(hole.area for hole in heat.holes if hole.key != fan.key)
        yield RULE.finding(
            f"{fan.label} finds {area_words(free, unit)} of vents; its own opening has {area_words(fan.area, unit)}. "
            f"It moves {100 * share:.0f} % of what it could.",
            remedies=(Remedy(_order(unit, fan.area - free, outward=blower.outward)),),
            names=(fan.key,),
            point=fan.point,
            severity=None if share < _ENOUGH / 2 else Severity.NOTE,
        )


def _order(unit: Unit, short: float, *, outward: bool) -> str:
    where = "low, far from the fan" if outward else "high, far from the fan"
    area = area_words(100 * max(math.ceil(short / 100), 1), unit)
    return f"Cut vents of {area} more, {where}, so that the air passes what gets warm."


__all__ = ["RULE", "find"]
