"""The closed box behind a large loudspeaker suits it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.behavior.acoustics import litres_for
from casewright.behavior.sound import Driver
from casewright.checks.subject import Subject
from casewright.checks.volumes import more_air

Q_MOST = 1.0
"""Past it the bass booms. Common practice."""

Q_FAR = 1.4
"""Past it every note sounds like one. Common practice."""

LARGE = 90.0
"""A cut-out from which on a box is worth working out. Common practice. [mm]"""

RULE = Rule(
    id="sound.box",
    severity=Severity.CAUTION,
    asks=f"A loudspeaker in a closed box has a total Q of {Q_MOST:g} or less; a large one has its data known.",
    why="Too small a box makes one boomy note of the bass; without data nobody knows which box is too small.",
    source="small-closed-box",
)
_NAMES = {
    "free_air_hz": "resonance in free air, fs",
    "total_q": "total Q, Qts",
    "compliance_litres": "equivalent volume, Vas",
}


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each kind of loudspeaker in each chamber."""
    if subject.behavior is None:
        return
    sound = subject.behavior.sound
    seen: set[tuple[str, int]] = set()
    for driver in sound.drivers:
        kind = (driver.part, sound.chambers.index(driver.chamber) if driver.chamber else -1)
        if kind in seen or not driver.is_shut:
            continue
        seen.add(kind)
        if driver.missing:
            if driver.data.cutout >= LARGE or (driver.ports and not driver.beside):
                yield _unknown(driver)
        elif driver.ports:
            continue  # sound.port judges the box with its port
        elif driver.closed is not None and driver.closed.q > Q_MOST + 1e-9:
            yield _boomy(subject, driver)


def _unknown(driver: Driver) -> Finding:
    wanted = ", ".join(_NAMES[name] for name in driver.missing)
    return RULE.finding(
        f"Nobody can say what {driver.litres:.1f} L make of {driver.label}: its data are not known.",
        remedies=(Remedy(f"Take from its data sheet, or measure: {wanted}."),),
        names=(driver.key,),
        severity=Severity.NOTE,
        missing=wanted,
    )


def _boomy(subject: Subject, driver: Driver) -> Finding:
    assert driver.closed is not None and driver.data.total_q and driver.data.compliance_litres
    wanted = litres_for(Q_MOST, driver.data.total_q, driver.data.compliance_litres)
    remedies: list[Remedy] = []
    if math.isfinite(wanted):
        remedies += more_air(subject, driver, wanted)
    else:
        remedies.append(
            Remedy(
                f"Its Q of {driver.data.total_q:.2f} in free air is for open cabinets: take one of 0.5 or less, "
                "or leave the back open."
            )
        )
    remedies.append(
        Remedy("Loose stuffing acts like up to a fifth more volume; fill the box and listen.")
    )
    return RULE.finding(
        f"The bass of {driver.label} booms: a total Q of {math.ceil(100 * driver.closed.q) / 100:.2f} "
        f"in {driver.litres:.1f} L; {Q_MOST:g} at most is asked.",
        remedies=tuple(remedies),
        names=(driver.key,),
        severity=None if driver.closed.q > Q_FAR else Severity.NOTE,
    )


__all__ = ["LARGE", "Q_FAR", "Q_MOST", "RULE", "find"]
