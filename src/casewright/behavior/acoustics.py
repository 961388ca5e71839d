"""Low notes of a loudspeaker in a box, closed or with a port: the usual small-signal relations.

Pure arithmetic; nothing of a cabinet is known here. Volumes in litres, frequencies in Hz.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

FLAT_Q = math.sqrt(0.5)
"""Total Q in the box that goes lowest without a hump: Butterworth's."""

PORT_CONSTANT = 23562.5
"""Of the port formula in cm, L and Hz; stands for sound of 344 m/s. Source: loudspeaker-ports."""

PORT_ENDS = 0.732
"""End correction in diameters, one end flush with the panel and one free. Source: loudspeaker-ports."""

LEAKS = 7.0
"""Q of a usual box's leaks. Source: small-vented-box, from memory."""

RIPPLE = 0.5
"""Hump that a port's tuning may bring. Common practice. [dB]"""

Floats = NDArray[np.float64]


MOST_AIR = 20.0
"""Boxes of more than so many times a driver's equivalent volume are none that anybody builds."""


@dataclass(frozen=True)
class ClosedBox:
    """A driver in a closed box."""

    litres: float
    resonance: float
    """fc. [Hz]"""
    q: float
    """Qtc."""

    @property
    def f3(self) -> float:
        """Where it is 3 dB down. [Hz]"""
        return self.resonance * f3_ratio(self.q)

    @property
    def hump(self) -> float:
        """Over the level of the high notes. [dB]"""
        return hump(self.q)


@dataclass(frozen=True)
class VentedBox:
    """A driver in a box with a port."""

    litres: float
    tuning: float
    """fb. [Hz]"""
    f3: float
    hump: float
    """[dB]"""


def closed_box(free_air: float, total_q: float, compliance: float, litres: float) -> ClosedBox:
    """Resonance and Q of a driver in a closed box.

    Args:
        free_air: fs of the driver. [Hz]
        total_q: Its Qts.
        compliance: Its Vas. [L]
        litres: Net volume behind it. [L]

    Source:
        small-closed-box: both grow by √(1 + Vas ÷ Vb).

    Example:
        >>> box = closed_box(35, 0.65, 45, 30)
        >>> round(box.q, 2), round(box.resonance, 1), round(box.f3)
        (1.03, 55.3, 43)
    """
    stiffer = math.sqrt(1 + compliance / litres)
    return ClosedBox(litres, free_air * stiffer, total_q * stiffer)


def litres_for(q: float, total_q: float, compliance: float) -> float:
    """Volume of a closed box in which a driver has this Q; infinite where it has it in free air already. [L]

    Source:
        small-closed-box, solved for the volume.
    """
    over = (q / total_q) ** 2 - 1
    return compliance / over if over > 0 else math.inf


def f3_ratio(q: float) -> float:
    """f3 ÷ fc of a closed box.

    Source:
        small-closed-box.
    """
    a = 1 / (2 * q * q) - 1
    return math.sqrt(a + math.sqrt(a * a + 1))


def hump(q: float) -> float:
    """Highest point of a closed box's response, 0 up to a Q of 0.707. [dB]

    Source:
        small-closed-box, from memory.
    """
    return 20 * math.log10(q * q / math.sqrt(q * q - 0.25)) if q > FLAT_Q else 0.0


def closed_response(frequency: Floats, box: ClosedBox) -> Floats:
    """Level against the high notes. [dB]

    Source:
        small-closed-box: a filter of second order.
    """
    s = 1j * frequency / box.resonance
    return np.asarray(20 * np.log10(np.abs(s * s / (s * s + s / box.q + 1))), dtype=np.float64)


def vented_response(
    frequency: Floats,
    free_air: float,
    total_q: float,
    compliance: float,
    litres: float,
    tuning: float | Floats | Sequence[float],
    leaks: float = LEAKS,
) -> Floats:
    """Level against the high notes; one row for each tuning. [dB]

    Source:
        small-vented-box: a filter of fourth order whose terms follow from Qts, Vas ÷ Vb and fb ÷ fs.
    """
    h = np.asarray(tuning, dtype=np.float64)[..., None] / free_air
    alpha, root = compliance / litres, np.sqrt(h)
    a1 = (leaks + h * total_q) / (root * leaks * total_q)
    a2 = (h + (alpha + 1 + h * h) * leaks * total_q) / (h * leaks * total_q)
    a3 = (h * leaks + total_q) / (root * leaks * total_q)
    s = 1j * frequency / (free_air * root)
    level = np.abs(s**4 / (s**4 + a1 * s**3 + a2 * s**2 + a3 * s + 1))
    return np.asarray(20 * np.log10(level), dtype=np.float64)


