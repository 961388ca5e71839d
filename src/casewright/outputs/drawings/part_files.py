"""The sheets of all pieces as files, named after the piece and the face, and as templates at true size."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping, Sequence

from casewright.basics.units import LengthStyle
from casewright.geometry.model import Cabinet, FaceName, Feature
from casewright.outputs.documents.templates import BACK_FACE_UP, SHOW_FACE_UP, TemplateSheet
from casewright.outputs.drawings.alignment_view import alignment_views
from casewright.outputs.drawings.heading import SMALL, joined
from casewright.outputs.drawings.marks import Drawing, Text
from casewright.outputs.drawings.part_view import PartSheet, part_drawings
from casewright.outputs.drawings.svg import write_svg
from casewright.outputs.exports.dxf import write_dxf

_UP: Mapping[FaceName, str] = {"show": SHOW_FACE_UP, "back": BACK_FACE_UP}
_LONGEST = 60
_DEVICES = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)", re.IGNORECASE)
"""Names that one operating system keeps for itself."""


def svg_files(sheets: Sequence[PartSheet]) -> dict[str, bytes]:
    """Every sheet with its dimensions as an SVG file, by file name ("deck-show.svg")."""
    names = file_names(sheets)
    return {
        f"{name}.svg": write_svg(keyed(sheet), ground=True).encode("utf-8")
        for name, sheet in zip(names, sheets, strict=True)
    }


def keyed(sheet: PartSheet) -> Drawing:
    """The sheet's drawing, and below it the names of the numbers on it, which a page of the book has a table of."""
    drawing = sheet.drawing
    texts = (mark for mark in drawing.marks if isinstance(mark, Text))
    written = {text.text for text in texts if text.weight == "bold"}
    named = [f"{row.number} = {row.label}" for row in sheet.mark_rows if row.number in written]
    if not named:
        return drawing
    bounds, scale = drawing.bounds, drawing.scale
    lines = joined(named, bounds.width * scale)
    low = bounds.bottom - 2.5 / scale
    key = [
        Text((bounds.left, low - number * 1.6 * SMALL / scale), line, SMALL, vertical="top")
        for number, line in enumerate(lines)
    ]
    return Drawing(drawing.title, (*drawing.marks, *key), unit=drawing.unit, scale=scale)


def dxf_files(sheets: Sequence[PartSheet]) -> dict[str, bytes]:
    """Every sheet without dimensions as a DXF file in millimeters, by file name ("deck-show.dxf").

    The datum corner is at (0, 0); layers name the operation, its face and its depth.
    """
    names = file_names(sheets)
    return {f"{name}.dxf": write_dxf(sheet.bare) for name, sheet in zip(names, sheets, strict=True)}


def _nowhere(piece: str) -> str:
    """No address."""
    return ""


def template_sheets(
    cabinet: Cabinet,
    style: LengthStyle | None = None,
    *,
    sheets: Sequence[PartSheet] | None = None,
    link: Callable[[str], str] = _nowhere,
) -> tuple[TemplateSheet, ...]:
    """The sheets worth a template at true size: those with something to drill, rout or saw to a profile.

    Last come the alignment sheets of the displays.

    Args:
        cabinet: The cabinet.
        style: The user's unit; left out, the project's own.
        sheets: Of `part_drawings`, where they are drawn already.
        link: What a piece's square code holds, by its key; "" for none.
    """
    project = cabinet.project
    writing = project.writing
    style = style or LengthStyle(
        writing.unit or project.unit, decimals=writing.decimals, denominator=writing.denominator
    )
    pieces = tuple(
        TemplateSheet(
            sheet.bare,
            sheet.label,
            _UP[sheet.face],
            sheet.notes,
            sheet.lettered_off,
            code=link(sheet.piece),
        )
        for sheet in (part_drawings(cabinet, style) if sheets is None else sheets)
        if worth_a_template(sheet, cabinet)
    )
    displays = tuple(
        TemplateSheet(
            view.drawing,
            view.title,
            BACK_FACE_UP,
            view.notes,
            code=link(cabinet.placed_by_key[view.display].piece),
        )
        for view in alignment_views(cabinet, style)
    )
    return (*pieces, *displays)


def worth_a_template(sheet: PartSheet, cabinet: Cabinet) -> bool:
    """Whether a sheet says more than straight saw cuts and screw holes, which a rule or the piece itself marks.

    The inner face of a side is one always: it carries the profile and where all else stands. So its outer face needs
    none unless something is sunk into it.
    """
    piece = cabinet.piece_by_key[sheet.piece]
    if piece.kind in ("cleat", "rail", "strip", "duct"):
        return False
    if piece.kind == "side" and sheet.face == "show":
        return any(row.feature.depth is not None for row in sheet.hole_rows if _shaped(row.feature))
    return piece.kind == "side" or any(_shaped(row.feature) for row in sheet.hole_rows)


def _shaped(feature: Feature) -> bool:
    """Whether it is more than a screw's hole."""
    return feature.kind not in ("pilot", "clearance", "counterbore", "countersink")


def file_names(sheets: Iterable[PartSheet]) -> tuple[str, ...]:
    """A plain, unique name without ending for each sheet; none can lead out of its folder."""
    taken: set[str] = set()
    names = []
    for sheet in sheets:
        name = wanted = f"{slug(sheet.piece)}-{sheet.face}"
        count = 1
        while name in taken:
            count += 1
            name = f"{wanted}-{count}"
        taken.add(name)
        names.append(name)
    return tuple(names)


def slug(text: str) -> str:
    """Small plain letters, figures and single dashes.

    Example:
        >>> slug("Deck.Overlay"), slug("../Übel"), slug("…")
        ('deck-overlay', 'ubel', 'piece')
    """
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    kept = re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:_LONGEST].strip("-")
    if not kept or _DEVICES.fullmatch(kept):
        return f"piece-{kept}" if kept else "piece"
    return kept


__all__ = [
    "dxf_files",
    "file_names",
    "keyed",
    "slug",
    "svg_files",
    "template_sheets",
    "worth_a_template",
]
