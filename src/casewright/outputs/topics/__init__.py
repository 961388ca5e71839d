"""Sheets on how the cabinet does in use, one module a topic, in the order people ask."""

from __future__ import annotations

from collections.abc import Callable

from casewright.behavior.whole import Behavior
from casewright.geometry.model import Cabinet
from casewright.outputs.topics import carrying, hands, heat, paint, standing
from casewright.outputs.topics.sheet import Picture, Rows, TopicSheet

TOPICS: tuple[Callable[[Cabinet, Behavior], TopicSheet | None], ...] = (
    hands.sheet,
    standing.sheet,
    carrying.sheet,
    heat.sheet,
    paint.sheet,
)
"""Each gives its sheet, or None where the cabinet has nothing to it."""


def topic_sheets(cabinet: Cabinet, behavior: Behavior) -> tuple[TopicSheet, ...]:
    """All sheets that this cabinet has."""
    return tuple(made for topic in TOPICS if (made := topic(cabinet, behavior)) is not None)


__all__ = ["TOPICS", "Picture", "Rows", "TopicSheet", "topic_sheets"]
