"""No rail draws more than what feeds it gives."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.behavior.loads import MARGIN, Loads, Source
from casewright.catalog.kinds import Device
from casewright.checks.subject import Subject

RULE = Rule(
    id="power.rail",
    severity=Severity.CAUTION,
    asks="Each supply and converter gives at least the highest draw of all that hangs on it.",
    why="Overloaded, a supply lets its voltage sag or shuts down, just when everything is lit and loud.",
    source="Project setting",
)
FINE = 1e-6
"""Overload that is only rounding. [W]"""


def find(subject: Subject) -> Iterator[Finding]:
    """A caution for each supply and converter whose loads' peaks sum to more than its output.

    The usual margin on top is advice, given in the remedy; outputs that are not known are told in the bench book.

    Source:
        Plain arithmetic: the watts of each load are its own data, a rail's amperes are its watts over its volts.
    """
    if subject.behavior is None:
        return
    loads = subject.behavior.power.loads
    for source in (*loads.converters, *loads.supplies):
        if source in loads.short:
            yield _overload(subject, loads, source)


def _overload(subject: Subject, loads: Loads, source: Source) -> Finding:
    peak, volts = loads.hung(source.name), source.volts
    gives, draws = (_output(watts, volts) for watts in (source.watts, peak))
    least, easy = (_output(_up(watts, volts), volts) for watts in (peak, peak * MARGIN))
    larger = _larger(subject, source, peak)
    such = f"{subject.catalog.types[larger].data.label} does." if larger else ""
    return RULE.finding(
        f"{source.label}: gives {gives}; what hangs on it draws up to {draws}.",
        remedies=(
            Remedy(
                f"Choose one that gives at least {least}; {easy} leaves the usual quarter. {such}".strip(),
                field=f"parts.{source.key}.type" if larger else "",
                value=larger or None,
            ),
            *_moves(loads, source, peak),
            Remedy(
                "Measure what the loads really draw at full brightness and sound, and enter that."
            ),
        ),
        names=tuple(p.key for p in subject.cabinet.placed if p.part.key == source.key),
    )


def _larger(subject: Subject, source: Source, peak: float) -> str:
    """Catalog type of the smallest supply that would do, with the usual quarter if there is one; "" if none is.

    Only in place of one whose output comes from the catalog too, and that has no place inside where a larger one might
    not fit.
    """
    cabinet = subject.cabinet
    part = cabinet.parts[source.key]
    placed = any(p.part.key == source.key for p in cabinet.placed)
    if placed or any(part.origin.get(field) != "catalog" for field in ("volts", "output_amps")):
        return ""
    found = sorted(
        (data.output_amps * source.volts, key)
        for key, entry in subject.catalog.types.items()
        if isinstance(data := entry.data, Device)
        and data.role == "supply"
        and data.volts == source.volts
        and data.outside
        and data.output_amps * source.volts >= peak - FINE
    )
    easy = [key for watts, key in found if watts >= peak * MARGIN - FINE]
    return (easy or [key for _, key in found] or [""])[0]


def _moves(loads: Loads, source: Source, peak: float) -> Iterator[Remedy]:
    """A load that another source of the same voltage has room for, so that both carry theirs."""
    for other in loads.sources:
        if other.key == source.key or other.volts != source.volts or not other.watts:
            continue
        room = other.watts - loads.hung(other.name)
        for row in sorted(loads.rows, key=lambda row: row.peak_w):
            if row.feeder != source.name:
                continue
            if peak - row.peak_w <= source.watts + FINE and row.peak_w <= room + FINE:
                yield Remedy(
                    f"Or hang {row.label} on {other.label}, which has {_output(room, other.volts)} left.",
                    field=f"parts.{row.key}.fed_by",
                    value=other.key,
                )
                return


def _output(watts: float, volts: float) -> str:
    return f"{watts:.1f} W ({watts / volts:.2f} A at {volts:g} V)" if volts else f"{watts:.1f} W"


def _up(watts: float, volts: float) -> float:
    """The next tenth of an ampere, or of a watt where the voltages differ, as watts."""
    step = 0.1 * (volts or 1.0)
    return math.ceil(watts / step - FINE) * step


__all__ = ["RULE", "find"]
