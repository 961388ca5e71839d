"""What a cutting layout takes of the stock and what it leaves, as plain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from casewright.planning.cutting import Areas


@dataclass(frozen=True)
class Wanted:
    """Pieces of one mark that a layout takes."""

    mark: str
    count: int
    length: float
    """As the plan has it. [mm]"""
    width: float


@dataclass(frozen=True)
class Bought:
    """Sheets that a layout takes and the stock never held."""

    label: str
    count: int
    length: float
    width: float


@dataclass(frozen=True)
class Leftover:
    """A piece that stays and is worth keeping."""

    written: Mapping[str, Any]
    """Its record."""
    origin: str
    """The mark of the piece it comes from, or what was bought."""
    length: float
    """Exact, along the grain. [mm]"""
    width: float


@dataclass(frozen=True)
class Taking:
    """What accepting a layout does."""

    project: str
    plan: str
    """Tells this layout from every other one."""
    wanted: tuple[Wanted, ...]
    bought: tuple[Bought, ...]
    leftovers: tuple[Leftover, ...]
    areas: Areas


__all__ = ["Bought", "Leftover", "Taking", "Wanted"]
