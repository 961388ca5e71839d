"""Doors on hinges: which edge they hang on, where their hinges sit, which screws hold them.

A door closes flush in its panel and swings outward. The pin lies half a knuckle in front of the faces, over the middle
of the gap at the hung edge:

        pin  o      <- half a knuckle in front
    ────────┐ ┌───────────────────────────────┐ ┌────────
     panel  │ │  door                         │ │  panel
    ────────┘ └───────────────────────────────┘ └────────
           gap                                 gap
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import shapely

from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Hardware
from casewright.catalog.load import load_catalog
from casewright.design.panels import Door, DoorEdge
from casewright.design.parts import KnownPart
from casewright.design.project import Project
from casewright.geometry.columns import cut_outline
from casewright.geometry.cuts import cut_of
from casewright.geometry.facets import TOLERANCE
from casewright.geometry.fastening import (
    BITE_DRY,
    NEARLY,
    SHOW_FACE_ROOM,
    ScrewSize,
    clearance_diameter,
    pilot_diameter,
)
from casewright.geometry.holding_screws import NUMBERS, wood_diameter, wood_screws
from casewright.geometry.model import (
    Body,
    Cabinet,
    Cylinder,
    Fastening,
    Frame,
    Piece,
    Point2,
    Point3,
)

EDGES: tuple[DoorEdge, ...] = ("left", "right", "top", "bottom")

USUAL = "hinge-butt-50"
"""Catalog type reckoned with where no hinge is among the parts."""

THIRD_FROM, FOURTH_FROM = 1000.0, 1500.0
"""A longer edge gets a third hinge, a fourth. [mm] Common practice."""

LEAST_EDGE = 2.5
"""Edge for two hinges, in leaf lengths: half a leaf between them and at both ends. Common practice."""

LONGEST_SCREW = 7.0
"""Screws in a leaf, in diameters: a 3 mm hole takes 3.0 × 20. Common practice."""

PER_LENGTH = 100.0
"""Screws of a hinge that is cut to length are counted by this. [mm]"""

Trouble = Literal["no leaves", "edge too short", "leaf too wide", "no wood for screws"]


@dataclass(frozen=True)
class Hanging:
    """A door on its hinges. Lengths in mm."""

    door: str
    host: str
    edge: DoorEdge
    part: str
    """Key of the hinge among the parts; "" where none is, and the usual one is reckoned with."""
    label: str
    """What the hinge is called."""
    hinge: Hardware
    length: float
    """Of the hung edge."""
    reach: float
    """From the hung edge to the free one."""
    gap: float
    thickness: float
    """Of the door."""
    bevel_deg: float
    """Of its free edge, its back the shorter. [degrees]"""
    rise: float
    """Of the pin over the door's show face."""
    rise_over_host: float
    """Of the pin over the outermost face round the door."""
    host_thickness: float
    """Of the panel's board and its overlays."""
    places: tuple[float, ...]
    """Middles of the hinges along the hung edge, from its lower or left end."""
    pin: Frame
    """On the pin, level with the hung edge's lower or left end: u along the door to its free edge, n outward."""
    along: Point3
    """Unit vector along the pin, from the lower or left end."""
    screw: ScrewSize | None
    """None where no screw bites enough."""
    room: float
    """Wood beside the opening that a screw through a leaf goes into, the least of all hinges."""
    wood_asked: float
    """Least wood that a screw of the shop for these leaves holds in without coming near its far side."""

    @property
    def leaf(self) -> float:
        """Length of each hinge."""
        return self.hinge.leaf or self.length

    @property
    def count(self) -> int:
        """How many hinges."""
        return len(self.places)

    @property
    def screws_a_leaf(self) -> int:
        """Screws in one leaf."""
        if self.hinge.leaf:
            return self.hinge.leaf_screws
        return max(2, math.ceil(self.length / PER_LENGTH) * self.hinge.leaf_screws)

    @property
    def let_in(self) -> float:
        """How deep each leaf goes into its edge, so that both together fill the gap; 0 where the gap is wide enough."""
        return max(self.hinge.leaf_thickness - self.gap / 2, 0.0)

    @property
    def sticks_out(self) -> float:
        """How far the leaves are wider than the edges that they lie on; 0 or less where they fit."""
        width = self.hinge.leaf_width
        return max(
            width - self.rise - self.thickness, width - self.rise_over_host - self.host_thickness
        )

    @property
    def gap_asked(self) -> float:
        """Least gap at the free edge in which its back corner swings free.

        Source:
            Plain geometry: the corner goes round the pin in a circle, and is farthest out where it leaves the opening.
            A bevel takes it back; then the front one counts too.
        """
        out = self.gap / 2 + self.reach
        off = self.thickness * math.tan(math.radians(self.bevel_deg))
        corners = ((out, self.rise), (out - off, self.thickness + self.rise))
        level = self.rise_over_host
        farthest = max(math.sqrt(x * x + y * y - min(level, y) ** 2) for x, y in corners)
        return farthest - out

    @property
    def bevel_asked(self) -> float:
        """Bevel of the free edge, its back the shorter, with which the door swings free in the gap it has. [degrees]

        Source:
            Plain geometry, as `gap_asked`.
        """
        out, back, level = (
            self.gap / 2 + self.reach,
            self.thickness + self.rise,
            self.rise_over_host,
        )
        free = math.sqrt(max((out + self.gap) ** 2 - back * back + level * level, 0.0))
        return math.degrees(math.atan2(max(out - free, 0.0), self.thickness))

    @property
    def trouble(self) -> Trouble | None:
        """What keeps the hinges from being fitted, the gravest first."""
        if not self.hinge.leaf_width:
            return "no leaves"
        if self.hinge.leaf and self.length < LEAST_EDGE * self.hinge.leaf - TOUCHING:
            return "edge too short"
        if self.sticks_out > TOUCHING:
            return "leaf too wide"
        if self.screw is None:
            return "no wood for screws"
        return None


