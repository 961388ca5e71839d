"""A port tunes the box behind its loudspeaker, does not huff, and ends clear of the wall."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.behavior.acoustics import RIPPLE, VentedBox, vented_litres_for
from casewright.behavior.ports import PIPES, Wanted
from casewright.behavior.sound import Driver
from casewright.checks.rules.sound_box import Q_MOST
from casewright.checks.subject import Subject
from casewright.checks.volumes import more_air
from casewright.geometry.openings import part_field

OFF = 0.1
"""Tuning off by more than this share of the best is heard. Common practice."""

HUMP_FAR = 3.0
"""Past it one note stands out. Common practice. [dB]"""

LEAST_SLOT = 8
"""A lower slot is mostly friction. Common practice. [mm]"""

RULE = Rule(
    id="sound.port",
    severity=Severity.CAUTION,
    asks=f"A port tunes its box within {100 * OFF:g} % of the best, is wide enough, and its inner end keeps its own "
    "width (a slot: its height) from the wall.",
    why="A port that is too short booms, one too long does nothing; too narrow it huffs; near a wall it tunes lower.",
    source="loudspeaker-ports",
)


def find(subject: Subject) -> Iterator[Finding]:
    """What is wrong with each port; of ports that share a chamber once."""
    if subject.behavior is None:
        return
    sound = subject.behavior.sound
    served: set[str] = set()
    for driver in sound.drivers:
        keys = [port.key for port in driver.ports]
        if not keys or driver.missing or served.issuperset(keys):
            continue
        served.update(keys)
        if driver.built is not None:
            yield from _near_wall(subject, driver)
            yield from _tuning(subject, driver, driver.built)
            yield from _huffing(subject, driver)
    for port in sound.ports:
        if not any(port in driver.ports for driver in sound.drivers):
            yield RULE.finding(
                f"{port.label} leads into air that no loudspeaker works on.",
                remedies=(
                    Remedy("Put it into a wall of the chamber behind the loudspeaker, or out."),
                ),
                names=(port.key,),
                severity=Severity.NOTE,
            )


def _near_wall(subject: Subject, driver: Driver) -> Iterator[Finding]:
    for port in driver.ports:
        if port.free >= port.asked_free - TOUCHING:
            continue
        yield RULE.finding(
            f"{port.label} ends {mm(max(port.free, 0.0))} before the wall behind it; {mm(port.asked_free)} is asked.",
            remedies=_lengths(subject, driver),
            names=(port.key,),
        )


def _tuning(subject: Subject, driver: Driver, built: VentedBox) -> Iterator[Finding]:
    best = driver.vented
    if best is None:
        return
    ports = tuple(port.key for port in driver.ports)
    name = driver.ports[0].label if len(ports) == 1 else "its ports"
    if best.hump > RIPPLE + 1e-9:
        yield RULE.finding(
            f"{driver.label}: no port suits it, whatever it is tuned to its bass stands out by "
            f"{math.ceil(10 * best.hump) / 10:.1f} dB; {RIPPLE:g} dB at most is asked.",
            remedies=_other_box(subject, driver),
            names=(driver.key, *ports),
            severity=None if built.hump > HUMP_FAR else Severity.NOTE,
        )
        return
    off = built.tuning / best.tuning - 1
    near = any(p.free < p.asked_free - TOUCHING for p in driver.ports)
    if abs(off) <= OFF + 1e-9 or near:
        return
    what = (
        f"its bass stands out by {built.hump:.1f} dB"
        if built.hump > 2 * RIPPLE
        else f"it is 3 dB down at {built.f3:.0f} Hz instead of {best.f3:.0f}"
    )
    yield RULE.finding(
        f"{driver.label}: {name} tunes the box to {built.tuning:.0f} Hz, {best.tuning:.0f} is best; {what}.",
        remedies=_lengths(subject, driver),
        names=(driver.key, *ports),
        severity=None if built.hump > HUMP_FAR else Severity.NOTE,
    )


def _huffing(subject: Subject, driver: Driver) -> Iterator[Finding]:
    short = driver.least_port - driver.port_width
    if short <= TOUCHING:
        return
    ports = driver.ports
    label = ports[0].label if len(ports) == 1 else "The ports together"
    wide = "of the area of a pipe" if ports[0].data.shape == "slot" or len(ports) > 1 else "is"
    yield RULE.finding(
        f"{label} {wide} {mm(driver.port_width)} wide; from {mm(driver.least_port)} on it does not huff "
        f"with {driver.label} at full travel.",
        remedies=(
            *_quieter(driver),
            Remedy("Or leave it so, for playing softly."),
        ),
        names=tuple(p.key for p in ports),
        severity=Severity.NOTE,
    )


def _other_box(subject: Subject, driver: Driver) -> tuple[Remedy, ...]:
    """Where no port suits: the box closed, more air, or another loudspeaker; each only where it cures."""
    data, closed = driver.data, driver.closed
    assert data.free_air_hz and data.total_q and data.compliance_litres and closed is not None
    made: list[Remedy] = []
    if closed.q <= Q_MOST:
        made.append(
            Remedy(f"Leave the port out and the box closed: a total Q of {closed.q:.2f} then.")
        )
    litres = vented_litres_for(data.free_air_hz, data.total_q, data.compliance_litres)
    if math.isfinite(litres) and litres > driver.litres:
        # In words: with more air the port gets another length, so that this value alone does not cure.
        made += [
            Remedy(f"{more.text[:-1]}; the port gets another length then, so look here again.")
            for more in more_air(subject, driver, litres)
        ]
    if not made:
        made.append(
            Remedy(
                f"Take a loudspeaker for ports, with a total Q of 0.4 or less; this one has {data.total_q:.2f}."
            )
        )
    return tuple(made)


def _quieter(driver: Driver) -> tuple[Remedy, ...]:
    """A wider pipe; where none goes in, how long the narrowest quiet one would have to be."""
    width = driver.ports[0].diameter + TOUCHING
    found = _pipes(driver, least=width, why="quiet")
    if found or driver.ports[0].data.shape == "slot":
        return found
    quiet = (w for d in PIPES if d > width and (w := driver.wanted(d)) is not None and w.quiet)
    wanted = next(quiet, None)
    if wanted is None:
        return ()
    room = min(port.depth for port in driver.ports) - wanted.diameter
    return (
        Remedy(
            f"A pipe {mm(wanted.diameter)} wide would have to be {mm(wanted.length)} long, and "
            f"{mm(max(room, 0.0))} go in: bend it round a corner, or give the box more air."
        ),
    )


def _lengths(subject: Subject, driver: Driver) -> tuple[Remedy, ...]:
    """The length that tunes best where it goes in; else narrower pipes whose length does."""
    wanted = driver.wanted()
    if wanted is not None and wanted.goes_in:
        length = float(round(wanted.length))
        field = _field(subject, driver, "length")
        return (Remedy(f"Make it {mm(length)} long.", field, length),)
    most = driver.ports[0].diameter - TOUCHING
    found = _lower_slot(subject, driver) or _pipes(driver, most=most, why="fits", subject=subject)
    if wanted is not None:
        found += (
            Remedy(
                f"Or put it where it can be {mm(wanted.length)} long, with "
                f"{mm(driver.ports[0].asked_free)} free behind its end."
            ),
        )
    elif not found:
        found = (
            Remedy(
                "No length of it tunes the box so high: take a wider port, or several.",
            ),
        )
    return found


def _pipes(
    driver: Driver,
    *,
    least: float = 0.0,
    most: float = math.inf,
    why: str,
    subject: Subject | None = None,
) -> tuple[Remedy, ...]:
    """The pipe nearest in width that tunes the box and fits; first one that does not huff either.

    With a subject as values: a narrower pipe has room wherever the wider one had.
    """
    if driver.ports[0].data.shape == "slot":
        return ()
    fits: list[Wanted] = []
    for diameter in PIPES:
        if least <= diameter <= most:
            wanted = driver.wanted(diameter)
            if wanted is not None and wanted.goes_in:
                fits.append(wanted)
    quiet = [w for w in fits if w.quiet]
    if quiet:
        best = quiet[0] if why == "quiet" else quiet[-1]
    elif fits and why == "fits":
        best = fits[-1]
    else:
        return ()
    one = "a pipe" if len(driver.ports) == 1 else f"{len(driver.ports)} pipes"
    after = "" if best.quiet else _HUFFS
    size = f"{one} {mm(best.diameter)} wide inside"
    if subject is None:
        return (Remedy(f"Take {size} and {mm(best.length)} long{after}."),)
    length = float(round(best.length))
    return (
        Remedy(
            f"Take {size} and {mm(length)} long{after}.",
            _field(subject, driver, "width"),
            best.diameter,
            ((_field(subject, driver, "length"), length),),
        ),
    )


def _lower_slot(subject: Subject, driver: Driver) -> tuple[Remedy, ...]:
    """The highest slot below the one there is whose length tunes the box and goes in; first one that does not huff."""
    data = driver.ports[0].data
    if data.shape != "slot":
        return ()
    heights = range(math.ceil(data.height) - 1, LEAST_SLOT - 1, -1)
    fits = [
        (height, wanted)
        for height in heights
        if (wanted := driver.wanted(height=float(height))) is not None and wanted.goes_in
    ]
    found = next((one for one in fits if one[1].quiet), next(iter(fits), None))
    if found is None:
        return ()
    height, wanted = found
    length = float(round(wanted.length))
    which = "it" if len(driver.ports) == 1 else "each"
    after = "" if wanted.quiet else _HUFFS
    return (
        Remedy(
            f"Make {which} {mm(float(height))} high inside and {mm(length)} long{after}.",
            _field(subject, driver, "height"),
            float(height),
            ((_field(subject, driver, "length"), length),),
        ),
    )


_HUFFS = "; at full travel it huffs"


def _field(subject: Subject, driver: Driver, name: str) -> str:
    placed = subject.cabinet.placed_by_key[driver.ports[0].key]
    return part_field(placed, subject.cabinet.project, name)


__all__ = ["HUMP_FAR", "LEAST_SLOT", "OFF", "RULE", "find"]
