"""What placing a part in the cabinet gives: features, bodies, further pieces, numbers and findings."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from casewright.basics.findings import Finding
from casewright.basics.reckoning import Reckoning
from casewright.geometry.model import Body, Fastening, Feature, Piece


@dataclass(frozen=True)
class Stack:
    """A panel as the part meets it: its layers from the show face inward, the board last."""

    panel: str
    pieces: tuple[Piece, ...]

    @property
    def board(self) -> Piece:
        """The wooden board itself."""
        return self.pieces[-1]

    @property
    def thickness(self) -> float:
        """All layers together. [mm]"""
        return sum(piece.thickness for piece in self.pieces)


@dataclass(frozen=True)
class Fitted:
    """The consequences of one placed part."""

    features: tuple[tuple[str, Feature], ...] = ()
    """(key of the piece, feature)."""
    bodies: tuple[Body, ...] = ()
    pieces: tuple[Piece, ...] = ()
    fastenings: tuple[Fastening, ...] = ()
    numbers: tuple[Reckoning, ...] = ()
    findings: tuple[Finding, ...] = ()


def gathered(results: Iterable[Fitted]) -> Fitted:
    """All results as one, in order."""
    parts = tuple(results)
    return Fitted(
        features=tuple(x for r in parts for x in r.features),
        bodies=tuple(x for r in parts for x in r.bodies),
        pieces=tuple(x for r in parts for x in r.pieces),
        fastenings=tuple(x for r in parts for x in r.fastenings),
        numbers=tuple(x for r in parts for x in r.numbers),
        findings=tuple(x for r in parts for x in r.findings),
    )


__all__ = ["Fitted", "Stack", "gathered"]
