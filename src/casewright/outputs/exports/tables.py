"""Tables for spreadsheets: pieces and shopping as CSV. A cell that a spreadsheet could run as a formula is defused."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Sequence

from casewright.geometry.model import Cabinet
from casewright.planning.buying import Shopping

_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")


def pieces_csv(cabinet: Cabinet, write_length: Callable[[float], str]) -> bytes:
    """Every piece with its blank: length, width, thickness in the user's unit and in millimeters."""
    rows = []
    for piece in cabinet.pieces:
        long, wide = piece.width, piece.height
        if piece.grain == "v" or (piece.grain == "none" and wide > long):
            long, wide = wide, long
        material = (
            cabinet.project.batten.label or "batten"
            if piece.material == "batten"
            else cabinet.project.materials[piece.material].label or piece.material
        )
        rows.append(
            (
                piece.key,
                piece.label,
                piece.kind,
                material,
                write_length(long),
                write_length(wide),
                write_length(piece.thickness),
                f"{long:.2f}",
                f"{wide:.2f}",
                f"{piece.thickness:.2f}",
                "along length" if piece.grain != "none" else "any",
            )
        )
    head = (
        "piece",
        "name",
        "kind",
        "material",
        "length",
        "width",
        "thickness",
        "length_mm",
        "width_mm",
        "thickness_mm",
        "grain",
    )
    return table_csv(head, rows)


def shopping_csv(shopping: Shopping, *, currency: str) -> bytes:
    """The shopping list."""
    head = (
        "group",
        "item",
        "quantity",
        "unit",
        "have",
        "to_buy",
        f"price_{currency}",
        f"cost_{currency}",
        "note",
    )
    rows = [
        (
            row.group,
            row.label,
            f"{row.quantity:g}",
            row.unit,
            f"{row.have:g}",
            f"{row.to_buy:g}",
            f"{row.price:.2f}",
            f"{row.cost:.2f}",
            row.note,
        )
        for row in shopping.rows
    ]
    rows.append(("total", "", "", "", "", "", "", f"{shopping.cost.value:.2f}", ""))
    return table_csv(head, rows)


def table_csv(head: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """A table as UTF-8 CSV with a byte order mark, which spreadsheets need to read × and ⌀ right."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([defused(cell) for cell in head])
    for row in rows:
        writer.writerow([defused(cell) for cell in row])
    return text.getvalue().encode("utf-8-sig")


def defused(cell: str) -> str:
    """The cell's text, with an apostrophe before anything that a spreadsheet would run.

    Source:
        OWASP, "CSV Injection".

    Example:
        >>> defused("=1+1"), defused("deck"), defused("-3.5")
        ("'=1+1", 'deck', '-3.5')
    """
    if cell.startswith(_STARTS_A_FORMULA) and not _is_number(cell):
        return f"'{cell}"
    return cell


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


__all__ = ["defused", "pieces_csv", "shopping_csv", "table_csv"]
