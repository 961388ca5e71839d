"""What is cut, from what, with which saw, and the plan that comes of it.

On every sheet x runs along its length, which is the grain, and y along its width; both start at the lower left corner
of the untrimmed sheet. All lengths are millimeters.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

Grain = Literal["none", "length"]
Direction = Literal["rip", "crosscut"]
Means = Literal["fence", "guide", "sled"]
ResultKind = Literal["part", "piece", "offcut", "waste"]


Outline = tuple[tuple[float, float], ...]
"""Corners of a closed line, in order. [mm]"""


@dataclass(frozen=True)
class Nested:
    """A part inside a nest: a blank that is cut off edge to edge and then sawn along the lines."""

    key: str
    name: str
    outline: Outline
    """From the blank's lower left corner, its length along x. [mm]"""
    turned_deg: float = 0.0
    """How far it is turned to the left from how it lies in a blank of its own."""
    face: Literal["show", "back"] = "show"
    """The face that lies up."""


@dataclass(frozen=True)
class Blank:
    """A rectangle to be cut, with its number of copies."""

    key: str
    length: float
    width: float
    quantity: int = 1
    grain: Grain = "none"
    """ "length": the blank's length must lie along the sheet's grain."""
    label: str = ""
    nested: tuple[Nested, ...] = ()
    """The parts that are sawn out of it; none where the blank itself is the part."""

    @property
    def name(self) -> str:
        """What the maker calls it."""
        return self.label or self.key

    @property
    def parts(self) -> tuple[str, ...]:
        """Keys of the parts that come from it."""
        return tuple(nested.key for nested in self.nested) or (self.key,)


@dataclass(frozen=True)
class Stock:
    """A sheet that can be bought, or a piece the shop already has."""

    key: str
    length: float
    """Along the grain."""
    width: float
    quantity: int | None = None
    """None: as many as needed. Give the number of an offcut, which is otherwise taken as one."""
    price: float = 0.0
    """Of one sheet, in any one currency. Counts only if every bought stock has a price."""
    offcut: bool = False
    """The shop's own piece, used only where that saves a bought sheet or money."""
    trim: float = 0.0
    """Lost along each of the four edges, the trimming saw cut included."""

    @property
    def usable_length(self) -> float:
        """Length left after both ends are trimmed."""
        return self.length - 2 * self.trim

    @property
    def usable_width(self) -> float:
        """Width left after both edges are trimmed."""
        return self.width - 2 * self.trim

    @property
    def available(self) -> int | None:
        """How many there are; None is no limit."""
        return 1 if self.offcut and self.quantity is None else self.quantity


@dataclass(frozen=True)
class SawLimits:
    """What the saw and the person at it can do."""

    kerf: float
    """Width of the slot the blade cuts."""
    fence_reach: float | None = None
    """Greatest distance from fence to blade; past it the cut is made along a clamped guide rail."""
    longest_carry: float | None = None
    """Longest piece one person can handle; longer ones are first cut near their middle."""


Aim = Literal["sheets", "offcut", "settings", "cut length"]
AIMS: tuple[Aim, ...] = ("sheets", "offcut", "settings", "cut length")
"""Fewest sheets or lowest price, largest offcut worth keeping, fewest fence settings, shortest cuts."""


@dataclass(frozen=True)
class Wishes:
    """What the maker wants of a layout beyond what the saw asks."""

    stages: int | None = None
    """Most stages: how often the direction of the cuts changes on a sheet, the first cuts counted. 2 or more."""
    order: tuple[Aim, ...] = AIMS
    """What counts most, first; what is not named comes after, in the usual order."""
    together: tuple[tuple[str, ...], ...] = ()
    """Keys of blanks to be cut from one strip, end to end in this order, so that the grain runs through."""

    @property
    def aims(self) -> tuple[Aim, ...]:
        """All aims, the first counting most."""
        return self.order + tuple(aim for aim in AIMS if aim not in self.order)


@dataclass(frozen=True)
class Offcut:
    """A rectangle left over and worth keeping."""

    x: float
    y: float
    length: float
    """Along the sheet's grain."""
    width: float

    @property
    def area(self) -> float:
        """Area. [mm²]"""
        return self.length * self.width


@dataclass(frozen=True)
class Placement:
    """One copy of a blank on a sheet."""

    blank: str
    copy: int
    """From 1."""
    x: float
    y: float
    length: float
    """As laid, along the sheet's length."""
    width: float
    turned: bool
    """Its own length lies across the sheet."""


@dataclass(frozen=True)
class CutResult:
    """One of the two things that lie on the bench after a cut."""

    kind: ResultKind
    name: str
    """ "Side 2", "piece A", "offcut", "waste"."""
    x: float
    y: float
    length: float
    width: float
    blank: str = ""
    """The blank's key if this is a finished part."""
    copy: int = 0


