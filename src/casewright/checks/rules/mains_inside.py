"""Mains voltage stays in bought, enclosed, certified units."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.wording import listed
from casewright.catalog.kinds import Device, Kind
from casewright.checks.subject import Subject

RULE = Rule(
    id="mains.inside",
    severity=Severity.CAUTION,
    asks="No part inside the cabinet carries mains voltage.",
    why="Mains in a wooden box can kill and burn: enclosure, strain relief, earth and fuse have rules of their own.",
    source="Common practice",
)

ELV_DC = 60.0
"""Extra-low voltage in dry places, direct current. Source: from memory, IEC 61140. [V]"""


def find(subject: Subject) -> Iterator[Finding]:
    """A caution on mains inside; else a note where all that is inside is extra-low voltage."""
    cabinet = subject.cabinet
    used = {p.part.key for p in cabinet.placed}
    inside = [
        part for key, part in cabinet.parts.items() if key in used and not _is_outside(part.data)
    ]
    mains = [part for part in inside if part.data.mains]
    if mains:
        keys = {part.key for part in mains}
        yield RULE.finding(
            f"{listed([part.label for part in mains])} bring{'s' if len(mains) == 1 else ''} mains voltage into the "
            "cabinet.",
            remedies=(
                Remedy(
                    "Use a certified desktop supply outside the cabinet and a low-voltage socket on it: then no mains "
                    "is inside."
                ),
                Remedy(
                    "Else only a bought, enclosed, certified unit, with earth, fuse and strain relief, connected by a "
                    "licensed electrician under the local code."
                ),
            ),
            names=tuple(p.key for p in cabinet.placed if p.part.key in keys),
        )
        return
    volts = [part.data.volts for part in inside if part.data.volts]
    batteries = [
        part.label
        for part in inside
        if isinstance(part.data, Device) and part.data.role == "battery"
    ]
    keep = "leave the certified supply outside the cabinet, and fuse its output."
    if batteries:
        keep = f"fuse the plus of {listed(batteries)} and charge it outside, by its own certified charger."
    if volts and max(volts) <= ELV_DC:
        yield RULE.finding(
            f"Only extra-low voltage is inside, {max(volts):g} V at most.",
            remedies=(Remedy(f"Keep it so: {keep}"),),
            severity=Severity.NOTE,
        )


def _is_outside(data: Kind) -> bool:
    return isinstance(data, Device) and data.outside


__all__ = ["ELV_DC", "RULE", "find"]
