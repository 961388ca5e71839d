"""Screw lengths: never through a show face, never too short to hold."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from casewright.basics.remembering import remembered
from casewright.basics.units import LengthStyle, Unit, format_length
from casewright.catalog.load import Catalog

SHOW_FACE_ROOM = 3.0
"""Wood kept between a screw's tip and a show face. [mm] Common practice."""

BITE_GLUED = 2.5
"""Least thread in the last member beside glue, in screw diameters. Common practice."""

BITE_DRY = 4.0
"""Least thread in the last member without glue, in screw diameters. Common practice."""

NEARLY = 0.9
"""Share of the wished bite that still counts as holding: it is a rule of thumb, not a measurement."""

USUAL = (3.5, 4.2)
"""Thinnest and thickest screw through a batten of 20 mm or so. [mm] Common practice."""

END_DISTANCE = 40.0
"""First and last screw from a batten's end. [mm] Common practice; softwood splits nearer."""

SPACING = 150.0
"""Farthest from screw to screw along a batten. [mm] Common practice."""


@dataclass(frozen=True)
class ScrewSize:
    """A wood screw as sold."""

    name: str
    diameter: float
    length: float
    core: float
    head: float
    clearance: float = 0.0
    """Hole that the shank passes through, where the catalog says. [mm]"""
    pilot: float = 0.0
    """Drill for its thread in plywood, MDF and the like, where the catalog says. [mm]"""


@dataclass(frozen=True)
class ScrewChoice:
    """A screw for one stack."""

    screw: ScrewSize
    counterbore: float
    head_stack: float
    """Thickness under the head. [mm]"""
    bite: float
    left: float
    """Wood from the tip to the far face. [mm]"""
    holds: bool
    """The bite is enough."""
    safe: bool
    """The far face keeps its room."""


def longest_allowed(head: float, last: float, *, counterbore: float, keep: float) -> float:
    """Longest screw that leaves `keep` at the far face of the last member. [mm]

    Example:
        >>> longest_allowed(20, 15, counterbore=0, keep=3)
        32
    """
    return head - counterbore + last - keep


class ScrewSizes(tuple[ScrewSize, ...]):
    """Screws to choose from. Memories tell it from another as one thing, and do not look through its hundred sizes."""

    __slots__ = ()


@remembered(16)
def screw_sizes(catalog: Catalog, unit: Unit) -> tuple[ScrewSize, ...]:
    """The catalog's wood screws as geometry takes them: inch sizes for a project in inches, else metric ones."""
    system = "inch" if unit == "in" else "metric"
    style = LengthStyle(unit if unit == "in" else "mm", decimals=0, denominator=64)
    return ScrewSizes(
        ScrewSize(
            name=f"{screw.name} × {format_length(length, style, with_unit=False)}",
            diameter=screw.diameter,
            length=length,
            core=screw.core,
            head=screw.head,
            clearance=screw.clearance,
            pilot=screw.pilot,
        )
        for screw in catalog.screws.values()
        if screw.system == system
        for length in screw.lengths
    )


def judge_screw(
    screw: ScrewSize, head: float, last: float, *, counterbore: float, keep: float, glued: bool
) -> ScrewChoice:
    """What a given screw does in a given stack.

    Args:
        screw: The screw.
        head: Member under the head. [mm]
        last: Member the thread ends in. [mm]
        counterbore: Depth of the head's bore in the first member. [mm]
        keep: Wood to keep at the far face. [mm]
        glued: The joint is glued as well.
    """
    under = head - counterbore
    bite = screw.length - under
    left = last - bite
    need = (BITE_GLUED if glued else BITE_DRY) * screw.diameter
    return ScrewChoice(
        screw,
        counterbore,
        under,
        bite,
        left,
        bite >= NEARLY * need - 1e-9,
        left >= keep - 1e-9 and bite > 0,
    )


@remembered(1024)
def choose_screw(
    screws: Sequence[ScrewSize],
    head: float,
    last: float,
    *,
    keep: float = SHOW_FACE_ROOM,
    glued: bool = True,
    diameters: tuple[float, float] = USUAL,
) -> ScrewChoice | None:
    """The best screw for a stack, with a counterbore where only that lets it bite.

    Without a counterbore if one holds so, the thickest screw first and the longest of that; else with the shallowest
    counterbore in whole millimeters, at most half the head member. If none holds, the one that bites most.

    Returns:
        The choice, or None if every screw would come through.

    Example:
        >>> stock = [ScrewSize(f"4.0 × {x}", 4.0, x, 2.5, 8.0, 4.5, 2.3) for x in (20, 25, 30, 35)]
        >>> choose_screw(stock, 20, 15).screw.name
        '4.0 × 30'
    """
    usable = [s for s in screws if diameters[0] - 1e-9 <= s.diameter <= diameters[1] + 1e-9]
    best: ScrewChoice | None = None
    for counterbore in range(0, math.floor(head / 2) + 1):
        fits = [
            judge_screw(s, head, last, counterbore=counterbore, keep=keep, glued=glued)
            for s in usable
        ]
        safe = [choice for choice in fits if choice.safe]
        holding = [choice for choice in safe if choice.holds]
        if holding:
            return max(holding, key=lambda c: (c.screw.diameter, c.screw.length))
        for choice in safe:
            if (
                best is None
                or choice.bite / choice.screw.diameter > best.bite / best.screw.diameter + 1e-9
            ):
                best = choice
    return best


def pilot_diameter(screw: ScrewSize) -> float:
    """Pilot hole in plywood, MDF and other hard boards: the catalog's, else nine tenths of the core. [mm]

    Source:
        wood-screw-lead-holes.
    """
    return screw.pilot or round(screw.core * 0.9, 1)


def clearance_diameter(screw: ScrewSize) -> float:
    """Hole that lets the shank through: the catalog's, else 0.3 over, to the next half. [mm] Common practice."""
    return screw.clearance or math.ceil((screw.diameter + 0.3) * 2) / 2


def screw_places(length: float) -> tuple[float, ...]:
    """Distances of the screws from one end of a batten. [mm]

    Example:
        >>> screw_places(200)
        (40.0, 160.0)
    """
    if length < 2 * END_DISTANCE + 20:
        if length < 50:
            return (length / 2,)
        return (length * 0.25, length * 0.75)
    gaps = max(1, math.ceil((length - 2 * END_DISTANCE) / SPACING))
    step = (length - 2 * END_DISTANCE) / gaps
    return tuple(END_DISTANCE + i * step for i in range(gaps + 1))


__all__ = [
    "BITE_DRY",
    "BITE_GLUED",
    "END_DISTANCE",
    "NEARLY",
    "SHOW_FACE_ROOM",
    "SPACING",
    "USUAL",
    "ScrewChoice",
    "ScrewSize",
    "ScrewSizes",
    "choose_screw",
    "clearance_diameter",
    "judge_screw",
    "longest_allowed",
    "pilot_diameter",
    "screw_places",
    "screw_sizes",
]
