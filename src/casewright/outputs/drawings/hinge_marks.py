"""Where hinges sit, on the drawings of a door and of the panel that it closes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.basics.units import LengthStyle
from casewright.geometry.hinges import Hanging, hangings
from casewright.geometry.model import Cabinet, Point2
from casewright.outputs.drawings.dimensions import Ordinate
from casewright.outputs.drawings.face_view import FaceView
from casewright.outputs.drawings.hole_table import figure
from casewright.outputs.drawings.marks import Box, Polyline, rectangle

DEEP = 8.0
"""How far a hinge's mark reaches into the wood from its edge. [mm]"""


def hinge_boxes(cabinet: Cabinet, view: FaceView) -> tuple[tuple[Box, bool], ...]:
    """The mark of each hinge on this piece, and whether its edge is upright."""
    return tuple(_boxes(cabinet, view))


def _boxes(cabinet: Cabinet, view: FaceView) -> Iterator[tuple[Box, bool]]:
    key = view.piece.key
    for hanging in hangings(cabinet):
        if key not in (hanging.door, hanging.host) or hanging.trouble:
            continue
        upright = hanging.edge in ("left", "right")
        for low, high in _corners(hanging, view, inward=key == hanging.door):
            a, b = view.point(low), view.point(high)
            yield (
                Box(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])),
                upright,
            )


def _corners(hanging: Hanging, view: FaceView, *, inward: bool) -> Iterator[tuple[Point2, Point2]]:
    """Two corners of each mark, in the piece's (u, v)."""
    half = hanging.leaf / 2
    near, far = (hanging.gap / 2, hanging.gap / 2 + DEEP)
    ways = (near, far) if inward else (-near, -far)
    for place in hanging.places:
        points = []
        for at, way in ((place - half, ways[0]), (place + half, ways[1])):
            x, y, z = (
                o + a * at + b * way
                for o, a, b in zip(hanging.pin.origin, hanging.along, hanging.pin.u, strict=True)
            )
            u, v, _ = view.piece.frame.local((x, y, z))
            points.append((u, v))
        yield points[0], points[1]


def hinge_outlines(boxes: Sequence[tuple[Box, bool]]) -> Iterator[Polyline]:
    """The marks themselves: to be pencilled, not cut."""
    for box, _ in boxes:
        yield rectangle(box, pen="thin")


def hinge_ordinates(
    boxes: Sequence[tuple[Box, bool]], style: LengthStyle
) -> tuple[list[Ordinate], list[Ordinate]]:
    """The hinges' middles from the datum corner."""
    xs, ys = [], []
    for box, upright in boxes:
        x, y = box.centre
        if upright:
            ys.append(Ordinate(y, figure(y, style), box.left))
        else:
            xs.append(Ordinate(x, figure(x, style), box.bottom))
    return xs, ys


__all__ = ["DEEP", "hinge_boxes", "hinge_ordinates", "hinge_outlines"]
