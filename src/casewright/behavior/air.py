"""Air through a warm box: what rises through its openings, and what a fan moves.

Pure arithmetic in SI units; nothing of a cabinet is known here.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

GRAVITY = 9.80665
"""Standard gravity. [m/s²] Source: iso-80000-3."""

DISCHARGE = 0.65
"""Share of an opening that a one-way flow uses. Source: ashrae-fundamentals; the lower end of 0.65 to 0.7."""

HEAT_OF_AIR = 1007.0
"""Specific heat at constant pressure. [J/(kg·K)] Source: cengel, table A-15."""

_ZERO_C = 273.15
_FINE = 1e-10
"""A root is found once it lies in this share of the first stretch."""
_NOTHING = 1e-12
_PRESSURE = 101325.0  # Pa, at sea level
_GAS = 287.055  # J/(kg·K), dry air


@dataclass(frozen=True)
class Opening:
    """A hole that air passes through."""

    key: str
    height: float
    """Over any level that all openings share. [m]"""
    area: float
    """Free area. [m²]"""


@dataclass(frozen=True)
class Blower:
    """A fan in a wall, its curve a straight line from most pressure to free delivery."""

    key: str
    height: float
    """[m]"""
    free: float
    """Volume it moves where nothing is in its way. [m³/s]"""
    pressure: float
    """Most pressure it makes. [Pa]"""
    outward: bool = True


@dataclass(frozen=True)
class AirFlow:
    """Where air goes in and out."""

    mass: float
    """In, and out again. [kg/s]"""
    volume: float
    """The same as the air outside takes up. [m³/s]"""
    out: tuple[tuple[str, float], ...]
    """Mass that leaves by each opening and fan; negative where it comes in. [kg/s]"""


def density(air_c: float) -> float:
    """Density of air at sea level. [kg/m³]

    Source:
        Gas law with 287.055 J/(kg·K).

    Example:
        >>> round(density(20), 3)
        1.204
    """
    return _PRESSURE / (_GAS * (air_c + _ZERO_C))


def air_flow(
    openings: Sequence[Opening],
    blowers: Sequence[Blower],
    inside_c: float,
    outside_c: float,
) -> AirFlow:
    """Flow through every opening and fan once as much comes in as goes out.

    Warm air is lighter: the pressure inside over that outside grows with height by (ρ outside − ρ inside) × g. Through
    an opening with pressure p passes C × A × √(2·ρ·p) of air of the side it comes from.

    Source:
        ashrae-fundamentals, stack flow with a neutral level.

    Example:
        >>> flow = air_flow([Opening("in", 0, 0.005), Opening("out", 0.4, 0.005)], [], 40, 25)
        >>> round(flow.volume * 3600, 1)
        5.0
    """
    inside, outside = density(inside_c), density(outside_c)
    slope = (outside - inside) * GRAVITY

    def through(level: float) -> list[tuple[str, float]]:
        """Mass out of each, with this much more pressure inside at height 0."""
        found = []
        for hole in openings:
            p = level + slope * hole.height
            rho = inside if p > 0 else outside
            found.append(
                (hole.key, math.copysign(DISCHARGE * hole.area * math.sqrt(2 * rho * abs(p)), p))
            )
        for fan in blowers:
            p = level + slope * fan.height
            if fan.outward:
                found.append((fan.key, inside * max(fan.free * (1 + p / fan.pressure), 0.0)))
            else:
                found.append((fan.key, -outside * max(fan.free * (1 - p / fan.pressure), 0.0)))
        return found

    if not openings and len(blowers) < 2:
        return AirFlow(0.0, 0.0, tuple((fan.key, 0.0) for fan in blowers))
    heights = [*(hole.height for hole in openings), *(fan.height for fan in blowers)]
    most = sum(fan.pressure for fan in blowers) + abs(slope) * (max(heights) - min(heights))
    middle = -slope * (min(heights) + max(heights)) / 2
    level = root(
        lambda p: math.fsum(m for _, m in through(p)), middle - most - 1e-9, middle + most + 1e-9
    )
    out = through(level)
    mass = math.fsum(abs(m) for _, m in out) / 2
    return AirFlow(mass, mass / outside, tuple(out))


def root(rising: Callable[[float], float], low: float, high: float) -> float:
    """Where a function that never falls passes 0 between `low` and `high`; an end where it does not.

    Source:
        False position with halved weights (the Illinois rule), a halving step after every two.
    """
    at_low, at_high = rising(low), rising(high)
    if at_low >= 0:
        return low
    if at_high <= 0:
        return high
    span = high - low
    kept = 0
    for step in range(100):
        if high - low <= _FINE * span:
            break
        if step % 3 == 2:
            middle, kept = (low + high) / 2, 0
        else:
            middle = low - at_low * (high - low) / (at_high - at_low)
            if not low < middle < high:
                middle = (low + high) / 2
        value = rising(middle)
        if abs(value) < _NOTHING:
            return middle
        if value < 0:
            low, at_low = middle, value
            at_high = at_high / 2 if kept < 0 else at_high
            kept = -1
        else:
            high, at_high = middle, value
            at_low = at_low / 2 if kept > 0 else at_low
            kept = 1
    return (low + high) / 2


def vent_area(mass: float, rise: float, inside_c: float, outside_c: float) -> float:
    """Area of each of two equal vents that lets this mass of air through. [m²]

    Args:
        mass: Air to move. [kg/s]
        rise: Height of the upper one over the lower one. [m, more than 0]
        inside_c: Air inside, warmer than outside. [°C]
        outside_c: Air outside. [°C]

    Source:
        ashrae-fundamentals, stack flow; the same formula as `air_flow`, solved for the area.
    """
    inside, outside = density(inside_c), density(outside_c)
    pressure = (outside - inside) * GRAVITY * rise
    return mass / (DISCHARGE * math.sqrt(2 * pressure * inside * outside / (inside + outside)))


__all__ = [
    "DISCHARGE",
    "GRAVITY",
    "HEAT_OF_AIR",
    "AirFlow",
    "Blower",
    "Opening",
    "air_flow",
    "density",
    "root",
    "vent_area",
]