@dataclass(frozen=True)
class CutStep:
    """One pass of the saw, from edge to edge of one piece."""

    number: int
    """From 1 on each sheet."""
    piece: str
    """ "the sheet" or "piece A"."""
    x: float
    y: float
    length: float
    width: float
    direction: Direction
    """ "rip" runs along the sheet's grain, "crosscut" across it."""
    fence: float
    """From fence to blade: the measure of the piece kept against the fence, the first of `results`."""
    means: Means
    """How the piece is led past the blade.

    "guide": the fence does not reach, or the piece is too large for a sled: clamp a guide rail. "sled": the edge that
    would run along the fence is shorter than the piece is wide and could turn in and kick back; push it on a sled or
    against a miter gauge, with a stop block at the fence setting (common practice).
    """
    trimming: bool
    """Takes the factory edge off."""
    results: tuple[CutResult, ...]
    """The piece kept against the fence, then what falls off, unless the blade turns all of it to dust."""

    @property
    def guide(self) -> bool:
        """Whether the cut is made along a guide rail."""
        return self.means == "guide"


@dataclass(frozen=True)
class Areas:
    """Where the wood of the sheets goes. [mm²] The five shares sum to `sheet`."""

    sheet: float = 0.0
    parts: float = 0.0
    offcuts: float = 0.0
    waste: float = 0.0
    """Left over and too small to keep."""
    kerf: float = 0.0
    """Turned to dust, trimming aside."""
    trim: float = 0.0

    @property
    def part_share(self) -> float:
        """Parts over sheets, 0 to 1."""
        return self.parts / self.sheet if self.sheet else 0.0

    @property
    def used_share(self) -> float:
        """Parts and keepable offcuts over sheets, 0 to 1."""
        return (self.parts + self.offcuts) / self.sheet if self.sheet else 0.0


@dataclass(frozen=True)
class SheetLayout:
    """One sheet, what lies on it and how it is cut up."""

    stock: str
    index: int
    """From 1, in the order of cutting."""
    length: float
    width: float
    trim: float
    placements: tuple[Placement, ...]
    cuts: tuple[CutStep, ...]
    offcuts: tuple[Offcut, ...]
    """Worth keeping, largest first."""
    areas: Areas


@dataclass(frozen=True)
class Unplaced:
    """Copies of a blank that no sheet could take, and why. Lengths in the texts are marked by `findings.mm`."""

    key: str
    quantity: int
    reason: str
    remedies: tuple[str, ...]
    need_length: float
    """Least length and width of an untrimmed sheet that would take one."""
    need_width: float
    is_too_large: bool = False
    """Whether no sheet there is takes it, be it empty."""


@dataclass(frozen=True)
class CutPlan:
    """All sheets of one material."""

    sheets: tuple[SheetLayout, ...]
    unplaced: tuple[Unplaced, ...]
    bought: int
    """Sheets to buy; the others are the shop's own."""
    price: float
    lower_bound: int
    """No arrangement, however clever, needs fewer bought sheets for the blanks that fit."""
    fence_settings: int
    """Distinct distances of fence or guide over all sheets."""
    areas: Areas
    stages: int = 0
    """Most stages on any sheet: how often the direction of the cuts changes, the first cuts counted."""
    texts: tuple[str, ...] = ()
    """Every sheet's cuts as a line of text: given to `plan_cuts` again, they are made just so."""
    kept: int = 0
    """Sheets that were given as such texts and taken as they are."""
    apart: tuple[tuple[str, ...], ...] = ()
    """Keys of blanks that were to be cut from one strip, for which no sheet is long enough or no stage left."""

    @property
    def proven(self) -> bool:
        """Whether no layout, however clever, buys fewer sheets."""
        return not self.unplaced and self.bought <= self.lower_bound

    @property
    def cut_length(self) -> float:
        """Length of all cuts. [mm]"""
        return math.fsum(
            step.length if step.direction == "rip" else step.width
            for sheet in self.sheets
            for step in sheet.cuts
        )

    @property
    def largest_offcut(self) -> Offcut | None:
        """The largest leftover worth keeping."""
        return max((o for s in self.sheets for o in s.offcuts), key=lambda o: o.area, default=None)


__all__ = [
    "AIMS",
    "Aim",
    "Areas",
    "Blank",
    "CutPlan",
    "CutResult",
    "CutStep",
    "Direction",
    "Grain",
    "Means",
    "Nested",
    "Offcut",
    "Outline",
    "Placement",
    "ResultKind",
    "SawLimits",
    "SheetLayout",
    "Stock",
    "Unplaced",
    "Wishes",
]
