"""What a key in a form may name: materials, panels, parts, catalog entries, with their labels."""

from __future__ import annotations

from collections.abc import Mapping

from casewright.behavior.loads import SUPPLYING
from casewright.catalog.kinds import KINDS, Device
from casewright.faces.web.bench import Bench
from casewright.geometry.naming import SIDES

MATERIALS = ("material", "board", "bar_material", "diffuser", "cover")
"""Fields that name a material."""
BOARDS = ("panel", "inner", "board", "door")
"""Kinds of pieces that something can be put on."""


def names_for(bench: Bench, field: str) -> Mapping[str, str] | None:
    """What a key of that field may be, with labels; None where it is a new name."""
    opened = bench.opened
    if opened is None:
        return None
    project = opened.project
    if field in MATERIALS:
        return {key: one.label or key for key, one in project.materials.items()}
    if field == "on":
        return {**{side: SIDE_WORDS[side] for side in SIDES}, **boards(bench)}
    if field == "over":
        shape = bench.built.cabinet.shape if bench.built else None
        return {key: one.label or key for key, one in shape.panels.items()} if shape else {}
    if field == "like":
        wishes = [wish for part in project.parts.values() for wish in part.placed]
        return {wish.key: f"{bench.label(wish.key)}, {wish.key}" for wish in wishes}
    if field == "edge_trim":
        return {key: known.label for key, known in opened.parts.items()}
    if field == "fed_by":
        return {
            key: known.label
            for key, known in opened.parts.items()
            if isinstance(known.data, Device) and known.data.role in (*SUPPLYING, "converter")
        }
    if field == "species":
        return {key: key.replace("-", " ") for key in opened.catalog.species}
    if field == "type":
        return {key: one.data.label or key for key, one in opened.catalog.types.items()}
    return {key: key for key in KINDS} if field == "kind" else None


def boards(bench: Bench) -> dict[str, str]:
    """Every panel, inner board, loose board and door, with its label."""
    pieces = bench.built.cabinet.pieces if bench.built else ()
    return {piece.key: piece.label or piece.key for piece in pieces if piece.kind in BOARDS}


SIDE_WORDS = {"left": "left side", "right": "right side", "sides": "both sides, mirrored"}

__all__ = ["BOARDS", "MATERIALS", "SIDE_WORDS", "boards", "names_for"]
