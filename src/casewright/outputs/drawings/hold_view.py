"""How a display is held, as seen from the back: opening, housing, rails, blocks and bar, each with its number."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.basics.units import LengthStyle
from casewright.catalog.kinds import Display
from casewright.geometry.display_face import display_face, housing_area
from casewright.geometry.model import Cabinet, Piece, Placed, Rectangle
from casewright.outputs.drawings.face_view import FaceView
from casewright.outputs.drawings.feature_marks import feature_outline
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
    rectangle,
)
from casewright.outputs.drawings.symbols import DatumMark, Triangle

ROOM = (170.0, 80.0)
"""[mm]"""
AROUND, HEAD = 5.0, 7.0
RING = 2.6
"""Round a number, its radius on paper. [mm]"""


@dataclass(frozen=True)
class HoldPiece:
    """A rail, block or bar, where it lies as seen from the back. [mm]"""

    number: int
    piece: Piece
    left: float
    """From the left end of the back face, as seen."""
    lower: float
    length: float
    width: float


def hold_pieces(cabinet: Cabinet, placed: Placed) -> tuple[HoldPiece, ...]:
    """The pieces that register and hold a display, numbered; places from the datum corner of the back face."""
    board = cabinet.piece_by_key[placed.piece]
    motion = FaceView(board, "back").motion
    found: list[HoldPiece] = []
    for piece in cabinet.pieces:
        if piece.kind not in ("rail", "bar") or not piece.key.startswith(f"{placed.key}."):
            continue
        box = bounds([Polyline(piece.show).through(motion), Polyline(piece.back).through(motion)])
        sides = sorted((box.width, box.height))
        found.append(HoldPiece(len(found) + 1, piece, box.left, box.bottom, sides[1], sides[0]))
    return tuple(found)


def hold_drawing(
    cabinet: Cabinet,
    placed: Placed,
    data: Display,
    style: LengthStyle,
    *,
    room: tuple[float, float] = ROOM,
) -> Drawing:
    """The back face round a display."""
    board = cabinet.piece_by_key[placed.piece]
    view = FaceView(board, "back")
    box, scale = _fitting(view.box, room)
    housing = housing_area(placed, display_face(data, placed.turn_deg))
    outline = feature_outline(Rectangle(*housing.centre, housing.width, housing.height)).through(
        view.motion
    )
    marks: list[Mark] = [Region(Polyline(view.near), material="face"), Polyline(view.near)]
    for feature in board.features:
        if feature.owner == placed.key and feature.depth is None and feature.kind == "opening":
            hole = feature_outline(feature.shape).through(view.motion)
            marks += [Region(hole, material="paper"), hole]
    pieces = hold_pieces(cabinet, placed)
    for held in pieces:
        area = rectangle(_box(held), pen="phantom" if held.piece.kind == "bar" else "thin")
        marks += [*([] if held.piece.kind == "bar" else [Region(area, material="wood")]), area]
    marks.append(_housing(outline))
    cx, cy = view.point((placed.u, placed.v))
    marks += [
        Line((cx, box.bottom), (cx, box.top), "centre"),
        Line((box.left, cy), (box.right, cy), "centre"),
    ]
    for held in pieces:
        marks += _number(held, scale)
    base = box.top + 2.0 / scale
    marks += [
        DatumMark((0.0, 0.0)),
        Text((box.left, base), "BACK FACE (mirrored)", 2.5, weight="bold"),
        Triangle((box.right - 3.0 / scale, base - 0.5 / scale), 5.0),
    ]
    by = AROUND / scale
    frame = Box(box.left - by, box.bottom - by, box.right + by, box.top + HEAD / scale)
    return Drawing(f"how {placed.label} is held", tuple(marks), frame, style.unit, scale)


def _fitting(box: Box, room: tuple[float, float]) -> tuple[Box, float]:
    scale = min(
        1.0,
        (room[0] - 2 * AROUND) / box.width,
        (room[1] - AROUND - HEAD) / box.height,
    )
    return box, scale


def _box(held: HoldPiece) -> Box:
    piece = held.piece
    flat = piece.width >= piece.height
    wide, high = (held.length, held.width) if flat else (held.width, held.length)
    return Box(held.left, held.lower, held.left + wide, held.lower + high)


def _housing(outline: Polyline | Circle) -> Polyline | Circle:
    if isinstance(outline, Circle):
        return outline
    return Polyline(outline.points, outline.bulges, True, "hidden")


def _number(held: HoldPiece, scale: float) -> list[Mark]:
    """On the piece: near one end of a rail, so that the block on it keeps its middle; a bar a little off the centre."""
    box = _box(held)
    share = 0.12 if held.piece.kind == "rail" and "block" not in held.piece.key else 0.5
    if held.piece.kind == "bar":
        share = 0.38
    x, y = box.centre
    if box.width >= box.height:
        x = box.left + share * box.width
    else:
        y = box.bottom + (1 - share) * box.height
    if held.piece.kind == "bar":
        y += 0.22 * box.height if box.width >= box.height else 0.0
        x += 0.22 * box.width if box.width < box.height else 0.0
    ring = Circle((x, y), RING / scale, "accent-thin")
    return [
        Region(ring, material="paper"),
        ring,
        Text((x, y), str(held.number), 2.8, "middle", "middle", weight="bold"),
    ]


__all__ = ["ROOM", "HoldPiece", "hold_drawing", "hold_pieces"]
