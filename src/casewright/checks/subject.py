"""What the rules look at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from casewright.catalog.load import Catalog
from casewright.geometry.collisions import Collision
from casewright.geometry.model import Cabinet, Piece, Placed


@dataclass(frozen=True)
class Subject:
    """A cabinet with what has been worked out about it."""

    cabinet: Cabinet
    catalog: Catalog
    collisions: tuple[Collision, ...] = ()

    @cached_property
    def labels(self) -> Mapping[str, str]:
        """What each piece and placed part is called."""
        names = {piece.key: piece.label for piece in self.cabinet.pieces}
        return {**names, **{placed.key: placed.label for placed in self.cabinet.placed}}

    def label(self, key: str) -> str:
        """What a piece or part is called; its key if nothing better is known."""
        return self.labels.get(key, key)

    @cached_property
    def boards(self) -> tuple[Piece, ...]:
        """Pieces that parts sit on: panels, sides, inner boards, loose boards, doors."""
        kinds = ("side", "panel", "inner", "board", "door", "light board")
        return tuple(piece for piece in self.cabinet.pieces if piece.kind in kinds)

    @cached_property
    def placed_on(self) -> Mapping[str, tuple[Placed, ...]]:
        """Placed parts by the piece they sit on."""
        found: dict[str, list[Placed]] = {}
        for placed in self.cabinet.placed:
            found.setdefault(placed.piece, []).append(placed)
        return {key: tuple(parts) for key, parts in found.items()}


__all__ = ["Subject"]
