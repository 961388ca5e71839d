"""What the trade sells by the sheet, the length and the box: sheet goods, battens and wood screws."""

from __future__ import annotations

import math
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from casewright.basics.fields import Length, Name, PositiveLength
from casewright.basics.units import Unit

SpeciesKind = Literal["plywood", "mdf", "solid wood", "acrylic", "polycarbonate", "metal", "print"]
"""As a project's `Material.kind`."""

LEAD_HOLE_SHARE = {"soft": 0.70, "hard": 0.90}
"""Lead hole as a share of a wood screw's root diameter. Source: wood-screw-lead-holes."""


class Stock(BaseModel):
    """Common to all stock."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    key: str
    label: Name
    sources: dict[str, str] = Field(default_factory=dict)
    """Where each field's numbers come from; "*" for the fields not named."""

    def source(self, field: str) -> str:
        """Key of the source of a field's numbers."""
        return self.sources.get(field, self.sources.get("*", ""))


class Thickness(BaseModel):
    """One thickness that a sheet is sold in, and what calipers find."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    nominal: PositiveLength
    least: PositiveLength
    most: PositiveLength
    usual: PositiveLength | None = None

    @property
    def expected(self) -> float:
        """The thickness to expect before the sheet is measured. [mm]"""
        return (self.least + self.most) / 2 if self.usual is None else self.usual


class SheetSize(BaseModel):
    """A size of sheet; `length` runs along the grain of the face."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    length: PositiveLength
    width: PositiveLength


class Species(Stock):
    """A sheet material. Moduli are for bending, flatwise."""

    kind: SpeciesKind
    density: float = Field(gt=0, le=20_000, description="kg/m³")
    modulus_mpa: float = Field(gt=0, description="Along the grain of the face.")
    modulus_across_mpa: float | None = Field(None, gt=0, description="Across it; the same if none.")
    strength_mpa: float | None = Field(
        None, gt=0, description="Bending strength, flatwise; the mean of clear wood for solid wood."
    )
    conductivity: float | None = Field(None, gt=0, description="Heat through the sheet, W/(m·K).")
    expansion: float | None = Field(None, gt=0, description="By heat, per K.")
    color: str = Field(pattern="^#[0-9a-f]{6}$")
    grain: Literal["length", "none"] = "none"
    hard: bool = Field(False, description="Takes the lead holes of hardwood.")
    thicknesses: tuple[Thickness, ...] = ()
    sheets: tuple[SheetSize, ...] = ()
    thicknesses_inch: tuple[Thickness, ...] = Field(
        (), description="Thicknesses sold where inches are used; the same ones if none."
    )
    sheets_inch: tuple[SheetSize, ...] = Field(
        (), description="Sheets sold where inches are used; the same ones if none."
    )

    def thickness(self, nominal: float) -> Thickness | None:
        """The thickness sold by that name, or None. [mm]"""
        sold = (*self.thicknesses, *self.thicknesses_inch)
        return next((t for t in sold if abs(t.nominal - nominal) < 0.05), None)

    def thicknesses_in(self, unit: Unit) -> tuple[Thickness, ...]:
        """The thicknesses to offer to somebody who works in that unit."""
        return (self.thicknesses_inch if unit == "in" else ()) or self.thicknesses

    def sheets_in(self, unit: Unit) -> tuple[SheetSize, ...]:
        """The sheets to offer to somebody who works in that unit, the commonest first."""
        return (self.sheets_inch if unit == "in" else ()) or self.sheets


class BattenStock(Stock):
    """Strip wood for cleats and rails."""

    width: PositiveLength
    height: PositiveLength
    density: float = Field(gt=0, le=20_000, description="kg/m³")


class WoodScrew(Stock):
    """A countersunk wood screw in the lengths it is sold in. All lengths in mm."""

    system: Literal["metric", "inch"]
    name: Name = Field(description='Size as bought: "4.0", "No. 8".')
    diameter: PositiveLength = Field(description="Over the thread.")
    core: PositiveLength = Field(description="Root of the thread.")
    head: PositiveLength = Field(description="Diameter of the head.")
    head_angle_deg: float = Field(90.0, gt=0, lt=180)
    clearance: PositiveLength = Field(description="Hole that the shank passes through.")
    pilot: PositiveLength = Field(description="Drill for plywood, MDF and other hard boards.")
    pilot_soft: Length = Field(0.0, description="Drill for softwood; 0: none needed.")
    lengths: tuple[PositiveLength, ...] = Field(min_length=1)

    @property
    def head_height(self) -> float:
        """Depth of the countersunk head's cone. [mm] Plain geometry, from head, core and angle."""
        return (self.head - self.core) / 2 / math.tan(math.radians(self.head_angle_deg / 2))

    def longest_up_to(self, most: float) -> float | None:
        """The longest length sold that is not over `most`, or None. [mm]"""
        return max((length for length in self.lengths if length <= most + 1e-6), default=None)


def lead_hole(core: float, wood: Literal["soft", "hard"]) -> float:
    """Return the hole to drill for the thread of a wood screw. [mm]

    Args:
        core: Root diameter of the thread. [mm]
        wood: "hard" also for plywood, MDF and the like.

    Source:
        wood-screw-lead-holes: 70 % of the root diameter in softwood, 90 % in hardwood.

    Example:
        >>> round(lead_hole(2.8, "hard"), 2)
        2.52
    """
    return core * LEAD_HOLE_SHARE[wood]


__all__ = [
    "LEAD_HOLE_SHARE",
    "BattenStock",
    "SheetSize",
    "Species",
    "SpeciesKind",
    "Stock",
    "Thickness",
    "WoodScrew",
    "lead_hole",
]