def edge_of(door: Door) -> DoorEdge:
    """The edge a door hangs on: what is said, else the left one, or the top one of a door wider than high.

    Hung from its top a wide flap falls shut by itself, and its hinges have the longer edge.

    Example:
        >>> edge_of(Door(on="back", width=300, height=400)), edge_of(Door(on="back", width=400, height=300))
        ('left', 'top')
    """
    return door.hinged or ("top" if door.width > door.height else "left")


def hinge_part(project: Project, parts: Mapping[str, KnownPart]) -> tuple[str, Hardware, str]:
    """Key, sizes and label of the hinge that doors hang on: the first among the parts, else the usual one, key ""."""
    for key, known in parts.items():
        data, part = known.data, project.parts[key]
        if (
            isinstance(data, Hardware)
            and data.role == "hinge"
            and (part.quantity != 0 or part.have)
        ):
            return key, data, known.label
    usual = load_catalog().types[USUAL].data
    assert isinstance(usual, Hardware), "the catalog's own hinge"
    return "", usual, usual.label


def hang(
    project: Project,
    parts: Mapping[str, KnownPart],
    screws: Sequence[ScrewSize],
    pieces: Mapping[str, Piece],
    key: str,
) -> Hanging | None:
    """A door on its hinges; None for one that nothing or something else holds.

    Args:
        project: What the maker wants.
        parts: Its bought parts with every dimension settled.
        screws: Wood screws to choose from.
        pieces: All pieces by key, with what is cut into them.
        key: Key of the door.
    """
    wish = project.doors[key]
    door, host = pieces.get(key), pieces.get(wish.on)
    if wish.fixing != "hinges" or door is None or host is None:
        return None
    part, hinge, label = hinge_part(project, parts)
    edge = edge_of(wish)
    upright = edge in ("left", "right")
    length, reach = (wish.height, wish.width) if upright else (wish.width, wish.height)
    layers = [p for p in pieces.values() if p.kind == "overlay" and p.panel == host.key]
    top = max(host.frame.local(p.frame.origin)[2] for p in (host, *layers))
    proud = host.frame.local(door.frame.origin)[2]
    pin_at = max(top, proud) + hinge.knuckle / 2
    places = hinge_places(length, hinge.leaf)
    low_u, low_v, high_u, high_v = door.extent
    corner, into, along = {
        "left": ((low_u - wish.gap / 2, low_v), (1.0, 0.0), (0.0, 1.0)),
        "right": ((high_u + wish.gap / 2, low_v), (-1.0, 0.0), (0.0, 1.0)),
        "top": ((low_u, high_v + wish.gap / 2), (0.0, -1.0), (1.0, 0.0)),
        "bottom": ((low_u, low_v - wish.gap / 2), (0.0, 1.0), (1.0, 0.0)),
    }[edge]
    room = _wood_beside(host, key, corner, into, along, places, wish.gap / 2, hinge.leaf or 20.0)
    holding = _holding(screws, project, hinge)
    screw = _longest(holding, hinge, min(room, reach))
    asked = min((s.length for s in holding), default=0.0) - hinge.leaf_thickness + SHOW_FACE_ROOM
    u_way, way = _direction(host.frame, into), _direction(host.frame, along)
    n = host.frame.n
    return Hanging(
        door=key,
        host=host.key,
        edge=edge,
        part=part,
        label=label,
        hinge=hinge,
        length=length,
        reach=reach,
        gap=wish.gap,
        thickness=door.thickness,
        bevel_deg=wish.bevel_deg,
        rise=pin_at - proud,
        rise_over_host=pin_at - top,
        host_thickness=host.thickness + top,
        places=places,
        pin=Frame(host.frame.point(*corner, pin_at), u_way, _cross(n, u_way), n),
        along=way,
        screw=screw,
        room=room,
        wood_asked=max(asked, 0.0),
    )


