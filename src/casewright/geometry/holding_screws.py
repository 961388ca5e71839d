"""Screws that hold a display and a sign: a length in stock that bites enough and never goes through."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from casewright.basics.errors import InputError
from casewright.basics.remembering import remembered
from casewright.basics.units import TOUCHING, Unit
from casewright.catalog.load import load_catalog
from casewright.catalog.threads import thread_of, wood_screw_diameter
from casewright.geometry.fastening import (
    SHOW_FACE_ROOM,
    ScrewChoice,
    ScrewSize,
    judge_screw,
    screw_sizes,
)
from casewright.geometry.model import Fastening

WASHERS: Mapping[float, tuple[float, float]] = {
    3.0: (9.0, 0.8),
    3.5: (11.0, 0.8),
    4.0: (12.0, 1.0),
    5.0: (15.0, 1.0),
    6.0: (18.0, 1.6),
    8.0: (24.0, 2.0),
    10.0: (30.0, 2.5),
}
"""Outside diameter and thickness of a large washer, by thread diameter. [mm] Source: ISO 7093-1, from memory."""

MACHINE_LENGTHS = (6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 80)
"""Lengths of machine screws. [mm] Source: ISO 888, from memory."""

SPARE_THREAD = 0.5
"""A machine screw ends this far short of the bottom of its thread, so that it clamps. [mm] Common practice."""

LEAST_BITE = 1.2
"""A wood screw that bites fewer of its diameters does not even clamp until the glue is dry. Common practice."""


NUMBERS: Mapping[float, int] = {3.0: 4, 3.5: 6, 4.0: 8, 5.0: 10}
"""Number of the inch wood screw that does the work of a metric one, by diameter. Common practice."""


@cache
def wood_screws(unit: Unit = "mm") -> tuple[ScrewSize, ...]:
    """The catalog's wood screws, one for each length they are sold in; by number for a project in inches."""
    return screw_sizes(load_catalog(), unit)


def wood_diameter(size: float, unit: Unit) -> float:
    """Return the true diameter of the wood screw that a shop of that unit takes for a metric size. [mm]

    Example:
        >>> wood_diameter(4.0, "mm"), round(wood_diameter(4.0, "in"), 2)
        (4.0, 4.17)
    """
    return wood_screw_diameter(NUMBERS[size]) if unit == "in" else size


@dataclass(frozen=True)
class Screw:
    """A screw chosen for its place. Lengths in mm."""

    name: str
    diameter: float
    length: float
    head_stack: float
    """Under the head, counterbore taken off."""
    bite: float
    left: float
    """From the tip to the far face, or to the bottom of the thread."""
    pilot: float
    clearance: float
    counterbore: float = 0.0
    head: float = 0.0
    """Diameter of the head, or of its washer."""

    def fastening(self, key: str, through: str, into: str, count: int) -> Fastening:
        """So many of it, from one piece into another."""
        return Fastening(
            key=key,
            through=through,
            into=into,
            diameter=self.diameter,
            length=self.length,
            count=count,
            head_stack=self.head_stack,
            bite=self.bite,
            left=self.left,
            pilot=self.pilot,
            clearance=self.clearance,
            counterbore=self.counterbore,
            name=self.name,
        )


def washer(thread: str) -> tuple[float, float]:
    """Outside diameter and thickness of the large washer for a thread. [mm]

    Raises:
        InputError: There is no such thread in the table.
    """
    diameter = thread_of(thread, field="pattern_screw").diameter
    near = min(WASHERS, key=lambda size: abs(size - diameter))
    return WASHERS[near]


def machine_screw(thread: str, clamped: float, thread_depth: float) -> Screw | None:
    """Return the longest machine screw in stock that does not reach the bottom of a thread.

    It must bite at least its own diameter (common practice for metal threads).

    Args:
        thread: Such as "M4".
        clamped: Bar and whatever else is under the washer; the washer is added here. [mm]
        thread_depth: Usable depth of the thread. [mm]

    Returns:
        None where no length in stock fits.

    Raises:
        InputError: There is no such thread in the table.
    """
    found = thread_of(thread, field="pattern_screw")
    across, thick = washer(thread)
    stack = clamped + thick
    fitting = [
        length
        for length in MACHINE_LENGTHS
        if found.diameter - TOUCHING <= length - stack <= thread_depth - SPARE_THREAD + 1e-9
    ]
    if not fitting:
        return None
    length = float(max(fitting))
    bite = length - stack
    return Screw(
        name=f"{found.name} × {length:g}",
        diameter=found.diameter,
        length=length,
        head_stack=stack,
        bite=bite,
        left=thread_depth - bite,
        pilot=0.0,
        clearance=found.medium,
        head=across,
    )


