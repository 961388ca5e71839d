"""Which piece of the shop's stock a sheet of a layout is."""

from __future__ import annotations

from casewright.design.project import Project
from casewright.planning.blanks import stock_of


def mark_of(project: Project, material: str, key: str) -> str:
    """The mark of the piece that a plan's stock key means; "" where the stock does not hold it.

    Args:
        project: The project.
        material: Key of the material.
        key: The plan's name of the sheet, "offcut 2".
    """
    one = project.materials[material]
    marks = {
        stock.key: sheet.mark
        for stock, sheet in zip(stock_of(project, one), one.sheets, strict=True)
    }
    return marks.get(key) or ""


__all__ = ["mark_of"]