def hangings(cabinet: Cabinet, project: Project | None = None) -> tuple[Hanging, ...]:
    """Every door that hangs on hinges.

    Args:
        cabinet: The cabinet.
        project: Its project, or one that differs from it in how doors hang.
    """
    project = project or cabinet.project
    screws = wood_screws(project.unit)
    found = (
        hang(project, cabinet.parts, screws, cabinet.piece_by_key, key) for key in project.doors
    )
    return tuple(one for one in found if one is not None)


def hinge_places(length: float, leaf: float) -> tuple[float, ...]:
    """Middles of the hinges along an edge, from its lower or left end. [mm]

    The outer ones sit a leaf's length from the ends, nearer where the edge is short (common practice).

    Example:
        >>> hinge_places(400, 50), hinge_places(140, 50), hinge_places(400, 0)
        ((75.0, 325.0), (35.0, 105.0), (200.0,))
    """
    if not leaf:
        return (length / 2,)
    count = 2 + (length > THIRD_FROM) + (length > FOURTH_FROM)
    first = min(1.5 * leaf, length / 4)
    step = (length - 2 * first) / (count - 1)
    return tuple(first + i * step for i in range(count))


def hinge_bodies(hanging: Hanging) -> Iterator[Body]:
    """The knuckles, which stand in front of the faces."""
    if not hanging.part or not hanging.hinge.knuckle:
        return
    pin, along = hanging.pin, hanging.along
    frame = Frame(pin.origin, pin.n, _cross(along, pin.n), along)
    for number, at in enumerate(hanging.places, start=1):
        half = hanging.leaf / 2
        yield Body(
            key=f"{hanging.door}.hinge{number}",
            owner=hanging.door,
            kind="solid",
            frame=frame,
            shape=Cylinder(0.0, 0.0, hanging.hinge.knuckle, at - half, at + half),
            label=hanging.label,
            look="metal",
            may_touch=(hanging.door, hanging.host),
        )


def hinge_screws(hanging: Hanging) -> Iterator[Fastening]:
    """Screws through the leaves, into the door's edge and into the edge of its opening."""
    screw, hinge = hanging.screw, hanging.hinge
    if not hanging.part or screw is None or hanging.trouble or not hanging.screws_a_leaf:
        return
    bite = screw.length - hinge.leaf_thickness
    for into, room in ((hanging.door, hanging.reach), (hanging.host, hanging.room)):
        yield Fastening(
            key=f"{hanging.door}.hinges.{into}",
            through=hanging.part,
            into=into,
            diameter=screw.diameter,
            length=screw.length,
            count=hanging.count * hanging.screws_a_leaf,
            head_stack=hinge.leaf_thickness,
            bite=bite,
            left=room - bite,
            pilot=pilot_diameter(screw),
            clearance=clearance_diameter(screw),
            name=screw.name,
        )


