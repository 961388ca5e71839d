"""The words and signs over a drawing of a part: name, face, size, scale, unit, the edge that is up, the grain."""

from __future__ import annotations

from collections.abc import Sequence

from casewright.basics.units import LengthStyle
from casewright.design.project import Project
from casewright.geometry.model import FaceName, Piece
from casewright.outputs.drawings.face_view import FACE_WORDS
from casewright.outputs.drawings.hole_table import figure
from casewright.outputs.drawings.lettering import shortened, text_width, wrapped
from casewright.outputs.drawings.marks import Box, Mark, Text
from casewright.outputs.drawings.scales import scale_words
from casewright.outputs.drawings.symbols import GrainArrow, Share, Triangle

NAME, FACE, SMALL = 5.0, 3.5, 2.5
"""Heights of the three lines, on paper: steps of ISO 3098-1. [mm]"""
MIRRORED = "BACK FACE (mirrored)"
SIGN = 12.0
"""Height of the triangle, on paper. [mm]"""


def heading(
    piece: Piece,
    face: FaceName,
    label: str,
    over: Box,
    project: Project,
    style: LengthStyle,
    *,
    scale: float,
    width: float,
    top: float,
    count: int = 1,
) -> tuple[Mark, ...]:
    """The heading of a sheet.

    Args:
        piece: The piece.
        face: The face that is seen.
        label: Its name.
        over: The blank in the drawing; the words start at its left.
        project: For the material's name.
        style: The user's unit.
        scale: Of the drawing.
        width: What the words may take, on paper. [mm]
        top: Upper end of all that is drawn so far. [mm]
        count: How many equal pieces it stands for.
    """
    arrow = piece.grain != "none"
    signs = SIGN + 6.0 + (30.0 if arrow else 0.0)
    room = width - signs
    lines = size_lines(piece, project, style, scale=scale, width=width, count=count)
    low = top + 5.0 / scale
    marks: list[Mark] = []
    for number, line in enumerate(reversed(lines)):
        marks.append(Text((over.left, low + 4.0 * number / scale), line, SMALL))
    low += 4.0 * len(lines) / scale
    face_at = (over.left, low + 0.8 / scale)
    words, high = _face_words(face, room)
    marks.append(Text(face_at, words, high, weight="bold", pen="accent"))
    large = text_width(label, NAME, "bold") <= room
    height = NAME if large else FACE
    names = (label,) if large else wrapped(label, room, height=height, weight="bold")
    for number, name in enumerate(reversed(names)):
        name_at = (over.left, low + (7.5 + number * 1.5 * height) / scale)
        marks.append(Text(name_at, name, height, weight="bold"))
    used = max(text_width(words, high, "bold"), *(text_width(n, height, "bold") for n in names))
    at = over.left + (used + 6.0 + SIGN / 2) / scale
    marks.append(Triangle((at, low + 0.8 / scale), SIGN, share=share_of(piece, face)))
    if arrow:
        middle = (at + (SIGN / 2 + 18.0) / scale, low + 6.0 / scale)
        upright = piece.grain == "v"
        marks.append(
            GrainArrow(middle, 90.0 if upright else 0.0, 11.0 if upright else 24.0, "grain")
        )
    return tuple(marks)


def _face_words(face: FaceName, room: float) -> tuple[str, float]:
    """The face in words and their height, less of both where there is little room: "mirrored" is said. [mm on paper]"""
    full = FACE_WORDS[face]
    short = MIRRORED if face == "back" else full
    for words, height in ((full, FACE), (short, FACE), (short, SMALL)):
        if text_width(words, height, "bold") <= room:
            return words, height
    return shortened(short, room, height=SMALL, weight="bold"), SMALL


def size_lines(
    piece: Piece,
    project: Project,
    style: LengthStyle,
    *,
    scale: float,
    width: float,
    count: int = 1,
) -> tuple[str, ...]:
    """Number, blank, material, scale and unit, broken to the width on paper. [mm]"""
    sizes = sorted((piece.width, piece.height), reverse=True)
    if piece.grain == "u":
        sizes = [piece.width, piece.height]
    elif piece.grain == "v":
        sizes = [piece.height, piece.width]
    blank = " × ".join(figure(x, style) for x in (*sizes, piece.thickness))
    words = (
        *((f"{count} pieces",) if count > 1 else ()),
        f"blank {blank} {style.unit}",
        material_words(piece, project),
        f"scale {scale_words(scale)}",
        f"sizes in {unit_words(style)}",
    )
    return joined(words, width)


def unit_words(style: LengthStyle) -> str:
    """The unit as it reads after "sizes in"."""
    return "inches" if style.unit == "in" else style.unit


def joined(words: Sequence[str], width: float) -> tuple[str, ...]:
    """Short notes in as few lines as fit, with a dot between. [mm on paper]"""
    lines: list[str] = []
    for word in words:
        longer = f"{lines[-1]}  ·  {word}" if lines else word
        if lines and text_width(longer, SMALL) <= width:
            lines[-1] = longer
        else:
            lines += wrapped(word, width, height=SMALL)
    return tuple(lines)


def material_words(piece: Piece, project: Project) -> str:
    """What a piece is cut from."""
    material = project.materials.get(piece.material)
    if material is None:
        return project.batten.label or "batten"
    return material.label or piece.material


def share_of(piece: Piece, face: FaceName) -> Share:
    """Its part of the cabinetmaker's triangle, drawn across the front edges of the two sides."""
    if piece.kind != "side":
        return "whole"
    outside: Share = "left" if piece.key == "left" else "right"
    if face == "show":
        return outside
    return "right" if outside == "left" else "left"


__all__ = ["SIGN", "heading", "joined", "material_words", "share_of", "size_lines", "unit_words"]
