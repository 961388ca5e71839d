"""What the rules look at."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from casewright.basics.findings import Remedy, Unsaid
from casewright.behavior.abreast import CONTROLS, controls_by_player, everybody_at
from casewright.behavior.balance import Balance
from casewright.behavior.whole import Behavior
from casewright.catalog.load import Catalog
from casewright.checks.conflicts import Conflict, find_conflicts
from casewright.checks.sizes import Size, overall, size_of
from casewright.geometry.collisions import Collision
from casewright.geometry.model import Cabinet, Piece, Placed
from casewright.geometry.viewers import Viewer


@dataclass(frozen=True)
class Subject:
    """A cabinet with what has been worked out about it."""

    cabinet: Cabinet
    catalog: Catalog
    collisions: tuple[Collision, ...] = ()
    behavior: Behavior | None = None
    is_counted: bool = False
    """Whether findings are only counted: remedies that take long to find are left unsaid."""

    def orders(self, found: Callable[[], Iterable[Remedy]]) -> tuple[Remedy, ...]:
        """Remedies that take long to find; a stand-in where findings are only counted."""
        return (Unsaid(find=found),) if self.is_counted else tuple(found())

    @property
    def balance(self) -> Balance | None:
        """Mass and centre of gravity, where they were worked out."""
        return self.behavior.balance if self.behavior else None

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

    @cached_property
    def controls(self) -> tuple[Placed, ...]:
        """Parts that hands work."""
        return tuple(p for p in self.cabinet.placed if isinstance(p.part.data, CONTROLS))

    @cached_property
    def players(self) -> Mapping[int, tuple[Placed, ...]]:
        """Controls of each player who has some, by number."""
        return controls_by_player(self.cabinet)

    @cached_property
    def viewers(self) -> tuple[Viewer, ...]:
        """People in front of the cabinet."""
        return everybody_at(self.cabinet)

    @cached_property
    def size(self) -> Size:
        """Width, depth and height over all, balls and knobs included. [mm]"""
        return size_of(overall(self.cabinet))

    @cached_property
    def unbolted_size(self) -> Size:
        """The same with boards that are bolted on taken off. [mm]"""
        if any(piece.fixing == "bolted" for piece in self.cabinet.pieces):
            return size_of(overall(self.cabinet, bolted=False))
        return self.size

    @cached_property
    def conflicts(self) -> tuple[Conflict, ...]:
        """Collisions, gathered by what has them."""
        return find_conflicts(self.cabinet, self.collisions)

    @cached_property
    def said(self) -> frozenset[tuple[str, str]]:
        """(rule, name) of all that geometry has said already, so that no rule says it again."""
        return frozenset((f.rule, name) for f in self.cabinet.findings for name in f.place.names)


__all__ = ["Subject"]
