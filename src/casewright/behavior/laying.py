"""Where power comes in, and how long a wire is cut for a way."""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.behavior.routes import Way
from casewright.behavior.wires import WireSystem
from casewright.catalog.kinds import Device, Fitting
from casewright.design.wiring import WiringWishes
from casewright.geometry.model import Cabinet

UNKNOWN_WAY = 1000.0
"""Taken for a way that cannot be found, so that nothing is called too short. [mm] Common practice."""

STEP = 10.0
"""Wires are cut to the next whole step. [mm] Common practice."""

INCH_STEP = 12.7
"""The same where lengths are in inches: half an inch. [mm] Common practice."""


@dataclass(frozen=True)
class Entry:
    """Where low voltage comes into the cabinet."""

    source: str
    """Placed supply, inlet or socket; "" where none is known."""
    switch: str
    """Placed switch behind it; "" where there is none."""

    @property
    def hub(self) -> str:
        """Where the fuses sit and the branches start: at the switch, else where power comes in."""
        return self.switch or self.source


def entry_of(cabinet: Cabinet) -> Entry:
    """Where power comes in.

    A supply that stands inside is the source itself. Else it is the inlet, else the first socket or port in a panel.
    """
    by_role: dict[str, str] = {}
    for placed in cabinet.placed:
        data = placed.part.data
        if isinstance(data, Device) or (isinstance(data, Fitting) and not data.mains):
            by_role.setdefault(data.role, placed.key)
    roles = ("supply", "inlet", "socket", "port")
    source = next((by_role[role] for role in roles if role in by_role), "")
    return Entry(source, by_role.get("switch", ""))


def laid_length(way: Way, wishes: WiringWishes, *, step: float = STEP) -> float:
    """What is cut for a way: the way with its slack, both ends, and a loop where a board comes off. [mm]"""
    length = way.length if math.isfinite(way.length) else UNKNOWN_WAY
    whole = length * (1 + wishes.slack) + 2 * wishes.ends + way.loops * wishes.service_loop
    return math.ceil(whole / step - 1e-9) * step


def cut_step(cabinet: Cabinet) -> float:
    """To what step wires are cut, in the project's unit. [mm]"""
    return INCH_STEP if cabinet.project.unit == "in" else STEP


def wire_system(cabinet: Cabinet) -> WireSystem:
    """How wire is sold: as the maker says, else AWG where lengths are in inches."""
    return cabinet.project.wiring.sizes or ("awg" if cabinet.project.unit == "in" else "mm2")


__all__ = [
    "INCH_STEP",
    "STEP",
    "UNKNOWN_WAY",
    "Entry",
    "cut_step",
    "entry_of",
    "laid_length",
    "wire_system",
]
