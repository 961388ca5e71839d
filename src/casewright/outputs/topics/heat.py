"""Sheet: how warm it gets inside, and where the air goes."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.customary import air_words, area_words, degree_words
from casewright.basics.findings import mm
from casewright.basics.units import Unit
from casewright.basics.wording import listed
from casewright.behavior.air import density
from casewright.behavior.heat import Heat
from casewright.behavior.vents import AirHole
from casewright.behavior.whole import Behavior
from casewright.catalog.kinds import Port
from casewright.geometry.model import Cabinet
from casewright.outputs.drawings.marks import Drawing, Line, Mark, Polyline, Region, Text
from casewright.outputs.drawings.symbols import arrow_head
from casewright.outputs.topics.sheet import Picture, Rows, TopicSheet

LETTERS = 3.2
"""Height of the lettering. [mm on paper]"""

ROOM = (110.0, 85.0)
"""Paper that the side view takes at most, arrows and words apart. [mm]"""

ARROW = 13.0
"""Length of an arrow for air. [mm on paper]"""

HEAD = 4.0
"""Length of its head. [mm on paper]"""

TABLE = 8
"""Rows of the table of sources at most."""


def sheet(cabinet: Cabinet, behavior: Behavior) -> TopicSheet | None:
    """Air inside and its ways; nothing where no part draws power."""
    heat = behavior.heat
    if heat.power_w <= 0 or len(heat.inside.outline) < 3:
        return None
    unit = cabinet.project.unit
    return TopicSheet(
        key="heat",
        title="Heat",
        question="How warm does it get inside?",
        answer=_answer(heat, unit),
        pictures=(Picture(_picture(cabinet, heat), "Air and its ways, side view"),),
        tables=(_sources(heat), _states(heat, unit)),
        numbers=tuple(number.key for number in heat.numbers),
        notes=(*_notes(heat, unit), *_port_notes(cabinet, heat)),
        hazards=("mains",) if any(part.data.mains for part in cabinet.parts.values()) else (),
    )


def _answer(heat: Heat, unit: Unit) -> str:
    kept = heat.air_c <= heat.limit_c
    end = f"{degree_words(heat.limit_c, unit)} is asked"
    if not kept:
        end = f"too warm: {end}"
    return (
        f"About {_degrees(heat.air_c, unit)} after some hours, with {_watts(heat.power_w)} in a room of "
        f"{degree_words(heat.room_c, unit)}; {end}."
    )


def _sources(heat: Heat) -> Rows:
    rows = [
        (source.label, f"{source.watts:.1f}", "" if source.certain else "usual value")
        for source in heat.sources[:TABLE]
    ]
    rest = heat.sources[TABLE:]
    if rest:
        rows.append(("all others", f"{math.fsum(s.watts for s in rest):.1f}", ""))
    rows.append(("all together", f"{heat.power_w:.1f}", ""))
    return Rows("What warms it", ("part", "W", "known by"), tuple(rows), (1,))


def _states(heat: Heat, unit: Unit) -> Rows:
    flow = air_words(heat.flow.volume * 3600, unit) if heat.holes else "none"
    rows = [("as built", _degrees(heat.air_c, unit), flow)]
    if heat.fans:
        rows.append(("fan stopped", _degrees(heat.off_c, unit), "by itself"))
    if heat.holes:
        rows.append(("all vents shut", _degrees(heat.closed_c, unit), "none"))
    return Rows("Air inside", ("state", "temperature", "air through it"), tuple(rows), (1, 2))


def _notes(heat: Heat, unit: Unit) -> list[str]:
    notes = [
        "Air is taken as well mixed and all power as heat inside; near a warm board, and under the top, it is warmer.",
        "A part's own data sheet says how warm the air round it may be; measure with a thermometer on a warm day.",
    ]
    hottest = heat.hottest
    if hottest is not None and hottest.own_rise > 5:
        at = heat.air_c + hottest.own_rise
        notes.append(
            f"{hottest.label}: by its size alone its case would get to {_degrees(at, unit)}"
            f"{'; it needs fins or a fan of its own, and free air' if at > 70 else ''}."
        )
    if heat.needed_vent > 0 and math.isfinite(heat.needed_vent):
        area = area_words(heat.needed_vent, unit)
        notes.append(
            f"To keep {degree_words(heat.limit_c, unit)} without a fan: two vents of {area} "
            f"each, {mm(heat.vent_rise)} one above the other."
        )
    else:
        notes.append(
            f"Its walls alone keep {degree_words(heat.limit_c, unit)}: vents are a reserve."
        )
    if any(fan.blower is not None for fan in heat.fans):
        notes.append("A fan is taken to lose flow evenly with the pressure it works against.")
    if heat.unknown:
        notes.append(
            f"Power not known, not counted: {', '.join(heat.unknown)}. Measure it at the plug."
        )
    return notes


def _port_notes(cabinet: Cabinet, heat: Heat) -> Iterator[str]:
    """Which of the loudspeakers' ports count as vents, and why not."""
    counted = {hole.key for hole in heat.holes if hole.is_port}
    ports = [placed for placed in cabinet.placed if isinstance(placed.part.data, Port)]
    through = [placed.label for placed in ports if placed.key in counted]
    apart = [placed.label for placed in ports if placed.key not in counted]
    if through:
        lets = "lets" if len(through) == 1 else "let"
        yield (
            f"{listed(through)} {lets} air through to what gets warm and count as vents of their inner area. They must "
            "stay free, and dust comes in by them: keep boards off their way."
        )
    if apart:
        leads = "leads" if len(apart) == 1 else "lead"
        yield (
            f"{listed(apart)} {leads} to no air round something warm and cool nothing: not counted as vents."
        )


