"""Where things stand in a picture of the cabinet taken apart."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from casewright.geometry.facets import TOLERANCE
from casewright.geometry.model import Body, Cabinet, Piece, Point3
from casewright.geometry.solids import box_of

Floats = NDArray[np.float64]

# Moves along a board's normal at a share of 1, over its own. [mm]
_LAYERS = {"overlay": 80.0, "door": 80.0}
_ON_SHOW, _ON_BACK = 160.0, -80.0


def moved_apart(
    cabinet: Cabinet, share: float, *, tolerance: float = TOLERANCE
) -> Mapping[str, Point3]:
    """How far each piece and body is moved from its place, by key. [mm]

    Every piece moves away from the cabinet's middle by a share of the distance of its own middle. So no two boards
    that a plane parts can meet: their middles are on either side of it, and move apart. An overlay and what is put in
    from the show face go out farther; what is mounted behind stays farther in.

    Args:
        cabinet: The cabinet.
        share: 0 leaves all in place, 1 doubles the distances.
        tolerance: Of the solids whose extents are used. [mm]
    """
    middles = {p.key: _middle(p, tolerance) for p in cabinet.pieces}
    if not middles:
        return {}
    corners = np.array([c for p in cabinet.pieces for c in box_of(p, tolerance=tolerance)])
    centre = (corners.min(axis=0) + corners.max(axis=0)) / 2
    moves: dict[str, Point3] = {}
    for piece in cabinet.pieces:
        board = _board(piece, cabinet)
        layer = _LAYERS.get(piece.kind)
        about = piece if layer is None else board
        out = np.array(board.frame.n) * (layer or 0.0)
        moves[piece.key] = _point((middles[about.key] - centre + out) * share)
    for body in cabinet.bodies:
        moves[body.key] = _of_body(body, cabinet, moves, share)
    return moves


def _of_body(body: Body, cabinet: Cabinet, moves: Mapping[str, Point3], share: float) -> Point3:
    placed = cabinet.placed_by_key.get(body.owner)
    piece = cabinet.piece_by_key.get(placed.piece) if placed else None
    if placed is None or piece is None:
        return moves.get(body.owner, (0.0, 0.0, 0.0))  # a door's hinges go with it
    board = _board(piece, cabinet)
    out = _ON_SHOW if placed.face == "show" else _ON_BACK
    return _point(np.array(moves[board.key]) + np.array(board.frame.n) * out * share)


def _board(piece: Piece, cabinet: Cabinet) -> Piece:
    """The board that a piece belongs to."""
    return cabinet.piece_by_key.get(piece.panel, piece) if piece.panel else piece


def _middle(piece: Piece, tolerance: float) -> Floats:
    low, high = box_of(piece, tolerance=tolerance)
    middle: Floats = (np.array(low) + np.array(high)) / 2
    return middle


def _point(vector: Floats) -> Point3:
    x, y, z = (float(value) for value in vector)
    return (x, y, z)


__all__ = ["moved_apart"]
