"""What the sheet of a side says beyond other sheets: its corners by name, place and angle, and the edges between."""

from __future__ import annotations

import math

from casewright.basics.units import LengthStyle
from casewright.geometry.model import Cabinet
from casewright.outputs.drawings.dimensions import Ordinate
from casewright.outputs.drawings.face_view import FaceView
from casewright.outputs.drawings.ground import Ground
from casewright.outputs.drawings.hole_table import figure
from casewright.outputs.drawings.marks import Box, Mark, Point


def named_corners(cabinet: Cabinet, view: FaceView) -> tuple[tuple[str, Point], ...]:
    """The outline's corners with their names, in the drawing, in the project's order."""
    frame = view.piece.frame
    found = []
    for name, (y, z) in cabinet.shape.corners.items():
        u, v, _ = frame.local((frame.origin[0], y, z))
        found.append((name, view.point((u, v))))
    return tuple(found)


def corner_ordinates(view: FaceView, style: LengthStyle) -> tuple[list[Ordinate], list[Ordinate]]:
    """Every corner's distance from the datum corner, along both axes."""
    xs = [Ordinate(x, figure(x, style), y) for x, y in view.near if x > 0.005]
    ys = [Ordinate(y, figure(y, style), x) for x, y in view.near if y > 0.005]
    return xs, ys


def corner_marks(
    cabinet: Cabinet, view: FaceView, ground: Ground, style: LengthStyle, *, scale: float
) -> tuple[Mark, ...]:
    """Name and inside angle at every corner, length along every edge.

    Args:
        cabinet: For the names.
        view: The face.
        ground: Where lettering stands already.
        style: The user's unit.
        scale: Of the drawing.
    """
    corners = named_corners(cabinet, view)
    # Counter-clockwise as seen from the right; on the other view the same walk runs clockwise.
    turn = 1.0 if _area([p for _, p in corners]) > 0 else -1.0
    marks: list[Mark] = []
    for index, (name, point) in enumerate(corners):
        before, after = corners[index - 1][1], corners[(index + 1) % len(corners)][1]
        inside = inside_angle(before, point, after, turn)
        about = Box(*point, *point).grown(0.5 / scale)
        lines = (f"{name} {inside:.1f}°",)
        marks += ground.tag(lines, about, weight="bold", backing="face")
    for index, (name, a) in enumerate(corners):
        following, b = corners[(index + 1) % len(corners)]
        words = f"{name}–{following} {figure(math.dist(a, b), style)}"
        offsets = [turn * off for off in (2.4, -2.4, 4.4)]
        marks += ground.along(words, a, b, offsets=offsets, backing="face")
    return tuple(marks)


def inside_angle(before: Point, at: Point, after: Point, turn: float = 1.0) -> float:
    """Angle on the inside of an outline's corner. [degrees, 0 to 360]

    Args:
        before: Corner before it.
        at: The corner.
        after: Corner after it.
        turn: 1 for an outline that runs counter-clockwise, -1 for a clockwise one.

    Example:
        >>> inside_angle((0.0, 10.0), (0.0, 0.0), (10.0, 0.0))
        90.0
    """
    first = math.atan2(before[1] - at[1], before[0] - at[0])
    last = math.atan2(after[1] - at[1], after[0] - at[0])
    return math.degrees(first - last) * turn % 360.0


def _area(points: list[Point]) -> float:
    pairs = zip(points, (*points[1:], points[0]), strict=True)
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs) / 2


__all__ = ["corner_marks", "corner_ordinates", "inside_angle", "named_corners"]
