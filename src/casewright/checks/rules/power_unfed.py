"""Every rail has something that makes it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.wording import listed
from casewright.behavior.loads import MARGIN
from casewright.checks.subject import Subject

RULE = Rule(
    id="power.unfed",
    severity=Severity.CAUTION,
    asks="For each voltage that a part asks for there is a supply or a converter.",
    why="A part on the wrong voltage stays dark, or burns.",
    source="Project setting",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each voltage that nothing makes; nothing is said where no supply is chosen yet."""
    if subject.behavior is None:
        return
    loads = subject.behavior.power.loads
    for volts in loads.unfed:
        if not volts:
            continue
        mine = [row for row in loads.rows if row.volts == volts]
        keys = {row.key for row in mine}
        peak = loads.peak_of(volts)
        amps = math.ceil(peak * MARGIN / volts * 10 - 1e-9) / 10
        given = listed(f"{source.volts:g} V" for source in loads.supplies)
        yield RULE.finding(
            f"{listed(row.label for row in mine)}: {volts:g} V is asked; the supply gives {given}.",
            remedies=(
                Remedy(
                    f"Add a converter to {volts:g} V that gives {amps:.1f} A or more, or a certified supply of that "
                    "voltage."
                ),
            ),
            names=tuple(p.key for p in subject.cabinet.placed if p.part.key in keys),
        )


__all__ = ["RULE", "find"]
