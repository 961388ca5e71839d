"""No rail draws more than what feeds it gives."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.behavior.loads import MARGIN, Source
from casewright.checks.subject import Subject
from casewright.geometry.model import Cabinet

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
    cabinet, loads = subject.cabinet, subject.behavior.power.loads
    for converter in loads.converters:
        peak = loads.behind(converter.label)
        if 0 < converter.watts < peak - FINE:
            yield _overload(cabinet, (converter,), peak)
    for volts in loads.short:
        supplies = tuple(supply for supply in loads.supplies if supply.volts == volts)
        yield _overload(cabinet, supplies, loads.drawn(volts))


def _overload(cabinet: Cabinet, sources: tuple[Source, ...], peak: float) -> Finding:
    given = math.fsum(source.watts for source in sources)
    label = " and ".join(source.label for source in sources)
    rails = {source.volts for source in sources}
    volts = rails.pop() if len(rails) == 1 else 0.0
    gives, draws = (_output(watts, volts) for watts in (given, peak))
    least, easy = (_output(_up(watts, volts), volts) for watts in (peak, peak * MARGIN))
    keys = {source.key for source in sources}
    return RULE.finding(
        f"{label}: gives {gives}; what hangs on it draws up to {draws}.",
        remedies=(
            Remedy(f"Choose one that gives at least {least}; {easy} leaves the usual quarter."),
            Remedy(
                "Measure what the loads really draw at full brightness and sound, and enter that."
            ),
        ),
        names=tuple(placed.key for placed in cabinet.placed if placed.part.key in keys),
    )


def _output(watts: float, volts: float) -> str:
    return f"{watts:.1f} W ({watts / volts:.2f} A at {volts:g} V)" if volts else f"{watts:.1f} W"


def _up(watts: float, volts: float) -> float:
    """The next tenth of an ampere, or of a watt where the voltages differ, as watts."""
    step = 0.1 * (volts or 1.0)
    return math.ceil(watts / step - FINE) * step


__all__ = ["RULE", "find"]
