"""What helps pieces that no sheet takes: larger sheets that are sold, their grain turned, a joint clear of holes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from casewright.basics.findings import Finding, Remedy, mm
from casewright.basics.units import TOUCHING
from casewright.catalog.load import load_catalog
from casewright.catalog.stock import SheetSize
from casewright.design.writing import length_style
from casewright.geometry.model import Cabinet
from casewright.geometry.thicker import WOODS
from casewright.planning.cutting import Blank, Stock
from casewright.planning.cutting.plan import BUY, JOINED, TURN, fits_sheet
from casewright.planning.cutting.remarks import NO_ROOM
from casewright.planning.joints import joint_remedy


def sheet_cures(
    cabinet: Cabinet,
    material: str,
    told: Finding,
    blanks: Sequence[Blank],
    stock: Sequence[Stock],
) -> tuple[Remedy, ...]:
    """Orders as the plan gives them, with what only the whole project knows: sizes sold, panels' grain, holes.

    Args:
        cabinet: The cabinet.
        material: Key of the material that the plan is of.
        told: What the plan has to say.
        blanks: All that is to be cut from the material. [mm]
        stock: From what. [mm]
    """
    if told.rule != NO_ROOM.id:
        return told.remedies
    return tuple(_cure(cabinet, material, remedy, told, blanks, stock) for remedy in told.remedies)


def _cure(
    cabinet: Cabinet,
    material: str,
    remedy: Remedy,
    told: Finding,
    blanks: Sequence[Blank],
    stock: Sequence[Stock],
) -> Remedy:
    mine = [blank for blank in blanks if blank.key in told.place.names]
    if remedy.text.startswith(BUY):
        return _sold(cabinet, material, remedy, mine, blanks)
    if remedy.text.startswith(TURN):
        return _turned(cabinet, remedy, mine)
    if not remedy.text.endswith(JOINED):
        return remedy
    named = next((b for b in mine if remedy.text.startswith(f"Or make {b.name} of ")), None)
    return (_joint(cabinet, named, stock) if named else None) or remedy


def _joint(cabinet: Cabinet, blank: Blank, stock: Sequence[Stock]) -> Remedy | None:
    """The order to join a part, with the places that its holes leave."""
    ways = [(s.usable_length, s.usable_width) for s in stock if s.available != 0]
    if blank.grain == "none":
        ways += [(across, along) for along, across in ways]
    longest = max(
        (along for along, across in ways if blank.width <= across + TOUCHING), default=0.0
    )
    piece = cabinet.piece_by_key[blank.key]
    if longest:
        return joint_remedy(cabinet, piece, longest)
    widest = max((across for along, across in ways if blank.length <= along + TOUCHING), default=0)
    return joint_remedy(cabinet, piece, widest, edge_to_edge=True)


def _sold(
    cabinet: Cabinet,
    material: str,
    remedy: Remedy,
    mine: Sequence[Blank],
    blanks: Sequence[Blank],
) -> Remedy:
    """The order to buy a sheet, with the smallest usual one that each blank is cut from, if there is one.

    It is a value where the file has sheets to buy, as many as it takes, that the larger ones can stand in for.
    """
    project = cabinet.project
    made_of = project.materials[material]
    trim = _trim(cabinet, material)

    def takes(sheet: SheetSize, some: Sequence[Blank]) -> bool:
        length, width = sheet.length - trim, sheet.width - trim
        return all(fits_sheet(blank, length, width) for blank in some)

    usual = min(
        (sheet for sheet in _usual(cabinet, material) if takes(sheet, mine)),
        key=lambda sheet: (sheet.length * sheet.width, sheet.length),
        default=None,
    )
    if usual is None:
        return remedy
    size = f"{mm(usual.length)} × {mm(usual.width)}"
    known = replace(remedy, text=f"{remedy.text.removesuffix('.')}; {size} is a usual size.")
    begun = any(
        record.sheet and (piece := cabinet.piece_by_key.get(key)) and piece.material == material
        for key, record in project.as_built.items()
    )
    bought = [
        (sheet.length * sheet.width, number)
        for number, sheet in enumerate(made_of.sheets)
        if not sheet.offcut and sheet.quantity is None
    ]
    if begun or not bought:
        return known
    number = max(bought)[1]
    sheet = made_of.sheets[number]
    now = SheetSize(length=sheet.length, width=sheet.width)
    if not takes(usual, [blank for blank in blanks if takes(now, [blank])]):
        return known  # what the old sheets take has to have its place too
    text = f"Buy sheets of {size}, a usual size, instead of {mm(sheet.length)} × {mm(sheet.width)}."
    if sheet.price:
        text += " Write their price beside it."
    field = f"materials.{material}.sheets.{number}"
    return Remedy(text, f"{field}.length", usual.length, ((f"{field}.width", usual.width),))


def _usual(cabinet: Cabinet, material: str) -> tuple[SheetSize, ...]:
    """Sheets that a material is sold in; those of the first of its kind where it is of no known one."""
    made_of, catalog = cabinet.project.materials[material], load_catalog()
    alike = [one for one in catalog.species.values() if one.kind == made_of.kind]
    species = catalog.species.get(made_of.species or "") or next(iter(alike), None)
    return species.sheets_in(length_style(cabinet.project).unit) if species is not None else ()


def usable_sizes(cabinet: Cabinet, material: str) -> tuple[tuple[float, float], ...]:
    """Lengths and widths of the sheets that a material is sold in, trimmed. [mm]"""
    trim = _trim(cabinet, material)
    return tuple((s.length - trim, s.width - trim) for s in _usual(cabinet, material))


def _trim(cabinet: Cabinet, material: str) -> float:
    """Lost of a new sheet's length and width. [mm]"""
    project = cabinet.project
    return 2 * project.shop.edge_trim if project.materials[material].kind in WOODS else 0.0


def _turned(cabinet: Cabinet, remedy: Remedy, mine: Sequence[Blank]) -> Remedy:
    """The order to turn pieces, with values where all of them have a grain of their own to say."""
    fields = [field for blank in mine for field in _other_grain(cabinet, blank.key)]
    if not fields or len(fields) < len(mine):
        return remedy
    return replace(remedy, field=fields[0][0], value=fields[0][1], also=tuple(fields[1:]))


def _other_grain(cabinet: Cabinet, key: str) -> Iterator[tuple[str, str]]:
    piece, project = cabinet.piece_by_key[key], cabinet.project
    if key in project.panels:
        yield f"panels.{key}.grain", "up" if piece.grain == "u" else "across"
    elif key in project.boards:
        yield f"boards.{key}.grain", "second" if piece.grain == "u" else "first"


__all__ = ["sheet_cures", "usable_sizes"]
