"""Tables for spreadsheets: pieces and shopping as CSV. A cell that a spreadsheet could run as a formula is defused."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Iterable, Sequence
from typing import cast

from casewright.geometry.model import Cabinet
from casewright.planning.blanks import Cutting
from casewright.planning.buying import Shopping
from casewright.planning.cutting import to_layout_json

_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")


def pieces_csv(cabinet: Cabinet, cutting: Cutting, write_length: Callable[[float], str]) -> bytes:
    """Every blank to be cut from a sheet: first in millimeters, as layout checkers read it, then in words.

    width_mm is the blank's measure along the sheet's length, height_mm the one across it.
    The pieces of a nest are one blank.
    """
    rows = []
    for plan in cutting.plans:
        for blank in plan.blanks:
            piece = cabinet.piece_by_key[blank.parts[0]]
            rows.append(
                (
                    blank.key,
                    f"{blank.length:.3f}",
                    f"{blank.width:.3f}",
                    f"{blank.quantity}",
                    blank.grain,
                    blank.name,
                    "nest" if blank.nested else piece.kind,
                    plan.label,
                    write_length(blank.length),
                    write_length(blank.width),
                    write_length(piece.thickness),
                )
            )
    head = (
        "id",
        "width_mm",
        "height_mm",
        "quantity",
        "grain",
        "name",
        "kind",
        "material",
        "length",
        "width",
        "thickness",
    )
    return table_csv(head, rows)


def battens_csv(cutting: Cutting, write_length: Callable[[float], str]) -> bytes:
    """Every length to be cut from battens."""
    rows = [
        (cut.key, cut.label, write_length(cut.length), f"{cut.length:.2f}")
        for cut in cutting.battens
    ]
    return table_csv(("id", "name", "length", "length_mm"), rows)


def layout_json(cutting: Cutting, *, kerf: float) -> bytes:
    """All sheets of all materials as one layout. [mm]"""
    sheets = []
    for plan in cutting.plans:
        layout = to_layout_json(plan.plan, plan.blanks, kerf)
        for sheet in cast(list[dict[str, object]], layout["sheets"]):
            sheets.append({"material": plan.material, "label": plan.label, **sheet})
    text = json.dumps({"kerf_mm": round(kerf, 3), "sheets": sheets}, indent=1, ensure_ascii=False)
    return (text + "\n").encode()


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
    rows: list[tuple[str, ...]] = [
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


__all__ = ["battens_csv", "defused", "layout_json", "pieces_csv", "shopping_csv", "table_csv"]
