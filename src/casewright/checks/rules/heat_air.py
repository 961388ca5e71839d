"""The air inside stays cool enough for what is in it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from casewright.basics.customary import air_words, area_words, degree_words
from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import Unit
from casewright.basics.wording import listed
from casewright.behavior.air import Blower, Opening
from casewright.behavior.heat import Heat, steady
from casewright.behavior.vents import FAN_PRESSURE
from casewright.catalog.kinds import Vent
from casewright.checks.subject import Subject
from casewright.geometry.model import Placed
from casewright.geometry.openings import part_field

RULE = Rule(
    id="heat.air",
    severity=Severity.CAUTION,
    asks="The air inside stays at or below limits.air_c in a room of site.room_c, everything at its usual power.",
    why="Boards slow down, supplies age and displays fade in warm air; parts then fail one summer later.",
    source="Project setting",
)
_ROUNDING = 0.005  # K
_MOST_SLOTS = 200
_LARGEST = 4.0  # m², of all vents
_HALVINGS = 16  # of a range of m², to less than a square centimeter


def find(subject: Subject) -> Iterator[Finding]:
    """One finding, with vents, a fan or more slots that keep the limit."""
    if subject.behavior is None:
        return
    heat, unit = subject.behavior.heat, subject.cabinet.project.unit
    if heat.power_w <= 0 or heat.air_c <= heat.limit_c + _ROUNDING:
        return
    warmest = [source.key for source in heat.sources[:2]]
    yield RULE.finding(
        f"The air inside gets to {_degrees(heat.air_c, unit)} with {heat.power_w:.0f} W in a room of "
        f"{degree_words(heat.room_c, unit)}; {degree_words(heat.limit_c, unit)} is the most.",
        remedies=tuple(_remedies(subject, heat)),
        names=tuple(p.key for p in subject.cabinet.placed if p.part.key in warmest),
    )


def _remedies(subject: Subject, heat: Heat) -> Iterator[Remedy]:
    unit = subject.cabinet.project.unit
    if math.isinf(heat.needed_mass):
        yield Remedy(
            f"Air inside is never cooler than the room: ask for more than {degree_words(heat.room_c, unit)}.",
            "limits.air_c",
            math.ceil(heat.air_c),
        )
        return
    more = _more_slots(subject, heat)
    if more is not None:
        yield more
    if heat.needed_vent > 0:
        area = area_words(100 * math.ceil(heat.needed_vent / 100), unit)
        yield Remedy(
            f"Cut two vents of {area} free area each, one low and one "
            f"{mm(heat.vent_rise)} higher; dust mesh wants half as much again."
        )
    yield Remedy(_fan(heat, unit))
    over = (heat.air_c - heat.limit_c) / (heat.air_c - heat.room_c)
    saved = heat.power_w * (over if math.isfinite(over) else 1.0)  # where hardly any heat gets out
    yield Remedy(
        f"Or bring {_watts(saved)} W less inside: a supply that stays outside, fewer lights."
    )


def _fan(heat: Heat, unit: Unit) -> str:
    """A fan of usual strength in place of those there are, with the vents that it draws through."""
    delivery = math.ceil(heat.needed_fan)
    blowers = [hole.blower for hole in heat.fans if hole.blower is not None]
    old = next(iter(blowers), None)
    fan = Blower(
        old.key if old else "",
        old.height if old else heat.inside.high / 1000,
        delivery / 3600,
        max((blower.pressure for blower in blowers), default=FAN_PRESSURE),
        old.outward if old else True,
    )
    openings = [opening for hole in heat.holes for opening in hole.openings]
    area = math.fsum(opening.area for opening in openings)
    vents = openings or [Opening("", heat.inside.low / 1000, 1.0)]
    more = _vent_for(heat, fan, vents, area or 1.0) - area
    words = f"Or a fan of {air_words(delivery, unit)} free delivery"
    if blowers:
        words += f" in place of {listed([hole.label for hole in heat.fans])}"
    if more <= 0:
        return f"{words}, which moves about half of it through the vents there are."
    free = area_words(100 * math.ceil(more * 1e4), unit)
    return f"{words}, and {free} {'more ' if area else ''}of vents far from it, through which it moves about half."


def _vent_for(heat: Heat, fan: Blower, openings: Sequence[Opening], area: float) -> float:
    """Free area of all vents together with which the fan keeps the limit, those there are if they do. [m²]"""

    def passes(whole: float) -> bool:
        scaled = [replace(opening, area=opening.area * whole / area) for opening in openings]
        return steady(heat.power_w, heat.loss_w_k, scaled, [fan], heat.room_c)[0] <= heat.limit_c

    there = any(hole.openings for hole in heat.holes)
    if there and passes(area):
        return area
    low, high = 0.0, area if there else 0.001
    while not passes(high) and high < _LARGEST:
        low, high = high, 2 * high
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if passes(middle) else (middle, high)
    return high


def _more_slots(subject: Subject, heat: Heat) -> Remedy | None:
    """The number of slots of the vents there are that keeps the limit, where their wall has room for it."""
    vents = [p for p in subject.cabinet.placed if isinstance(p.part.data, Vent)]
    if len({p.part.key for p in vents}) != 1:
        return None
    data = vents[0].part.data
    assert isinstance(data, Vent)
    least, most = data.count + 1, min(_MOST_SLOTS, *(_room(subject, p, data) for p in vents))
    # More slots are never warmer, so halving finds the fewest.
    if most < least or _air_with(heat, data, vents, most) > heat.limit_c:
        return None
    while least < most:
        middle = (least + most) // 2
        if _air_with(heat, data, vents, middle) <= heat.limit_c:
            most = middle
        else:
            least = middle + 1
    return Remedy(
        f"Make it {least} slots in each vent instead of {data.count}.",
        part_field(vents[0], subject.cabinet.project, "count"),
        least,
    )


def _air_with(heat: Heat, data: Vent, vents: list[Placed], count: int) -> float:
    """Air inside with so many slots, each vent's area at the height it has now: a little on the warm side. [°C]"""
    keys = {p.key for p in vents}
    openings = [
        type(o)(o.key, o.height, o.area * (count / data.count if hole.key in keys else 1.0))
        for hole in heat.holes
        for o in hole.openings
    ]
    blowers = [hole.blower for hole in heat.fans if hole.blower is not None]
    return steady(heat.power_w, heat.loss_w_k, openings, blowers, heat.room_c)[0]


def _room(subject: Subject, placed: Placed, data: Vent) -> int:
    """Slots that its wall has room for: a slot's pitch kept to its edges and to the next vent's share of the wall."""
    piece = subject.cabinet.piece_by_key[placed.piece]
    reach = min(placed.v - piece.extent[1], piece.extent[3] - placed.v) - data.pitch
    for other in subject.placed_on.get(placed.piece, ()):
        near = abs(other.u - placed.u) < data.slot_length + data.pitch
        if other is not placed and near and isinstance(other.part.data, Vent):
            reach = min(reach, (abs(other.v - placed.v) - data.pitch) / 2)
    return int(2 * reach / data.pitch) + 1 if reach > 0 else 0


def _degrees(value: float, unit: Unit) -> str:
    known = math.isfinite(value) and value < 150
    return degree_words(value, unit) if known else f"more than {degree_words(150, unit)}"


def _watts(power_w: float) -> str:
    """So much or a little more, in whole watts from ten on and in tenths below."""
    return f"{math.ceil(power_w)}" if power_w >= 10 else f"{math.ceil(power_w * 10) / 10:g}"


__all__ = ["RULE", "find"]
