"""What is looked at and what gets in the way of it: shapes of the pictures to be shown, lamps and windows."""

from __future__ import annotations

from pydantic import Field, field_validator

from casewright.basics.errors import InputError
from casewright.basics.fields import Name, PositiveLength, SignedLength, as_pydantic
from casewright.catalog.display_size import parse_aspect
from casewright.design.base import Section


class Content(Section):
    """Something that a display is to show: a film, old games, an upright game, a page."""

    label: Name = Field(
        "", description="What it is called in lists and drawings; the key if not given."
    )
    aspect: Name = Field("16:9", description="Its width to its height: 16:9, 4:3, 3:4.")

    @field_validator("aspect")
    @classmethod
    def _readable(cls, value: str) -> str:
        try:
            parse_aspect(value)
        except InputError as error:
            raise as_pydantic(error) from None
        return value

    @property
    def ratio(self) -> float:
        """Width over height."""
        across, up = parse_aspect(self.aspect)
        return across / up


class Lamp(Section):
    """A lamp or a window that may shine on a display."""

    label: Name = Field(
        "", description="What it is called in lists and drawings; the key if not given."
    )
    height: PositiveLength = Field(description="Middle of its light over the floor.")
    distance: SignedLength = Field(
        description="In front of the cabinet's front edge; negative behind it."
    )
    aside: SignedLength = Field(0.0, description="Right of the cabinet's middle.")
    size: PositiveLength = Field(300.0, description="Across what shines: shade, tube or window.")


__all__ = ["Content", "Lamp"]
