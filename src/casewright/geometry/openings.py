"""Rectangular openings through a panel and all its layers: sizes, corners, chamfer, bit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from casewright.basics.units import TOUCHING
from casewright.design.project import Project, Shop
from casewright.geometry.fitting import Stack
from casewright.geometry.model import FaceName, Feature, Piece, Placed, Point2, Rectangle

USUAL_BIT = 12.7
"""Flush-trim bit counted with where the shop lists no router bit (1/2 in). Source: common practice. [mm]"""


@dataclass(frozen=True)
class Area:
    """An upright rectangle in a panel's (u, v)."""

    left: float
    bottom: float
    right: float
    top: float

    @staticmethod
    def around(u: float, v: float, width: float, height: float) -> Area:
        """The area of that size round a centre."""
        return Area(u - width / 2, v - height / 2, u + width / 2, v + height / 2)

    @staticmethod
    def of(points: Sequence[Point2]) -> Area:
        """The smallest area round the points."""
        us, vs = [p[0] for p in points], [p[1] for p in points]
        return Area(min(us), min(vs), max(us), max(vs))

    @property
    def width(self) -> float:
        """Along u; negative where the edges cross. [mm]"""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Along v; negative where the edges cross. [mm]"""
        return self.top - self.bottom

    @property
    def centre(self) -> Point2:
        """Middle of it."""
        return ((self.left + self.right) / 2, (self.bottom + self.top) / 2)

    @property
    def outline(self) -> tuple[Point2, Point2, Point2, Point2]:
        """Corners, counter-clockwise from the lower left."""
        low, high = self.bottom, self.top
        return ((self.left, low), (self.right, low), (self.right, high), (self.left, high))

    def grown(self, by: float) -> Area:
        """The same, larger by so much on every edge."""
        return Area(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def common(self, other: Area) -> Area:
        """What lies in both; its width or height is negative where they are apart."""
        return Area(
            max(self.left, other.left),
            max(self.bottom, other.bottom),
            min(self.right, other.right),
            min(self.top, other.top),
        )

    def meets(self, other: Area) -> bool:
        """True where the two share more than an edge."""
        both = self.common(other)
        return both.width > TOUCHING and both.height > TOUCHING

    def beyond(self, limit: Area) -> float:
        """How far this sticks out of the limit at its worst edge; 0 or less inside. [mm]"""
        return max(
            limit.left - self.left,
            limit.bottom - self.bottom,
            self.right - limit.right,
            self.top - limit.top,
        )

    def rectangle(self, radius: float = 0.0) -> Rectangle:
        """As a shape in a face."""
        return Rectangle(*self.centre, self.width, self.height, radius)


def back_area(board: Piece) -> Area:
    """Extent of a board's back face in (u, v); spanning panels have a rectangular one."""
    return Area.of(board.back)


@dataclass(frozen=True)
class CornerCut:
    """What makes an opening's corners."""

    radius: float
    """Inside corner. [mm]"""
    tool: str
    """"flush trim" or "straight"."""
    bit: float
    """Diameter of the bit. [mm]"""
    by_hand: bool
    """The corner wished is tighter than any bit leaves: chisel or file."""
    assumed: bool
    """The shop lists no router bit; a usual one is counted with."""


def corner_cut(shop: Shop, wished: float | None = None) -> CornerCut:
    """Return the inside corner that the shop's router leaves, or the bit for the one wished.

    A flush-trim bit rides on guide strips and comes first; a straight bit runs along a fence.

    Args:
        shop: Whose bits.
        wished: Inside corner radius; None for the smallest that a flush-trim bit leaves. [mm]

    Source:
        Plain geometry: a round bit leaves half its diameter.
    """
    sizes = [
        (bit.kind, size)
        for kind in ("flush trim", "straight")
        for bit in shop.bits
        if bit.kind == kind
        for size in bit.sizes
    ]
    assumed = not sizes
    if assumed:
        sizes = [("flush trim", USUAL_BIT)]
    if wished is None:
        kind, size = min((s for s in sizes if s[0] == sizes[0][0]), key=lambda pair: pair[1])
        return CornerCut(size / 2, kind, size, False, assumed)
    passing = [s for s in sizes if s[1] / 2 <= wished + TOUCHING]
    if not passing:
        kind, size = min(sizes, key=lambda pair: pair[1])
        return CornerCut(wished, kind, size, True, assumed)
    kind, size = max(passing, key=lambda pair: (pair[0] == "flush trim", pair[1]))
    return CornerCut(wished, kind, size, False, assumed)


def corner_margin(radius: float) -> float:
    """Return how far an opening must stand off a square picture so that its round corners hide nothing. [mm]

    The picture's corner lies at (m, m) from the opening's corner, the arc's centre at (r, r): the corner is free when
    (r − m)·√2 ≤ r.

    Source:
        Plain geometry.

    Example:
        >>> round(corner_margin(6.35), 2)
        1.86
    """
    return radius * (1 - 1 / math.sqrt(2))


