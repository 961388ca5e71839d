"""What screws and other small hardware cost."""

from __future__ import annotations

from pydantic import Field

from casewright.basics.fields import Count, Money, Name
from casewright.design.base import Section


class Fixings(Section):
    """Prices of the screws that casewright counts: each by its name, one for all, or a sum for all together."""

    price_each: Money = Field(0.0, description="Price of one screw whose size has none of its own.")
    prices: dict[Name, Money] = Field(
        default_factory=dict,
        description="Price of one by its name in the shopping list, such as 4.0 × 30.",
    )
    together: Money | None = Field(
        None, description="What all screws cost together, in place of their prices."
    )
    have: dict[Name, Count] = Field(
        default_factory=dict, description="How many the shop has, by the same names."
    )


__all__ = ["Fixings"]
