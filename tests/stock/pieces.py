"""Entries and layouts to try the stock with."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from casewright.planning.cutting import Areas
from casewright.stock.taking import Leftover, Taking, Wanted

NOW = datetime(2027, 3, 5, 14, 30)


def board(
    mark: str = "", *, count: int = 1, length: Any = 600, width: Any = 300, **more: Any
) -> dict[str, Any]:
    """An offcut of birch plywood."""
    return {
        "kind": "offcut",
        "mark": mark,
        "count": count,
        "material": "plywood",
        "species": "plywood-birch",
        "measured": "11.8 mm",
        "length": length,
        "width": width,
        **more,
    }


def taking(
    *marks: str,
    project: str = "Quiz box",
    plan: str = "a",
    left: tuple[tuple[int, int], ...] = (),
    count: int = 1,
) -> Taking:
    """A layout on boards of 600 × 300 mm that leaves offcuts of these sizes."""
    leftovers = []
    for length, width in left:
        data = board(length=f"{length} mm", width=f"{width} mm")
        written = {k: v for k, v in data.items() if k not in ("mark", "count")}
        leftovers.append(Leftover(written, marks[0] if marks else "a bought sheet", length, width))
    return Taking(
        project=project,
        plan=plan,
        wanted=tuple(Wanted(mark, count, 600.0, 300.0) for mark in sorted(marks)),
        bought=(),
        leftovers=tuple(leftovers),
        areas=Areas(),
    )
