"""Copper wire: sizes that are sold, their resistance, what they carry, and the fuse that protects them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

WireSystem = Literal["mm2", "awg"]

RESISTIVITY = 17.241
"""Annealed copper at 20 °C. [Ω·mm²/km] Source: iec-60228 (IEC 60028, the standard's copper)."""

DROP = 0.03
"""Most of a rail's voltage that may be lost on the way, there and back. Common practice."""

FUSE_OVER = 1.25
"""A fuse is at least so many times the steady current. Common practice."""

FUSES = (1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0)
"""Blade fuses as sold. [A] Source: iso-8820-3."""

_LEAST_AREA = (
    (0.577, 0.2),
    (3.0, 0.5),
    (6.0, 0.75),
    (10.0, 1.0),
    (16.0, 1.5),
    (25.0, 2.5),
    (32.0, 4.0),
    (40.0, 6.0),
)
"""(current up to [A], least copper [mm²]). Source: iec-60335-1-cords; the first, for signals: awg-handbook, 24 AWG."""

_CLASS_5 = (
    (0.25, RESISTIVITY / 0.25 * 1.13),
    (0.5, 39.0),
    (0.75, 26.0),
    (1.0, 19.5),
    (1.5, 13.3),
    (2.5, 7.98),
    (4.0, 4.95),
    (6.0, 3.30),
)
"""(area [mm²], most resistance at 20 °C [Ω/km]), flexible. Source: iec-60228, class 5; the first one by its 0.5."""

_AWG = (24, 22, 20, 18, 16, 14, 12, 10)


@dataclass(frozen=True)
class Wire:
    """One size of wire."""

    name: str
    """As sold: "0.75 mm²" or "18 AWG"."""
    area: float
    """Copper. [mm²]"""
    ohms_per_km: float
    """At 20 °C."""

    @property
    def carries(self) -> float:
        """Most current that it may carry, and the largest fuse before it. [A]

        Source:
            iec-60335-1-cords: a conductor of an appliance's cord. It lies between both columns of awg-handbook, single
            wire in air and 700 circular mils for an ampere.
        """
        return max((amps for amps, least in _LEAST_AREA if least <= self.area + 1e-9), default=0.0)

    def drop(self, length: float, amps: float) -> float:
        """Voltage lost there and back over a length [mm] at a current. [V]

        Source:
            Ohm's law: V = 2 × length × current × resistance per length.
        """
        return 2 * length / 1e6 * amps * self.ohms_per_km


def awg_diameter(gauge: int) -> float:
    """Diameter of a solid wire of an AWG number. [mm]

    Source:
        astm-b258: 0.005 in × 92 ^ ((36 − n) ÷ 39).

    Example:
        >>> round(awg_diameter(18), 3)
        1.024
    """
    return float(0.127 * 92.0 ** ((36 - gauge) / 39))


def awg_wire(gauge: int) -> Wire:
    """A wire of an AWG number, with the resistance of solid copper."""
    area = math.pi / 4 * awg_diameter(gauge) ** 2
    return Wire(f"{gauge} AWG", area, RESISTIVITY / area)


WIRES: dict[WireSystem, tuple[Wire, ...]] = {
    "mm2": tuple(Wire(f"{area:g} mm²", area, ohms) for area, ohms in _CLASS_5),
    "awg": tuple(awg_wire(gauge) for gauge in _AWG),
}
"""Sizes by system, the thinnest first."""


def fuse_for(amps: float) -> float:
    """The smallest fuse that carries a steady current for good; infinite where none is made. [A]

    Example:
        >>> fuse_for(2.2), fuse_for(8.0)
        (3.0, 10.0)
    """
    return next((fuse for fuse in FUSES if fuse >= FUSE_OVER * amps - 1e-9), math.inf)


def wire_for(
    amps: float, length: float, most_drop: float, system: WireSystem, *, fuse: float = 0.0
) -> Wire | None:
    """The thinnest wire that carries current and fuse, and loses no more than it may; None if none does.

    Args:
        amps: Highest steady current.
        length: One way. [mm]
        most_drop: Most voltage that may be lost there and back. [V]
        system: How wire is sold there.
        fuse: Fuse before it, 0 where the source limits the current by itself. [A]
    """
    for wire in WIRES[system]:
        if wire.carries >= max(amps, fuse) - 1e-9 and wire.drop(length, amps) <= most_drop + 1e-12:
            return wire
    return None


__all__ = [
    "DROP",
    "FUSES",
    "FUSE_OVER",
    "RESISTIVITY",
    "WIRES",
    "Wire",
    "WireSystem",
    "awg_diameter",
    "awg_wire",
    "fuse_for",
    "wire_for",
]
