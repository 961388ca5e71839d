"""What draws power from which rail, and what feeds it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from casewright.basics.remembering import remembered
from casewright.behavior.supplying import Astray, Hung, Load, Source, hang
from casewright.catalog.kinds import Device, Fitting, PushButton, Sign, Strip, Trackball
from casewright.design.parts import KnownPart
from casewright.geometry.model import Cabinet

MARGIN = 1.25
"""Supplies carry a quarter more than the sum of all peaks. Common practice."""


Draw = Literal["typical_w", "peak_w"]
"""Which of a load's draws."""


SUPPLYING = ("supply", "battery")
"""Roles of what brings power in."""

USB_VOLTS = 5.0
"""What a USB socket gives without being asked for more. [V] Source: from memory, Universal Serial Bus 2.0."""

_FINE = 1e-6
"""Overload that is only rounding. [W]"""


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
    astray: tuple[Astray, ...] = ()
    """Whose `fed_by` leads nowhere."""
    idle: tuple[Source, ...] = ()
    """Supplies and converters that nothing hangs on, though there are loads and all of them are known."""

    @property
    def sources(self) -> tuple[Source, ...]:
        """Supplies, then converters."""
        return (*self.supplies, *self.converters)

    def peak_of(self, volts: float) -> float:
        """Highest draw of one rail, by its own loads alone. [W]"""
        return math.fsum(row.peak_w for row in self.rows if row.volts == volts)

    def hung(self, name: str, pick: Draw = "peak_w") -> float:
        """Draw at the output of a supply or converter, by its name. [W]

        Its own loads, those that hang on its computers by USB, and its converters with their losses.
        """
        hosts = {row.key for row in self.rows if row.feeder == name}
        return math.fsum(
            [
                *(
                    getattr(row, pick)
                    for row in self.rows
                    if row.feeder == name or (row.host and row.host in hosts)
                ),
                *(
                    self.hung(made.name, pick) / made.efficiency
                    for made in self.converters
                    if made.feeder == name
                ),
            ]
        )

    def drawn(self, volts: float, pick: Draw = "peak_w") -> float:
        """All that hangs on what makes a voltage, and what asks for it and hangs on nothing. [W]

        What does not say its voltage counts on the rail of the supplies, where all have one.
        """
        return math.fsum(
            [
                *(self.hung(made.name, pick) for made in self.sources if made.volts == volts),
                *(
                    getattr(row, pick)
                    for row in self.rows
                    if row.volts == volts and not row.feeder and not row.host
                ),
            ]
        )

    @property
    def main(self) -> Source | None:
        """The supply that most hangs on, the first of equals; None where no supply's voltage is known."""
        known = [supply for supply in self.supplies if supply.volts]
        return max(known, key=lambda supply: self.hung(supply.name), default=None)

    @property
    def main_volts(self) -> float:
        """Its voltage; 0 where that is not known. [V]"""
        return self.main.volts if self.main else 0.0

    @property
    def short(self) -> tuple[Source, ...]:
        """Supplies and converters, of known output, that give less than hangs on them."""
        return tuple(made for made in self.sources if 0 < made.watts < self.hung(made.name) - _FINE)

    @property
    def supply_w(self) -> float:
        """What the supplies give together. [W]"""
        return math.fsum(supply.watts for supply in self.supplies)

    @property
    def needed_w(self) -> float:
        """What they should give. [W]"""
        return self.peak_w * MARGIN


