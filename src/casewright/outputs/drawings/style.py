"""Pens, materials and colors: one look for screen, drawing and book."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.outputs.drawings.marks import Material, Pen

INK = "#1e2328"
GRAPHITE = "#454c55"
"""Dimensions and lettering beside the picture; 8 : 1 on `PAPER`."""
HATCH_INK = "#9a7b4f"
ACCENT = "#1f5fa8"
"""Blue of a marking-out pencil; 6 : 1 on `PAPER`."""
PAPER = "#fffdf8"
GHOST = "#ebe5d9"
"""Large signs behind a picture; never the only place where a thing is said."""

WIDE = 0.5
NARROW = 0.25
"""Line group 0.5 of ISO 128-2: narrow is half as wide as wide. [mm on paper]"""


@dataclass(frozen=True)
class PenStyle:
    """How a pen draws; all sizes on paper. [mm]"""

    width: float
    color: str
    dashes: tuple[float, ...] = ()
    """Stroke, gap, stroke, ... in turn; empty is continuous."""
    linetype: str = "CONTINUOUS"
    """Name of the same pattern in a DXF file."""


# ISO 128-2 gives dash 12 d, gap 3 d, long dash 24 d, dot up to 0.5 d, with d the line width. Here d = 0.25 mm, and
# dots are a whole d long, so that they can be seen on a screen too.
_DASHED = (3.0, 0.75)
_CHAIN = (6.0, 0.75, 0.25, 0.75)
_DOUBLE_CHAIN = (6.0, 0.75, 0.25, 0.75, 0.25, 0.75)

PENS: dict[Pen, PenStyle] = {
    "visible": PenStyle(WIDE, INK),
    "thin": PenStyle(NARROW, INK),
    "hidden": PenStyle(NARROW, INK, _DASHED, "DASHED"),
    "centre": PenStyle(NARROW, INK, _CHAIN, "CENTER"),
    "phantom": PenStyle(NARROW, INK, _DOUBLE_CHAIN, "PHANTOM"),
    "cutting-plane": PenStyle(WIDE, INK, (12.0, 1.5, 0.5, 1.5), "CENTER"),
    "dimension": PenStyle(NARROW, GRAPHITE),
    "hatch": PenStyle(NARROW, HATCH_INK),
    "ghost": PenStyle(WIDE, GHOST),
    "accent": PenStyle(WIDE, ACCENT),
    "accent-thin": PenStyle(NARROW, ACCENT),
    "accent-hidden": PenStyle(NARROW, ACCENT, _DASHED, "DASHED"),
    "sight": PenStyle(NARROW, ACCENT, _CHAIN, "CENTER"),
}


@dataclass(frozen=True)
class Fill:
    """How a cut or seen area is filled; hatch sizes on paper. [mm]"""

    ground: str
    hatch: str = ""
    """Color of the hatch lines; empty for none."""
    spacing: float = 0.0
    angle_deg: float = 45.0
    width: float = 0.18
    crossed: bool = False
    """Lines in both directions."""


# Told apart by hatch as well as by color, so that a black print reads the same.
MATERIALS: dict[Material, Fill] = {
    "wood": Fill("#e2cfa9", "#9a7b4f", 2.0),
    "face": Fill("#f3ead9"),
    "shade": Fill("#e3d6bd"),
    "new": Fill("#b5d0ee"),
    "acrylic": Fill("#d5e6ec", "#5c8797", 1.6, 135.0),
    "metal": Fill("#cfd3d8", "#5b636d", 1.1, 45.0, 0.22),
    "part": Fill("#dfe2e6"),
    "lit": Fill("#d7e4f4", "#7fa3cf", 3.2, 0.0),
    "pocket": Fill("#eadcc0", "#b59a6c", 3.0, 90.0, 0.15),
    "waste": Fill("#f6f2ea", "#8b8271", 2.6, 45.0, 0.15, crossed=True),
    "paper": Fill(PAPER),
    "ink": Fill(INK),
}

__all__ = [
    "ACCENT",
    "GHOST",
    "GRAPHITE",
    "HATCH_INK",
    "INK",
    "MATERIALS",
    "NARROW",
    "PAPER",
    "PENS",
    "WIDE",
    "Fill",
    "PenStyle",
]
