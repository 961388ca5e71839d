"""Where people's eyes, elbows and shoulders are, as seen from the cabinet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from casewright.basics.reckoning import Reckoning, Term, derived, stated, total
from casewright.basics.units import TOUCHING
from casewright.catalog.body_sizes import BodySize, body_size
from casewright.catalog.kinds import Foot
from casewright.design.parts import KnownPart
from casewright.design.project import Person, Project
from casewright.design.shape import OutlineShape
from casewright.geometry.model import Point2, Point3

TABLE_HEIGHT = 740.0
"""Table whose height was not given. [mm] Source: en-527-1, fixed height."""

LAP_HEIGHT = 607.5
"""Thighs over the floor, seated. [mm]

Source: ansur-ii, thigh clearance over the knee pit: men 610, women 555; 25 for shoes.
"""

HAND_BEHIND_EDGE = 125.0
"""How far behind the front edge hands work: palm room and half a control. [mm] Source: common practice."""

CLOSEST_EYE = 100.0
"""Nobody bends closer to the front edge than this to play. [mm] Source: common practice."""

ONLOOKER = 600.0
"""How far behind the players an onlooker stands. [mm] Source: common practice."""


@dataclass(frozen=True)
class Viewer:
    """One person in front of the cabinet."""

    label: str
    eye: Point3
    """In the cabinet frame; y is less than the front edge's. [mm]"""
    elbow: float
    """z in the cabinet frame. [mm]"""
    shoulders: float
    """Breadth. [mm]"""
    plays: bool
    person: Person
    usual: bool
    """True where the eye's height is the usual one, not the person's own."""
    distance: float
    """Eye in front of the front edge. [mm]"""
    player: int | None = None
    """Whose controls it plays at; None where that is not known."""


def base_over_floor(project: Project, parts: Mapping[str, KnownPart]) -> Reckoning:
    """The cabinet's underside over the floor: what it stands on, its feet, and boards that reach below it. [mm]

    That is where z is 0; an outline whose lowest corner is elsewhere stands on that corner. A table of height 0 is one
    that was not measured: the usual height is taken.
    """
    site = project.site
    if site.height or site.on in ("floor", "wall"):
        stand = Term("floor" if site.on == "floor" else f"{site.on}, over the floor", site.height)
    elif site.on == "lap":
        stand = Term("lap over the floor", LAP_HEIGHT)
    else:
        stand = Term("usual table", TABLE_HEIGHT)
    terms = [stand, Term("feet", foot_height(project, parts))]
    if legs := leg_height(project):
        terms.append(Term("boards that reach below the underside", legs))
    if abs(low := front_and_underside(project)[1]) > TOUCHING:
        terms.append(Term("z of the outline's lowest corner", low, -1))
    return total(
        "shape.base_over_floor",
        "underside of the cabinet over the floor",
        terms,
        source="Project setting" if site.height else "en-527-1",
    )


def front_and_underside(project: Project) -> Point2:
    """Where the front edge is, y, and the underside, z: 0 but where a free outline is drawn elsewhere. [mm]"""
    if not isinstance(project.shape, OutlineShape):
        return (0.0, 0.0)
    corners = project.shape.corners.values()
    return (min(y for y, _ in corners), min(z for _, z in corners))


def lap_height(person: Person) -> float:
    """A person's thighs over the floor, seated: as much lower than the usual adult's as the person is smaller. [mm]

    Source:
        ansur-ii for the adult; eyes of who stands, child and adult, for the measure.
    """
    share = body_size("standing", child=person.child).eye / body_size("standing").eye
    if person.eye is not None:
        share *= person.eye / body_size(person.posture, child=person.child).eye
    return LAP_HEIGHT * share


def foot_height(project: Project, parts: Mapping[str, KnownPart]) -> float:
    """Height of the placed feet, 0 for none. [mm]"""
    heights = [
        part.data.height
        for key, part in parts.items()
        if isinstance(part.data, Foot) and key in project.parts and project.parts[key].placed
    ]
    return max(heights, default=0.0)


