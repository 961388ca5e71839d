"""Boards that stand in a groove of both sides: they go in while the sides are joined, and never come out."""

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


def best_to_open(cabinet: Cabinet) -> str:
    """Key of the panel that hands best reach in through, were it to come off; "" where there is none of these."""
    panels = cabinet.shape.panels.items()
    roles = ("back", "top", "floor")
    return next((key for role in roles for key, panel in panels if panel.role == role), "")


def opening_values(cabinet: Cabinet, panel: str) -> tuple[tuple[str, str], ...]:
    """What is written to let a panel come off, its fixing first: one in grooves of both sides has to leave them."""
    fixing = (f"panels.{panel}.fixing", "screwed")
    is_captive = any(piece.key == panel for piece in captive_boards(cabinet))
    return (fixing, (f"panels.{panel}.joint", "butt")) if is_captive else (fixing,)


__all__ = ["best_to_open", "captive_boards", "opening_values"]
