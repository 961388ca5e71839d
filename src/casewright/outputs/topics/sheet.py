"""What one topic of use shows, as plain data: the book sets it, the workbench shows it.

Texts hold lengths as marks (`basics.findings.mm`), written in the user's unit by whoever shows them.
"""

from __future__ import annotations

from dataclasses import dataclass

from casewright.outputs.drawings.marks import Drawing
from casewright.planning.cautions import Hazard


@dataclass(frozen=True)
class Picture:
    """A drawing that answers the topic's question."""

    drawing: Drawing
    caption: str = ""


@dataclass(frozen=True)
class Rows:
    """A small table."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    figures: tuple[int, ...] = ()
    """Columns that hold figures, set to the right."""


@dataclass(frozen=True)
class TopicSheet:
    """One topic: its question, the answer in a sentence, the picture, then tables and reasons."""

    key: str
    title: str
    question: str
    answer: str
    pictures: tuple[Picture, ...] = ()
    tables: tuple[Rows, ...] = ()
    numbers: tuple[str, ...] = ()
    """Keys of the reckonings that decide; each is shown with its reasons."""
    notes: tuple[str, ...] = ()
    """What was assumed, what to measure, what the figures leave out."""
    hazards: tuple[Hazard, ...] = ()


__all__ = ["Picture", "Rows", "TopicSheet"]