def _watts(power: float) -> str:
    return f"{power:.0f} W" if power >= 9.5 else f"{power:.1f} W"


def _degrees(value: float, unit: Unit) -> str:
    known = math.isfinite(value) and value < 150
    return degree_words(value, unit) if known else f"more than {degree_words(150, unit)}"


def _picture(cabinet: Cabinet, heat: Heat) -> Drawing:
    """Side view: panels cut, the inside tinted, arrows where air goes in and out, temperatures."""
    outline, unit = tuple(cabinet.shape.corners.values()), cabinet.project.unit
    ys, zs = [p[0] for p in outline], [p[1] for p in outline]
    scale = min(ROOM[0] / (max(ys) - min(ys)), ROOM[1] / (max(zs) - min(zs)))
    letters = LETTERS / scale
    marks: list[Mark] = [Region(Polyline(outline), material="face")]
    for slab in cabinet.slabs:
        marks += [
            Region(Polyline(slab.polygon), material="wood"),
            Polyline(slab.polygon, pen="thin"),
        ]
    marks.append(Polyline(outline))
    masses: dict[str, float] = {}
    for key, mass in heat.flow.out:
        masses[key.partition("|")[0]] = masses.get(key.partition("|")[0], 0.0) + mass
    for hole in heat.holes:
        marks += _arrow(heat, hole, masses.get(hole.key, 0.0), scale, unit)
    marks += _said_of_inside(heat, [f"{_degrees(heat.air_c, unit)}", _watts(heat.power_w)], scale)
    above = (min(ys), max(zs) + 1.5 * letters)
    marks.append(Text(above, f"room {degree_words(heat.room_c, unit)}", LETTERS))
    return Drawing("Side view with the air's ways", tuple(marks), scale=scale)