def leg_height(project: Project) -> float:
    """How far loose boards reach below the underside, as the legs of a stand do; 0 on a lap or a wall. [mm]"""
    if project.site.on not in ("table", "floor"):
        return 0.0
    low = front_and_underside(project)[1]
    return max((max(low - board.at[2], 0.0) for board in project.boards.values()), default=0.0)


def viewers(
    project: Project, parts: Mapping[str, KnownPart], *, width: float = 0.0
) -> tuple[Viewer, ...]:
    """Everybody the project names; one usual adult where it names nobody.

    Args:
        project: Its people and its site.
        parts: For the feet.
        width: Over both sides; x of an eye is measured from its middle. [mm]

    Source:
        Body sizes: ansur-ii and others, see `casewright.catalog.body_sizes`.
    """
    base = base_over_floor(project, parts).value
    people = project.people or (usual_adult(project),)
    front, _ = front_and_underside(project)
    return tuple(_viewer(person, base, width / 2, front) for person in people)


def usual_adult(project: Project, label: str = "adult") -> Person:
    """Who stands in where nobody is named."""
    return Person(label=label, posture="standing" if project.site.on == "floor" else "seated")


def playing(everybody: tuple[Viewer, ...]) -> tuple[Viewer, ...]:
    """Those who play; all where nobody does."""
    return tuple(v for v in everybody if v.plays) or everybody


def settled(person: Person) -> dict[str, Reckoning]:
    """A person's eye and elbow over the floor, and the eye's distance from the front edge, as they are reckoned with.

    Keys are the fields of a person: "eye", "elbow", "distance". [mm]
    """
    size = body_size(person.posture, child=person.child)
    who = "child" if person.child else "adult"
    usual = f"Usual for a {who}, {person.posture}: {size.made}"
    if person.eye is None:
        eye = stated("eye", "eye over the floor", size.eye, rule=usual, source=size.source)
    else:
        eye = stated("eye", "eye over the floor", person.eye)
    label = "elbow over the floor"
    if person.elbow is not None:
        elbow = stated("elbow", label, person.elbow)
    elif person.eye is not None:
        elbow = derived(
            "elbow",
            label,
            size.elbow * person.eye / size.eye,
            "usual elbow × eye ÷ usual eye",
            [Term("usual elbow", size.elbow), Term("eye", person.eye), Term("usual eye", size.eye)],
            rule="Who is taller has a higher elbow in the same measure.",
            source=size.source,
        )
    else:
        elbow = stated("elbow", label, size.elbow, rule=usual, source=size.source)
    return {"eye": eye, "elbow": elbow, "distance": _distance(person, size)}


def _distance(person: Person, size: BodySize) -> Reckoning:
    label = "eye in front of the front edge"
    if person.distance is not None:
        return stated("distance", label, person.distance)
    terms = [
        Term("from the elbow to the grip", size.reach),
        Term("hands work behind the edge", HAND_BEHIND_EDGE, -1),
    ]
    short = CLOSEST_EYE - (size.reach - HAND_BEHIND_EDGE)
    if short > 0:
        terms.append(Term("nobody bends closer", short))
    if not person.plays:
        terms.append(Term("stands behind the players", ONLOOKER))
    rule = "The eye is over the elbow, the elbow at the side, the hand at the controls."
    return total("distance", label, terms, rule=rule, source=size.source)


def _viewer(person: Person, base: float, middle: float, front: float) -> Viewer:
    size = body_size(person.posture, child=person.child)
    sizes = {name: number.value for name, number in settled(person).items()}
    return Viewer(
        label=person.label or person.posture,
        eye=(middle + (person.aside or 0.0), front - sizes["distance"], sizes["eye"] - base),
        elbow=sizes["elbow"] - base,
        shoulders=size.shoulders,
        plays=person.plays,
        person=person,
        usual=person.eye is None,
        distance=sizes["distance"],
    )


__all__ = [
    "CLOSEST_EYE",
    "HAND_BEHIND_EDGE",
    "LAP_HEIGHT",
    "ONLOOKER",
    "TABLE_HEIGHT",
    "Viewer",
    "base_over_floor",
    "foot_height",
    "front_and_underside",
    "lap_height",
    "leg_height",
    "playing",
    "settled",
    "usual_adult",
    "viewers",
]
