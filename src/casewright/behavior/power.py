"""Power: every load on its rail, and the supply that carries them with room to spare."""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.basics.reckoning import Reckoning, Term, derived, total
from casewright.behavior.loads import MARGIN, Loads, power_loads
from casewright.geometry.model import Cabinet

SUPPLIES = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.5, 8.5, 10.0, 12.5, 15.0, 20.0)
"""Supplies as sold. [A] Common practice."""


@dataclass(frozen=True)
class Rail:
    """One voltage and all that hangs on it."""

    volts: float
    typical_w: float
    peak_w: float
    """Of its own loads, and at their peaks of the converters that it feeds, losses included."""
    gives_w: float
    """What its supply or converter gives; 0 where that is not known or nothing feeds it."""
    source: str
    """Label of what feeds it; "" where nothing does."""

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
    rails = _rails(loads)
    return Power(loads, rails, _numbers(loads, rails) if loads.rows else ())


def _rails(loads: Loads) -> tuple[Rail, ...]:
    made = []
    hung = {row.volts for row in loads.rows if row.volts}
    fed = {s.volts for s in loads.supplies if s.volts and loads.drawn(s.volts)}
    for volts in sorted(hung | fed, reverse=True):
        mine = [row for row in loads.rows if row.volts == volts]
        typical, peak = loads.drawn(volts, "typical_w"), loads.drawn(volts)
        supplies = [s for s in loads.supplies if s.volts == volts]
        through = next((row.through for row in mine if row.through), "")
        sources = supplies or [c for c in loads.converters if c.label == through]
        made.append(
            Rail(
                volts,
                typical,
                peak,
                math.fsum(s.watts for s in sources),
                " and ".join(s.label for s in sources) or through,
            )
        )
    return tuple(made)


def _numbers(loads: Loads, rails: tuple[Rail, ...]) -> tuple[Reckoning, ...]:
    made = [
        _sum(loads, "typical_w", "power.usual", "power that all of it usually draws"),
        _sum(loads, "peak_w", "power.peak", "power that all of it draws at most"),
        derived(
            "power.needed",
            "power that the supply should give",
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
    for rail in rails:
        made.append(
            derived(
                f"power.rail-{rail.volts:g}",
                f"highest current of the {rail.volts:g} V rail",
                rail.amps,
                "power ÷ voltage",
                [
                    Term("power", rail.peak_w, unit="W"),
                    Term("voltage", rail.volts, unit="V"),
                ],
                unit="A",
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


__all__ = ["SUPPLIES", "Power", "Rail", "power_of"]
