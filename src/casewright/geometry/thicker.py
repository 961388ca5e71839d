"""Which board would be thick enough: asked where no screw holds in the one there is."""

from __future__ import annotations

from collections.abc import Callable

from casewright.basics.findings import Remedy, at_least, mm
from casewright.basics.units import TOUCHING
from casewright.design.project import Project
from casewright.geometry.model import Piece

WOODS = ("plywood", "mdf", "solid wood")
"""Kinds of material that a wood screw's thread holds in."""

FINEST = 0.1
"""Thicknesses are looked for in steps of this. [mm]"""

THICKEST = 40.0
"""No board of a cabinet is thicker. [mm] Source: common practice."""

SECTIONS = {"panel": "panels", "inner": "inner", "board": "boards", "door": "doors"}
"""Section of the project that says of what a kind of piece is made."""


def thicker_board(
    project: Project, host: Piece, holds: Callable[[float], bool]
) -> tuple[Remedy, ...]:
    """Make a piece of a thicker board: the thinnest of the project's that holds, else the least thickness that would.

    Args:
        project: Whose materials there are.
        host: The piece, its own board without overlays.
        holds: Whether a board of a thickness [mm] would do.

    Returns:
        One remedy, or none if no board would do.
    """
    field = material_field(host)
    enough = sorted(
        (material.thickness, key)
        for key, material in project.materials.items()
        if material.kind in WOODS
        and material.thickness > host.thickness + TOUCHING
        and holds(material.thickness)
        and stock_takes(project, key, host)
    )
    if enough and field:
        thickness, key = enough[0]
        name = project.materials[key].label or key
        text = f"Make {host.label} of {name}, {mm(thickness)} thick."
        return (Remedy(text, field, key),)
    steps = range(1, round((THICKEST - host.thickness) / FINEST) + 1)
    least = next(
        (t for t in (host.thickness + n * FINEST for n in steps) if holds(t)),
        None,
    )
    if least is None:
        return ()
    return (Remedy(f"Make {host.label} of a board {at_least(least)} thick or more."),)


def stock_takes(project: Project, material: str, piece: Piece) -> bool:
    """Whether a sheet of a material, trimmed, is large enough for a piece; True where no sheet is told of.

    Along the grain, where the material has one, lies what runs from side to side.
    """
    made_of = project.materials[material]
    trimmed = made_of.kind in WOODS
    for sheet in made_of.sheets:
        lost = 2 * project.shop.edge_trim if trimmed and not sheet.is_sawn else 0.0
        length, width = sheet.length - lost + TOUCHING, sheet.width - lost + TOUCHING
        if piece.width <= length and piece.height <= width:
            return True
        if made_of.grain != "length" and piece.height <= length and piece.width <= width:
            return True
    return not made_of.sheets


def material_field(host: Piece) -> str:
    """Where the project says what a piece is made of; empty for pieces that it does not name."""
    if host.kind == "side":
        return "shape.side.material"
    section = SECTIONS.get(host.kind)
    return f"{section}.{host.key}.material" if section else ""


__all__ = ["SECTIONS", "WOODS", "material_field", "stock_takes", "thicker_board"]
