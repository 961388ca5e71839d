"""What the search works on: the task, the stock, a layout and its price."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from casewright.planning.cutting.tree import Box, Item, Sheet

ORDERS: tuple[Callable[[Item], tuple[float, ...]], ...] = (
    lambda item: (-item.area, -item.long),
    lambda item: (-item.long, -item.area),
    lambda item: (-min(w.across for w in item.fits), -item.area),
    lambda item: (-max(w.across for w in item.fits), -item.long),
)
"""Orders in which parts are laid."""


@dataclass(frozen=True)
class Supply:
    """One stock size in tree units, trimmed."""

    length: float
    width: float
    count: int | None
    cost: float
    """Of one; 0 for the shop's own offcuts."""
    offcut: bool

    @property
    def area(self) -> float:
        """Usable area, in square tree units."""
        return self.length * self.width


@dataclass(frozen=True)
class Reserve:
    """A strip of a sheet kept whole: measured along axis 0 or 1, its saw cut not included."""

    sheet: int
    axis: int
    strip: float


@dataclass(frozen=True)
class Layout:
    """A result: filled sheets, what found no place, and the strip set aside, if any."""

    sheets: tuple[Sheet, ...]
    left: tuple[Item, ...]
    reserve: Reserve | None = None


@dataclass(frozen=True)
class Job:
    """What all steps of the search need to know."""

    items: tuple[Item, ...]
    supplies: tuple[Supply, ...]
    kerf: float
    least_bought: int
    """Bound on the bought sheets."""
    keep: tuple[float, float]
    """Shorter and longer side of an offcut worth keeping."""

    @cached_property
    def least_side(self) -> float:
        """Shortest side of any part."""
        return min((min(w.along, w.across) for i in self.items for w in i.fits), default=0.0)


Price = tuple[float, float, int, float, int]
Roots = tuple[tuple[int, Box], ...]
"""The result as trees: the stock and the whole trimmed sheet, for each sheet."""


def price_of(job: Job, layout: Layout) -> Price:
    """What a layout costs, the gravest first: parts left over, cost, bought sheets, their area, offcuts used up."""
    used = [job.supplies[sheet.stock] for sheet in layout.sheets]
    bought = [s for s in used if not s.offcut]
    return (
        sum(item.area for item in layout.left),
        round(sum(s.cost for s in bought), 6),
        len(bought),
        sum(s.area for s in bought),
        len(used) - len(bought),
    )


def new_sheet(job: Job, stock: int) -> Sheet:
    """An empty sheet of a stock."""
    supply = job.supplies[stock]
    return Sheet(stock, supply.length, supply.width, job.least_side)


__all__ = [
    "ORDERS",
    "Job",
    "Layout",
    "Price",
    "Reserve",
    "Roots",
    "Supply",
    "new_sheet",
    "price_of",
]