@lru_cache(maxsize=64)
def vented_box(free_air: float, total_q: float, compliance: float, litres: float) -> VentedBox:
    """The port's tuning that goes lowest with no more hump than `RIPPLE`, else the one with the least hump.

    Source:
        small-vented-box, tried over tunings from 0.4 to 2 of fs.
    """
    frequency = np.geomspace(free_air / 4, free_air * 8, 240)
    tunings = np.linspace(0.4, 2.0, 81) * free_air
    levels = vented_response(frequency, free_air, total_q, compliance, litres, tunings)
    humps = np.maximum(levels.max(axis=1), 0.0)
    # From above, the first frequency that is 3 dB down, on the straight line between two points.
    f3 = np.array([_crossing(frequency, row) for row in levels])
    good = np.flatnonzero(humps <= RIPPLE)
    best = int(good[np.argmin(f3[good])]) if good.size else int(np.argmin(humps))
    return VentedBox(litres, float(tunings[best]), float(f3[best]), float(humps[best]))


def vented_litres_for(free_air: float, total_q: float, compliance: float) -> float:
    """The least volume that some port tunes with no more hump than `RIPPLE`; infinite where none does. [L]

    More air lets the bass stand out less; past `MOST_AIR` times the driver's own compliance it changes no more.

    Source:
        small-vented-box, halved down to a hundredth.
    """

    def passes(litres: float) -> bool:
        return vented_box(free_air, total_q, compliance, litres).hump <= RIPPLE

    low, high = compliance / MOST_AIR, compliance * MOST_AIR
    if not passes(high):
        return math.inf
    while high / low > 1.01:
        middle = math.sqrt(low * high)
        low, high = (low, middle) if passes(middle) else (middle, high)
    return high


@lru_cache(maxsize=64)
def vented_at(
    free_air: float, total_q: float, compliance: float, litres: float, tuning: float
) -> VentedBox:
    """A driver in a box whose port tunes it as it does.

    Source:
        small-vented-box.
    """
    frequency = np.geomspace(min(free_air, tuning) / 4, max(free_air, tuning) * 8, 480)
    (level,) = vented_response(frequency, free_air, total_q, compliance, litres, [tuning])
    return VentedBox(litres, tuning, _crossing(frequency, level), max(float(level.max()), 0.0))


def port_tuning(litres: float, ports: Sequence[tuple[float, float]]) -> float:
    """What ports together tune a box to. [Hz]

    Args:
        litres: Net volume of the box.
        ports: Diameter and length of each. [mm]

    Source:
        loudspeaker-ports, solved for the tuning; the ports' masses of air lie side by side.

    Example:
        >>> round(port_tuning(30, [(70, 189.3)]), 2)
        40.0
    """
    ways = [(d / 10) ** 2 / (long / 10 + PORT_ENDS * d / 10) for d, long in ports]
    return math.sqrt(PORT_CONSTANT * math.fsum(ways) / litres)


def slot_diameter(width: float, height: float) -> float:
    """Diameter of the round port of as much area. [mm]

    Source:
        Plain geometry. A flat slot's ends carry a little more air than that; common practice leaves it out.
    """
    return math.sqrt(4 * width * height / math.pi)


def port_length(litres: float, tuning: float, diameter: float, ports: int = 1) -> float:
    """Length of each of several round ports, negative where it tunes too high for any. [mm]

    Source:
        loudspeaker-ports.

    Example:
        >>> round(port_length(30, 40, 70), 1)
        189.3
    """
    d = diameter / 10
    return 10 * (PORT_CONSTANT * d * d * ports / (tuning**2 * litres) - PORT_ENDS * d)


def port_least(cone: float, travel: float, tuning: float, ports: int = 1) -> float:
    """Least diameter of a port that does not huff. [mm]

    Args:
        cone: Diameter of the cone that moves. [mm]
        travel: Of the cone, one way. [mm]
        tuning: [Hz]
        ports: How many there are.

    Source:
        loudspeaker-ports.
    """
    area = math.pi * (cone / 1000) ** 2 / 4
    moved = area * travel / 1000
    return 1000 * 20.3 * math.sqrt(moved / math.sqrt(tuning)) / math.sqrt(ports)


def _crossing(frequency: Floats, levels: Floats) -> float:
    under = np.flatnonzero(levels < -3.0103)
    if not under.size or under[-1] + 1 >= frequency.size:
        return float(frequency[0] if not under.size else frequency[-1])
    i = int(under[-1])
    share = (-3.0103 - levels[i]) / (levels[i + 1] - levels[i])
    return float(frequency[i] * (frequency[i + 1] / frequency[i]) ** share)


__all__ = [
    "FLAT_Q",
    "LEAKS",
    "PORT_CONSTANT",
    "PORT_ENDS",
    "RIPPLE",
    "ClosedBox",
    "VentedBox",
    "closed_box",
    "closed_response",
    "f3_ratio",
    "hump",
    "litres_for",
    "port_least",
    "port_length",
    "port_tuning",
    "slot_diameter",
    "vented_at",
    "vented_box",
    "vented_litres_for",
    "vented_response",
]
