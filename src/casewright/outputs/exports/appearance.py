"""Colors of pieces and parts in three dimensions: muted, and the same ones as in the drawings."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from casewright.design.project import Project
from casewright.geometry.model import Body, Piece
from casewright.outputs.drawings.style import MATERIALS

Rgb = tuple[float, float, float]


@dataclass(frozen=True)
class Appearance:
    """How a surface looks."""

    name: str
    color: str
    """#rrggbb."""
    opacity: float = 1.0
    roughness: float = 0.8
    """0 mirrors, 1 is dull."""

    @property
    def rgb(self) -> Rgb:
        """Red, green, blue from 0 to 1, as a screen takes them."""
        r, g, b = (int(self.color[i : i + 2], 16) / 255 for i in (1, 3, 5))
        return (r, g, b)

    @property
    def linear(self) -> Rgb:
        """The same as shares of light.

        Source:
            IEC 61966-2-1 (sRGB), its transfer function.
        """
        r, g, b = (x / 12.92 if x <= 0.04045 else ((x + 0.055) / 1.055) ** 2.4 for x in self.rgb)
        return (r, g, b)


_PIECES: Mapping[str, tuple[str, float, float]] = {  # color, opacity, roughness
    "plywood": (MATERIALS["wood"].ground, 1.0, 0.8),
    "mdf": ("#c2a883", 1.0, 0.9),
    "solid wood": ("#d3b98c", 1.0, 0.8),
    "acrylic": (MATERIALS["acrylic"].ground, 0.35, 0.2),
    "polycarbonate": (MATERIALS["acrylic"].ground, 0.35, 0.3),
    "metal": (MATERIALS["metal"].ground, 1.0, 0.5),
    "print": ("#ece6da", 1.0, 0.9),
}
_BODIES: Mapping[str, tuple[str, float, float]] = {
    "metal": ("#a9afb6", 1.0, 0.5),
    "plastic": ("#4a4f55", 1.0, 0.6),
    "glass": ("#2b3138", 1.0, 0.25),
    "rubber": ("#33373b", 1.0, 0.95),
    "board": ("#5d7a66", 1.0, 0.7),
    "lit": (MATERIALS["lit"].ground, 1.0, 0.6),
    "air": ("#dfe6ea", 0.2, 1.0),
}
_BATTEN = "solid wood"
_HEX = re.compile(r"#[0-9a-fA-F]{6}")


def piece_appearance(piece: Piece, project: Project) -> Appearance:
    """How a piece looks: its material's own color, else that of its kind."""
    material = project.materials.get(piece.material)
    kind = material.kind if material else _BATTEN
    color, opacity, roughness = _PIECES[kind]
    own = material.color if material else ""
    name = piece.material
    return Appearance(name, own.lower() if _HEX.fullmatch(own) else color, opacity, roughness)


def body_appearance(body: Body) -> Appearance:
    """How a part's body looks: its own color, else that of what it is made of; room is pale."""
    look = "air" if body.kind == "room" else body.look
    color, opacity, roughness = _BODIES[look]
    if _HEX.fullmatch(body.color) and body.kind == "solid":
        color = body.color.lower()
    return Appearance(look, color, opacity, roughness)


__all__ = ["Appearance", "Rgb", "body_appearance", "piece_appearance"]
