"""What draws power from which rail, and what feeds it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from casewright.catalog.kinds import Device, PushButton, Sign, Strip
from casewright.design.parts import KnownPart
from casewright.geometry.model import Cabinet

MARGIN = 1.25
"""Supplies carry a quarter more than the sum of all peaks. Common practice."""


Draw = Literal["typical_w", "peak_w"]
"""Which of a load's draws."""


_FINE = 1e-6
"""Overload that is only rounding. [W]"""


@dataclass(frozen=True)
class Load:
    """One line of the power table."""

    key: str
    """Of the part."""
    label: str
    volts: float
    count: float
    """Pieces, or metres of strip."""
    typical_w: float
    """All together."""
    peak_w: float
    through: str = ""
    """Label of the converter that makes the rail, if the supply does not."""


@dataclass(frozen=True)
class Source:
    """A supply or converter."""

    key: str
    label: str
    volts: float
    watts: float
    """0 where its output is not known."""
    input_volts: float = 0.0
    """Of a converter: the rail that it hangs on, 0 where that is not known or nothing makes it."""
    efficiency: float = 1.0


@dataclass(frozen=True)
class Loads:
    """All loads by rail and what feeds them."""

    rows: tuple[Load, ...]
    """The highest rail first."""
    supplies: tuple[Source, ...]
    converters: tuple[Source, ...]
    typical_w: float
    """At the supply, converters' losses included."""
    peak_w: float
    unknown: tuple[str, ...]
    """Labels of devices that draw power of which nothing is known."""
    unfed: tuple[float, ...] = ()
    """Rails that nothing makes, where there is a supply. [V]"""
    mains: tuple[Load, ...] = ()
    """What has its own mains supply inside; it asks nothing of the others."""

    def peak_of(self, volts: float) -> float:
        """Highest draw of one rail, by its own loads alone. [W]"""
        return math.fsum(row.peak_w for row in self.rows if row.volts == volts)

    def behind(self, converter: str, pick: Draw = "peak_w") -> float:
        """Draw behind a converter, by its label. [W]"""
        return math.fsum(getattr(row, pick) for row in self.rows if row.through == converter)

    def drawn(self, volts: float, pick: Draw = "peak_w") -> float:
        """All that hangs on a rail, its converters with their losses. [W]

        What does not say its voltage counts on the rail of the supplies, where all have one.
        """
        lost = (0.0,) if {supply.volts for supply in self.supplies} == {volts} else ()
        return math.fsum(
            [
                *(getattr(row, pick) for row in self.rows if row.volts in (volts, *lost)),
                *(
                    self.behind(made.label, pick) / made.efficiency
                    for made in self.converters
                    if made.input_volts == volts
                ),
            ]
        )

    @property
    def main_volts(self) -> float:
        """Of the supply that most hangs on, the first of equals; 0 where that is not known. [V]"""
        known = [supply.volts for supply in self.supplies if supply.volts]
        return max(known, key=self.drawn, default=0.0)

    @property
    def short(self) -> tuple[float, ...]:
        """Voltages whose supplies, of known output, give less than hangs on them, the highest first. [V]"""
        found = []
        for volts in sorted({supply.volts for supply in self.supplies}, reverse=True):
            watts = [supply.watts for supply in self.supplies if supply.volts == volts]
            if all(watts) and math.fsum(watts) < self.drawn(volts) - _FINE:
                found.append(volts)
        return tuple(found)

    @property
    def supply_w(self) -> float:
        """What the supplies give together. [W]"""
        return math.fsum(supply.watts for supply in self.supplies)

    @property
    def needed_w(self) -> float:
        """What they should give. [W]"""
        return self.peak_w * MARGIN


