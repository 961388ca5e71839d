"""A cutting plan as plain data: layout, list of parts, list of stock.

The JSON holds one material: sheets with the parts' lower left corners and sizes as laid. "width" in these files is the
measure along x, which is the sheet's length and grain, and "height" the measure along y. A nest is one part, the
rectangle that is cut off; "nested" names the pieces in it and their outlines on the sheet.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from casewright.planning.cutting.model import Blank, CutPlan, Placement, Stock
from casewright.planning.cutting.nesting import on_sheet


def _number(value: float) -> float:
    """Rounded to a thousandth of a millimeter."""
    return round(value, 3) + 0.0


def to_layout_json(plan: CutPlan, blanks: Sequence[Blank], kerf: float) -> dict[str, object]:
    """Return the layout as plain data. [mm]"""
    by_key = {blank.key: blank for blank in blanks}
    return {
        "kerf_mm": _number(kerf),
        "sheets": [
            {
                "stock": sheet.stock,
                "width_mm": _number(sheet.length),
                "height_mm": _number(sheet.width),
                "trim_mm": _number(sheet.trim),
                "placements": [
                    {
                        "part": place.blank,
                        "label": by_key[place.blank].name,
                        "copy": place.copy,
                        "x_mm": _number(place.x),
                        "y_mm": _number(place.y),
                        "width_mm": _number(place.length),
                        "height_mm": _number(place.width),
                        "rotated": place.turned,
                        **_nested(by_key[place.blank], place),
                    }
                    for place in sheet.placements
                ],
            }
            for sheet in plan.sheets
        ],
    }


def _nested(blank: Blank, place: Placement) -> dict[str, object]:
    """The pieces that are sawn out of a nest, with their outlines on the sheet. [mm]"""
    if not blank.nested:
        return {}
    return {
        "nested": [
            {
                "part": nested.key,
                "label": nested.name,
                "face_up": nested.face,
                "turned_deg": _number((nested.turned_deg + (90.0 if place.turned else 0.0)) % 360),
                "outline_mm": [[_number(x), _number(y)] for x, y in outline],
            }
            for nested, outline in on_sheet(blank, place)
        ]
    }


def parts_csv(blanks: Sequence[Blank]) -> str:
    """Return the blanks as CSV text: id, width_mm, height_mm, quantity, grain, label."""
    rows = [
        [
            b.key,
            _number(b.length),
            _number(b.width),
            b.quantity,
            "length" if b.grain == "length" else "none",
            b.label,
        ]
        for b in blanks
    ]
    return _csv(["id", "width_mm", "height_mm", "quantity", "grain", "label"], rows)


def stock_csv(stock: Sequence[Stock]) -> str:
    """Return the stock as CSV text: width_mm, height_mm, quantity (empty: any number), key."""
    rows = [
        [_number(s.length), _number(s.width), "" if s.available is None else s.available, s.key]
        for s in stock
    ]
    return _csv(["width_mm", "height_mm", "quantity", "key"], rows)


def _csv(head: Sequence[str], rows: Sequence[Sequence[object]]) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(head)
    writer.writerows(rows)
    return text.getvalue()


__all__ = ["parts_csv", "stock_csv", "to_layout_json"]
