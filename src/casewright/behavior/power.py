"""Power: every load on its rail, and the supply that carries them with room to spare."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

from casewright.basics.reckoning import Reckoning, Term, derived, total
from casewright.behavior.loads import MARGIN, Loads, power_loads
from casewright.catalog.kinds import Device
from casewright.geometry.model import Cabinet

SUPPLIES = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.5, 8.5, 10.0, 12.5, 15.0, 20.0)
"""Supplies as sold. [A] Common practice."""


BATTERY_SHARE = 0.8
"""Of what a battery holds, as much as can be counted on. Common practice."""


@dataclass(frozen=True)
class Rail:
    """One supply's or converter's voltage, and all that hangs on it."""

    volts: float
    typical_w: float
    peak_w: float
    """Of its own loads, and at their peaks of the converters that it feeds, losses included."""
    gives_w: float
    """What its supply or converter gives; 0 where that is not known or nothing feeds it."""
    source: str
    """Label of what feeds it; "" where nothing does."""
    name: str = ""
    """Of what feeds it, its own among all."""
    runs_h: float = 0.0
    """How long a battery lasts at the usual draw; 0 where it is none or what it holds is not known. [h]"""

    @property
    def amps(self) -> float:
        """Highest current."""
        return self.peak_w / self.volts if self.volts else 0.0

    @property
    def choice(self) -> float:
        """The smallest usual supply that leaves the margin; infinite where none is large enough. [A]"""
        return next((amps for amps in SUPPLIES if amps >= self.amps * MARGIN - 1e-9), math.inf)


@dataclass(frozen=True)
class Power:
    """All loads and rails."""

    loads: Loads
    rails: tuple[Rail, ...]
    """The highest first."""
    numbers: tuple[Reckoning, ...] = ()


def power_of(cabinet: Cabinet) -> Power:
    """Loads, rails and the figures behind them."""
    loads = power_loads(cabinet)
    rails = _rails(cabinet, loads)
    return Power(loads, rails, _numbers(loads, rails) if loads.rows else ())


def _rails(cabinet: Cabinet, loads: Loads) -> tuple[Rail, ...]:
    """A rail for each supply and converter that anything hangs on, and for each voltage that nothing makes."""
    made = []
    for source in loads.sources:
        peak, typical = loads.hung(source.name), loads.hung(source.name, "typical_w")
        if not peak or not source.volts:
            continue
        data = cabinet.parts[source.key].data
        holds = data.watt_hours if isinstance(data, Device) else 0.0
        lasts = holds * BATTERY_SHARE / typical if typical else 0.0
        made.append(
            Rail(source.volts, typical, peak, source.watts, source.label, source.name, lasts)
        )
    bare = {
        row.volts
        for row in loads.rows
        if row.volts and not row.feeder and (not row.host or not loads.supplies)
    }
    for volts in bare:
        mine = [r for r in loads.rows if r.volts == volts and not r.feeder]
        made.append(
            Rail(
                volts,
                math.fsum(row.typical_w for row in mine),
                math.fsum(row.peak_w for row in mine),
                0.0,
                "",
            )
        )
    return tuple(sorted(made, key=lambda rail: -rail.volts))


def _numbers(loads: Loads, rails: tuple[Rail, ...]) -> tuple[Reckoning, ...]:
    made = [
        _sum(loads, "typical_w", "power.usual", "power that all of it usually draws"),
        _sum(loads, "peak_w", "power.peak", "power that all of it draws at most"),
        derived(
            "power.needed",
            "power that the supply should give"
            if len(loads.supplies) < 2
            else "power that the supplies should give together",
            loads.needed_w,
            "power at most × margin",
            [
                Term("power at most", loads.peak_w, key="power.peak", unit="W"),
                Term("margin", MARGIN, unit=""),
            ],
            unit="W",
            rule="A supply at four fifths of what it gives stays cool and lasts.",
            source="Common practice",
        ),
    ]
    several = Counter(rail.volts for rail in rails)
    for rail in rails:
        whose = f".{rail.name}" if several[rail.volts] > 1 else ""
        made.append(
            derived(
                f"power.rail-{rail.volts:g}{whose}",
                f"highest current of the {rail.volts:g} V rail"
                + (f" of {rail.source}" if whose else ""),
                rail.amps,
                "power ÷ voltage",
                [
                    Term("power", rail.peak_w, unit="W"),
                    Term("voltage", rail.volts, unit="V"),
                ],
                unit="A",
            )
        )
        if rail.runs_h:
            made.append(
                derived(
                    f"power.hours-{rail.name}",
                    f"how long {rail.source} lasts at the usual draw",
                    rail.runs_h,
                    "energy × usable share ÷ usual power",
                    [
                        Term("energy", rail.runs_h * rail.typical_w / BATTERY_SHARE, unit="Wh"),
                        Term("usable share", BATTERY_SHARE, unit=""),
                        Term("usual power", rail.typical_w, unit="W"),
                    ],
                    unit="h",
                    rule="A battery is not emptied to the last, ages, and loses in its own converter.",
                    source="Common practice",
                )
            )
    return tuple(made)


def _sum(loads: Loads, pick: str, key: str, label: str) -> Reckoning:
    """The sum at the supply: what hangs on a converter counts with the converter's loss."""
    whole = loads.typical_w if pick == "typical_w" else loads.peak_w
    terms = [Term(row.label, getattr(row, pick)) for row in loads.rows]
    loss = whole - math.fsum(term.value for term in terms)
    if loss > 1e-9:
        terms.append(Term("lost in converters", loss))
    return total(
        key,
        label,
        terms,
        unit="W",
        rule="A converter's loads count over its efficiency.",
    )


__all__ = ["BATTERY_SHARE", "SUPPLIES", "Power", "Rail", "power_of"]
