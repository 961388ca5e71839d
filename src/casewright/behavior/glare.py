"""Lamps and windows mirrored by a display's glass: which part of the picture an eye loses to them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from casewright.behavior.shading import Obstacles, shades
from casewright.behavior.throat import Throat, seen_area
from casewright.design.looking import Lamp
from casewright.design.parts import KnownPart
from casewright.design.project import Project
from casewright.geometry.model import Point3
from casewright.geometry.viewers import base_over_floor, front_and_underside

_SPECK = 1.0
"""Spots smaller than this are none. [mm²]"""


@dataclass(frozen=True)
class Light:
    """A lamp in its place."""

    number: int
    """In the project's list, from 0."""
    label: str
    lamp: Lamp
    at: Point3
    """In the cabinet frame. [mm]"""


@dataclass(frozen=True)
class Mirrored:
    """One lamp in the glass, for one eye."""

    light: Light
    spot: tuple[float, float]
    """Middle of its mirror image on the glass, in the picture's (u, v). [mm]"""
    radius: float
    """Of the image on the glass. [mm]"""
    off_deg: float
    """Between the lines of sight to the picture's middle and to the image."""
    area: shapely.Geometry
    """What of the picture it covers, where the eye sees the picture and the lamp reaches it; empty for no glare."""

    @property
    def is_seen(self) -> bool:
        """True where it covers some of the picture."""
        return bool(self.area.area > _SPECK)


def lights(project: Project, parts: Mapping[str, KnownPart], *, width: float) -> tuple[Light, ...]:
    """Every lamp that the project names, in the cabinet frame.

    Args:
        project: With its site.
        parts: For the feet.
        width: Over both sides; a lamp's `aside` is from its middle. [mm]
    """
    base = base_over_floor(project, parts).value if project.site.lamps else 0.0
    front, _ = front_and_underside(project)
    return tuple(
        Light(
            number,
            lamp.label or f"lamp {number + 1}",
            lamp,
            (width / 2 + lamp.aside, front - lamp.distance, lamp.height - base),
        )
        for number, lamp in enumerate(project.site.lamps)
    )


def mirrored(
    throat: Throat,
    obstacles: Obstacles,
    eye: Point3,
    seen: shapely.Geometry,
    all_lights: Sequence[Light],
) -> tuple[Mirrored, ...]:
    """Return every lamp's image in the glass, for one eye; none for lamps or eyes behind the glass.

    Args:
        throat: Picture and opening.
        obstacles: What can keep the lamp's light off the glass, such as a header.
        eye: In the picture's frame. [mm]
        seen: What the eye sees of the picture.
        all_lights: The lamps.

    Source:
        Law of reflection: the image is as far behind the glass as the lamp is before it. On the line from the eye (at
        height e over the glass) to the image (l below it) the glass is met at e ÷ (e + l) of the way.
    """
    found = []
    for light in all_lights:
        lamp = throat.frame.local(light.at)
        if lamp[2] <= 0 or eye[2] <= 0:
            continue
        share = eye[2] / (eye[2] + lamp[2])
        spot = (eye[0] + (lamp[0] - eye[0]) * share, eye[1] + (lamp[1] - eye[1]) * share)
        radius = light.lamp.size / 2 * share
        area: shapely.Geometry = shapely.Point(spot).buffer(radius, 32).intersection(seen)
        if area.area > _SPECK:
            area = area.intersection(seen_area(throat, lamp))
            for shade in shades(obstacles, lamp, throat.outline):
                area = area.difference(shade.area)
        found.append(Mirrored(light, spot, radius, _apart_deg(eye, spot), area))
    return tuple(found)


def clear_distance(
    throat: Throat, eyes: Sequence[Point3], light: Light, *, step: float = 10.0, most: float = 4e3
) -> float | None:
    """Return the lamp's distance in front of the cabinet, nearest to what it is, that mirrors it to nobody.

    Args:
        throat: Picture and opening; the opening is not counted on.
        eyes: Of those who look, in the picture's frame. [mm]
        light: The lamp.
        step: Of the search. [mm]
        most: How far to either side it is looked for. [mm]

    Returns:
        For `site.lamps.*.distance` [mm]; None where moving it so does not help.
    """
    whole = round(light.lamp.distance / step) * step
    shifts = np.arange(whole - most, whole + most + step / 2, step) - light.lamp.distance
    ahead = throat.frame.local((light.at[0], light.at[1] - 1.0, light.at[2]))
    here = throat.frame.local(light.at)
    way = np.array(ahead) - np.array(here)
    places = np.array(here) + shifts[:, None] * way
    before = places[:, 2] > 0
    free: NDArray[np.bool_] = np.ones(len(shifts), dtype=np.bool_)
    half = np.array([throat.width / 2, throat.height / 2])
    for eye in eyes:
        if eye[2] <= 0:
            continue
        share = eye[2] / (eye[2] + np.where(before, places[:, 2], 1.0))
        spots = np.array(eye[:2]) + (places[:, :2] - np.array(eye[:2])) * share[:, None]
        past = np.maximum(np.abs(spots) - half, 0.0)
        clear = np.hypot(past[:, 0], past[:, 1]) >= light.lamp.size / 2 * share
        free &= clear | ~before
    found = shifts[free]
    if not len(found):
        return None
    return float(light.lamp.distance + found[np.argmin(np.abs(found))])


