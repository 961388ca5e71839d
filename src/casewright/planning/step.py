"""One step of the work, and what it knows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from casewright.geometry.model import Cabinet, Fastening, Piece
from casewright.planning.cautions import Hazard

Stage = Literal["cut", "bevel", "shape", "dry fit", "glue", "paint", "fit", "wire", "test", "close"]

STAGES: tuple[Stage, ...] = (
    "cut",
    "bevel",
    "shape",
    "dry fit",
    "glue",
    "paint",
    "fit",
    "wire",
    "test",
    "close",
)


@dataclass(frozen=True)
class Step:
    """One thing to do at the bench. Lengths inside texts are marked by `basics.findings.mm`."""

    key: str
    """ "panel.deck"."""
    stage: Stage
    title: str
    orders: tuple[str, ...]
    """What to do, in the imperative, in order."""
    pieces: tuple[str, ...] = ()
    """Keys of the pieces at hand."""
    parts: tuple[str, ...] = ()
    """Keys of the placed parts at hand."""
    tool: str = ""
    face_up: str = ""
    screws: tuple[tuple[str, int], ...] = ()
    """Name as bought, count."""
    cautions: tuple[Hazard, ...] = ()
    needs: tuple[str, ...] = ()
    """Keys of the steps that must be done before."""
    dry: str = ""
    """What must dry, and how long."""
    rank: float = 0.0
    """Earlier first, where nothing else decides."""
    number: int = 0
    """From 1, in the order of work; 0 until the order is settled."""


def screws_of(fastenings: Iterable[Fastening]) -> tuple[tuple[str, int], ...]:
    """Screws by name, with their count, in order of name."""
    counts: dict[str, int] = {}
    for fastening in fastenings:
        if fastening.name:
            counts[fastening.name] = counts.get(fastening.name, 0) + fastening.count
    return tuple(sorted(counts.items()))


def labels_of(cabinet: Cabinet) -> dict[str, str]:
    """What pieces and placed parts are called, by key."""
    return {
        **{placed.key: placed.label or placed.part.label for placed in cabinet.placed},
        **{piece.key: piece.label or piece.key for piece in cabinet.pieces},
    }


def is_removable(piece: Piece) -> bool:
    """Whether it comes off for service."""
    return piece.fixing != "glued"


__all__ = ["STAGES", "Stage", "Step", "is_removable", "labels_of", "screws_of"]
