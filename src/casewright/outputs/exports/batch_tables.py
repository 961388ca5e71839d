"""A batch for spreadsheets and other programs."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from casewright.outputs.exports.tables import table_csv
from casewright.planning.batch import Batch
from casewright.planning.blanks import Cutting


def batch_pieces_csv(batch: Batch, cutting: Cutting, write_length: Callable[[float], str]) -> bytes:
    """Every piece with its project and copy, and the sheet that it is cut from."""
    rows = []
    for plan in cutting.plans:
        blanks = {blank.key: blank for blank in plan.blanks}
        for sheet in plan.plan.sheets:
            for place in sheet.placements:
                blank, owner = blanks[place.blank], batch.owners.get(place.blank)
                rows.append(
                    (
                        blank.key,
                        f"{blank.length:.3f}",
                        f"{blank.width:.3f}",
                        "1",
                        blank.grain,
                        owner.label if owner else blank.name,
                        owner.project if owner else "",
                        str(owner.copy) if owner else "",
                        plan.label,
                        str(sheet.index),
                        write_length(blank.length),
                        write_length(blank.width),
                    )
                )
    head = (
        "id",
        "width_mm",
        "height_mm",
        "quantity",
        "grain",
        "name",
        "project",
        "copy",
        "material",
        "sheet",
        "length",
        "width",
    )
    return table_csv(head, rows)


def batch_data(batch: Batch, cutting: Cutting) -> dict[str, Any]:
    """What a batch comes to, as plain data; lengths in millimeters."""
    return {
        "projects": [
            {"letter": letter, "name": member.name, "copies": member.copies}
            for letter, member in batch.letters.items()
        ],
        "materials": [
            {
                "material": one.material,
                "label": one.label,
                "pieces": len(one.pieces),
                "sheets": len(one.plan.sheets),
                "bought": one.plan.bought,
                "lower_bound": one.plan.lower_bound,
                "proven": one.plan.proven,
                "price": one.plan.price,
                "fence_settings": one.plan.fence_settings,
                "unplaced": [left.key for left in one.plan.unplaced],
            }
            for one in cutting.plans
        ],
        "pieces": [
            {
                "id": key,
                "letter": owner.letter,
                "project": owner.project,
                "copy": owner.copy,
                "piece": owner.piece,
                "label": owner.label,
            }
            for key, owner in batch.owners.items()
        ],
    }


def batch_json(batch: Batch, cutting: Cutting) -> bytes:
    """`batch_data` as a file."""
    return (json.dumps(batch_data(batch, cutting), indent=1, ensure_ascii=False) + "\n").encode()


__all__ = ["batch_data", "batch_json", "batch_pieces_csv"]