def corner_hidden(margin_u: float, margin_v: float, radius: float) -> float:
    """Return the area of a picture's corner that a round corner of its opening covers. [mm²]

    Args:
        margin_u: Opening beyond the picture, left or right; where it is smaller than the picture, 0 counts. [mm]
        margin_v: The same above or below. [mm]
        radius: Of the opening's corner. [mm]

    Source:
        Plain geometry: the part of the rectangle a × b from the arc's centre that lies outside the circle.
    """
    a = radius - max(margin_u, 0.0)
    b = radius - max(margin_v, 0.0)
    if a <= 0 or b <= 0 or math.hypot(a, b) <= radius:
        return 0.0

    def under_arc(x: float) -> float:
        root = math.sqrt(max(radius**2 - x**2, 0.0))
        return (x * root + radius**2 * math.asin(min(x / radius, 1.0))) / 2

    start = math.sqrt(max(radius**2 - b**2, 0.0))
    return b * (a - start) - (under_arc(a) - under_arc(start))


def is_clear(piece: Piece, project: Project) -> bool:
    """True for a layer one can look through; it needs no opening over a display or a sign.

    Of a species one tells by its name: acrylic-clear. What is of none is taken for clear.
    """
    material = project.materials.get(piece.material)
    if material is None or material.kind not in ("acrylic", "polycarbonate"):
        return False
    return material.kind != "acrylic" or material.species is None or "clear" in material.species


def pierced_pieces(stack: Stack, project: Project) -> tuple[Piece, ...]:
    """The pieces that an opening goes through, outermost first: all but clear overlays."""
    overlays = (piece for piece in stack.pieces[:-1] if not is_clear(piece, project))
    return (*overlays, stack.board)


def pierce(
    stack: Stack,
    project: Project,
    throat: Area,
    cut: CornerCut,
    *,
    owner: str,
    label: str,
    chamfer: float = 0.0,
) -> tuple[tuple[str, Feature], ...]:
    """Return the opening in every piece that it goes through, with its chamfer from the outermost face inward.

    The throat is the straight part. Where the chamfer runs through a whole layer, that layer's own throat is as much
    larger. The opening is routed from the back face along guide strips; the chamfer afterwards from the show face.

    Args:
        stack: Panel and layers.
        project: For the materials.
        throat: The opening where it is narrowest.
        cut: Corner and bit.
        owner: Key of the placed part.
        label: What it is called in drawings.
        chamfer: Across the show face at 45°, counted from the outermost pierced layer. [mm]
    """
    features = []
    left = chamfer
    for piece in pierced_pieces(stack, project):
        through = max(left - piece.thickness, 0.0)
        here = left - through
        face: FaceName = "show" if here > 0 else "back"
        shape = throat.grown(through).rectangle(cut.radius + through)
        features.append(
            (
                piece.key,
                Feature(
                    f"{owner}.opening",
                    "opening",
                    shape,
                    face,
                    None,
                    cut.tool,
                    owner=owner,
                    label=label,
                    chamfer=here,
                ),
            )
        )
        left = through
    return tuple(features)


def wish_field(placed: Placed, project: Project, name: str) -> str:
    """Dotted path of one of a placement's values in the project file, for remedies."""
    part = project.parts.get(placed.part.key)
    keys = [wish.key for wish in part.placed] if part else []
    place = keys.index(placed.key) if placed.key in keys else 0
    return f"parts.{placed.part.key}.placed.{place}.{name}"


def placed_at(
    placed: Placed, project: Project, axis: Literal["u", "v"], to: float
) -> tuple[str, float]:
    """Return the field that brings a placed part's centre to u or v, and what to write there. [mm]

    A piece with a shift of its own, from another one or from the middle, is moved by that; a place that is given has
    the shift added to it.
    """
    wish = placed.wish
    now = placed.u if axis == "u" else placed.v
    given, own = (wish.u, wish.du) if axis == "u" else (wish.v, wish.dv)
    if given is not None:
        return wish_field(placed, project, axis), given + (to - now)
    if wish.like is not None or abs(own) > TOUCHING:
        return wish_field(placed, project, f"d{axis}"), own + (to - now)
    return wish_field(placed, project, axis), to


def part_field(placed: Placed, project: Project, name: str) -> str:
    """Dotted path of one of a part's dimensions in the project file, where it stands or best would, for remedies."""
    part = project.parts.get(placed.part.key)
    section = "assumed" if part is not None and name in part.assumed else "measured"
    return f"parts.{placed.part.key}.{section}.{name}"


__all__ = [
    "USUAL_BIT",
    "Area",
    "CornerCut",
    "back_area",
    "corner_cut",
    "corner_hidden",
    "corner_margin",
    "is_clear",
    "part_field",
    "pierce",
    "pierced_pieces",
    "placed_at",
    "wish_field",
]
