"""How warm the air inside gets once the cabinet has run for hours: walls, vents and fans against its power."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from casewright.basics.reckoning import Reckoning, Term, derived, total
from casewright.behavior.air import (
    HEAT_OF_AIR,
    AirFlow,
    Blower,
    Opening,
    air_flow,
    density,
    root,
    vent_area,
)
from casewright.behavior.enclosure import Enclosure, enclosure_of
from casewright.behavior.heat_sources import HeatSource, heat_sources
from casewright.behavior.vents import AirHole, air_holes
from casewright.catalog.load import Catalog
from casewright.geometry.model import Cabinet

VENT_RISE = 0.8
"""Share of the inner height between two vents, one low and one high. Common practice."""

FAN_SHARE = 0.5
"""Share of its free delivery that a bought fan moves through vents and cables. Common practice."""


@dataclass(frozen=True)
class Heat:
    """The air inside in its steady state, everything at its usual power."""

    inside: Enclosure
    power_w: float
    sources: tuple[HeatSource, ...]
    unknown: tuple[str, ...]
    """Labels of boards whose power is not known; they are not counted."""
    loss_w_k: float
    """Through the walls. [W/K]"""
    room_c: float
    limit_c: float
    closed_c: float
    """Were every opening shut."""
    air_c: float
    off_c: float
    """With the fans stopped; the same as `air_c` where there are none."""
    flow: AirFlow
    holes: tuple[AirHole, ...] = ()
    blocked: tuple[str, ...] = ()
    """Keys of vents that lie on what the cabinet stands on or hangs at."""
    numbers: tuple[Reckoning, ...] = ()

    @property
    def needed_mass(self) -> float:
        """Air to move so that it stays at the limit; 0 where the walls do it, infinite at the room's own. [kg/s]"""
        return mass_for(self.power_w, self.loss_w_k, self.limit_c - self.room_c)

    @property
    def vent_rise(self) -> float:
        """Height between a vent low and one high in this cabinet. [mm]"""
        return VENT_RISE * (self.inside.high - self.inside.low)

    @property
    def needed_vent(self) -> float:
        """Free area of each of two vents, one low and one high, that keeps the limit with no fan. [mm²]"""
        if self.needed_mass <= 0 or self.vent_rise <= 0:
            return 0.0
        if math.isinf(self.needed_mass):
            return math.inf
        rise = self.vent_rise / 1000
        return vent_area(self.needed_mass, rise, self.limit_c, self.room_c) * 1e6

    @property
    def needed_fan(self) -> float:
        """Free delivery of a fan that keeps the limit. [m³/h]"""
        return max(self.needed_mass, 0.0) / density(self.room_c) * 3600 / FAN_SHARE

    @property
    def fans(self) -> tuple[AirHole, ...]:
        """Fans in the walls."""
        return tuple(hole for hole in self.holes if hole.blower is not None)

    @property
    def hottest(self) -> HeatSource | None:
        """The part whose case gets warmest by itself."""
        boxes = (source for source in self.sources if source.own_rise > 0)
        return max(boxes, key=lambda source: source.own_rise, default=None)


def heat_of(cabinet: Cabinet, catalog: Catalog) -> Heat:
    """Temperature of the air inside, well mixed, in a room of `site.room_c`.

    Source:
        Balance of heat: power = rise × (walls + air × its specific heat); walls by iso-6946 with still air on both
        faces, air by `air_flow`.
    """
    site, limits = cabinet.project.site, cabinet.project.limits
    inside = enclosure_of(cabinet, catalog)
    sources, unknown = heat_sources(cabinet)
    power = total(
        "heat.power",
        "heat of all parts inside at their usual power",
        [Term(source.label, source.watts) for source in sources],
        unit="W",
        rule="All electric power ends as heat, also that of light and sound.",
        source="electrical-heat",
    )
    walls = total(
        "heat.walls",
        "heat that the walls let through for each degree",
        [Term(wall.label, wall.loss_w_k) for wall in inside.walls],
        unit="W/K",
        rule="Area ÷ (thickness ÷ conductivity + still air on both faces) of each; 0 for one that lies on something.",
        source="iso-6946",
    )
    holes, blocked = air_holes(cabinet, inside, [source.key for source in sources])
    openings = tuple(o for hole in holes for o in hole.openings)
    blowers = tuple(hole.blower for hole in holes if hole.blower is not None)
    room = site.room_c
    air, flow = steady(power.value, walls.value, openings, blowers, room)
    off = steady(power.value, walls.value, openings, (), room)[0] if blowers else air
    closed = steady(power.value, walls.value, (), (), room)[0]
    found = Heat(
        inside=inside,
        power_w=power.value,
        sources=sources,
        unknown=unknown,
        loss_w_k=walls.value,
        room_c=room,
        limit_c=limits.air_c,
        closed_c=closed,
        air_c=air,
        off_c=off,
        flow=flow,
        holes=holes,
        blocked=blocked,
    )
    return replace(found, numbers=(power, walls, *_numbers(found)) if power.value else ())