@remembered(4)
def power_loads(cabinet: Cabinet) -> Loads:
    """Every part that draws power, from its own data, and what it hangs on.

    A rail that a converter makes is paid for at the converter's input: its loads over the converter's efficiency.
    A controller is fed by its computer's USB, and counts where that computer hangs.

    Source:
        Plain arithmetic of each part's data; margin of a quarter: common practice.
    """
    known = cabinet.parts
    counts = {key: _count(cabinet, key) for key in known}
    wishes = {
        key: part.fed_by for key, part in cabinet.project.parts.items() if part.fed_by is not None
    }
    host = _host(cabinet)
    supplies: list[Source] = []
    converters: list[Source] = []
    rows: list[Load] = []
    mains: list[Load] = []
    unknown = []
    for key, part in known.items():
        data, count = part.data, counts[key]
        if not count:
            continue
        if isinstance(data, Device) and data.role in (*SUPPLYING, "converter"):
            into = supplies if data.role in SUPPLYING else converters
            into += _pieces(_source(part, data), count)
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
        by_usb = host if host != key and key not in wishes and _takes_usb(data) else ""
        load = Load(key, part.label, volts, count, typical * whole, peak * whole, host=by_usb)
        (mains if data.mains else rows).append(load)
    rows.sort(key=lambda row: (-row.volts, -row.peak_w, row.label))
    made = hang(rows, supplies, converters, wishes)
    told = tuple(row.told(_through(row, made, known)) for row in made.rows)
    unfed = {
        row.volts for row in told if supplies and row.volts and not row.feeder and not row.host
    }
    found = Loads(
        rows=told,
        supplies=tuple(supplies),
        converters=made.converters,
        typical_w=0.0,
        peak_w=0.0,
        unknown=tuple(unknown),
        unfed=tuple(sorted(unfed)),
        mains=tuple(mains),
        astray=(*made.astray, *_fittings_astray(cabinet, wishes, supplies)),
    )
    used = {source.name for source in made.converters}
    idle = [s for s in supplies if not found.hung(s.name)]
    idle += [c for c in converters if c.name not in used and supplies]
    return replace(
        found,
        typical_w=_at_supplies(found, "typical_w"),
        peak_w=_at_supplies(found, "peak_w"),
        idle=tuple(idle) if rows and not unknown else (),
    )


def _through(row: Load, made: Hung, known: Mapping[str, KnownPart]) -> str:
    """What makes a load's rail, for people: the converter's label, or its computer's USB at another voltage."""
    host = next((other for other in made.rows if other.key == row.host), None)
    feeder = row.feeder or (host.feeder if host and host.volts == row.volts else "")
    found = next((one.label for one in made.converters if one.name == feeder), "")
    if found or not row.host:
        return found
    return "" if host and host.volts == row.volts else f"USB, {known[row.host].label}"


def _at_supplies(loads: Loads, pick: Draw) -> float:
    """All draw at the supplies, losses included, and what hangs on none. [W]"""
    hosts = {row.key for row in loads.rows if row.feeder}
    return math.fsum(
        [
            *(loads.hung(supply.name, pick) for supply in loads.supplies),
            *(
                getattr(row, pick)
                for row in loads.rows
                if not row.feeder and not (row.host and row.host in hosts)
            ),
        ]
    )


def _source(part: KnownPart, data: Device) -> Source:
    """What a supply, battery or converter gives; where a converter does not say its volts, 0 V and its amperes."""
    if data.role in SUPPLYING:
        volts = data.volts or 0.0
        return Source(part.key, part.label, volts, volts * data.output_amps)
    volts = data.output_volts or 0.0
    watts = data.output_amps * (volts or 1.0)
    return Source(part.key, part.label, volts, watts, data.volts or 0.0, data.efficiency)


def _pieces(source: Source, count: float) -> list[Source]:
    """Every piece by itself, as pluses of two are never joined, with a name: the part's key, then key-2 and on."""
    key, label = source.key, source.label
    more = max(1, round(count))
    return [
        replace(
            source,
            name=key if n == 1 else f"{key}-{n}",
            label=label if more == 1 else f"{label} {n}",
        )
        for n in range(1, more + 1)
    ]


def _host(cabinet: Cabinet) -> str:
    """Key of the first computer that is placed; its USB feeds the controllers."""
    return next(
        (
            placed.part.key
            for placed in cabinet.placed
            if isinstance(placed.part.data, Device) and placed.part.data.role == "computer"
        ),
        "",
    )


def _takes_usb(data: object) -> bool:
    """Whether it runs from the computer's USB: a controller or trackball for at most the voltage that USB gives."""
    if not (
        isinstance(data, Trackball) or (isinstance(data, Device) and data.role == "controller")
    ):
        return False
    return (data.volts or USB_VOLTS) <= USB_VOLTS


def _fittings_astray(
    cabinet: Cabinet, wishes: Mapping[str, str], supplies: Sequence[Source]
) -> list[Astray]:
    """Sockets and switches whose `fed_by` names no supply."""
    known = {supply.key for supply in supplies}
    return [
        Astray(key, cabinet.parts[key].label, wish, tuple(sorted(known)))
        for key, wish in wishes.items()
        if isinstance(cabinet.parts[key].data, Fitting) and wish not in known
    ]


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


__all__ = ["MARGIN", "SUPPLYING", "USB_VOLTS", "Draw", "Load", "Loads", "Source", "power_loads"]
