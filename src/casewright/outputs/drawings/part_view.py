"""Drawings of a cabinet's pieces: one sheet for every face that something is worked from.

A sheet stands on the datum corner of the blank as seen on that face, in true millimeters; lettering is sized for the
scale at which the sheet fits its place on the page. Every feature stands in the table of the one face it is worked
from.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from casewright.basics.units import TOUCHING, LengthStyle
from casewright.design.project import Project
from casewright.geometry.model import Cabinet, FaceName, Piece, PieceKind
from casewright.outputs.drawings.face_view import FACE_WORDS, FaceView
from casewright.outputs.drawings.ground import Edge
from casewright.outputs.drawings.heading import material_words
from casewright.outputs.drawings.hole_table import HoleRow, hole_rows
from casewright.outputs.drawings.marking_out import MarkRow, marking_out
from casewright.outputs.drawings.marks import Drawing
from casewright.outputs.drawings.part_ordinates import FIGURE, TAG
from casewright.outputs.drawings.piece_section import piece_section
from casewright.outputs.drawings.same_pieces import same_pieces, shared_label
from casewright.outputs.drawings.scales import ROOM, SIDE_ROOM, fitting_scales
from casewright.outputs.drawings.sheet_layout import SheetLayout

AROUND = (19.0, 40.0)
"""The least that figures left of a part, and figures below and the heading above it take. [mm on paper]"""

SMALL: tuple[PieceKind, ...] = ("cleat", "rail", "strip", "duct")
"""Kinds drawn at one scale, that of the longest."""
SHORT = 25.0
"""One that would be shorter than this is drawn larger. [mm on paper]"""


@dataclass(frozen=True)
class PartSheet:
    """One face of a piece, or of several equal ones."""

    piece: str
    """Key of the piece; the first of several equal ones."""
    label: str
    face: FaceName
    face_words: str
    drawing: Drawing
    """With dimensions, laid out for `scale`; true millimeters, the datum corner at (0, 0)."""
    bare: Drawing
    """Without dimensions, laid out at 1:1, for templates and machines."""
    hole_rows: tuple[HoleRow, ...]
    section: Drawing
    notes: tuple[str, ...] = ()
    scale: float = 1.0
    """Paper millimeters to one real millimeter."""
    pieces: tuple[str, ...] = ()
    """Keys of all the equal pieces."""
    mark_rows: tuple[MarkRow, ...] = ()
    """Footprints to mark out, on the inner face of a side."""
    plain: bool = False
    """One layer with square edges: the section tells nothing more than the heading."""
    lettered_off: Callable[[Sequence[Edge]], Drawing] | None = field(
        default=None, compare=False, repr=False
    )
    """`bare` again, its lettering kept off some lines."""

    @property
    def quantity(self) -> int:
        """How many to make."""
        return len(self.pieces)


def part_drawings(
    cabinet: Cabinet,
    style: LengthStyle,
    *,
    room: tuple[float, float] = ROOM,
    side_room: tuple[float, float] = SIDE_ROOM,
) -> tuple[PartSheet, ...]:
    """Draw every piece of a cabinet.

    Args:
        cabinet: The cabinet.
        style: The user's unit.
        room: Width and height that a drawing may take on the page. [mm]
        side_room: The same for the sides, whose sheets say more.

    Returns:
        Sheets in the order of the pieces, show face first. A piece has a sheet for each face that something is worked
        from, and one of its show face where nothing is; a side has both.
    """
    labels = known_labels(cabinet)
    common = _common_scale(cabinet.pieces, room)
    sheets = []
    for equal in same_pieces(cabinet.pieces):
        piece = equal[0]
        space = side_room if piece.kind == "side" else room
        alike = piece.kind in SMALL and max(piece.width, piece.height) * common >= SHORT
        for face in faces_of(piece):
            sheet = part_sheet(
                cabinet,
                equal,
                face,
                style,
                labels=labels,
                room=space,
                most=common if alike else 1.0,
            )
            sheets.append(sheet)
    return tuple(sheets)


def _common_scale(pieces: Sequence[Piece], room: tuple[float, float]) -> float:
    """At which the longest of the small pieces fits, so that they can be told apart by length."""
    fitting = [
        fitting_scales(piece.width, piece.height, room, around=AROUND)[0]
        for piece in pieces
        if piece.kind in SMALL
    ]
    return min(fitting, default=1.0)


def faces_of(piece: Piece) -> tuple[FaceName, ...]:
    """The faces that get a sheet."""
    if piece.kind == "side":
        return ("show", "back")
    worked: set[FaceName] = {feature.face for feature in piece.features}
    return tuple(face for face in FACE_WORDS if face in worked) or ("show",)


def known_labels(cabinet: Cabinet) -> Mapping[str, str]:
    """What pieces and parts are called, by key."""
    return {
        **{piece.key: piece.label for piece in cabinet.pieces},
        **{placed.key: placed.label for placed in cabinet.placed},
    }


def part_sheet(
    cabinet: Cabinet,
    equal: Sequence[Piece],
    face: FaceName,
    style: LengthStyle,
    *,
    labels: Mapping[str, str],
    room: tuple[float, float],
    most: float = 1.0,
) -> PartSheet:
    """One sheet, at the largest scale that fits the room, `most` at most."""
    piece = equal[0]
    view = FaceView(piece, face)
    rows = hole_rows(view, style, labels)
    footprints = marking_out(cabinet, view, style) if piece.kind == "side" else None
    label = shared_label([p.label for p in equal])
    sheet = SheetLayout(cabinet, view, rows, style, label, room, len(equal))
    drawing, least = None, math.inf
    scales = fitting_scales(piece.width, piece.height, room, around=AROUND)
    scales = tuple(scale for scale in scales if scale <= most + 1e-9) or scales[-1:]
    for scale, height in ((s, h) for s in scales for h in (FIGURE, TAG)):
        tried = sheet.drawn(scale, height)
        share = max(tried.bounds.width / room[0], tried.bounds.height / room[1]) * scale
        if share < least - 1e-9:
            drawing, least = tried, share
        if share <= 1.0 + 1e-9:
            break
        if scale < scales[0] / 3:
            break  # the words are what is too wide: a smaller picture does not help
    assert drawing is not None, "there is always a smallest scale"
    stack = tuple(p for p in cabinet.pieces if _same_stack(p, piece))
    return PartSheet(
        piece=piece.key,
        label=label,
        face=face,
        face_words=FACE_WORDS[face],
        drawing=drawing,
        bare=sheet.bare(),
        hole_rows=rows,
        section=piece_section(piece, stack, cabinet.project, style),
        notes=_notes(view, cabinet.project, rows),
        scale=drawing.scale,
        pieces=tuple(p.key for p in equal),
        mark_rows=footprints.rows if footprints and face == "back" else (),
        plain=len(stack) == 1 and not view.bevels,
        lettered_off=sheet.bare,
    )


def _same_stack(other: Piece, piece: Piece) -> bool:
    if piece.kind not in ("panel", "overlay"):
        return other.key == piece.key
    return other.panel == piece.panel and other.kind in ("panel", "overlay")


def _notes(view: FaceView, project: Project, rows: Sequence[HoleRow]) -> tuple[str, ...]:
    piece = view.piece
    notes = [f"Material: {material_words(piece, project)}."]
    material = project.materials.get(piece.material)
    plastic = material is not None and material.kind in ("acrylic", "polycarbonate")
    wooden = material is None or material.kind in ("plywood", "mdf", "solid wood")
    if piece.grain == "none" and wooden:
        notes.append("The grain may run either way.")
    if view.face == "back":
        notes.append("Lay the show face down: this is what you see. Left and right are swapped.")
    through = [
        row for row in rows if row.feature.depth is None and row.kind in ("hole", "clearance")
    ]
    if through:
        other = "back" if view.face == "show" else "show"
        notes.append(f"Press a backing board against the {other} face before drilling through.")
    if plastic and through:
        notes.append(
            "Leave the film on, clamp the sheet between scrap boards, drill slowly with a bit ground for plastic."
        )
    chamfers = [row.feature.chamfer for row in rows if row.feature.chamfer]
    if chamfers:
        notes.append(
            "Cut the chamfer last, from this face, "
            + (
                "clamped to its board: it runs on into that, whose opening the bearing rides on."
                if max(chamfers) > piece.thickness - TOUCHING
                else "with the bearing on the opening's edge."
            )
        )
    if view.bevels:
        notes.append("All sizes are measured from the blank's lower left corner, bevels included.")
    return tuple(notes)


__all__ = [
    "AROUND",
    "SHORT",
    "SMALL",
    "PartSheet",
    "faces_of",
    "known_labels",
    "part_drawings",
    "part_sheet",
]
