"""Sheet goods and battens the cabinet is made of."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field, ValidationInfo, model_validator

from casewright.basics.fields import Key, Money, Name, PositiveLength
from casewright.design.base import Section

MaterialKind = Literal["plywood", "mdf", "solid wood", "acrylic", "polycarbonate", "metal", "print"]


class StockSheet(Section):
    """A size the material is bought in, or a piece the shop already has."""

    length: PositiveLength = Field(description="Along the grain.")
    width: PositiveLength = Field(description="Across the grain.")
    quantity: int | None = Field(
        None, ge=0, description="How many there are; leave out for any number."
    )
    price: Money = Field(0.0, description="Price of one sheet.")
    offcut: bool = Field(
        False, description="The shop has it already; used before anything is bought."
    )
    mark: Key | None = Field(None, description="Of a piece of the shop's stock, as on its label.")
    edges: Literal["factory", "sawn"] | None = Field(
        None,
        description="'factory': trimmed first. Those of a sheet to buy, if not given; an offcut's are sawn.",
    )

    @property
    def is_sawn(self) -> bool:
        """Whether its edges need no trimming."""
        return self.offcut if self.edges is None else self.edges == "sawn"


class Material(Section):
    """One sheet material, with its thickness as measured."""

    label: Name = Field("", description="What it is called in lists, such as 'birch plywood 12'.")
    kind: MaterialKind = Field(
        description="What sort of stock; it tells tools, cautions and which rules look at it."
    )
    species: Key | None = Field(
        None, description="Catalog key for density, stiffness and looks, such as 'plywood-birch'."
    )
    nominal: PositiveLength = Field(description="Thickness in the name it is sold by.")
    measured: PositiveLength | None = Field(
        None,
        description="Thickness by calipers at three or four places. Computed with, when given.",
    )
    grain: Literal["length", "none"] = Field(
        "none", description="'length': pieces must keep the grain direction of the sheet."
    )
    density: float | None = Field(
        None, gt=0, le=20_000, description="kg/m³; from the catalog if not given."
    )
    color: Name = Field("", description="Seen color as #rrggbb; from the kind if not given.")
    sheets: tuple[StockSheet, ...] = Field(
        (),
        description="Sheets and offcuts that its pieces are cut from; without any, nothing is laid out.",
    )

    @property
    def thickness(self) -> float:
        """The thickness that all arithmetic uses. [mm]"""
        return self.nominal if self.measured is None else self.measured


INCH_BATTEN = {"width": "3/4 in", "height": "3/4 in"}
"""Strip wood where an inch project says nothing of its section. Source: common practice."""


class Batten(Section):
    """Square or rectangular strip wood for cleats and rails."""

    label: Name = Field(
        "", description="What it is called in lists and drawings; the key if not given."
    )
    width: PositiveLength = Field(20.0, description="Across the strip; 3/4 in in an inch project.")
    height: PositiveLength = Field(
        20.0, description="Thickness of the strip; 3/4 in in an inch project."
    )
    density: float = Field(500.0, gt=0, description="kg/m³")
    price_per_m: Money = Field(0.0, description="Price of one meter.")
    have_m: float = Field(0.0, ge=0, le=10_000, description="Meters that the shop has.")
    stick: PositiveLength | None = Field(
        None,
        description="Length that it is sold in; if not given 8 ft and more in an inch project, else by the metre.",
    )

    @model_validator(mode="before")
    @classmethod
    def _usual_size(cls, data: Any, info: ValidationInfo) -> Any:
        """In an inch project what is not said of its section is as usual there."""
        context = info.context
        unit = context.get("unit") if isinstance(context, Mapping) else None
        if unit != "in" or not isinstance(data, Mapping):
            return data
        return {**INCH_BATTEN, **data}


__all__ = ["INCH_BATTEN", "Batten", "Material", "MaterialKind", "StockSheet"]
