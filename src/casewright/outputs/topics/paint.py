"""Sheet: what to paint with, how much of it, and how long it takes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from casewright.basics.customary import FEET_PER_GALLON, liquid_words
from casewright.basics.units import Unit
from casewright.basics.wording import counted
from casewright.behavior.masking import masking
from casewright.behavior.painting import COATING_H, Painting, Product, Sitting
from casewright.behavior.whole import Behavior
from casewright.geometry.model import Cabinet
from casewright.outputs.drawings.marks import (
    Box,
    Drawing,
    Line,
    Mark,
    Material,
    Polyline,
    Region,
    Text,
    rectangle,
)
from casewright.outputs.topics.sheet import Picture, Rows, TopicSheet

SQUARE_FOOT = 0.09290304
"""m², exactly (0.3048 m squared)"""

_WIDTH, _ROW, _BAR, _NAMES = 148.0, 9.0, 5.0, 36.0  # mm on paper
_LETTERS = 2.8
_LEAST = 1.6
"""A coat is drawn no narrower. [mm on paper]"""

_WHERE = {"edges": "edges", "faces": "faces", "all": "faces and edges"}


def sheet(cabinet: Cabinet, behavior: Behavior) -> TopicSheet | None:
    """Products, cans and days; nothing where nothing is painted."""
    painting = behavior.painting
    if not painting.products:
        return None
    finish = cabinet.project.finish
    cans = sum(p.cans for p in painting.products)
    coats = sum(p.coat.coats for p in painting.products)
    return TopicSheet(
        key="paint",
        title="Paint",
        question="How much paint, and how many days?",
        answer=(
            f"{counted(coats, 'coat')} on {_area(cabinet, painting.face_m2)} of faces and "
            f"{_area(cabinet, painting.edge_m2)} of edges: {counted(cans, 'can')}, and "
            f"{counted(painting.days, 'day')} until it is hard."
        ),
        pictures=(
            Picture(
                _timeline(painting),
                "What dries when: dark an hour of work, pale the wait. "
                + (f"Day 1 is {finish.start}." if finish.start else "Day 1 is the day you begin."),
            ),
        ),
        tables=(
            Rows(
                "What goes on, in this order",
                ("product", "where", "coats", "sand first", "one coat", "in all", "cans", "wait"),
                tuple(_row(cabinet, p) for p in painting.products),
                (2, 4, 5, 6),
            ),
            Rows(
                "Mask before painting",
                ("what", "where"),
                tuple((m.what, m.where) for m in masking(cabinet, painting.surfaces)),
            ),
        ),
        numbers=tuple(number.key for number in painting.numbers),
        notes=tuple(_notes(painting, cabinet.project.unit)),
        hazards=("dust", "fumes"),
    )


def _area(cabinet: Cabinet, square_meters: float) -> str:
    if cabinet.project.unit == "in":
        return f"{square_meters / SQUARE_FOOT:.1f} ft²"
    return f"{square_meters:.2f} m²"


def _row(cabinet: Cabinet, product: Product) -> tuple[str, ...]:
    coat = product.coat
    return (
        coat.name,
        f"{_WHERE[coat.on]}, {coat.how}",
        str(coat.coats),
        f"grit {coat.grit}" if coat.grit else "",
        _area(cabinet, product.area_m2),
        liquid_words(product.litres, cabinet.project.unit),
        f"{product.cans} × {liquid_words(coat.can, cabinet.project.unit)}",
        f"{coat.dry_h:g} h",
    )


def _notes(painting: Painting, unit: Unit) -> Iterator[str]:
    yield (
        "Coverage, loss and hours are generic until you write those of your own cans under “finish”; the label goes "
        "before everything here."
    )
    if unit == "in":
        yield (
            f"Where the label tells square feet a gallon, divide by {FEET_PER_GALLON:.1f}: that is what “covers” asks, "
            "square meters a litre. A quart is 0.95 l."
        )
    thirsty = [p for p in painting.products if p.thirst > 1]
    if thirsty:
        yield f"Raw edges are reckoned at {thirsty[0].thirst:g} times a closed face, in their first product."
    sprayed = [p.coat for p in painting.products if p.coat.how == "spray" and p.coat.loss]
    if sprayed:
        yield f"Of what is sprayed, {max(c.loss for c in sprayed) * 100:.0f} % is taken to miss the work."
    yield "Edges against another board, and what they cover of its face, are not in the sum: the glue wants them bare."


def _timeline(painting: Painting) -> Drawing:
    """A row for each product: its coats as bars along the days."""
    days = max(painting.days, 1)
    per_h = (_WIDTH - _NAMES) / (24.0 * days)
    rows = _rows(painting)
    top = len(rows) * _ROW
    marks: list[Mark] = []
    every = max(1, math.ceil(days / 14))
    for day in range(days):
        x = _NAMES + day * 24 * per_h
        marks.append(Line((x, 0.0), (x, top), "hatch"))
        if day % every == 0:
            middle = x + 12 * per_h
            marks.append(Text((middle, top + 1.5), f"{day + 1}", _LETTERS, "middle"))
    marks.append(Line((_WIDTH, 0.0), (_WIDTH, top), "hatch"))
    marks.append(Text((_NAMES - 2.0, top + 1.5), "day", _LETTERS, "end"))
    for number, (label, sittings) in enumerate(rows):
        low = top - (number + 1) * _ROW + (_ROW - _BAR) / 2
        marks.append(Text((_NAMES - 2.0, low + _BAR / 2), label, _LETTERS, "end", "middle"))
        for sitting in sittings:
            left, right = (_NAMES + h * per_h for h in (sitting.start_h, sitting.end_h))
            marks += _bar(left, right, low, "face")
            if sitting.kind != "harden":
                work = max(COATING_H * per_h, _LEAST)
                marks += _bar(left, min(left + work, max(right, left + _LEAST)), low, "ink")
    return Drawing("Days of painting", tuple(marks))


def _rows(painting: Painting) -> list[tuple[str, Sequence[Sitting]]]:
    rows: list[tuple[str, Sequence[Sitting]]] = []
    for product in painting.products:
        kind = product.coat.kind
        rows.append((product.coat.name[:20], [s for s in painting.sittings if s.kind == kind]))
    rows.append(("hardening", [s for s in painting.sittings if s.kind == "harden"]))
    return rows


def _bar(left: float, right: float, low: float, material: Material) -> list[Mark]:
    box = rectangle(Box(left, low, right, low + _BAR), pen="thin")
    assert isinstance(box, Polyline)
    return [Region(box, material=material), box]


__all__ = ["sheet"]
