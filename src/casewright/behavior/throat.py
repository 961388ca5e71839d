"""Seeing through the throat of an opening: what its edges hide of a flat picture behind it, for one eye.

Everything is in the picture's own frame: u right and v up from its middle as seen from the front, n from the glass
toward the viewer. A cut through its right edge; s is counted outward from the picture's edge:

                                  ● eye: s = s_e, n = H
                              .´
                          .´  ____ outer face
                      .´   .´      chamfer
                  .´      |        n = depth, s = margin
              .´          |
    ======x===========●========== glass, n = 0
          |  hidden   | s = 0

    hidden = (s_e · depth − margin · H) ÷ (H − depth)

Glass over the picture, of thickness t, adds t · tan θ′ to it: the line of sight leans by θ before the glass and by θ′
in it, sin θ = 1.52 · sin θ′.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

import numpy as np
import shapely

from casewright.catalog.kinds import Display
from casewright.geometry.cuts import cut_of, profile_of
from casewright.geometry.facets import shape_points
from casewright.geometry.model import Box, Cabinet, Frame, Placed, Point3, Rectangle
from casewright.geometry.openings import corner_margin

EdgeName = Literal["left", "lower", "right", "upper"]
EDGES: tuple[EdgeName, ...] = ("left", "lower", "right", "upper")
"""Edges of a picture as it stands."""

GLASS_INDEX = 1.52
"""Refractive index of window glass; acrylic 1.49. Source: common practice, tables of optics."""

_FLAT = 1e-6
"""Levels nearer than this are one. [mm]"""

_FACETS = 0.02
"""Facets may be off a round corner by this. [mm]"""


@dataclass(frozen=True)
class Level:
    """The outline of an opening at one depth: a rectangle with round corners."""

    depth: float
    """Over the glass, toward the viewer. [mm, 0 or more]"""
    sides: tuple[float, float, float, float]
    """u of the left side, v of the lower, u of the right, v of the upper. [mm]"""
    radius: float


@dataclass(frozen=True)
class Throat:
    """A picture and the opening before it."""

    frame: Frame
    """Origin in the middle of the lit area, on the glass."""
    width: float
    height: float
    levels: tuple[Level, ...]
    """From the glass outward; straight walls between them."""
    depth: float
    """From the glass to the outermost face that the opening goes through. [mm]"""
    glass: float = 0.0
    """Thickness of clear glass between its front, where n = 0, and the picture. [mm]"""

    @property
    def outline(self) -> tuple[float, float, float, float]:
        """The lit area's left, lower, right and upper edge. [mm]"""
        return (-self.width / 2, -self.height / 2, self.width / 2, self.height / 2)


def throat_of(cabinet: Cabinet, placed: Placed) -> Throat | None:
    """Return the throat before a display, as its opening was really cut; None where the part shows no picture.

    Args:
        cabinet: With the display's lit body and the features of every layer.
        placed: The display.
    """
    lit = next((b for b in cabinet.bodies if b.owner == placed.key and b.look == "lit"), None)
    if lit is None or not isinstance(lit.shape, Box) or not isinstance(placed.part.data, Display):
        return None
    shape = lit.shape
    origin = lit.frame.point(shape.u, shape.v, shape.n_high)
    frame = Frame(origin, lit.frame.u, lit.frame.v, lit.frame.n)
    found: list[Level] = []
    for piece in cabinet.pieces:
        for feature in piece.features:
            cut = feature.shape
            if feature.owner != placed.key or feature.kind != "opening":
                continue
            assert isinstance(cut, Rectangle), "a display's opening is a rectangle"
            for grow, below in profile_of(cut_of(feature), piece.thickness):
                n = -below if feature.face == "show" else below - piece.thickness
                u, v, depth = frame.local(piece.frame.point(cut.u, cut.v, n))
                half = (cut.width / 2 + grow, cut.height / 2 + grow)
                sides = (u - half[0], v - half[1], u + half[0], v + half[1])
                found.append(Level(depth, sides, cut.radius + grow if cut.radius else 0.0))
    found.sort(key=lambda level: level.depth)
    levels = tuple(_before_the_glass(found))
    return Throat(
        frame,
        shape.width,
        shape.height,
        levels,
        max((e.depth for e in levels), default=0.0),
        placed.part.data.glass,
    )


def _before_the_glass(levels: Sequence[Level]) -> list[Level]:
    """Levels from the glass outward: what a pocket takes behind it goes, with one more level on the glass itself."""
    kept = [replace(level, depth=max(level.depth, 0.0)) for level in levels if level.depth > -_FLAT]
    for low, high in pairwise(levels):
        if low.depth < -_FLAT and high.depth > _FLAT:
            share = -low.depth / (high.depth - low.depth)

            def between(a: float, b: float, share: float = share) -> float:
                return a + (b - a) * share

            one, two, three, four = (
                between(a, b) for a, b in zip(low.sides, high.sides, strict=True)
            )
            kept.insert(0, Level(0.0, (one, two, three, four), between(low.radius, high.radius)))
    return kept