def packing_for(thread: str, clamped: float, thread_depth: float) -> float | None:
    """Return the least further thickness of washers with which a stock length fits; None if none does. [mm]"""
    diameter = thread_of(thread, field="pattern_screw").diameter
    allowed = thread_depth - SPARE_THREAD
    if allowed < diameter:
        return None
    stack = clamped + washer(thread)[1]
    needed = (
        max(length - stack - allowed, 0.0)
        for length in MACHINE_LENGTHS
        if length - stack >= diameter - TOUCHING
    )
    return min(needed, default=None)


@remembered(512)
def wood_screw(
    head_stack: float,
    into: float,
    *,
    glued: bool = True,
    keep: float = SHOW_FACE_ROOM,
    counterbore_most: float = 0.0,
    diameters: tuple[float, ...] = (4.0, 3.5),
    unit: Unit = "mm",
) -> Screw | None:
    """Return a wood screw in stock for a stack, bored for its head where only that lets it bite enough.

    The thickest that holds with the shallowest bore; if none holds, the one that bites most.

    Args:
        head_stack: Under the head, before any counterbore. [mm]
        into: Thickness of the last member. [mm]
        glued: The joint is glued as well.
        keep: Wood left before the tip. [mm]
        counterbore_most: Deepest bore for the head. [mm]
        diameters: Metric sizes to choose from, or their `NUMBERS`. [mm]
        unit: Of the project: in inches, screws go by number.

    Returns:
        None where none bites: glue and clamp instead.
    """
    wanted = [wood_diameter(size, unit) for size in diameters]
    stock = [
        screw
        for screw in wood_screws(unit)
        if any(abs(screw.diameter - size) < TOUCHING for size in wanted)
    ]
    weak: ScrewChoice | None = None
    for bore in range(math.floor(counterbore_most) + 1):
        choices = [
            judge_screw(screw, head_stack, into, counterbore=bore, keep=keep, glued=glued)
            for screw in stock
        ]
        safe = [c for c in choices if c.safe and c.bite >= LEAST_BITE * c.screw.diameter - 1e-9]
        holding = [c for c in safe if c.holds]
        if holding:
            return _chosen(max(holding, key=lambda c: (c.screw.diameter, c.screw.length)))
        for choice in safe:
            if weak is None or _grip(choice) > _grip(weak) + 1e-9:
                weak = choice
    return _chosen(weak) if weak else None


def _grip(choice: ScrewChoice) -> float:
    return choice.bite / choice.screw.diameter


def _chosen(choice: ScrewChoice) -> Screw:
    return Screw(
        name=choice.screw.name,
        diameter=choice.screw.diameter,
        length=choice.screw.length,
        head_stack=choice.head_stack,
        bite=choice.bite,
        left=choice.left,
        pilot=choice.screw.pilot,
        clearance=choice.screw.clearance,
        counterbore=choice.counterbore,
        head=choice.screw.head,
    )


def spaced(low: float, high: float, *, end: float = 20.0, most: float = 150.0) -> tuple[float, ...]:
    """Return places of screws along a strip: `end` from its ends, at most `most` apart. [mm]

    Example:
        >>> spaced(0, 300)
        (20.0, 150.0, 280.0)
    """
    if not (end > 0 and most > 0):
        raise InputError("end", got=f"{end}, {most}", want="more than 0 mm")
    length = high - low
    if length < 2 * end:
        return ((low + high) / 2,) if length >= end else ()
    gaps = max(math.ceil((length - 2 * end) / most - TOUCHING), 1)
    step = (length - 2 * end) / gaps
    return tuple(low + end + step * i for i in range(gaps + 1))


__all__ = [
    "LEAST_BITE",
    "MACHINE_LENGTHS",
    "NUMBERS",
    "SPARE_THREAD",
    "WASHERS",
    "Screw",
    "machine_screw",
    "packing_for",
    "spaced",
    "washer",
    "wood_diameter",
    "wood_screw",
    "wood_screws",
]
