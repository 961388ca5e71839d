"""The cross-section of a piece across its bevels: layers, thicknesses, saw tilts, long and short points."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from casewright.basics.units import LengthStyle
from casewright.design.project import Project
from casewright.geometry.model import Piece
from casewright.outputs.drawings.dimensions import linear
from casewright.outputs.drawings.face_view import SQUARE, back_beyond_show, outward
from casewright.outputs.drawings.hole_table import figure
from casewright.outputs.drawings.marks import (
    Anchor,
    Drawing,
    Mark,
    Material,
    Pen,
    Point,
    Polyline,
    Region,
    Text,
    Weight,
)

ENDS = 26.0
"""Shown of each end where the middle is left out, on paper. [mm]"""
BREAK = 7.0
"""Left open there, on paper. [mm]"""
THICK = 40.0
"""Stacks thicker than this are drawn half size. [mm]"""


@dataclass(frozen=True)
class _Layer:
    """One layer as (low, high) along the section on each face, top and bottom in n."""

    show: tuple[float, float]
    back: tuple[float, float]
    top: float
    bottom: float
    material: Material
    mine: bool


def piece_section(
    piece: Piece, stack: Sequence[Piece], project: Project, style: LengthStyle
) -> Drawing:
    """A piece cut across, show face up, its two long edges left and right.

    Args:
        piece: The piece.
        stack: All layers of its panel, outermost first; the piece itself among them.
        project: For the materials.
        style: The user's unit.

    Returns:
        The drawing. Along u if the bevels are left and right, else along v; a long piece is shortened in the
        middle, its dimensions are true.
    """
    along_u = _bevelled_along_u(piece)
    layers = _layers(piece, stack, project, along_u=along_u)
    thickness = layers[0].top - layers[-1].bottom
    scale = 1.0 if thickness <= THICK else 0.5
    low = min(min(x.show[0], x.back[0]) for x in layers)
    high = max(max(x.show[1], x.back[1]) for x in layers)
    keep, gap = max(ENDS, 2.0 * thickness * scale) / scale, BREAK / scale
    squeezed = high - low > 2 * keep + 2 * gap
    cut = (high - low) - 2 * keep - gap if squeezed else 0.0

    def x(at: float) -> float:
        return at - low if at < (low + high) / 2 or not squeezed else at - low - cut

    marks: list[Mark] = []
    for layer in layers:
        marks += _layer_marks(layer, x, keep, gap, squeezed=squeezed, scale=scale)
    mine = next(layer for layer in layers if layer.mine)
    marks += linear(
        (x(mine.show[0]), layers[0].top),
        (x(mine.show[1]), layers[0].top),
        f"show face {figure(mine.show[1] - mine.show[0], style)}",
        offset=7.0,
        direction_deg=0.0,
        scale=scale,
        height=3.5,
    )
    marks += linear(
        (x(mine.back[0]), layers[-1].bottom),
        (x(mine.back[1]), layers[-1].bottom),
        f"back face {figure(mine.back[1] - mine.back[0], style)}",
        offset=-10.0,
        direction_deg=0.0,
        scale=scale,
        height=3.5,
    )
    names = ("left edge", "right edge") if along_u else ("lower edge", "upper edge")
    if piece.kind == "side":
        names = ("edge", "edge")
    marks += _end_words(piece, mine, layers, x, names, scale, style)
    title = f"{piece.label}, section"
    return Drawing(title, tuple(marks), unit=style.unit, scale=scale)


def section_material(kind: str) -> Material:
    """Hatching for a material's kind."""
    if kind in ("acrylic", "polycarbonate"):
        return "acrylic"
    return "metal" if kind == "metal" else "wood"


def material_of(piece: Piece, project: Project) -> Material:
    """Hatching of a piece cut through; battens are wood."""
    material = project.materials.get(piece.material)
    return section_material(material.kind) if material else "wood"


def _bevelled_along_u(piece: Piece) -> bool:
    tilted_u = tilted_v = 0.0
    for index in range(len(piece.show)):
        nu, nv = outward(piece.show[index], piece.show[(index + 1) % len(piece.show)])
        out = abs(back_beyond_show(piece, index))
        if abs(nu) > abs(nv):
            tilted_u = max(tilted_u, out)
        else:
            tilted_v = max(tilted_v, out)
    if max(tilted_u, tilted_v) <= SQUARE:
        return piece.width < piece.height and piece.kind in ("cleat", "rail", "strip", "frame")
    return tilted_u > tilted_v


