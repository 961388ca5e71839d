"""Boards that stand in a groove of both sides: they go in while the sides are joined, or never."""

from __future__ import annotations

from casewright.basics.units import TOUCHING
from casewright.geometry.model import Cabinet, Piece


def captive_boards(cabinet: Cabinet) -> list[Piece]:
    """Boards held between both sides, in the cabinet's order.

    A panel flush with the sides' edges sits in a rabbet, open to the outside: it may be set in at any time.
    """
    sides = [piece for piece in cabinet.pieces if piece.kind == "side"]
    grooved = [{f.owner for f in side.features if f.kind == "groove"} for side in sides]
    if not grooved:
        return []
    set_back = {slab.panel for slab in cabinet.slabs if slab.reveal > TOUCHING}
    return [
        piece
        for piece in cabinet.pieces
        if all(piece.key in owners for owners in grooved)
        and (piece.kind == "inner" or (piece.kind == "panel" and piece.key in set_back))
    ]


__all__ = ["captive_boards"]