def power_loads(cabinet: Cabinet) -> Loads:
    """Every part that draws power, from its own data.

    A rail that a converter makes is paid for at the converter's input: its loads over the converter's efficiency.

    Source:
        Plain arithmetic of each part's data; margin of a quarter: common practice.
    """
    known = cabinet.parts
    counts = {key: _count(cabinet, key) for key in known}
    devices = [(key, part, part.data) for key, part in known.items()]
    supplies = tuple(
        Source(key, part.label, data.volts or 0.0, (data.volts or 0.0) * data.output_amps)
        for key, part, data in devices
        if isinstance(data, Device) and data.role == "supply" and counts[key]
    )
    supplied = {source.volts for source in supplies}
    converters = [
        (part, data)
        for key, part, data in devices
        if isinstance(data, Device) and data.role == "converter" and counts[key]
    ]
    rows: list[Load] = []
    mains: list[Load] = []
    unknown = []
    for key, part, data in devices:
        if isinstance(data, Device) and data.role in ("supply", "converter"):
            continue
        count = counts[key]
        if not count:
            continue
        volts, typical, peak = _draw(part, cabinet)
        if not peak:
            if isinstance(data, Device) and data.role in (
                "computer",
                "amplifier",
                "controller",
            ):
                unknown.append(part.label)
            continue
        whole = 1.0 if isinstance(data, Strip) else count
        load = Load(key, part.label, volts, count, typical * whole, peak * whole)
        (mains if data.mains else rows).append(load)
    lacking = {row.volts for row in rows if row.volts} - supplied if supplied else set()
    makers = _makers(lacking, converters)
    rows = [replace(row, through=makers.get(row.volts, "")) for row in rows]
    unfed = {
        row.volts for row in rows if supplied and row.volts not in supplied and not row.through
    }
    rows.sort(key=lambda row: (-row.volts, -row.peak_w, row.label))
    efficiency = {part.label: data.efficiency for part, data in converters}

    def at_supply(pick: str) -> float:
        return math.fsum(getattr(row, pick) / efficiency.get(row.through, 1.0) for row in rows)

    rails = {row.through: row.volts for row in rows if row.through}
    return Loads(
        rows=tuple(rows),
        supplies=supplies,
        converters=tuple(
            Source(
                part.key,
                part.label,
                rails[part.label],
                rails[part.label] * data.output_amps,
                _input(data, supplied),
                data.efficiency,
            )
            for part, data in converters
            if part.label in rails
        ),
        typical_w=at_supply("typical_w"),
        peak_w=at_supply("peak_w"),
        unknown=tuple(unknown),
        unfed=tuple(sorted(unfed)),
        mains=tuple(mains),
    )


def _makers(
    lacking: set[float], converters: Sequence[tuple[KnownPart, Device]]
) -> dict[float, str]:
    """Label of the converter that makes each rail which no supply makes.

    Those that say their output make that rail and no other. One that does not say makes a single one of those left:
    the highest below its own input, as a converter steps down far more often than up.
    """
    made = {
        data.output_volts: part.label
        for part, data in reversed(converters)
        if data.output_volts in lacking and data.output_volts is not None
    }
    for part, data in converters:
        left = lacking - made.keys()
        if data.output_volts is None and left:
            below = {volts for volts in left if not data.volts or volts < data.volts}
            made[max(below or left)] = part.label
    return made


def _input(data: Device, supplied: set[float]) -> float:
    """The rail that a converter hangs on: its own, or the only one that a supply makes."""
    if data.volts in supplied:
        return data.volts or 0.0
    return next(iter(supplied)) if len(supplied) == 1 else 0.0


def _draw(part: KnownPart, cabinet: Cabinet) -> tuple[float, float, float]:
    """Volts, typical and peak watts of one piece; of all metres for a strip."""
    data = part.data
    volts = data.volts or 0.0
    if isinstance(data, PushButton) and data.lamp_volts:
        lamp = data.lamp_volts * data.lamp_amps
        return data.lamp_volts, lamp, lamp
    if isinstance(data, Strip):
        watts = data.watts_per_m * _strip_metres(cabinet, part.key)
        return volts or 12.0, watts, watts
    typical = data.typical_w or data.peak_w
    return volts, typical, max(data.peak_w, data.typical_w)


def _strip_metres(cabinet: Cabinet, key: str) -> float:
    signs = [placed.part.data for placed in cabinet.placed if isinstance(placed.part.data, Sign)]
    rows = math.fsum(sign.rows * sign.row_length for sign in signs if sign.row_length)
    if rows and all(sign.row_length for sign in signs):
        return rows / 1000.0
    return cabinet.project.parts[key].amount or 0.0


def _count(cabinet: Cabinet, key: str) -> float:
    part = cabinet.project.parts[key]
    if part.amount is not None:
        return part.amount
    placed = sum(2 if wish.on == "sides" else 1 for wish in part.placed)
    if placed:
        return float(placed)  # spare ones that are bought besides draw nothing
    return 1.0 if part.quantity is None else float(part.quantity)  # listed is bought once


__all__ = ["MARGIN", "Load", "Loads", "Source", "power_loads"]