def steady(
    power_w: float,
    loss_w_k: float,
    openings: Sequence[Opening],
    blowers: Sequence[Blower],
    room_c: float,
) -> tuple[float, AirFlow]:
    """Air inside [°C] and the flow once as much heat leaves as is made.

    Infinite where no wall and no air takes any.
    """
    return _steady(power_w, loss_w_k, tuple(openings), tuple(blowers), room_c)


@lru_cache(maxsize=256)
def _steady(
    power_w: float,
    loss_w_k: float,
    openings: tuple[Opening, ...],
    blowers: tuple[Blower, ...],
    room_c: float,
) -> tuple[float, AirFlow]:
    nothing = AirFlow(0.0, 0.0, ())
    if power_w <= 0:
        return room_c, nothing
    shut = power_w / loss_w_k if loss_w_k > 0 else math.inf
    if not openings and len(blowers) < 2:
        return room_c + shut, nothing

    def surplus(rise: float) -> float:
        mass = air_flow(openings, blowers, room_c + rise, room_c).mass
        return rise * (loss_w_k + mass * HEAT_OF_AIR) - power_w

    rise = root(surplus, 0.0, min(shut, 1000.0))
    flow = air_flow(openings, blowers, room_c + rise, room_c)
    carried = loss_w_k + flow.mass * HEAT_OF_AIR
    return room_c + (power_w / carried if carried > 0 else math.inf), flow


def mass_for(power_w: float, loss_w_k: float, rise: float) -> float:
    """Air that must pass so that the inside is no more than `rise` warmer; negative where the walls do more. [kg/s]"""
    if power_w <= 0:
        return 0.0
    return (power_w / rise - loss_w_k) / HEAT_OF_AIR if rise > 0 else math.inf


def _numbers(heat: Heat) -> list[Reckoning]:
    room = Term("room", heat.room_c, unit="°C")
    power = Term("power", heat.power_w, key="heat.power", unit="W")
    walls = Term("walls", heat.loss_w_k, key="heat.walls", unit="W/K")
    made = [
        derived(
            "heat.closed",
            "air inside, were every opening shut",
            heat.closed_c,
            "room + power ÷ walls",
            [room, power, walls],
            unit="°C",
            rule="In the end the walls give off what the parts give.",
            source="iso-6946",
        )
    ]
    names = {hole.key: hole.label for hole in heat.holes}
    came: dict[str, float] = {}
    for key, mass in heat.flow.out:
        if mass < 0:
            came[key.partition("|")[0]] = came.get(key.partition("|")[0], 0.0) - mass
    flow = total(
        "heat.flow",
        "air that passes through",
        [
            Term(f"in by {names.get(key, key)}", mass / density(heat.room_c) * 3600)
            for key, mass in came.items()
        ],
        unit="m³/h",
        rule="Warm air is lighter, so pressure inside grows with height; as much leaves as comes in.",
        source="ashrae-fundamentals",
    )
    made.append(flow)
    carried = heat.loss_w_k + heat.flow.mass * HEAT_OF_AIR
    if carried > 0:  # else nothing takes the warmth away, and there is no steady air
        made.append(
            derived(
                "heat.air",
                "air inside after hours",
                heat.room_c + heat.power_w / carried,
                "room + power ÷ (walls + flow × density × specific heat ÷ 3600)",
                [
                    room,
                    power,
                    walls,
                    Term("flow", flow.value, key="heat.flow", unit="m³/h"),
                    Term("density", density(heat.room_c), unit="kg/m³"),
                    Term("specific heat", HEAT_OF_AIR, unit="J/(kg·K)"),
                ],
                unit="°C",
                rule="In the end walls and air take away what the parts give.",
                source="cengel",
            )
        )
    if heat.needed_vent > 0 and math.isfinite(heat.needed_vent):
        made.append(
            derived(
                "heat.vent_area",
                "free area of each of two vents, one low and one high, that keeps the limit without a fan",
                heat.needed_vent / 100,
                "air ÷ (0.65 × √(2 × (ρ out − ρ in) × g × rise × ρ in × ρ out ÷ (ρ in + ρ out)))",
                [
                    Term("air", heat.needed_mass, unit="kg/s"),
                    Term("rise", heat.vent_rise),
                    Term("ρ out", density(heat.room_c), unit="kg/m³"),
                    Term("ρ in", density(heat.limit_c), unit="kg/m³"),
                ],
                unit="cm²",
                rule="Air = (power ÷ (limit − room) − walls) ÷ specific heat; 0.65 of a vent's area is used.",
                source="ashrae-fundamentals",
            )
        )
    return made


__all__ = ["FAN_SHARE", "VENT_RISE", "Heat", "heat_of", "mass_for", "steady"]
