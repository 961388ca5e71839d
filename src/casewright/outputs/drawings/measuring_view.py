"""What to measure from where: a hole's place from the datum corner, and a bevel's tilt against a square face."""

from __future__ import annotations

import math
from dataclasses import replace

from casewright.basics.units import LengthStyle
from casewright.geometry.model import FaceName, Feature, Piece, Point2
from casewright.outputs.drawings.dimensions import angle, linear
from casewright.outputs.drawings.face_view import FaceView
from casewright.outputs.drawings.feature_marks import feature_outline
from casewright.outputs.drawings.hole_table import figure
from casewright.outputs.drawings.marks import (
    Box,
    Circle,
    Drawing,
    Line,
    Mark,
    Polyline,
    Region,
    Text,
    bounds,
)
from casewright.outputs.drawings.placing import polar
from casewright.outputs.drawings.symbols import CentreMark, DatumMark
from casewright.planning.setups import BevelEdge

ROOM = (96.0, 70.0)
"""Width and height of the picture, lettering aside. [mm]"""
LETTER = 4.5
OFFSET = 9.0
"""Of the dimension lines from the blank. [mm on paper]"""
CROSS = 5.0
"""Arm of the cross at a large opening's middle. [mm on paper]"""
HELD = 62.0
"""Length of the board drawn at a bevel. [mm]"""
FACES: dict[FaceName, str] = {
    "show": "SHOW FACE",
    "back": "BACK FACE, from behind",
}


def hole_drawing(
    piece: Piece,
    feature: Feature,
    style: LengthStyle,
    *,
    room: tuple[float, float] = ROOM,
) -> Drawing:
    """The face a hole is worked from, and the two distances from the datum corner to its middle.

    Args:
        piece: The piece.
        feature: One of its holes or openings.
        style: The user's unit.
        room: On the page. [mm]
    """
    view = FaceView(piece, feature.face)
    box = view.box
    scale = min(1.0, room[0] / box.width, room[1] / box.height)
    outline = feature_outline(feature.shape).through(view.motion)
    at = bounds([outline]).centre
    marks: list[Mark] = [Region(Polyline(view.near), material="face")]
    marks += [
        _thin(feature_outline(other.shape).through(view.motion))
        for other in piece.features
        if other.face == feature.face and other.key != feature.key
    ]
    marks += [
        Polyline(view.near),
        Region(outline, material="pocket" if feature.depth else "waste"),
        outline,
        CentreMark(at, min(bounds([outline]).width / 2, CROSS / scale), 2.0),
    ]
    for end, way in (((at[0], 0.0), 0.0), ((0.0, at[1]), 90.0)):
        span = math.hypot(*end)
        if span < 1.0:
            continue
        marks += linear(
            (0.0, 0.0),
            end,
            figure(span, style),
            offset=-OFFSET if way == 0.0 else OFFSET,
            direction_deg=way,
            scale=scale,
            height=LETTER,
        )
        far = (end[0], at[1]) if way == 0.0 else (at[0], end[1])
        marks.append(Line(end, far, "dimension"))
    marks.append(DatumMark((0.0, 0.0)))
    words = FACES[feature.face]
    marks.append(Text((0.0, box.top + 3.0 / scale), words, LETTER - 1.0, weight="bold"))
    drawn = bounds(marks, scale)
    frame = Box(
        drawn.left - 2.0 / scale, drawn.bottom - 2.0 / scale, drawn.right, drawn.top + 2.0 / scale
    )
    return Drawing(f"{piece.label}: where it is", tuple(marks), frame, style.unit, scale)


def bevel_drawing(edge: BevelEdge) -> Drawing:
    """A board's bevelled end, longer face up, with the tilt that a protractor shows against a square.

    Args:
        edge: The edge; its tilt is drawn true.
    """
    high = 16.0
    lean = high * math.tan(math.radians(edge.tilt_deg))
    board = ((-HELD, 0.0), (0.0, 0.0), (lean, high), (-HELD, high))
    marks: list[Mark] = [
        Region(Polyline(board), material="wood"),
        Polyline(board),
        Line((0.0, 0.0), (0.0, high + 14.0), "centre"),
        Line((0.0, 0.0), polar((0.0, 0.0), high + 18.0, 90.0 - edge.tilt_deg), "accent"),
        Text((-HELD, high + 2.5), f"{edge.longer} face, square here", LETTER - 1.0),
    ]
    marks += angle(
        (0.0, 0.0),
        90.0 - edge.tilt_deg,
        90.0,
        f"{edge.tilt_deg:.1f}°",
        radius=high + 8.0,
        height=LETTER,
    )
    return Drawing(f"{edge.label}: {edge.edge} edge", tuple(marks))


def place_of(
    piece: Piece, face: FaceName, x: float, y: float, *, wide: float | None = None
) -> Point2:
    """Where on the piece (u, v) a place lies that was measured from the datum corner of a face.

    Args:
        piece: The piece.
        face: That was measured on.
        x: Right of the datum corner, as seen on that face. [mm]
        y: Above it. [mm]
        wide: How far the piece reaches along u by the tape, where it is not as planned. [mm] The back face's datum
            corner is at the far end, and moves with it.

    Source:
        Plain geometry: the inverse of `FaceView`.
    """
    low_u, low_v, high_u, _ = piece.extent
    if face == "show":
        return (low_u + x, low_v + y)
    end = high_u if wide is None else low_u + wide
    return (end - x, low_v + y)


def _thin(outline: Circle | Polyline) -> Circle | Polyline:
    return replace(outline, pen="thin")


__all__ = ["bevel_drawing", "hole_drawing", "place_of"]
