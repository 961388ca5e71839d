"""What the maker wants of the cutting layouts."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from casewright.basics.fields import Key, Name, PieceKey
from casewright.design.base import Section

CuttingAim = Literal["sheets", "offcut", "settings", "cut length"]
SheetLine = Annotated[str, Field(min_length=1, max_length=20000)]
"""A sheet as `planning.cutting.keeping` writes it."""
Shapes = Literal["blanks", "nested", "nested, either face up"]


class CuttingWishes(Section):
    """How sheets are to be cut up; what is not said follows the usual order."""

    first: CuttingAim = Field(
        "sheets",
        description="What counts most: fewest sheets or lowest price, largest offcut, fewest fence settings, "
        "shortest cuts.",
    )
    second: CuttingAim | None = Field(None, description="What counts where the first is equal.")
    third: CuttingAim | None = Field(None, description="What counts where both are equal.")
    stages: int | None = Field(
        None,
        ge=2,
        le=20,
        description="Most stages: how often the direction of the cuts changes on a sheet, the first cuts "
        "counted. 3 is a simple break-down; any number if not given.",
    )
    shapes: Shapes = Field(
        "blanks",
        description="How pieces that are no rectangles, such as sides, lie on a sheet: each in a blank of "
        "its own; or two by two in a nest, a blank in which they lie into each other and are sawn along the "
        "line, where that is better. 'either face up' where both faces of the board are alike: one of a pair "
        "may then lie turned over. Needs the jigsaw's cut (shop) or a straight bit.",
    )
    steps: int = Field(
        200,
        ge=0,
        le=1_000_000,
        description="How long better layouts are looked for; the result depends on this number alone, not on "
        "the computer. 200 takes a moment, 20000 some seconds.",
    )
    together: dict[PieceKey, Name] = Field(
        default_factory=dict,
        description="Pieces by key, with the name of a strip: those of one name are cut from one strip, end to "
        "end in this order, so that the grain runs through.",
    )

    kept: dict[Key, tuple[SheetLine, ...]] = Field(
        default_factory=dict,
        description="Sheets of a layout that was found with more time, by material, as `casewright cut --keep` writes "
        "them. They are cut just so as long as their pieces and sheets stay the same.",
    )

    @property
    def order(self) -> tuple[CuttingAim, ...]:
        """The aims named, each once."""
        named = (self.first, self.second, self.third)
        return tuple(dict.fromkeys(aim for aim in named if aim is not None))

    @property
    def strips(self) -> tuple[tuple[str, ...], ...]:
        """Keys of the pieces of each strip."""
        names = dict.fromkeys(self.together.values())
        return tuple(tuple(k for k, n in self.together.items() if n == name) for name in names)


__all__ = ["CuttingAim", "CuttingWishes", "Shapes"]
