"""Each display as everybody sees it: through the opening, past the cabinet, at which angle, with which glare."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import shapely

from casewright.behavior.abreast import everybody_at
from casewright.behavior.clear_sheets import light_through
from casewright.behavior.glare import Light, Mirrored, mirrored
from casewright.behavior.shading import Obstacles, Shade, obstacles_of, shades
from casewright.behavior.throat import (
    EdgeSeen,
    Throat,
    edges_seen,
    least_chamfer,
    least_margin,
    seen_area,
    throat_of,
)
from casewright.catalog.kinds import Display
from casewright.geometry.display_face import display_face, display_opening
from casewright.geometry.model import Cabinet, Placed, Point3
from casewright.geometry.viewers import Viewer

FACE_LEAST_DEG = 45.0
"""Least angle between a line of sight and the display's face. Source: nureg-0700."""

LEVEL_DEG = (-40.0, 20.0)
"""Lines of sight to what is often looked at, below and above level. Source: nureg-0700."""

ASIDE_DEG = 35.0
"""Most that a line of sight is off to the side. Source: nureg-0700."""


@dataclass(frozen=True)
class View:
    """One display as one person sees it."""

    number: int
    """Of the person in the project's list, from 1."""
    viewer: Viewer
    eye: Point3
    """In the picture's frame: u right, v up from its middle, n over the glass. [mm]"""
    edges: tuple[EdgeSeen, ...]
    """Left, lower, right and upper edge of the opening; none where the eye is behind the glass."""
    seen: shapely.Geometry
    """Of the lit area, past everything, in its (u, v)."""
    shades: tuple[Shade, ...]
    """What of the cabinet hides some of the picture, besides the opening."""
    mirrored: tuple[Mirrored, ...]
    area: float
    """Of the whole picture. [mm²]"""
    level_deg: float
    """Line of sight to the picture's middle, over level; it looks down where negative."""
    light: float = 1.0
    """Share of the picture's light that comes through the clear sheets before it, 0 to 1."""

    @property
    def share(self) -> float:
        """Of the picture that is seen, 0 to 1."""
        return float(self.seen.area) / self.area

    @property
    def hidden(self) -> float:
        """Most that the opening hides at one edge. [mm]"""
        return max((edge.hidden for edge in self.edges), default=0.0)

    @property
    def distance(self) -> float:
        """Eye to the picture's middle. [mm]"""
        return math.hypot(*self.eye)

    @property
    def off_square_deg(self) -> float:
        """Between the line of sight to the picture's middle and the square to the glass; over 90 from behind."""
        return math.degrees(math.atan2(math.hypot(self.eye[0], self.eye[1]), self.eye[2]))


@dataclass(frozen=True)
class Tilt:
    """How far the screen leans back, and what the eyes ask. [degrees from upright]"""

    now_deg: float
    elevations: tuple[tuple[str, float], ...]
    """Label of everybody, and the eye over the picture's middle as an angle over level."""

    @property
    def best_deg(self) -> float:
        """Where the highest and the lowest eye are equally far off square."""
        angles = [angle for _, angle in self.elevations]
        return (max(angles) + min(angles)) / 2

    @property
    def least_deg(self) -> float:
        """Least at which the highest eye is within the limit; more than `most_deg` where nothing serves all."""
        return max(angle for _, angle in self.elevations) - (90.0 - FACE_LEAST_DEG)

    @property
    def most_deg(self) -> float:
        """Most at which the lowest eye is within the limit."""
        return min(angle for _, angle in self.elevations) + (90.0 - FACE_LEAST_DEG)


@dataclass(frozen=True)
class Sighting:
    """One display with everybody who looks at it."""

    key: str
    label: str
    placed: Placed
    throat: Throat
    views: tuple[View, ...]
    chamfer: float
    """As wished, across the outer face. [mm]"""
    margins: tuple[float, float]
    """Opening beyond the lit area, at each side and above and below. [mm]"""
    through: float
    """Thickness that the opening goes through. [mm]"""
    bezels: tuple[float, float, float, float]
    """Housing beyond the lit area: left, lower, right, upper. [mm]"""
    tilt: Tilt | None
    """None where the screen looks to a side, up or down."""
    obstacles: Obstacles

    @cached_property
    def playing(self) -> tuple[View, ...]:
        """Of those who play; of all where nobody does."""
        return tuple(v for v in self.views if v.viewer.plays) or self.views

    def margin_asked(self, chamfer: float, *, up: bool) -> float:
        """Least margin that hides nothing from those who play, with that chamfer. [mm]

        Args:
            chamfer: Across the outer face. [mm]
            up: True for the lower and upper edge, False for left and right.
        """
        return max(
            (least_margin(e, self.throat.depth, chamfer) for e in self._edges(up)), default=0.0
        )

    @cached_property
    def chamfer_asked(self) -> float:
        """Least chamfer that hides nothing from those who play, with the margins as they are. [mm]"""
        return max(
            (
                least_chamfer(edge, self.throat.depth, margin)
                for up, margin in enumerate(self.margins)
                for edge in self._edges(bool(up))
            ),
            default=0.0,
        )

    def steepest(self, *, up: bool) -> float:
        """Of the lines of sight of those who play: outward per unit toward the eye, 0 where none leads outward."""
        return max((max(edge.slope, 0.0) for edge in self._edges(up)), default=0.0)

    def inset(self, *, up: bool) -> float:
        """Most that a line of sight of those who play goes outward in the glass over the picture. [mm]"""
        return max((max(edge.inset, 0.0) for edge in self._edges(up)), default=0.0)

    def _edges(self, up: bool) -> list[EdgeSeen]:
        names = ("lower", "upper") if up else ("left", "right")
        return [edge for view in self.playing for edge in view.edges if edge.name in names]


