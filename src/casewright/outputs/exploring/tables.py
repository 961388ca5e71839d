"""Rows of an exploration for spreadsheets and other programs."""

from __future__ import annotations

import json
from collections.abc import Collection, Sequence
from typing import Any

from casewright.outputs.exports.tables import table_csv
from casewright.planning.exploring import Aim, Figure, Row, Space


def rows_csv(
    rows: Sequence[Row], space: Space, columns: Sequence[Figure], best: Collection[int]
) -> bytes:
    """A row a variant: its number, whether no other one beats it, its choices, its figures, why it cannot be built."""
    varied = [variation.label for variation in space.variations]
    head = ("number", "not beaten", *varied, *(_head(figure) for figure in columns), "reason")
    table = [
        (
            str(row.number),
            "yes" if row.number in best else "no",
            *(row.choices[label] for label in varied),
            *(_cell(row.figures.get(figure.key)) for figure in columns),
            row.reason,
        )
        for row in rows
    ]
    return table_csv(head, table)


def rows_data(
    rows: Sequence[Row],
    space: Space,
    columns: Sequence[Figure],
    best: Collection[int],
    aims: Sequence[Aim],
) -> dict[str, Any]:
    """The same as plain data; lengths in millimeters."""
    return {
        "variations": [
            {"label": v.label, "choices": [c.label for c in v.choices]} for v in space.variations
        ],
        "figures": [{"key": f.key, "label": f.label, "unit": f.unit} for f in columns],
        "aims": [{"key": aim.key, "better": aim.better} for aim in aims],
        "variants": [{**row.as_data(), "best": row.number in best} for row in rows],
    }


def rows_json(data: dict[str, Any]) -> bytes:
    """`rows_data` as a file; a line for each variant."""
    head = {key: value for key, value in data.items() if key != "variants"}
    lines = ",\n  ".join(json.dumps(one, ensure_ascii=False) for one in data["variants"])
    start = json.dumps(head, ensure_ascii=False)[:-1]
    return f'{start},\n "variants": [\n  {lines}\n ]}}\n'.encode()


def _head(figure: Figure) -> str:
    return f"{figure.key} {figure.unit}".strip()


def _cell(value: float | None) -> str:
    """As exact as it is, so that nothing has to be worked out twice."""
    return "" if value is None else f"{value:.12g}"


__all__ = ["rows_csv", "rows_data", "rows_json"]