def hinges_asked(hung: Iterable[Hanging]) -> dict[str, float]:
    """By the key of each hinge among the parts: how many its doors take, or how many meters where it is cut."""
    asked: dict[str, float] = {}
    for one in hung:
        if one.part:
            more = float(one.count) if one.hinge.leaf else one.count * one.length / 1000
            asked[one.part] = asked.get(one.part, 0.0) + more
    return asked


def is_of_hinge(fastening: Fastening, door: str) -> bool:
    """Whether screws hold a hinge of that door."""
    return fastening.key.startswith(f"{door}.hinges.")


def _holding(
    screws: Sequence[ScrewSize], project: Project, hinge: Hardware
) -> tuple[ScrewSize, ...]:
    """Screws that suit the leaf's holes and bite enough."""
    if not hinge.leaf_screw:
        return ()
    size = min(NUMBERS, key=lambda d: abs(d - hinge.leaf_screw))
    diameter = wood_diameter(size, project.unit)
    return tuple(
        screw
        for screw in screws
        if abs(screw.diameter - diameter) < 0.05
        and screw.length <= LONGEST_SCREW * diameter + TOUCHING
        and screw.length - hinge.leaf_thickness >= NEARLY * BITE_DRY * diameter - 1e-9
    )


def _longest(screws: Sequence[ScrewSize], hinge: Hardware, room: float) -> ScrewSize | None:
    """The longest that leaves wood before its tip. [mm]"""
    fitting = [
        screw
        for screw in screws
        if screw.length - hinge.leaf_thickness <= room - SHOW_FACE_ROOM + 1e-9
    ]
    return max(fitting, key=lambda screw: screw.length, default=None)


def _wood_beside(
    host: Piece,
    door: str,
    corner: Point2,
    into: Point2,
    along: Point2,
    places: Sequence[float],
    half_gap: float,
    leaf: float,
) -> float:
    """Wood between the opening and the next hole or the board's edge, the least beside any hinge. [mm]"""
    outline = shapely.Polygon(host.show).intersection(shapely.Polygon(host.back))
    wood = outline.difference(
        shapely.union_all(
            [
                shapely.Polygon(cut_outline(cut_of(f), TOLERANCE))
                for f in host.features
                if f.depth is None and f.owner != door
            ]
        )
    )
    far = math.hypot(host.width, host.height)
    least = far
    for place in places:
        for at in (place - leaf / 2 + 5.0, place, place + leaf / 2 - 5.0):
            u, v = corner[0] + along[0] * at, corner[1] + along[1] * at
            start = (u - into[0] * half_gap, v - into[1] * half_gap)
            ray = shapely.LineString([start, (start[0] - into[0] * far, start[1] - into[1] * far)])
            parts = [g for g in shapely.get_parts(ray.intersection(wood)) if g.length > TOUCHING]
            near = [g for g in parts if g.distance(shapely.Point(start)) <= TOUCHING]
            least = min(least, near[0].length if near else 0.0)
    return least


def _direction(frame: Frame, way: Point2) -> Point3:
    a, b = way
    x, y, z = (a * i + b * j for i, j in zip(frame.u, frame.v, strict=True))
    return (x, y, z)


def _cross(a: Point3, b: Point3) -> Point3:
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def with_door(project: Project, key: str, **values: object) -> Project:
    """The project with some values of one door changed."""
    door = project.doors[key].model_copy(update=values)
    return project.model_copy(update={"doors": {**project.doors, key: door}})


__all__ = [
    "EDGES",
    "FOURTH_FROM",
    "LEAST_EDGE",
    "LONGEST_SCREW",
    "PER_LENGTH",
    "THIRD_FROM",
    "USUAL",
    "Hanging",
    "Trouble",
    "edge_of",
    "hang",
    "hangings",
    "hinge_bodies",
    "hinge_part",
    "hinge_places",
    "hinge_screws",
    "hinges_asked",
    "is_of_hinge",
    "with_door",
]
