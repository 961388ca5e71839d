"""Nothing of the cabinet stands between the eyes and the picture."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import shapely

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.wording import listed
from casewright.behavior.seeing import Sighting, View
from casewright.behavior.shading import Shade, is_shaded
from casewright.behavior.throat import EDGES, EdgeName, edges_seen
from casewright.checks.subject import Subject
from casewright.geometry.viewers import CLOSEST_EYE

RULE = Rule(
    id="sight.blocked",
    severity=Severity.CAUTION,
    asks="No header, side or control hides some of the picture from anybody who plays.",
    why="A header that keeps lamps off the glass keeps the eyes of tall people off it too.",
    source="Project setting",
)

_STEP = 25.0
_FARTHEST = 1500.0
_AT_EDGE = 0.5
"""A shadow this near to an edge reaches it. [mm]"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each display and person; a note for those who only look on."""
    if subject.behavior is None:
        return
    limit = subject.cabinet.project.limits.hidden
    for sighting in subject.behavior.sight.sightings:
        for view in sighting.views:
            hiding = [shade for shade in view.shades if shade.size > limit]
            if not hiding:
                continue
            worst = hiding[0]
            edge, reach = _reach(sighting, worst)
            share = shapely.union_all([shade.area for shade in hiding]).area / view.area
            names = listed(tuple(dict.fromkeys(shade.label for shade in hiding)))
            where = f", {mm(reach)} of its {edge} edge" if edge else ""
            yield RULE.finding(
                f"{names} hides {share:.1%} of the picture of {sighting.label} from {view.viewer.label}{where}."
                if len(hiding) == 1
                else f"{names} hide {share:.1%} of the picture of {sighting.label} from {view.viewer.label}{where}.",
                remedies=subject.orders(partial(_remedies, subject, sighting, view, limit, names)),
                names=(sighting.key, *(shade.key for shade in hiding)),
                point=sighting.throat.frame.origin,
                severity=None if view in sighting.playing else Severity.NOTE,
            )


def _remedies(
    subject: Subject, sighting: Sighting, view: View, limit: float, names: str
) -> tuple[Remedy, ...]:
    made = []
    distance = _clear_distance(sighting, view, limit)
    if distance is not None:
        people = subject.cabinet.project.people
        field = f"people.{view.number - 1}.distance" if view.number <= len(people) else ""
        made.append(
            Remedy(
                f"Let {view.viewer.label} look from {mm(distance)} in front of the front edge.",
                field,
                distance if field else None,
            )
        )
    order = "Or move" if made else "Move"
    made.append(Remedy(f"{order} or shorten {names} until the lines of sight pass it."))
    return tuple(made)


def _clear_distance(sighting: Sighting, view: View, limit: float) -> float | None:
    """The distance from the front edge, nearest to what it is, at which nothing stands in the way. [mm]"""
    x, y, z = view.viewer.eye
    steps = [sign * _STEP * n for n in range(1, int(_FARTHEST / _STEP) + 1) for sign in (1, -1)]
    for step in steps:
        distance = round((step + view.viewer.distance) / _STEP) * _STEP
        if distance < CLOSEST_EYE:
            continue
        eye = sighting.throat.frame.local((x, y + view.viewer.distance - distance, z))
        if not edges_seen(sighting.throat, eye):
            continue
        if not is_shaded(sighting.obstacles, eye, sighting.throat.outline, limit):
            return distance
    return None


def _reach(sighting: Sighting, shade: Shade) -> tuple[EdgeName | None, float]:
    """The edge that a shadow comes in from, and how far it comes; none for one in the middle or right across."""
    left, lower, right, upper = shade.area.bounds
    edges = sighting.throat.outline
    gaps = (left - edges[0], lower - edges[1], edges[2] - right, edges[3] - upper)
    reaches = (right - edges[0], upper - edges[1], edges[2] - left, edges[3] - lower)
    touched = {i for i, gap in enumerate(gaps) if gap <= _AT_EDGE}
    at = [i for i in sorted(touched) if (i + 2) % 4 not in touched]  # not right across from there
    if not at:
        return None, 0.0
    best = min(at, key=lambda i: reaches[i])
    return EDGES[best], float(reaches[best])


__all__ = ["RULE", "find"]
