"""What a pocket of the project's own leaves below it, over all layers of its panel."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from casewright.geometry.model import Cabinet, Piece
from casewright.geometry.web_least import WALL_LEAST


@dataclass(frozen=True)
class Floor:
    """A pocket, groove or blind hole that the project asks for."""

    number: int
    """Place in the project's features, from 0."""
    piece: Piece
    """The board; the innermost layer of a panel."""
    depth: float
    """As asked for. [mm]"""
    thickness: float
    """Of all layers together. [mm]"""

    @property
    def left(self) -> float:
        """What stays below it; 0 or less where it goes right through. [mm]"""
        return self.thickness - self.depth

    @property
    def owner(self) -> str:
        """Owner of its features on the pieces."""
        return f"features.{self.number}"


def own_floors(cabinet: Cabinet) -> Iterator[Floor]:
    """Every feature of the project's own that has a depth, on a piece that is there."""
    for number, wish in enumerate(cabinet.project.features):
        depth = getattr(wish, "depth", None)
        piece = cabinet.piece_by_key.get(wish.on)
        if not depth or piece is None:
            continue
        slab = cabinet.slab_by_panel.get(wish.on)
        yield Floor(number, piece, depth, slab.thickness if slab else piece.thickness)


def floor_least(floor: Floor) -> float:
    """Least that may stay: a pocket's wall, or a third of what is thinner than three of them. [mm]"""
    return min(WALL_LEAST, floor.thickness / 3)


__all__ = ["Floor", "floor_least", "own_floors"]