@dataclass(frozen=True)
class EdgeSeen:
    """One edge of the picture, for one eye."""

    name: EdgeName
    beyond: float
    """Eye outward of the picture's edge; negative where it is inward of it. [mm]"""
    over: float
    """Eye over the glass. [mm]"""
    depth: float
    """Of the level that decides, over the glass. [mm]"""
    margin: float
    """That level's edge outward of the picture's. [mm]"""
    hidden: float
    """Of the picture; negative: so much beside the picture is seen as well. [mm]"""
    glass: float = 0.0
    """Over the picture. [mm]"""

    @property
    def more(self) -> float:
        """How much further out the opening's edge would have to be so that nothing is hidden. [mm]"""
        return max(self.hidden, 0.0) * (self.over - self.depth) / self.over

    @property
    def touching_inset(self) -> float:
        """How far the line that touches the deciding level goes outward in the glass. [mm]"""
        return inset((self.beyond - self.margin) / (self.over - self.depth), self.glass)

    @property
    def slope(self) -> float:
        """The line of sight at this edge, before the glass: outward per unit toward the viewer."""
        slope = self.beyond / self.over
        for _ in range(4 if self.glass else 0):  # what the glass takes is small: it settles at once
            slope = (self.beyond - inset(slope, self.glass)) / self.over
        return slope

    @property
    def inset(self) -> float:
        """How far the line of sight goes outward in the glass. [mm]"""
        return inset(self.slope, self.glass)


def inset(slope: float, glass: float) -> float:
    """How far a line of sight goes sideways in glass. [mm]

    Args:
        slope: Sideways per unit toward the viewer, before the glass.
        glass: Its thickness. [mm]

    Source:
        Snell's law, sin θ = n · sin θ′, with `GLASS_INDEX`.

    Example:
        >>> round(inset(1.0, 3.0), 2)
        1.58
    """
    if not glass or not slope:
        return 0.0
    sine = slope / math.hypot(1.0, slope) / GLASS_INDEX
    return glass * sine / math.sqrt(1 - sine * sine)


def edges_seen(throat: Throat, eye: Point3) -> tuple[EdgeSeen, ...]:
    """What each edge of the opening hides; nothing for an eye behind the glass.

    Args:
        throat: Picture and opening.
        eye: In the picture's frame. [mm]

    Source:
        Plain geometry: the shadow of an edge on the glass, by similar triangles. Walls are straight between two levels
        and so is the line of sight: what passes both passes all between.
    """
    over = eye[2]
    if over <= 0:
        return ()
    found = []
    for index, name in enumerate(EDGES):
        outward = -1.0 if index < 2 else 1.0
        edge = throat.outline[index]
        beyond = outward * (eye[index % 2] - edge)
        worst = EdgeSeen(name, beyond, over, 0.0, 0.0, -float("inf"), throat.glass)
        for level in throat.levels:
            if level.depth >= over - _FLAT:
                continue
            margin = outward * (level.sides[index] - edge)
            hidden = (beyond * level.depth - margin * over) / (over - level.depth)
            slope = (beyond - margin) / (over - level.depth)  # of the line that touches this level
            hidden += inset(slope, throat.glass)
            if hidden > worst.hidden:
                worst = EdgeSeen(name, beyond, over, level.depth, margin, hidden, throat.glass)
        found.append(worst)
    return tuple(found)


def seen_area(throat: Throat, eye: Point3) -> shapely.Polygon:
    """The part of the lit area that the opening lets an eye see, on the glass, round corners in facets."""
    seen = shapely.box(*throat.outline)
    over = eye[2]
    if over <= 0:
        return shapely.Polygon()
    for level in throat.levels:
        if level.depth >= over - _FLAT:
            continue
        grown = over / (over - level.depth)
        left, lower, right, upper = (
            eye[i % 2]
            + (side - eye[i % 2]) * grown
            - inset((eye[i % 2] - side) / (over - level.depth), throat.glass)
            for i, side in enumerate(level.sides)
        )
        # Its round corners reach in by no more than this along each side.
        corner = corner_margin(level.radius * grown)
        if (
            left + corner <= throat.outline[0]
            and lower + corner <= throat.outline[1]
            and right - corner >= throat.outline[2]
            and upper - corner >= throat.outline[3]
        ):
            continue
        middle = ((left + right) / 2, (lower + upper) / 2)
        shape = Rectangle(*middle, right - left, upper - lower, level.radius * grown)
        corners = np.array(shape_points(shape, tolerance=_FACETS))
        seen = seen.intersection(shapely.polygons(corners))
    return seen


def least_margin(edge: EdgeSeen, depth: float, chamfer: float) -> float:
    """Margin of an opening, with a 45° chamfer from its outer face, that hides nothing at this edge. [mm]

    Args:
        edge: For the line of sight.
        depth: From the glass to the outer face. [mm]
        chamfer: Across the outer face. [mm, 0 to depth]

    Source:
        Plain geometry: the line of sight has gone slope × (depth − chamfer) outward where the chamfer begins, and
        slope × depth at the outer face, where the opening is wider by the chamfer.
    """
    slope = max(edge.slope, 0.0)
    return max(slope * (depth - chamfer), slope * depth - chamfer, 0.0) + max(edge.inset, 0.0)


def least_chamfer(edge: EdgeSeen, depth: float, margin: float) -> float:
    """Chamfer at 45° that hides nothing at this edge, with the margin as it is. [mm]

    It may be more than the panel can be given: look at what it leaves.

    Source:
        Plain geometry: `least_margin`, solved for the chamfer.
    """
    slope, within = edge.slope, edge.inset
    if slope <= 0 or slope * depth <= margin - within:
        return 0.0
    return max(depth - (max(margin, 0.0) - within) / slope, slope * depth - (margin - within))


__all__ = [
    "EDGES",
    "GLASS_INDEX",
    "EdgeName",
    "EdgeSeen",
    "Level",
    "Throat",
    "edges_seen",
    "inset",
    "least_chamfer",
    "least_margin",
    "seen_area",
    "throat_of",
]