def _layers(
    piece: Piece, stack: Sequence[Piece], project: Project, *, along_u: bool
) -> list[_Layer]:
    axis = 0 if along_u else 1
    layers = []
    pieces = list(stack) or [piece]
    above = 0.0
    for layer in pieces:
        if layer.key == piece.key:
            break
        above += layer.thickness
    top = above
    for layer in pieces:
        show, back = ([p[axis] for p in points] for points in (layer.show, layer.back))
        layers.append(
            _Layer(
                (min(show), max(show)),
                (min(back), max(back)),
                top,
                top - layer.thickness,
                material_of(layer, project),
                layer.key == piece.key,
            )
        )
        top -= layer.thickness
    return layers


def _layer_marks(
    layer: _Layer,
    x: Callable[[float], float],
    keep: float,
    gap: float,
    *,
    squeezed: bool,
    scale: float,
) -> list[Mark]:
    top, bottom = layer.top, layer.bottom
    (s0, s1), (b0, b1) = ((x(a), x(b)) for a, b in (layer.show, layer.back))
    pen: Pen = "visible" if layer.mine else "thin"
    if not squeezed:
        points = ((b0, bottom), (b1, bottom), (s1, top), (s0, top))
        fill = [Region(Polyline(points), material=layer.material)] if layer.mine else []
        return [*fill, Polyline(points, pen=pen)]
    marks: list[Mark] = []
    middle, wave = keep, 1.2 / scale
    for end_b, end_s, at, lean in ((b0, s0, middle, wave), (b1, s1, middle + gap, wave)):
        torn: tuple[Point, ...] = (
            (at, bottom),
            (at + lean, (2 * bottom + top) / 3),
            (at - lean, (bottom + 2 * top) / 3),
            (at, top),
        )
        around = ((end_b, bottom), *torn, (end_s, top))
        if layer.mine:
            marks.append(Region(Polyline(around), material=layer.material))
        marks += [
            Polyline(
                ((at, bottom), (end_b, bottom), (end_s, top), (at, top)), closed=False, pen=pen
            ),
            Polyline(torn, closed=False, pen="thin"),
        ]
    return marks


def _end_words(
    piece: Piece,
    mine: _Layer,
    layers: Sequence[_Layer],
    x: Callable[[float], float],
    names: tuple[str, str],
    scale: float,
    style: LengthStyle,
) -> list[Mark]:
    marks: list[Mark] = []
    middle = (layers[0].top + layers[-1].bottom) / 2
    left = x(min(min(layer.show[0], layer.back[0]) for layer in layers)) - 3 / scale
    right = x(max(max(layer.show[1], layer.back[1]) for layer in layers)) + 3 / scale
    ends: tuple[tuple[str, float, Anchor, float], ...] = (
        (names[0], left, "end", mine.show[0] - mine.back[0]),
        (names[1], right, "start", mine.back[1] - mine.show[1]),
    )
    for name, at, anchor, out in ends:
        if abs(out) <= SQUARE:
            lines = [name, "square"]
        else:
            tilt = math.degrees(math.atan2(abs(out), piece.thickness))
            lines = [name, f"bevel {tilt:.1f}°", f"{'back' if out > 0 else 'show'} face long"]
        for number, line in enumerate(lines):
            y = middle + (len(lines) / 2 - number - 0.75) * 4.2 / scale
            weight: Weight = "bold" if line.startswith("bevel") else "regular"
            marks.append(Text((at, y), line, 2.5, anchor, weight=weight))
    words = f"{figure(piece.thickness, style)} thick"
    if len(layers) > 1:
        whole = layers[0].top - layers[-1].bottom
        words += f" in a stack of {figure(whole, style)}"
    low = layers[-1].bottom - 15.5 / scale
    centre = (left + right) / 2
    marks.append(Text((centre, low), words, 2.5, "middle", "top"))
    return marks


__all__ = ["material_of", "piece_section", "section_material"]