def _arrow(heat: Heat, hole: AirHole, mass: float, scale: float, unit: Unit) -> list[Mark]:
    """An arrow through one opening with its flow; both ways where as much goes in as out."""
    volume = abs(mass) / density(heat.room_c) * 3600
    _, y, z = hole.point
    _, oy, oz = hole.outward
    length, gap = ARROW / scale, 2.0 / scale
    words = f"{hole.label} {air_words(volume, unit)}"
    letters = LETTERS / scale
    if abs(oy) < 1e-6 and abs(oz) < 1e-6:  # in a side, seen from the front: no way along the paper
        return [
            Line((y - gap, z), (y + gap, z), "accent"),
            Line((y, z - gap), (y, z + gap), "accent"),
            Text((y + 2 * gap, z), words, LETTERS),
        ]
    near, far = (y - oy * length / 2, z - oz * length / 2), (y + oy * length, z + oz * length)
    tip, tail = (far, near) if mass >= 0 else (near, far)
    angle = math.degrees(math.atan2(tip[1] - tail[1], tip[0] - tail[0]))
    marks: list[Mark] = [Line(tail, tip, "accent"), arrow_head(tip, angle, scale=scale, size=HEAD)]
    if abs(oz) > abs(oy):
        at = (far[0], far[1] - 1.4 * letters) if oz < 0 else (far[0], far[1] + 0.5 * letters)
        return [*marks, Text(at, words, LETTERS, "middle")]
    at = (far[0] + (gap if oy > 0 else -gap), far[1])
    return [*marks, Text(at, words, LETTERS, "start" if oy > 0 else "end", "middle")]


def _said_of_inside(heat: Heat, figures: list[str], scale: float) -> list[Mark]:
    """Words about the air inside: in two lines or three where there is room, else beside it with a line to it."""
    letters = LETTERS / scale
    for words in ([f"inside {figures[0]}", *figures[1:]], ["inside", *figures]):
        wide = max(Text((0, 0), word, LETTERS).size(scale)[0] for word in words)
        place = _room_for(heat, 1.15 * wide, (0.2 + 1.6 * len(words)) * letters)
        if place is not None:
            y, top = place[0], place[1] + (0.8 * len(words) - 1.2) * letters
            return [
                Text((y, top - 1.6 * row * letters), word, LETTERS, "middle")
                for row, word in enumerate(words)
            ]
    y, z = _free_front(heat)
    end = y - 8.0 / scale
    return [
        Line((end, z), (y + 2.0 / scale, z), "thin"),
        *(
            Text((end - 1.5 / scale, z - (1.6 * row - 0.8) * letters), word, LETTERS, "end")
            for row, word in enumerate([f"inside {figures[0]}", *figures[1:]])
        ),
    ]


def _room_for(heat: Heat, width: float, height: float) -> tuple[float, float] | None:
    """Middle of a place inside for words of this size, as near to the middle as there is one; None for none."""
    import shapely

    region = shapely.Polygon(heat.inside.outline)
    left, low, right, high = region.bounds
    whole = ((left + right) / 2, (low + high) / 2)
    fits = []
    for step in range(1, 24):
        z = low + step / 24 * (high - low)
        cut = region.intersection(shapely.LineString([(left - 1, z), (right + 1, z)]))
        for part in shapely.get_parts(cut):
            a, _, b, _ = part.bounds
            for y in (a + width * 0.6, (a + b) / 2, b - width * 0.6):
                box = shapely.box(y - width / 2, z - height / 2, y + width / 2, z + height / 2)
                if region.contains(box):
                    fits.append((math.dist((y, z), whole), y, z))
    return min(fits)[1:] if fits else None


def _free_front(heat: Heat) -> tuple[float, float]:
    """Where a level comes into the inside from the front, as far as there is from openings for air. (y, z)"""
    import shapely

    region = shapely.Polygon(heat.inside.outline)
    left, low, right, high = region.bounds
    best = (-math.inf, left, low)
    for step in range(4, 21):
        z = low + step / 24 * (high - low)
        cut = region.intersection(shapely.LineString([(left - 1, z), (right + 1, z)]))
        if cut.is_empty:
            continue
        near = min((abs(hole.point[2] - z) for hole in heat.holes), default=0.0)
        best = max(best, (near, cut.bounds[0], z), key=lambda tried: tried[0])
    return best[1:]


__all__ = ["sheet"]
