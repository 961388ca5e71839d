"""What is written at a hole or an opening, and which of them share a tag."""

from __future__ import annotations

from collections.abc import Sequence

from casewright.basics.units import LengthStyle
from casewright.geometry.model import Circle
from casewright.outputs.drawings.hole_table import HoleRow, depth_words, size_words


def tag_choices(
    heap: Sequence[HoleRow], style: LengthStyle, *, sized: bool
) -> tuple[tuple[str, ...], ...]:
    """What may be written at a feature, the fullest first; the last always goes."""
    first, last = heap[0], heap[-1]
    same = all(row.letter == first.letter for row in heap)
    tag = first.tag
    if len(heap) > 1:
        tag = f"{first.tag}–{last.tag}" if same else " + ".join(row.tag for row in heap)
    feature = first.feature
    deep = f", {depth_words(feature, style)} deep" if feature.depth is not None else ""
    shaped = not isinstance(feature.shape, Circle)
    worth = shaped or feature.kind == "counterbore"
    short = (f"{tag}{deep}",) if worth and len(heap) == 1 else (tag,)
    if sized and len(heap) == 1 and not shaped:
        short = (f"{tag} {size_words(feature, style)}",)
    full = (f"{tag} {feature.kind}", *size_words(feature, style).split(", "))
    if deep:
        full = (*full, deep.lstrip(", "))
    return (full, short) if shaped and len(heap) == 1 else (short,)


def heaped(groups: Sequence[Sequence[HoleRow]]) -> tuple[tuple[HoleRow, ...], ...]:
    """Groups with one centre share a tag: a screw's head over its shank."""
    at: dict[tuple[float, float], list[HoleRow]] = {}
    alone: list[tuple[HoleRow, ...]] = []
    for group in groups:
        if len(group) > 1:
            alone.append(tuple(group))
        else:
            row = group[0]
            at.setdefault((round(row.x, 2), round(row.y, 2)), []).append(row)
    return (*alone, *(tuple(rows) for rows in at.values()))


__all__ = ["heaped", "tag_choices"]