def clear_lean(
    throat: Throat,
    eyes: Sequence[Point3],
    light: Light,
    *,
    least_deg: float,
    most_deg: float,
    spare_deg: float = 1.0,
) -> float | None:
    """Return by how much further back to lay the picture so that it mirrors the lamp to nobody. [deg]

    The picture turns about its lower edge, eyes and lamp stay; the opening is not counted on.

    Args:
        throat: Picture and opening.
        eyes: Of those who look, in the picture's frame. [mm]
        light: The lamp.
        least_deg: Least turn that is looked at; below 0 is toward upright.
        most_deg: Most turn.
        spare_deg: Added beyond the first that does, as eyes and screen do not stay quite where they are.

    Returns:
        The smallest turn that does with what is to spare; None where none does.

    Source:
        Law of reflection, as `mirrored`.
    """
    lamp = throat.frame.local(light.at)
    turns = np.arange(math.ceil(least_deg), math.floor(most_deg) + 0.1)
    clear = [
        turn
        for turn in turns.tolist()
        if all(
            _is_clear(
                throat, _leaned(throat, eye, turn + more), _leaned(throat, lamp, turn + more), light
            )
            for eye in eyes
            for more in (-spare_deg, 0.0, spare_deg)
        )
    ]
    return min(clear, key=abs, default=None)


def _leaned(throat: Throat, point: Point3, turn_deg: float) -> Point3:
    """A point in the frame of the picture once that leans further back about its lower edge."""
    a, up = math.radians(turn_deg), point[1] + throat.height / 2
    return (
        point[0],
        up * math.cos(a) - point[2] * math.sin(a) - throat.height / 2,
        point[2] * math.cos(a) + up * math.sin(a),
    )


def _is_clear(throat: Throat, eye: Point3, lamp: Point3, light: Light) -> bool:
    """Whether the lamp's image lies off the picture for one eye."""
    if lamp[2] <= 0 or eye[2] <= 0:
        return True
    share = eye[2] / (eye[2] + lamp[2])
    spot = [e + (at - e) * share for e, at in zip(eye[:2], lamp[:2], strict=True)]
    past = [
        max(abs(at) - half / 2, 0.0)
        for at, half in zip(spot, (throat.width, throat.height), strict=True)
    ]
    return math.hypot(*past) >= light.lamp.size / 2 * share


def shade_depth(throat: Throat, images: Sequence[Mirrored], light: Light) -> float | None:
    """Return how far a shade over the opening must stand out of the panel's face to keep the lamp off its image. [mm]

    Args:
        throat: Picture and opening.
        images: The lamp's images in the glass that are seen.
        light: The lamp.

    Returns:
        None where the lamp is not over the opening's upper edge, so that no shade there is in its way.

    Source:
        Plain geometry: the ray from the lamp's lowest point to the image's lowest point passes under the shade's edge.

            lamp ·
                   `·  shade
                      `·|____ opening's upper edge
                          `·|
                             ` image
    """
    _, v, n = throat.frame.local(light.at)
    low = v - light.lamp.size / 2
    top = throat.levels[-1].sides[3] if throat.levels else throat.height / 2
    asked = []
    for image in images:
        foot = max(float(image.area.bounds[1]), -throat.height / 2)
        if low <= top or n <= 0:
            return None
        asked.append(n * (top - foot) / (low - foot))
    return max(asked) - throat.depth if asked else None


def _apart_deg(eye: Point3, spot: tuple[float, float]) -> float:
    """Angle at the eye between the picture's middle and a point of the glass."""
    one = np.array([-eye[0], -eye[1], -eye[2]])
    two = np.array([spot[0] - eye[0], spot[1] - eye[1], -eye[2]])
    cosine = float(one @ two / (np.linalg.norm(one) * np.linalg.norm(two)))
    return math.degrees(math.acos(min(max(cosine, -1.0), 1.0)))


__all__ = [
    "Light",
    "Mirrored",
    "clear_distance",
    "clear_lean",
    "lights",
    "mirrored",
    "shade_depth",
]
