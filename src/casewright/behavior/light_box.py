"""The light box of a sign: its lights, and how even they are on the diffuser."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from casewright.basics.remembering import Kept, remembered
from casewright.behavior.light_field import Floats, illuminance, mirrored_lights
from casewright.catalog.kinds import Sign, Strip
from casewright.geometry.sign_rows import StripRows, strip_rows

RIPPLE = 0.05
"""Most that single lights or rows may show: (brightest − darkest) ÷ (brightest + darkest) from light to light.

Common practice: a board as far behind the diffuser as the lights are apart, where it is 0.03.
"""

DARKEST = 0.4
"""Least light anywhere in the opening, by the mean: the overall uniformity asked of lit roads. Source: en-13201-2."""

FINE = 2
"""Points from light to light, at least."""

SMOOTH = 4
"""Points within the distance from board to sheet, where that is more: what is far off has no fine pattern."""

MOST_POINTS = 60
"""Points along half an opening, at most."""

MOST_LIGHTS = 10_000
"""Lights of one sign at most; past that, which no sign has, fewer stand for all of them."""

_TRIES = 24


@dataclass(frozen=True)
class LightBox:
    """What decides how a sign is lit. All lengths in mm, the middle of the opening at (0, 0)."""

    width: float
    """Opening along the rows."""
    height: float
    """Opening across them."""
    distance: float
    """Face of the light board behind the diffuser."""
    rows: StripRows
    row_pitch: float
    light_pitch: float
    """From light to light along the strip."""
    wall_width: float
    """Between the side walls, if there are any."""
    wall_height: float
    reflectance: float
    """Of the side walls; 0: none."""

    @cached_property
    def lights(self) -> Floats:
        """(n, 2) places of all lights: the first half a pitch from the strip's end."""
        found = []
        for row in self.rows.rows:
            count = max(round(row.length / self.light_pitch), 1)
            count = min(count, MOST_LIGHTS // len(self.rows.rows))
            along = (np.arange(count) - (count - 1) / 2) * row.length / count + row.along
            found.append(np.column_stack([along, np.full(count, row.across)]))
        return np.vstack(found) if found else np.empty((0, 2))

    def at(self, xs: Floats, ys: Floats) -> Floats:
        """Illuminance at the points of a grid, by what one light alone gives straight ahead. (rows, columns)"""
        lights, shares = self._sources
        field: Floats = illuminance(lights, xs, ys, self.distance, axial=shares) * self.distance**2
        return field

    @cached_property
    def _sources(self) -> tuple[Floats, Floats]:
        """Lights with all their images in the walls, and what is left of each."""
        walls = (self.wall_width, self.wall_height)
        groups = mirrored_lights(self.lights, walls, self.reflectance)
        shares = [np.full(len(lights), share) for share, lights in groups]
        return np.vstack([lights for _, lights in groups]), np.concatenate(shares)


@dataclass(frozen=True)
class Evenness:
    """Light over the opening, by its mean."""

    least: float
    most: float
    dots: float
    """Ripple from light to light along the middle of a row."""
    stripes: float
    """Ripple from row to row, between the outer ones."""


def light_box(data: Sign, strip: Strip) -> LightBox:
    """The light box of a sign: rows of whole cut units, walls at the artwork's edges or round the rows."""
    wished = data.opening_width if data.row_length is None else data.row_length
    rows = strip_rows(wished, strip.cut_unit, rows=data.rows, pitch=data.row_pitch)
    across = (data.rows - 1) * data.row_pitch + strip.width
    return LightBox(
        width=data.opening_width,
        height=data.opening_height,
        distance=data.board_distance,
        rows=rows,
        row_pitch=data.row_pitch,
        light_pitch=1000.0 / strip.lights_per_m,
        wall_width=max(data.opening_width + 2 * data.overlap, rows.row_length),
        wall_height=max(data.opening_height + 2 * data.overlap, across),
        reflectance=data.wall_reflectance,
    )


_BOXES: Kept[LightBox] = Kept(64)


def evenness_of(box: LightBox) -> tuple[Evenness, Floats, Floats, Floats]:
    """How even a light box is, and the field over a quarter of the opening: columns, rows, light by its mean.

    The rows lie evenly round the middle, so that one quarter tells all.
    """
    return _evenness(_BOXES.same(box))


@remembered(64)
def _evenness(box: LightBox) -> tuple[Evenness, Floats, Floats, Floats]:
    step = max(box.light_pitch / FINE, box.distance / SMOOTH)
    xs = np.linspace(0.0, box.width / 2, min(max(math.ceil(box.width / 2 / step), 8), MOST_POINTS))
    ys = np.linspace(0.0, box.height / 2, 6)
    field = box.at(xs, ys)
    # The mean by the trapezoid rule, so that edges count half.
    mean = float(np.trapezoid(np.trapezoid(field, xs), ys) / (xs[-1] * ys[-1]))
    field = field / mean
    found = Evenness(float(field.min()), float(field.max()), *ripples(box))
    return found, xs, ys, field


def distance_for(box: LightBox) -> float:
    """Least distance behind the diffuser at which neither lights nor rows show; infinite if there is none. [mm]"""

    def passes(distance: float) -> bool:
        return max(ripples(replace(box, distance=distance))) <= RIPPLE

    high = box.distance
    for _ in range(_TRIES):
        if passes(high):
            return _least(passes, box.distance, high)
        high *= 1.25
    return math.inf


def pitch_for(box: LightBox) -> float:
    """Widest pitch of rows at which they do not show; 0 if only the lights of one row do. [mm]"""

    def passes(less: float) -> bool:
        pitch = box.row_pitch - less
        rows = tuple(
            replace(row, across=row.across * pitch / box.row_pitch) for row in box.rows.rows
        )
        closer = replace(box, row_pitch=pitch, rows=replace(box.rows, rows=rows))
        return max(ripples(closer)) <= RIPPLE

    most = box.row_pitch * 0.8
    return box.row_pitch - _least(passes, 0.0, most) if passes(most) else 0.0


def reflectance_for(box: LightBox) -> float:
    """Least share that side walls must throw back for light enough at the edges, in steps of 0.05; or infinite."""
    steps = [n / 20 for n in range(1, 19)]

    def passes(share: float) -> bool:
        return lit(replace(box, reflectance=share)).least >= DARKEST

    if not passes(steps[-1]):
        return math.inf
    while len(steps) > 1:
        middle = len(steps) // 2
        steps = steps[:middle] if passes(steps[middle - 1]) else steps[middle:]
    return steps[0]


def row_length_for(box: LightBox, unit: float, most: float) -> float:
    """Shortest row of whole cut units with light enough at the edges, up to a longest one; or infinite. [mm]"""
    count = math.floor(most / unit + 1e-9)
    for units in range(box.rows.units + 1, count + 1):
        if lit(with_rows(box, unit, units)).least >= DARKEST:
            return units * unit
    return math.inf


def with_rows(box: LightBox, unit: float, units: int) -> LightBox:
    """The same box with as many rows of so many cut units each."""
    rows = strip_rows(units * unit, unit, rows=len(box.rows.rows), pitch=box.row_pitch)
    return replace(box, rows=rows, wall_width=max(box.wall_width, rows.row_length))


def _least(passes: Callable[[float], bool], low: float, high: float) -> float:
    """The least value that passes, between one that need not and one that does."""
    for _ in range(_TRIES):
        middle = (low + high) / 2
        low, high = (low, middle) if passes(middle) else (middle, high)
    return high


def lit(box: LightBox) -> Evenness:
    """How even a light box is."""
    return evenness_of(box)[0]


def ripples(box: LightBox) -> tuple[float, float]:
    """Ripple from light to light along the middle of a row, and from row to row across them.

    Lights lie evenly to both sides of the middle, so that half of a pitch and half of the rows tell all.
    """
    row = min((abs(row.across) for row in box.rows.rows), default=0.0)
    row = min(row, box.height / 2)
    outer = min((len(box.rows.rows) - 1) / 2 * box.row_pitch, box.height / 2)
    dots = box.at(np.linspace(0.0, box.light_pitch / 2, 9), np.array([row]))
    stripes = box.at(np.array([0.0]), np.linspace(0.0, outer, 17)) if outer > 0 else dots[:, :1]
    return _ripple(dots), _ripple(stripes)


def _ripple(light: Floats) -> float:
    low, high = float(light.min()), float(light.max())
    return (high - low) / (high + low) if high > 0 else 0.0


__all__ = [
    "DARKEST",
    "RIPPLE",
    "Evenness",
    "LightBox",
    "distance_for",
    "evenness_of",
    "light_box",
    "lit",
    "pitch_for",
    "reflectance_for",
    "ripples",
    "row_length_for",
    "with_rows",
]
