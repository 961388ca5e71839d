"""Drawings of `outputs.drawings` made fit for the page: their colors follow the theme, their size the room."""

from __future__ import annotations

import re
from collections.abc import Mapping

from casewright.outputs.drawings.marks import Drawing
from casewright.outputs.drawings.style import (
    ACCENT,
    GHOST,
    GRAPHITE,
    HATCH_INK,
    INK,
    MATERIALS,
    PAPER,
)
from casewright.outputs.drawings.svg import write_svg

_NAMES: Mapping[str, str] = {
    INK: "ink",
    GRAPHITE: "graphite",
    HATCH_INK: "hatch-wood",
    ACCENT: "accent",
    PAPER: "sheet",
    GHOST: "ghost",
    **{
        fill.hatch: f"hatch-{name}"
        for name, fill in MATERIALS.items()
        if fill.hatch and name != "wood"
    },
    **{
        fill.ground: f"fill-{name}"
        for name, fill in MATERIALS.items()
        if name not in ("paper", "ink")
    },
}
_COLOR = re.compile(r'(fill|stroke)="(#[0-9a-f]{6})"')
_SIZE = re.compile(r' width="[0-9.]+mm" height="[0-9.]+mm"', re.ASCII)
_ID = re.compile(r'(id="|url\(#)([a-z-]+)')


def page_svg(drawing: Drawing, *, name: str, margin: float = 3.0, fills: bool = True) -> str:
    """A drawing as SVG that takes its colors from the theme.

    Args:
        drawing: What to show; its texts are escaped by the writer.
        name: Unique on the page, for the ids of its hatches.
        margin: Round it, on paper. [mm]
        fills: Whether it fills its box; else it is as large as on paper.
    """
    svg = write_svg(drawing, margin=margin)
    if fills:
        svg = _SIZE.sub("", svg, count=1)
    svg = _ID.sub(lambda m: f"{m[1]}{name}-{m[2]}", svg)
    return _COLOR.sub(_themed, svg)


def _themed(match: re.Match[str]) -> str:
    name = _NAMES.get(match[2])
    return f'{match[1]}="var(--{name},{match[2]})"' if name else match[0]


__all__ = ["page_svg"]