def sightings_of(cabinet: Cabinet, all_lights: Sequence[Light] = ()) -> tuple[Sighting, ...]:
    """Return every display of a cabinet with everybody in front of it.

    Source:
        Plain geometry, see `throat`, `shading` and `glare`; glass over the picture and clear sheets before the
        opening by Snell's law. Both are left out where boards far off cast shadows: they are small beside those.
    """
    everybody = everybody_at(cabinet)
    return tuple(
        made
        for placed in cabinet.placed
        if isinstance(placed.part.data, Display)
        and (made := _sighting(cabinet, placed, placed.part.data, everybody, all_lights))
    )


def view_of(
    throat: Throat,
    obstacles: Obstacles,
    number: int,
    viewer: Viewer,
    all_lights: Sequence[Light] = (),
) -> View:
    """One display as one person sees it; the person may stand anywhere, for what-if questions."""
    eye = throat.frame.local(viewer.eye)
    seen: shapely.Geometry = seen_area(throat, eye)
    hiding = shades(obstacles, eye, throat.outline)
    for shade in hiding:
        seen = seen.difference(shade.area)
    images = mirrored(throat, obstacles, eye, seen, all_lights) if all_lights else ()
    area = throat.width * throat.height
    level = math.degrees(
        math.atan2(
            throat.frame.origin[2] - viewer.eye[2],
            math.dist(throat.frame.origin[:2], viewer.eye[:2]),
        )
    )
    made = View(number, viewer, eye, edges_seen(throat, eye), seen, hiding, images, area, level)
    if not throat.sheets or eye[2] <= 0:
        return made
    return replace(made, light=light_through(throat.sheets, made.off_square_deg))


def _sighting(
    cabinet: Cabinet,
    placed: Placed,
    data: Display,
    everybody: Sequence[Viewer],
    all_lights: Sequence[Light],
) -> Sighting | None:
    throat = throat_of(cabinet, placed)
    if throat is None:
        return None
    face = display_face(data, placed.turn_deg)
    opening = display_opening(placed.wish.opening, face)
    obstacles = obstacles_of(cabinet, placed, throat.frame)
    through = sum(
        piece.thickness
        for piece in cabinet.pieces
        if any(f.owner == placed.key and f.kind == "opening" for f in piece.features)
    )
    return Sighting(
        key=placed.key,
        label=placed.label,
        placed=placed,
        throat=throat,
        views=tuple(
            view_of(throat, obstacles, number, viewer, all_lights)
            for number, viewer in enumerate(everybody, start=1)
        ),
        chamfer=placed.wish.opening.chamfer if placed.wish.opening else 0.0,
        margins=(
            (opening[0] - face.lit.width) / 2,
            (opening[1] - face.lit.height) / 2,
        ),
        through=through,
        bezels=face.bezels,
        tilt=_tilt(throat, everybody),
        obstacles=obstacles,
    )


def _tilt(throat: Throat, everybody: Sequence[Viewer]) -> Tilt | None:
    """Angles in the side view, about the picture's middle."""
    x, y, z = throat.frame.n
    if abs(x) > 1e-6 or -y < 0.05:
        return None
    _, middle_y, middle_z = throat.frame.origin
    return Tilt(
        math.degrees(math.atan2(z, -y)),
        tuple(
            (
                viewer.label,
                math.degrees(math.atan2(viewer.eye[2] - middle_z, middle_y - viewer.eye[1])),
            )
            for viewer in everybody
        ),
    )


__all__ = [
    "ASIDE_DEG",
    "FACE_LEAST_DEG",
    "LEVEL_DEG",
    "Sighting",
    "Tilt",
    "View",
    "sightings_of",
    "view_of",
]
