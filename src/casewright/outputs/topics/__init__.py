"""Sheets on how the cabinet does in use, one module a topic, in the order people ask."""

from __future__ import annotations

from collections.abc import Callable

from casewright.behavior.whole import Behavior
from casewright.geometry.model import Cabinet
from casewright.outputs.topics import (
    carrying,
    content,
    cost,
    hands,
    heat,
    light,
    paint,
    power,
    sight,
    sound,
    standing,
    stiffness,
    tolerance,
)
from casewright.outputs.topics.sheet import Picture, Rows, TopicSheet
from casewright.planning.buying import Shopping

TOPICS: tuple[Callable[[Cabinet, Behavior], TopicSheet | None], ...] = (
    content.sheet,
    sight.sheet,
    hands.sheet,
    standing.sheet,
    carrying.sheet,
    heat.sheet,
    paint.sheet,
    stiffness.sheet,
    light.sheet,
    tolerance.sheet,
    sound.sheet,
    power.sheet,
)
"""Each gives its sheet, or None where the cabinet has nothing to it."""


def topic_sheets(
    cabinet: Cabinet, behavior: Behavior, shopping: Shopping
) -> tuple[TopicSheet, ...]:
    """All sheets that this cabinet has; what it costs stands last."""
    made = [*(topic(cabinet, behavior) for topic in TOPICS), cost.sheet(cabinet, shopping)]
    return tuple(sheet for sheet in made if sheet is not None)


__all__ = ["TOPICS", "Picture", "Rows", "TopicSheet", "topic_sheets"]
