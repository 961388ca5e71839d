"""What warms the air inside: the usual power of every part that sits in the cabinet."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.behavior.loads import power_loads
from casewright.catalog.kinds import Device, PushButton, Strip
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
    loads = power_loads(cabinet)
    parts = cabinet.parts
    found = [
        HeatSource(
            row.key,
            row.label,
            row.typical_w,
            row.count,
            _surface(parts[row.key].data),
            _is_certain(parts[row.key]),
        )
        for row in (*loads.rows, *loads.mains)
        if row.typical_w > 0 and not _is_outside(parts[row.key])
    ]
    for source in loads.sources:
        found += _losses(parts[source.key], loads.hung(source.name, "typical_w"))
    found.sort(key=lambda source: (-source.watts, source.key))
    return tuple(found), loads.unknown


def _losses(part: KnownPart, fed: float) -> list[HeatSource]:
    """What a supply or converter gives off inside; nothing where it stays outside."""
    own = part.data.efficiency if isinstance(part.data, Device) else 1.0
    lost = fed * (1 / (own if own < 1 else EFFICIENCY) - 1)
    if lost <= 0 or _is_outside(part):
        return []
    known = isinstance(part.data, Device) and part.data.efficiency < 1
    return [HeatSource(part.key, part.label, lost, 1.0, _surface(part.data), known)]


def _is_outside(part: KnownPart) -> bool:
    return isinstance(part.data, Device) and part.data.outside


def _is_certain(part: KnownPart) -> bool:
    """Whether its usual power was given for this part, and not by the catalog."""
    data = part.data
    if isinstance(data, PushButton):
        field = "lamp_amps"
    elif isinstance(data, Strip):
        field = "watts_per_m"
    else:
        field = "typical_w" if data.typical_w else "peak_w"
    return part.origin.get(field) in ("measured", "assumed")


def _surface(data: object) -> float:
    if not isinstance(data, Device):
        return 0.0
    a, b, c = data.width / 1000, data.height / 1000, data.depth / 1000
    return 2 * (a * b + b * c + c * a)


__all__ = ["EFFICIENCY", "FILM_OF_PARTS", "HeatSource", "heat_sources"]
