"""Light strip is as bright at its far end as at its feed."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_most
from casewright.behavior.laying import wire_system
from casewright.behavior.light import SignLight
from casewright.behavior.light_strip import strip_drop
from casewright.behavior.wires import DROP, WIRES, wire_for
from casewright.checks.subject import Subject
from casewright.geometry.openings import part_field

RULE = Rule(
    id="light.drop",
    severity=Severity.CAUTION,
    asks=f"Strip and lead together lose no more than {100 * DROP:g} % of the rail's voltage.",
    why="What the far lights lack in voltage they lack in light, and addressable ones change their color.",
    source="Common practice",
)

STRIP_VOLTS = (5.0, 12.0, 24.0)
"""What light strips are sold for. Common practice. [V]"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding a sign."""
    for sign in subject.behavior.light.signs if subject.behavior else ():
        if sign.lost <= DROP + 1e-9:
            continue
        lack = f"lack {100 * sign.lost:.1f} % of {sign.volts:g} V"
        if sign.lost >= 1:
            lack = f"stay dark; bright they would lack more than the {sign.volts:g} V there are"
        yield RULE.finding(
            f"The far lights of {sign.label} {lack}: {sign.drop:.2f} V in {sign.metres:.2f} m of strip, "
            f"{sign.lead_drop:.2f} V in the lead; {100 * DROP:g} % is the most.",
            remedies=_remedies(subject, sign),
            names=(sign.key, f"{sign.key}.light-board"),
            point=subject.cabinet.placed_by_key[sign.key].frame.origin,
        )


def _remedies(subject: Subject, sign: SignLight) -> tuple[Remedy, ...]:
    """Feed both ends, feed every row by itself, a shorter lead."""
    placed, project = subject.cabinet.placed_by_key[sign.key], subject.cabinet.project
    system = wire_system(subject.cabinet)
    room = DROP * sign.volts
    made = []
    if sign.feed == "one end":
        drop = strip_drop(sign.metres, sign.amps, sign.ohms_per_m, "both ends")
        wire = wire_for(sign.amps, sign.lead, room - drop, system, fuse=sign.fuse)
        if wire is not None:
            field = part_field(placed, project, "feed")
            made.append(
                Remedy(
                    f"Feed the strip from both ends ({drop:.2f} V), by a lead of {wire.name}.",
                    field,
                    "both ends",
                )
            )
    rows = len(sign.box.rows.rows)
    if rows > 1:
        drop = strip_drop(sign.metres / rows, sign.amps / rows, sign.ohms_per_m, "both ends")
        wire = wire_for(sign.amps, sign.lead, room - drop, system, fuse=sign.fuse)
        if wire is not None:
            made.append(
                Remedy(
                    f"Feed each of the {rows} rows by itself, at both ends ({drop:.2f} V), by leads of {wire.name}."
                )
            )
    left = room - sign.drop
    if left > 0:
        thickest = WIRES[system][-1]
        length = left / thickest.drop(1.0, sign.amps)
        made.append(
            Remedy(
                f"Or bring the supply nearer: a lead of {thickest.name}, {at_most(length)} long."
            )
        )
    higher = [volts for volts in STRIP_VOLTS if volts > sign.volts]
    lost = {volts: sign.lost * (sign.volts / volts) ** 2 for volts in higher}
    if higher:
        volts = next((v for v in higher if lost[v] <= DROP), higher[-1])
        made.append(
            Remedy(
                f"Or take a strip of {volts:g} V and the same power: it draws {sign.amps * sign.volts / volts:.2f} A "
                f"in place of {sign.amps:.2f} A, and with the same lead lacks {100 * lost[volts]:.1f} % of {volts:g} V."
            )
        )
    else:
        watts = sign.volts * sign.amps / sign.metres * DROP / sign.lost
        made.append(
            Remedy(
                f"Or take a strip that draws {math.floor(10 * watts) / 10:g} W per metre at most."
            )
        )
    return tuple(made)


__all__ = ["RULE", "STRIP_VOLTS", "find"]
