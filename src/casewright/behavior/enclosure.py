"""The walls round the air inside: how large they are, how they lie, and how they let heat through."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from casewright.catalog.load import Catalog
from casewright.design.project import Project
from casewright.geometry.facets import signed_area
from casewright.geometry.inside import clear_inside
from casewright.geometry.model import Cabinet, Piece, Point2

Flow = Literal["level", "up", "down"]
"""Which way heat leaves through a wall."""

FILM: Mapping[Flow, float] = {"level": 0.13, "up": 0.10, "down": 0.17}
"""Resistance of the still air at one face of a wall, radiation included. [m²·K/W] Source: iso-6946, table 7."""

CONDUCTIVITY = 0.13
"""Of a board whose species is not in the catalog, as MDF. [W/(m·K)]"""

BATTEN_CONDUCTIVITY = 0.12
"""Of softwood across the grain. [W/(m·K)] Source: common practice."""

_SLOPE = 0.5
"""A wall counts as level from 30° of slope on: iso-6946, 6.8. Sine of 30°."""

_NEAR = 0.05  # mm


@dataclass(frozen=True)
class Wall:
    """One wall of the inside."""

    key: str
    """Of its panel or side."""
    label: str
    area_m2: float
    """Of its inner face, openings and what fills them included."""
    resistance: float
    """Of the boards alone, face to face. [m²·K/W]"""
    flow: Flow
    exposed: bool = True
    """False where it lies on something: no heat is counted through it."""

    @property
    def loss_w_k(self) -> float:
        """Watts that pass for each degree between the air inside and outside."""
        if not self.exposed:
            return 0.0
        return self.area_m2 / (self.resistance + 2 * FILM[self.flow])


@dataclass(frozen=True)
class Enclosure:
    """The air inside and its walls."""

    outline: tuple[Point2, ...] = ()
    """Clear inside in the side view (y, z), counter-clockwise; empty where nothing is enclosed."""
    left: float = 0.0
    """x between which the air is. [mm]"""
    right: float = 0.0
    walls: tuple[Wall, ...] = ()
    gaps: tuple[tuple[float, float, float], ...] = ()
    """Runs of the outline that no panel closes: area [mm²], lowest and highest z [mm]."""

    @property
    def width(self) -> float:
        """From side to side. [mm]"""
        return max(self.right - self.left, 0.0)

    @property
    def volume(self) -> float:
        """Of the empty inside. [mm³]"""
        return abs(signed_area(self.outline)) * self.width if len(self.outline) > 2 else 0.0

    @property
    def low(self) -> float:
        """Least z of the air. [mm]"""
        return min((z for _, z in self.outline), default=0.0)

    @property
    def high(self) -> float:
        """Most z of the air. [mm]"""
        return max((z for _, z in self.outline), default=0.0)


def enclosure_of(cabinet: Cabinet, catalog: Catalog) -> Enclosure:
    """The clear inside with its walls.

    The base counts only where feet or legs lift it, the back only where the cabinet does not hang on a wall.

    Source:
        Plain geometry; resistances of films: iso-6946.
    """
    corners = tuple(cabinet.shape.corners.values())
    outline = clear_inside(corners, cabinet.slabs) if len(corners) > 2 else ()
    if len(outline) < 3:
        return Enclosure()
    sides = [piece for piece in cabinet.pieces if piece.kind == "side"]
    thick = {piece.key: piece.thickness for piece in sides}
    left = thick.get("left", 0.0)
    right = cabinet.shape.width - thick.get("right", 0.0)
    width = right - left
    section = abs(signed_area(outline)) / 1e6
    walls = [
        Wall(
            piece.key, piece.label, section, _resistance([piece], cabinet.project, catalog), "level"
        )
        for piece in sides
    ]
    for slab in cabinet.slabs:
        length = math.fsum(b - a for a, b in _shared(outline, slab.back_start, slab.back_end))
        if length <= _NEAR:
            continue
        pieces = _layers(cabinet, slab.panel)
        flow = _flow(slab.run.normal[1])
        label = pieces[-1].label if pieces else slab.panel
        walls.append(
            Wall(
                slab.panel,
                label,
                length * width / 1e6,
                _resistance(pieces, cabinet.project, catalog),
                flow,
                _exposed(cabinet, slab.run.role, flow),
            )
        )
    gaps = []
    for run in cabinet.shape.runs:
        if not run.panel:
            for a, b in _shared(outline, run.p, run.q):
                ends = [run.p[1] + run.direction[1] * at for at in (a, b)]
                gaps.append(((b - a) * width, min(ends), max(ends)))
    return Enclosure(outline, left, right, tuple(walls), tuple(gaps))


def conductivity_of(material: str, project: Project, catalog: Catalog) -> float:
    """Heat through a board: its species', else its kind's first in the catalog, else MDF's. [W/(m·K)]"""
    known = project.materials.get(material)
    if known is None:
        return BATTEN_CONDUCTIVITY
    species = catalog.species.get(known.species or "")
    if species is not None and species.conductivity is not None:
        return species.conductivity
    same = (s.conductivity for s in catalog.species.values() if s.kind == known.kind)
    return next((value for value in same if value is not None), CONDUCTIVITY)


def _shared(outline: Sequence[Point2], start: Point2, end: Point2) -> list[tuple[float, float]]:
    """Stretches of the line from start to end that are edges of the outline, as distances from start. [mm]"""
    length = math.dist(start, end)
    if length <= _NEAR:
        return []
    ey, ez = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    found = []
    for p, q in zip(outline, (*outline[1:], outline[0]), strict=True):
        off = [(y - start[0]) * -ez + (z - start[1]) * ey for y, z in (p, q)]
        if max(abs(off[0]), abs(off[1])) > _NEAR:
            continue
        along = sorted((y - start[0]) * ey + (z - start[1]) * ez for y, z in (p, q))
        low, high = max(along[0], 0.0), min(along[1], length)
        if high - low > _NEAR:
            found.append((low, high))
    return found


def _layers(cabinet: Cabinet, panel: str) -> list[Piece]:
    """Overlays and board of a panel, the board last."""
    pieces = [p for p in cabinet.pieces if p.panel == panel and p.kind in ("panel", "overlay")]
    return sorted(pieces, key=lambda piece: piece.kind == "panel")


def _resistance(pieces: Sequence[Piece], project: Project, catalog: Catalog) -> float:
    return math.fsum(
        piece.thickness / 1000 / conductivity_of(piece.material, project, catalog)
        for piece in pieces
    )


def _flow(up: float) -> Flow:
    """From the z of the outward normal."""
    if up > _SLOPE:
        return "up"
    return "down" if up < -_SLOPE else "level"


def _exposed(cabinet: Cabinet, role: str, flow: Flow) -> bool:
    site = cabinet.project.site.on
    if flow == "down" and role == "floor" and site != "lap":
        raised = any(p.part.data.kind == "foot" for p in cabinet.placed)
        legs = any(p.kind == "board" and p.fixing == "bolted" for p in cabinet.pieces)
        return site == "wall" or raised or legs
    if site == "lap" and flow == "down":
        return False
    return not (site == "wall" and role == "back")


__all__ = [
    "BATTEN_CONDUCTIVITY",
    "CONDUCTIVITY",
    "FILM",
    "Enclosure",
    "Flow",
    "Wall",
    "conductivity_of",
    "enclosure_of",
]
