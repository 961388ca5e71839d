"""Every rail has something that makes it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.wording import listed
from casewright.behavior.loads import MARGIN
from casewright.catalog.kinds import Device
from casewright.checks.subject import Subject

RULE = Rule(
    id="power.unfed",
    severity=Severity.CAUTION,
    asks="For each voltage that a part asks for there is a supply or a converter.",
    why="A part on the wrong voltage stays dark, or burns.",
    source="Project setting",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each voltage that nothing makes, and for each `fed_by` that leads nowhere.

    Nothing is said where no supply is chosen yet.
    """
    if subject.behavior is None:
        return
    loads = subject.behavior.power.loads
    for volts in loads.unfed:
        if not volts:
            continue
        mine = [r for r in loads.rows if r.volts == volts and not r.feeder and not r.host]
        keys = {row.key for row in mine}
        peak = math.fsum(row.peak_w for row in mine)
        amps = math.ceil(peak * MARGIN / volts * 10 - 1e-9) / 10
        given = listed(
            dict.fromkeys(
                f"{source.volts:g} V" if source.volts else "a voltage that is not known"
                for source in loads.supplies
            )
        )
        gives = "the supply gives" if len(loads.supplies) == 1 else "the supplies give"
        yield RULE.finding(
            f"{listed(row.label for row in mine)}: {volts:g} V is asked; {gives} {given}.",
            remedies=(
                Remedy(
                    f"Add a converter to {volts:g} V that gives {amps:.1f} A or more, or a certified supply of that "
                    f"voltage{_such(subject, volts, amps)}."
                ),
            ),
            names=tuple(p.key for p in subject.cabinet.placed if p.part.key in keys),
        )
    for one in loads.astray:
        fits = f": {' or '.join(one.fits)} would do" if one.fits else ""
        yield RULE.finding(
            f"{one.label} is to be fed by {one.wish}, which makes no voltage for it{fits}.",
            remedies=(
                Remedy(
                    f"Name {one.fits[0]}."
                    if one.fits
                    else "Take its fed_by out, or add that supply.",
                    field=f"parts.{one.key}.fed_by" if one.fits else "",
                    value=one.fits[0] if one.fits else None,
                ),
            ),
            names=tuple(p.key for p in subject.cabinet.placed if p.part.key == one.key),
        )


def _such(subject: Subject, volts: float, amps: float) -> str:
    """The smallest supply of the catalog that would do, in words; "" where it has none."""
    fits = sorted(
        (data.output_amps, key)
        for key, entry in subject.catalog.types.items()
        if isinstance(data := entry.data, Device)
        and data.role == "supply"
        and data.volts == volts
        and data.output_amps >= amps - 1e-9
    )
    return f", such as {fits[0][1]} of the catalog" if fits else ""


__all__ = ["RULE", "find"]
