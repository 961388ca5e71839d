"""What the search works on: the task, the stock, a layout and its price, and how long it may take."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from casewright.planning.cutting.model import AIMS, Aim
from casewright.planning.cutting.tree import Box, Item


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


Roots = tuple[tuple[int, Box], ...]
"""A result as trees: the stock and the whole trimmed sheet, for each sheet."""


@dataclass(frozen=True)
class Layout:
    """A result: filled sheets, what found no place, and the strip set aside, if any."""

    roots: Roots
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
    stages: int = 0
    """Most stages: how often the cut direction changes; 0 is no limit."""
    carry: float = 0.0
    """Longest piece that one person handles; 0 is no limit."""
    aims: tuple[Aim, ...] = AIMS
    """What counts most, first."""

    @cached_property
    def least_side(self) -> float:
        """Shortest side of any part."""
        return min((min(item.length, item.width) for item in self.items), default=0.0)


class Patience:
    """How long the search goes on: so many steps, or until a clock says so."""

    def __init__(
        self, effort: int, seconds: float | None = None, clock: Callable[[], float] | None = None
    ) -> None:
        self.effort = effort
        self._clock = clock if seconds is not None else None
        self._start = clock() if clock is not None else 0.0
        self._seconds = seconds or 0.0

    @property
    def timed(self) -> bool:
        """Whether a clock ends the search."""
        return self._clock is not None

    @property
    def left(self) -> float:
        """Time left, in the clock's seconds; less than 0 once it is over."""
        return self._seconds - (self._clock() - self._start) if self._clock else 0.0

    def give_back(self, seconds: float) -> None:
        """Do not count some of the time that went by."""
        self._start += seconds

    @property
    def over(self) -> bool:
        """Whether the clock says that it is enough."""
        return self.timed and self.left <= 0

    @property
    def total(self) -> float:
        """All the time there is, in the clock's seconds."""
        return self._seconds


class Measured(NamedTuple):
    """What the cuts of a layout take."""

    settings: int
    """Fence settings."""
    cut_length: float
    heavy: int
    """Cuts on pieces longer than one person handles, trimming aside."""
    stages: int


Measure = Callable[[Roots], Measured]

Price = tuple[float, float, int, float, int]


def price_of(job: Job, layout: Layout) -> Price:
    """What a layout costs, the gravest first: parts left over, cost, bought sheets, their area, offcuts used up."""
    used = [job.supplies[stock] for stock, _ in layout.roots]
    bought = [s for s in used if not s.offcut]
    return (
        sum(item.area for item in layout.left),
        round(sum(s.cost for s in bought), 6),
        len(bought),
        sum(s.area for s in bought),
        len(used) - len(bought),
    )


def empty_sheet(job: Job, stock: int) -> Box:
    """An empty sheet of a stock."""
    supply = job.supplies[stock]
    return Box([supply.length, supply.width], 0, None)


__all__ = [
    "Job",
    "Layout",
    "Measure",
    "Measured",
    "Patience",
    "Price",
    "Reserve",
    "Roots",
    "Supply",
    "empty_sheet",
    "price_of",
]
