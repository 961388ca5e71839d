"""How exactly this shop works: for each step, by how much it is hardly ever further off.

The defaults suit careful work with home tools. Whoever measures ten of his own cuts writes better ones here.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from casewright.basics.fields import Angle, Length, Share
from casewright.design.base import Section


class Accuracy(Section):
    """Limits of error, each to either side. Common practice, where no source is named."""

    marking: Literal["template", "tape"] = Field(
        "template", description="How places of holes and openings come onto the wood."
    )
    template: Length = Field(0.3, description="A mark pricked through a true-size template.")
    tape: Length = Field(0.8, description="A mark measured with tape and square.")
    drill: Length = Field(0.3, description="A hole's centre off its mark.")
    router: Length = Field(0.3, description="A routed edge off its guide strip's line.")
    fence: Length = Field(0.3, description="A length set at the saw's fence.")
    repeat: Length = Field(0.15, description="Between pieces sawn at one setting of the fence.")
    tilt_deg: Angle = Field(0.3, description="The saw blade's tilt, in degrees.")
    sheet: Length = Field(
        0.2, description="A sheet's thickness from place to place, about the measured one."
    )
    align: Length = Field(0.5, description="A display set to its opening by eye, across and up.")
    swell: Share = Field(
        0.001, description="Growth of a board from a dry room to a damp one, by its length."
    )
    notice: Length = Field(1.0, description="What is off by less at a picture's edge is not seen.")
    filled: Length = Field(0.5, description="A seam open by less is closed by glue and filler.")

    @property
    def mark(self) -> float:
        """Of a mark, the way they are made here. [mm]"""
        return self.template if self.marking == "template" else self.tape


__all__ = ["Accuracy"]
