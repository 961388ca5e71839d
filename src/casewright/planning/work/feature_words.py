"""Features of a piece in few words, for the titles and orders of their steps."""

from __future__ import annotations

from casewright.basics.findings import mm
from casewright.geometry.model import Circle, Feature, Rectangle
from casewright.geometry.orders import without_orders


def short_name(feature: Feature) -> str:
    """What it is, in few words."""
    return without_orders(feature.label) or feature.kind


def whole_name(feature: Feature) -> str:
    """What it is, with all that its label says."""
    return feature.label or feature.kind


def size_words(feature: Feature) -> str:
    """Its size behind a verb: " 527.0 × 296.5"; "" where its outline tells."""
    shape = feature.shape
    if isinstance(shape, Rectangle):
        return f" {mm(shape.width)} × {mm(shape.height)}"
    return f" {mm(shape.diameter)} across" if isinstance(shape, Circle) else ""


def kind_words(feature: Feature) -> str:
    """What holes of its kind are called."""
    words = {"clearance": "screw holes", "pilot": "pilots", "counterbore": "counterbores"}
    return words.get(feature.kind, short_name(feature) if feature.label else f"{feature.kind}s")


def bit_words(kind: str) -> str:
    """What a bit is called at the bench."""
    return {"brad": "brad-point bit", "forstner": "forstner bit", "hole saw": "hole saw"}.get(
        kind, f"{kind} bit"
    )


__all__ = ["bit_words", "kind_words", "short_name", "size_words", "whole_name"]
