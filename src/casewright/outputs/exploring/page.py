"""The rows of an exploration as one page that needs no server and no network: a plot, and the table below it."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping, Sequence
from html import escape
from importlib.resources import files
from typing import Any, Final

from casewright.basics.units import MM_PER_INCH
from casewright.basics.wording import counted, listed
from casewright.planning.exploring import FIGURES, Aim, Figure, Row, Space

POLICY: Final = (
    "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; "
    "base-uri 'none'; form-action 'none'"
)
"""What the page may load: nothing from anywhere."""
_PLACES: Final = {"kg": 2, "m²": 2, "°C": 1, "W": 1, "%": 1, "°": 1, "mm": 1, "in": 2, "": 0}
"""Decimal places by unit."""


def explored_page(
    rows: Sequence[Row],
    space: Space,
    columns: Sequence[Figure],
    best: Collection[int],
    aims: Sequence[Aim],
    *,
    name: str,
    command: str,
    currency: str,
    inches: bool = False,
    missing: int = 0,
) -> bytes:
    """The page as one file.

    Args:
        rows: The variants that were worked out.
        space: What was varied.
        columns: Figures that are shown.
        best: Numbers of those that no other one beats.
        aims: What they were compared by.
        name: Of the project.
        command: What to type to make one of them the project, without its number.
        currency: Word or sign of prices.
        inches: Lengths are shown in inches.
        missing: Variants that were asked for and are not worked out.

    Returns:
        UTF-8 HTML. The same input gives the same bytes.
    """
    data = {
        "columns": [_column(figure, currency, inches=inches) for figure in columns],
        "varied": [
            {"label": v.label, "choices": [c.label for c in v.choices]} for v in space.variations
        ],
        "aims": [{"key": aim.key, "better": aim.better} for aim in aims],
        "command": command,
        "rows": [_row(row, space, columns, best, inches=inches) for row in rows],
    }
    told = escape(_told(rows, best, aims, columns, missing))
    page = f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{POLICY}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{escape(name)}: variants</title>
<style>{_asset("explored.css")}</style>
</head>
<body>
<header><h1>{escape(name)}: variants</h1><p>{told}</p></header>
<main>
<section id="plot" aria-label="Plot of all variants">
<div class="knobs">
<label>across <select id="across"></select></label>
<label>up <select id="up"></select></label>
<label><input id="only" type="checkbox"> only those that no other one beats</label>
<label><input id="free" type="checkbox"> only without stops</label>
</div>
<div class="sides"><div id="room"></div><aside id="told" aria-live="polite"></aside></div>
</section>
<section id="list"><h2>Table</h2><p id="count"></p><div class="wide"><table id="table"></table></div></section>
</main>
<script type="application/json" id="data">{_json(data)}</script>
<script>{_asset("explored.js")}</script>
</body>
</html>
"""
    return page.encode("utf-8")


def _told(
    rows: Sequence[Row],
    best: Collection[int],
    aims: Sequence[Aim],
    columns: Sequence[Figure],
    missing: int,
) -> str:
    failed = sum(not row.is_built for row in rows)
    labels = {figure.key: figure.label for figure in columns}
    words = (
        f"{counted(len(rows), 'variant')}; {len(best)} not beaten by any other one in "
        f"{aims_words(aims, labels)}."
    )
    if failed:
        words += f" {failed} cannot be built; the table says why."
    if missing:
        words += f" {missing} more were asked for and are not worked out."
    return words


def aims_words(aims: Sequence[Aim], labels: Mapping[str, str]) -> str:
    """Aims in a row: those that are to be low, then those that are to be high."""
    groups = []
    for better, words in (("less", "as low as can be"), ("more", "as high as can be")):
        names = [labels.get(aim.key, aim.key) for aim in aims if aim.better == better]
        if names:
            groups.append(f"{listed(names)} ({words})")
    return " and ".join(groups)


def _column(figure: Figure, currency: str, *, inches: bool) -> dict[str, Any]:
    unit = currency if figure.unit == "currency" else figure.unit
    unit = "in" if inches and unit == "mm" else "°" if unit == "deg" else unit
    own = figure not in FIGURES and not unit  # a number by its key, of any size
    places = 3 if own else 2 if figure.unit == "currency" else _PLACES.get(unit, 2)
    return {"key": figure.key, "label": figure.label, "unit": unit, "places": places}


def _row(
    row: Row, space: Space, columns: Sequence[Figure], best: Collection[int], *, inches: bool
) -> list[Any]:
    choices = [
        next(i for i, c in enumerate(v.choices) if c.label == row.choices[v.label])
        for v in space.variations
    ]
    figures = [
        _shown(
            row.figures.get(figure.key), 1 / MM_PER_INCH if inches and figure.unit == "mm" else 1.0
        )
        for figure in columns
    ]
    return [row.number, choices, figures, row.reason, int(row.number in best)]


def _shown(value: float | None, times: float) -> float | None:
    return None if value is None else float(f"{value * times:.7g}")


def _json(data: Mapping[str, Any]) -> str:
    """JSON that cannot end the element it stands in."""
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")


def _asset(name: str) -> str:
    return (files("casewright.outputs.exploring") / name).read_text(encoding="utf-8")


__all__ = ["POLICY", "aims_words", "explored_page"]
