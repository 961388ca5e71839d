"""Sheet: whether it stays put."""

from __future__ import annotations

import math

from casewright.basics.customary import force_words, mass_words
from casewright.basics.findings import mm
from casewright.basics.units import Unit
from casewright.behavior.standing import SLOPE, Standing
from casewright.behavior.whole import Behavior
from casewright.geometry.model import Cabinet
from casewright.outputs.drawings.marks import Circle, Drawing, Line, Mark, Polyline, Region, Text
from casewright.outputs.topics.sheet import Picture, Rows, TopicSheet

LETTERS = 3.2
"""Height of the lettering. [mm on paper]"""

HEAVY = 2000.0
"""No more is told of a force than that it is over this: two heavy people. [N]"""

ROOM = (150.0, 95.0)
"""Paper that the picture takes at most. [mm]"""


def sheet(cabinet: Cabinet, behavior: Behavior) -> TopicSheet | None:
    """Tipping and sliding; nothing where it does not stand."""
    standing = behavior.standing
    weakest = standing.weakest
    if not standing.stands or weakest is None:
        return None
    firm = weakest.tilt_deg >= SLOPE
    answer = (
        f"As it stands it falls over to the {weakest.name}."
        if weakest.arm <= 0
        else f"It stands on a slope of {weakest.tilt_deg:.0f}° before it falls, first to the {weakest.name}"
        f"{'' if firm else f'; {SLOPE:g}° is asked'}."
    )
    rows = [
        (
            f"slope to the {edge.name}",
            f"{edge.tilt_deg:.1f}°" if edge.tilt_deg > 0 else "none: it falls on the level",
            f"{SLOPE:g}°",
        )
        for edge in sorted(standing.edges, key=lambda e: e.tilt_deg)
    ]
    lean, unit = cabinet.project.limits.lean_n, cabinet.project.unit
    if math.isfinite(standing.lean_force):
        rows.append(
            ("weight on the front edge", _force(standing.lean_force, unit), _force(lean, unit))
        )
    if math.isfinite(standing.push_force):
        rows.append(
            (
                f"push at {mm(standing.push_at)} over the ground",
                _force(standing.push_force, unit),
                "",
            )
        )
    rows.append(("push that makes it slide", _force(standing.slide_force, unit), ""))
    return TopicSheet(
        key="standing",
        title="Standing",
        question="Does it stay where it is put?",
        answer=answer,
        pictures=(Picture(_picture(cabinet, behavior, standing), "Where its weight goes down"),),
        tables=(Rows("What it stands", ("what", "it takes", "asked"), tuple(rows), (1, 2)),),
        numbers=tuple(number.key for number in standing.numbers),
        notes=(
            "Screws, glue and paint are not weighed; a shelf filled later moves the centre.",
            "Friction is taken low, and from experience: try it on the real table.",
        ),
    )


def _force(newtons: float, unit: Unit) -> str:
    if newtons <= 0:
        return "none: it falls by itself"
    return (
        f"more than {force_words(HEAVY, unit)}" if newtons > HEAVY else force_words(newtons, unit)
    )


def _picture(cabinet: Cabinet, behavior: Behavior, standing: Standing) -> Drawing:
    """Side view: outline, centre of gravity, the line of weight and the ground it stands on."""
    outline = tuple(cabinet.shape.corners.values())
    _, y, z = behavior.balance.centre
    ys = [p[1] for p in standing.ground]
    front, back = min(ys), max(ys)
    low, high = min(c[0] for c in outline), max(c[0] for c in outline)
    top = max(c[1] for c in outline)
    scale = min(ROOM[0] / (high - low), ROOM[1] / (top - standing.level))
    letters = LETTERS / scale
    size = 2.5 / scale
    level = standing.level
    marks: list[Mark] = [
        Region(Polyline(outline), material="face"),
        Polyline(outline),
        Line((low - 10 / scale, level), (high + 10 / scale, level), "thin"),
        Line((y, z), (y, level), "accent"),
        Line((y, z), (front, level), "accent-hidden"),
        Line((y, z), (back, level), "accent-hidden"),
        Circle((y, z), size, "accent"),
        Line((y - 2 * size, z), (y + 2 * size, z), "accent-thin"),
        Line((y, z - 2 * size), (y, z + 2 * size), "accent-thin"),
        Text(
            (y + 2.5 * size, z + size),
            mass_words(behavior.balance.total_kg, cabinet.project.unit),
            LETTERS,
        ),
    ]
    for at, way in ((front, "front"), (back, "back")):
        edge = min(
            (e for e in standing.edges if e.name == way), key=lambda e: e.tilt_deg, default=None
        )
        if edge is None:
            continue
        marks.append(
            Polyline(((at, level), (at - size, level - 2 * size), (at + size, level - 2 * size)))
        )
        marks.append(
            Text(
                (at, level - 2 * size - 1.3 * letters),
                f"{way} {edge.tilt_deg:.0f}°",
                LETTERS,
                "middle",
            )
        )
    return Drawing("Side view with the centre of gravity", tuple(marks), scale=scale)


__all__ = ["sheet"]
