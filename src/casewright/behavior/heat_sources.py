"""What warms the air inside: the usual power of every part that sits in the cabinet."""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.catalog.kinds import Device, PushButton, Sign, Strip
from casewright.design.parts import KnownPart
from casewright.geometry.model import Cabinet

EFFICIENCY = 0.85
"""Of a supply or converter that does not tell its own. Common practice."""

FILM_OF_PARTS = 10.0
"""Heat that a small warm surface gives off to air and walls. [W/(m²·K)] Source: common practice, half by radiation."""


@dataclass(frozen=True)
class HeatSource:
    """All pieces of one part together."""

    key: str
    label: str
    watts: float
    """All together, at their usual power."""
    count: float
    surface_m2: float = 0.0
    """Of one piece's box, all round; 0 where it is no box."""
    certain: bool = True
    """Whether its power was measured or read from its data sheet."""

    @property
    def own_rise(self) -> float:
        """How much warmer than the air its case gets without fins or a fan of its own; 0 where it is no box. [K]"""
        if not self.surface_m2 or not self.count:
            return 0.0
        return self.watts / self.count / (FILM_OF_PARTS * self.surface_m2)


def heat_sources(cabinet: Cabinet) -> tuple[tuple[HeatSource, ...], tuple[str, ...]]:
    """Every part inside that warms it, the warmest first, and labels of those whose power is not known.

    All electric power counts as heat inside, also what leaves as light and sound: a little too warm is the safe side.
    What a converter or a supply inside loses is the power of what it feeds ÷ efficiency, less that power.

    Source:
        Power in is heat out: electrical-heat.
    """
    found, unknown = [], []
    fed_by_converter = 0.0
    inside = [
        (part, _count(cabinet, part.key))
        for part in cabinet.parts.values()
        if not (isinstance(part.data, Device) and part.data.outside)
    ]
    inside = [(part, count) for part, count in inside if count]
    supplies = {part.data.volts for part in cabinet.parts.values() if _is(part, "supply")}
    for part, count in inside:
        if _is(part, "supply") or _is(part, "converter"):
            continue
        watts, field = _usual(part, cabinet)
        total = watts if isinstance(part.data, Strip) else watts * count
        if total > 0:
            certain = part.origin.get(field) in ("measured", "assumed")
            found.append(
                HeatSource(part.key, part.label, total, count, _surface(part.data), certain)
            )
            volts = part.data.lamp_volts if isinstance(part.data, PushButton) else part.data.volts
            if supplies and (volts or 0.0) not in supplies:
                fed_by_converter += total
        elif isinstance(part.data, Device) and part.data.role in (
            "computer",
            "amplifier",
            "controller",
        ):
            unknown.append(part.label)
    carried = math.fsum(source.watts for source in found)
    for role, power in (("converter", fed_by_converter), ("supply", carried)):
        for part, count in inside:
            if _is(part, role) and isinstance(part.data, Device) and power > 0:
                own = part.data.efficiency
                lost = power * (1 / (own if own < 1 else EFFICIENCY) - 1)
                found.append(
                    HeatSource(part.key, part.label, lost, count, _surface(part.data), own < 1)
                )
                break
    found.sort(key=lambda source: (-source.watts, source.key))
    return tuple(found), tuple(unknown)


def _is(part: KnownPart, role: str) -> bool:
    return isinstance(part.data, Device) and part.data.role == role


def _usual(part: KnownPart, cabinet: Cabinet) -> tuple[float, str]:
    """Usual power of one piece, or of all metres of a strip, and the field that says it. [W]"""
    data = part.data
    if isinstance(data, PushButton) and data.lamp_volts:
        return data.lamp_volts * data.lamp_amps, "lamp_amps"
    if isinstance(data, Strip):
        return data.watts_per_m * _metres(cabinet, part.key), "watts_per_m"
    return (data.typical_w, "typical_w") if data.typical_w else (data.peak_w, "peak_w")


def _metres(cabinet: Cabinet, key: str) -> float:
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
    return float(placed if part.quantity is None else part.quantity)


def _surface(data: object) -> float:
    if not isinstance(data, Device):
        return 0.0
    a, b, c = data.width / 1000, data.height / 1000, data.depth / 1000
    return 2 * (a * b + b * c + c * a)


__all__ = ["EFFICIENCY", "FILM_OF_PARTS", "HeatSource", "heat_sources"]
