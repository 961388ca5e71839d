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
in it, sin θ = 1.52 · sin θ′. Clear sheets before the opening shift the line of sight, see `clear_sheets`: θ is then its
lean in the air between them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from typing import Literal

import numpy as np
import shapely

from casewright.behavior.clear_sheets import ClearSheet, inset, sheets_before, shift, slope_to
from casewright.catalog.kinds import Display
from casewright.geometry.cuts import cut_of, profile_of
from casewright.geometry.facets import shape_points
from casewright.geometry.model import Box, Cabinet, Frame, Placed, Point3, Rectangle
from casewright.geometry.openings import corner_margin

EdgeName = Literal["left", "lower", "right", "upper"]
EDGES: tuple[EdgeName, ...] = ("left", "lower", "right", "upper")
"""Edges of a picture as it stands."""

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
    sheets: tuple[ClearSheet, ...] = ()
    """Clear sheets before it, from the glass outward."""

    def above(self, depth: float) -> tuple[ClearSheet, ...]:
        """Sheets farther from the glass than a level."""
        return tuple(sheet for sheet in self.sheets if sheet.depth > depth - _FLAT)

    def below(self, depth: float) -> tuple[ClearSheet, ...]:
        """Sheets nearer to the glass than a level."""
        return tuple(sheet for sheet in self.sheets if sheet.depth <= depth - _FLAT)

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
        sheets_before(cabinet, frame),
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
    sheets: tuple[ClearSheet, ...] = ()
    """All before the picture."""
    touching: float = 0.0
    """Slope in air of the line that touches the deciding level: outward per unit toward the viewer."""
    shifted: float = 0.0
    """What the sheets add to `hidden`: less than 0 where more is seen for them. [mm]"""

    @property
    def more(self) -> float:
        """How much further out the opening's edge would have to be so that nothing is hidden. [mm]"""
        if self.hidden <= 0:
            return 0.0
        below = [sheet for sheet in self.sheets if sheet.depth <= self.depth - _FLAT]
        slope = self.slope
        return slope * self.depth - shift(slope, below) + self.inset - self.margin

    @property
    def touching_inset(self) -> float:
        """How far the line that touches the deciding level goes outward in the glass. [mm]"""
        return inset(self.touching, self.glass)

    @property
    def slope(self) -> float:
        """The line of sight at this edge, in air: outward per unit toward the viewer."""
        slope = slope_to(self.beyond, self.over, self.sheets)
        for _ in range(4 if self.glass else 0):  # what the glass takes is small: it settles at once
            slope = slope_to(self.beyond - inset(slope, self.glass), self.over, self.sheets)
        return slope

    @property
    def inset(self) -> float:
        """How far the line of sight goes outward in the glass. [mm]"""
        return inset(self.slope, self.glass)


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
        worst = EdgeSeen(name, beyond, over, 0.0, 0.0, -math.inf, throat.glass, throat.sheets)
        for level in throat.levels:
            if level.depth >= over - _FLAT:
                continue
            margin = outward * (level.sides[index] - edge)
            straight = (beyond * level.depth - margin * over) / (over - level.depth)
            slope, reach = _way(throat, beyond - margin, over, level.depth)
            hidden = reach - margin
            if hidden > worst.hidden:
                shifted = hidden - straight - inset(slope, throat.glass)
                worst = replace(
                    worst,
                    depth=level.depth,
                    margin=margin,
                    hidden=hidden,
                    touching=slope,
                    shifted=shifted if throat.sheets else 0.0,
                )
        found.append(worst)
    return tuple(found)


def _way(throat: Throat, aside: float, over: float, depth: float) -> tuple[float, float]:
    """Of the line from an eye past an edge: its slope in air, and how far it goes on to the side to the picture. [mm]

    Args:
        throat: Picture and sheets.
        aside: Eye to the side of the edge. [mm]
        over: Eye over the glass. [mm]
        depth: Edge over the glass. [mm]
    """
    slope = slope_to(aside, over - depth, throat.above(depth))
    return slope, slope * depth - shift(slope, throat.below(depth)) + inset(slope, throat.glass)


@lru_cache(maxsize=1024)
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
            side - _way(throat, eye[i % 2] - side, over, level.depth)[1]
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
        slope × depth at the outer face, where the opening is wider by the chamfer. A clear sheet between the layers
        that are cut makes it a little less, which is left out.
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
    "EdgeName",
    "EdgeSeen",
    "Level",
    "Throat",
    "edges_seen",
    "least_chamfer",
    "least_margin",
    "seen_area",
    "throat_of",
]
