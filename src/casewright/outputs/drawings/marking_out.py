"""Marking out the inner face of a side: where every panel, board and cleat will stand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from casewright.basics.units import LengthStyle
from casewright.geometry.model import Cabinet, Piece, Point3
from casewright.outputs.drawings.face_view import FaceView
from casewright.outputs.drawings.ground import Ground, contains
from casewright.outputs.drawings.hole_table import figure
from casewright.outputs.drawings.marks import Mark, Pen, Point, Polyline, Region

TOUCHES = 0.3
"""Pieces this close to the side stand on it. [mm]"""
PANEL_CLEAR = 3.5
"""Panels may keep this much play at their ends, for paint and for taking them out. [mm]"""
INSIDE = 0.01
"""Overhang that is only rounding. [mm]"""
LEAST = 25.0
"""Smaller footprints are not worth a mark. [mm²]"""
_PANELS = ("panel", "overlay", "inner", "light board", "door")


@dataclass(frozen=True)
class MarkRow:
    """One footprint to mark out."""

    number: str
    """By which the drawing names it where its name has no room."""
    label: str
    corners: tuple[tuple[str, str], ...]
    """Its corners from the datum corner (to the right, up), in the user's unit, counter-clockwise from the lowest."""


@dataclass(frozen=True)
class Footprint:
    """Where a piece stands on the side, in the drawing."""

    piece: Piece
    points: tuple[Point, ...]

    @property
    def name(self) -> str:
        """Without the side it is on, which the sheet says."""
        label = self.piece.label
        return label.rsplit(", ", 1)[0] if label.endswith((", left", ", right")) else label


@dataclass(frozen=True)
class MarkingOut:
    """All footprints on one side."""

    outline: tuple[Point, ...]
    """The side's own outline."""
    footprints: tuple[Footprint, ...]
    rows: tuple[MarkRow, ...]

    @property
    def marks(self) -> tuple[Mark, ...]:
        """Outlines: panels in narrow lines, cleats and rails filled and in double chain lines."""
        marks: list[Mark] = []
        for footprint in self.footprints:
            panel = footprint.piece.kind in _PANELS
            pen: Pen = "thin" if panel else "phantom"
            marks.append(Region(Polyline(footprint.points), material="paper" if panel else "part"))
            marks.append(Polyline(footprint.points, pen=pen))
        return tuple(marks)

    def lettered(
        self, ground: Ground, *, scale: float, height: float = 2.5, numbers: bool = False
    ) -> tuple[Mark, ...]:
        """A name at each footprint.

        Args:
            ground: What stands there already.
            scale: Of the drawing.
            height: Of the lettering on paper. [mm]
            numbers: Where a name has no room along its footprint, its number in the table stands there instead.
        """
        for footprint in self.footprints:
            ground.block_edges(footprint.points)
        marks: list[Mark] = []
        for row, footprint in zip(self.rows, self.footprints, strict=True):
            if footprint.piece.kind == "overlay":
                continue  # it lies on its panel, which has a name
            start, end, thick = _axis(footprint.points)
            # what is left of start-end lies inside of the side
            if not contains(self.outline, _beside(start, end, thick)):
                start, end = end, start
            half = thick * scale / 2
            inside = [0.0] if thick * scale >= 1.36 * height else []
            off = 1.08 * height
            offsets = [*inside, -half - off, -half - 1.4 * off, half + off, half + 2 * off]
            words = footprint.name
            marks += ground.along(
                words,
                start,
                end,
                offsets=offsets,
                height=height,
                backing="face",
                shorter=row.number if numbers else "",
            )
        return tuple(marks)


def marking_out(cabinet: Cabinet, view: FaceView, style: LengthStyle) -> MarkingOut:
    """Return what to mark out on a side.

    Args:
        cabinet: The cabinet.
        view: The side's back face, which is its inner one.
        style: The user's unit.

    Source:
        Plain geometry: the corners of each piece that lie on the side's inner face.
    """
    side = view.piece
    footprints = []
    for piece in cabinet.pieces:
        if piece.kind == "side" or _grooved(side, piece):
            continue
        points = _on_side([view.point(p) for p in _touching(side, piece)], view.near)
        if points:
            footprints.append(Footprint(piece, points))
    rows = tuple(
        MarkRow(
            str(number),
            f.piece.label,
            tuple((figure(x, style), figure(y, style)) for x, y in _from_lowest(f.points)),
        )
        for number, f in enumerate(footprints, 1)
    )
    return MarkingOut(view.near, tuple(footprints), rows)


def _axis(points: Sequence[Point]) -> tuple[Point, Point, float]:
    """Middle line of a long outline, and its thickness. [mm]"""
    count = len(points)
    edges = [(points[i], points[(i + 1) % count]) for i in range(count)]
    a, b = max(edges, key=lambda edge: math.dist(*edge))
    length = math.dist(a, b)
    ex, ey = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    offs = [(p[1] - a[1]) * ex - (p[0] - a[0]) * ey for p in points]
    middle = (min(offs) + max(offs)) / 2
    shift = (-ey * middle, ex * middle)
    ends = [(p[0] + shift[0], p[1] + shift[1]) for p in (a, b)]
    return ends[0], ends[1], max(offs) - min(offs)


def _beside(start: Point, end: Point, off: float) -> Point:
    """The point left of the middle of start-end. [mm]"""
    length = math.dist(start, end)
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    return (x - (end[1] - start[1]) / length * off, y + (end[0] - start[0]) / length * off)


def _touching(side: Piece, piece: Piece) -> list[Point]:
    """Corners of the piece on the side's inner face or beyond it, in the side's (u, v)."""
    play = PANEL_CLEAR if piece.kind in _PANELS else TOUCHES
    corners: list[Point3] = [
        *(piece.frame.point(u, v, 0.0) for u, v in piece.show),
        *(piece.frame.point(u, v, -piece.thickness) for u, v in piece.back),
    ]
    local = [side.frame.local(corner) for corner in corners]
    # n = 0 at the side's outer face; its inner face is n = -thickness, and the cabinet lies below that.
    inner = -side.thickness
    if min(n for _, _, n in local) >= inner - TOUCHES:
        return []  # beside or outside of the side
    return [(u, v) for u, v, n in local if n >= inner - play]


def _grooved(side: Piece, piece: Piece) -> bool:
    return any(f.kind == "groove" and f.owner == piece.key for f in side.features)


def _on_side(corners: Sequence[Point], outline: Sequence[Point]) -> tuple[Point, ...]:
    """The outline round the corners, as far as it lies on the side; nothing for what only touches it."""
    from shapely.geometry import MultiPoint, Polygon
    from shapely.geometry.polygon import orient

    if len(corners) < 3:
        return ()
    hull = MultiPoint(corners).convex_hull
    side = Polygon(outline)
    if not side.buffer(INSIDE).covers(hull):
        hull = hull.intersection(side)
    if not isinstance(hull, Polygon) or hull.area < LEAST:
        return ()
    return tuple((x, y) for x, y in orient(hull).exterior.coords[:-1])


def _from_lowest(points: tuple[Point, ...]) -> tuple[Point, ...]:
    first = min(range(len(points)), key=lambda i: (round(points[i][1], 3), round(points[i][0], 3)))
    return (*points[first:], *points[:first])


__all__ = ["Footprint", "MarkRow", "MarkingOut", "marking_out"]
