"""One line of the shopping list."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Group = Literal[
    "boards and sheets", "bought parts", "screws and hardware", "wiring", "paint", "other"
]

SLUGS: dict[Group, str] = {
    "boards and sheets": "sheets",
    "bought parts": "parts",
    "screws and hardware": "fixings",
    "wiring": "wiring",
    "paint": "paint",
    "other": "other",
}
"""Group of purchases in the names of numbers: "cost.sheets"."""


@dataclass(frozen=True)
class Purchase:
    """One line of the shopping list."""

    group: Group
    key: str
    label: str
    quantity: float
    unit: Literal["piece", "sheet", "m", "ft", "box", "sum"]
    price: float
    """Of one unit."""
    have: float = 0.0
    """Taken off: the shop has it."""
    size: tuple[float, float, float] | None = None
    """Length, width and thickness of a sheet. [mm]"""
    note: str = ""

    @property
    def to_buy(self) -> float:
        """Units to buy."""
        return max(0.0, self.quantity - self.have)

    @property
    def cost(self) -> float:
        """What that costs, in the project's currency."""
        return self.to_buy * self.price

    @property
    def worth(self) -> float:
        """What all of it is worth, that which the shop has included."""
        return self.quantity * self.price


__all__ = ["SLUGS", "Group", "Purchase"]
