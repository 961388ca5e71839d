"""How stiff, strong and lasting the boards of a project are."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from casewright.behavior.bending import Stiff
from casewright.catalog.load import Catalog
from casewright.catalog.stock import Species
from casewright.design.project import Project

Duration = Literal["short", "long"]

CREEP: Mapping[str, float] = {
    "solid wood": 0.60,
    "plywood": 0.80,
    "mdf": 2.25,
    "acrylic": 1.0,
    "polycarbonate": 1.0,
    "metal": 0.0,
    "print": 1.0,
}
"""Further sag under a lasting load, as a share of the first, by kind of board, in a dry room.

Source: en-1995-1-1, table 3.2, service class 1, from memory; plastics: common practice.
"""

LASTING: Mapping[str, tuple[float, float, float]] = {
    "solid wood": (0.90, 0.70, 1.3),
    "plywood": (0.90, 0.70, 1.2),
    "mdf": (0.80, 0.40, 1.3),
    "acrylic": (0.50, 0.20, 1.0),
    "polycarbonate": (0.50, 0.20, 1.0),
    "metal": (1.0, 1.0, 1.0),
    "print": (0.50, 0.20, 1.0),
}
"""Share of the strength that holds for a short and for a lasting load, and the material's factor of safety.

Source: en-1995-1-1, tables 3.1 (service class 1) and 2.3, from memory; plastics and metal: common practice.
"""

LOAD_FACTOR = 1.5
"""Loads are taken half as large again against strength. Source: en-1995-1-1, from memory."""

CLEAR_WOOD = 0.5
"""Share of the mean strength of clear wood that a board with knots is sure to have. Common practice."""

ACROSS_WOOD = 1 / 15
"""Modulus of solid wood across the grain, as a share of that along it. Source: wood-handbook, from memory."""

GRAINED = ("plywood", "solid wood")

_POISSON = 0.3


@dataclass(frozen=True)
class BoardData:
    """One board's material."""

    label: str
    kind: str
    along: float
    """Modulus along the grain. [MPa]"""
    across: float
    strength: float
    """Bending strength that the board is sure to have, along the grain; 0 where it is not known. [MPa]"""
    source: str = "Common practice"

    @property
    def creep(self) -> float:
        """Further sag under a lasting load, as a share of the first."""
        return CREEP.get(self.kind, 1.0)

    def allowed(self, duration: Duration, modulus: float) -> float:
        """Stress that it bears for so long the way it has this modulus; infinite where its strength is not known. [MPa]

        Across the grain it is taken as much weaker as it is softer.
        """
        if self.strength <= 0:
            return math.inf
        short, long, safety = LASTING.get(self.kind, (0.5, 0.2, 1.0))
        share = min(modulus / self.along, 1.0)
        lasts = short if duration == "short" else long
        return self.strength * share * lasts / safety / LOAD_FACTOR

    def modulus(self, grain: str, way: str) -> float:
        """Modulus along u or v of a piece with its grain along u or v; the lower one where nobody chose. [MPa]"""
        if grain == "none":
            return min(self.along, self.across)
        return self.along if grain == way else self.across

    def stiff(self, grain: str) -> Stiff:
        """For a plate with u as its first way; boards with grain twist easily, a sixteenth of their modulus."""
        first, second = self.modulus(grain, "u"), self.modulus(grain, "v")
        if self.kind in GRAINED:
            return Stiff(first, second, min(600.0, max(first, second) / 16))
        return Stiff(first, second, first / (2 * (1 + _POISSON)), _POISSON)


def board_data(material: str, project: Project, catalog: Catalog) -> BoardData | None:
    """Stiffness and strength of a material: its species', else its kind's first in the catalog; None for battens."""
    known = project.materials.get(material)
    if known is None:
        return None
    species = catalog.species.get(known.species or "")
    if species is None:
        species = next((s for s in catalog.species.values() if s.kind == known.kind), None)
    return None if species is None else _of(species, known.label or material)


def _of(species: Species, label: str) -> BoardData:
    strength = species.strength_mpa or 0.0
    across = ACROSS_WOOD if species.kind == "solid wood" else 1.0
    if species.kind == "solid wood":
        strength *= CLEAR_WOOD
    return BoardData(
        label,
        species.kind,
        species.modulus_mpa,
        species.modulus_across_mpa or species.modulus_mpa * across,
        strength,
        species.source("modulus_mpa"),
    )


__all__ = [
    "ACROSS_WOOD",
    "CLEAR_WOOD",
    "CREEP",
    "GRAINED",
    "LASTING",
    "LOAD_FACTOR",
    "BoardData",
    "Duration",
    "board_data",
]
