"""What steps say of the screws they drive."""

from __future__ import annotations

from collections.abc import Sequence

from casewright.basics.findings import mm
from casewright.basics.units import TOUCHING
from casewright.geometry.model import Cabinet, Fastening
from casewright.planning.work.step import GuardKey


def tips(fastenings: Sequence[Fastening]) -> list[str]:
    """How far the tips of the screws stay inside, the nearest to a far face; nothing of bolts that go through."""
    inside = [f for f in fastenings if f.name and f.left > TOUCHING]
    if not inside:
        return []
    nearest = min(inside, key=lambda f: f.left)
    return [
        f"Only these screws, one size to a box: the tip of {nearest.name} stays {mm(nearest.left)} before the far face."
    ]


def driven(fastenings: Sequence[Fastening]) -> tuple[GuardKey, ...]:
    """The guard that a step with screws keeps."""
    return ("screws through",) if tips(fastenings) else ()


def is_cleat(cabinet: Cabinet, fastening: Fastening) -> bool:
    """Whether it goes through a cleat."""
    piece = cabinet.piece_by_key.get(fastening.through)
    return piece is not None and piece.kind == "cleat"


__all__ = ["driven", "is_cleat", "tips"]
