"""Paint: which products go on, how often, how far a can goes, and when the work begins.

The defaults are generic. A can's own label goes before every one of them: write its figures here.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from casewright.basics.fields import Count, Day, Money, Name, Share
from casewright.design.base import Section


class Coat(Section):
    """One product of the finish, from the can."""

    label: Name = Field("", description="What the can says; the product's kind if not given.")
    coats: int = Field(1, ge=0, le=10, description="How often it goes on; 0 leaves it out.")
    on: Literal["edges", "faces", "all"] = Field(
        "all", description="Cut edges and rims of openings, faces, or both."
    )
    how: Literal["spray", "brush", "roller"] = Field("spray", description="What it is put on with.")
    covers: float = Field(
        5.0, gt=0, le=100, description="Square meters that one litre covers once, by its label."
    )
    loss: Share = Field(0.0, description="Share that misses the work.")
    can: float = Field(0.4, gt=0, le=50, description="Litres in one can.")
    price: Money = Field(0.0, description="Of one can.")
    have: Count = Field(0, description="Full cans that the shop has.")
    dry_h: float = Field(
        24.0, ge=0, le=1000, description="Hours until it can be sanded or coated again."
    )
    grit: int = Field(220, ge=0, le=3000, description="Sanded with before it goes on; 0: not.")

    @property
    def kind(self) -> str:
        """Sealer, primer, color or clear: its place in the finish."""
        return type(self).__name__.lower()

    @property
    def name(self) -> str:
        """What lists call it."""
        return self.label or ("clear coat" if self.kind == "clear" else self.kind)


class Sealer(Coat):
    """Closes the cut edges. Coverage and hours of an undercoat. Source: mdf-paint-sheet; coats: mdf-sanding."""

    coats: int = Field(2, ge=0, le=10, description="How often it goes on; 0 leaves it out.")
    on: Literal["edges", "faces", "all"] = Field(
        "edges", description="Cut edges and rims of openings, faces, or both."
    )
    how: Literal["spray", "brush", "roller"] = Field("brush", description="What it is put on with.")
    covers: float = Field(
        12.0, gt=0, le=100, description="Square meters that one litre covers once, by its label."
    )
    can: float = Field(0.25, gt=0, le=50, description="Litres in one can.")
    dry_h: float = Field(
        4.0, ge=0, le=1000, description="Hours until it can be sanded or coated again."
    )
    grit: int = Field(150, ge=0, le=3000, description="Sanded with before it goes on; 0: not.")


class Primer(Coat):
    """Ground for the color, from 400 ml cans: 2 m² each, once. Source: aerosol-coverage; loss: common practice."""

    loss: Share = Field(0.3, description="Share that misses the work.")
    dry_h: float = Field(
        12.0, ge=0, le=1000, description="Hours until it can be sanded or coated again."
    )


class Color(Coat):
    """What is seen, from 400 ml cans: 2 m² each, once. Source: aerosol-coverage; loss and hours: common practice."""

    coats: int = Field(2, ge=0, le=10, description="How often it goes on; 0 leaves it out.")
    loss: Share = Field(0.3, description="Share that misses the work.")
    grit: int = Field(320, ge=0, le=3000, description="Sanded with before it goes on; 0: not.")


class Clear(Coat):
    """A clear coat over color or bare wood; none unless wished."""

    coats: int = Field(0, ge=0, le=10, description="How often it goes on; 0 leaves it out.")
    loss: Share = Field(0.3, description="Share that misses the work.")
    grit: int = Field(320, ge=0, le=3000, description="Sanded with before it goes on; 0: not.")


class Finish(Section):
    """The paint of the whole cabinet."""

    sealer: Sealer = Field(default_factory=Sealer, description="First coat on cut edges.")
    primer: Primer = Field(default_factory=Primer, description="Coat that color holds on.")
    color: Color = Field(default_factory=Color, description="Color coats.")
    clear: Clear = Field(default_factory=Clear, description="Clear coats over the color.")
    inside: bool = Field(False, description="Inner faces are painted too.")
    thirst: float = Field(
        2.0,
        ge=1,
        le=5,
        description="Raw edges take so many times the paint of a closed face, in the first product on them.",
    )
    harden_days: int = Field(
        7,
        ge=0,
        le=100,
        description="Days from the last coat until screws and parts may bear on it.",
    )
    start: Day | None = Field(
        None, description="Day on which painting begins, such as 2027-03-05; makes a calendar file."
    )

    @property
    def products(self) -> tuple[Coat, ...]:
        """Those that go on, in order."""
        every: tuple[Coat, ...] = (self.sealer, self.primer, self.color, self.clear)
        return tuple(product for product in every if product.coats)


__all__ = ["Clear", "Coat", "Color", "Finish", "Primer", "Sealer"]
