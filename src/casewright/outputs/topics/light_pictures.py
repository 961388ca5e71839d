"""Pictures of a lit sign: the light on its diffuser, and its board with rows, cut marks and polarity."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from casewright.behavior.light import SignLight
from casewright.behavior.light_box import DARKEST
from casewright.geometry.display_face import quarter_turns
from casewright.geometry.model import Cabinet
from casewright.outputs.drawings.marks import (
    Box,
    Circle,
    Drawing,
    Line,
    Mark,
    Pen,
    Point,
    Polyline,
    Region,
    Text,
    rectangle,
)
from casewright.outputs.drawings.symbols import arrow_head

WIDE = 140.0
"""Paper that a picture takes across at most. [mm]"""
HIGH = 80.0
LETTERS = 2.5
"""Height of the lettering. [mm on paper]"""
CELL = 2.0
"""From dot to dot of the shading. [mm on paper]"""
STRIP = 6.0
"""Height that a strip is drawn with at least. [mm on paper]"""
GRAPH = 26.0
"""Height of the graph below it. [mm on paper]"""


@dataclass(frozen=True)
class RowPlace:
    """One row on its light board."""

    number: int
    length: float
    start: float
    """Its left end, from the board's left edge (its lower one where rows stand upright). [mm]"""
    middle: float
    """Its middle line, from the board's lower edge (its right one where rows stand upright). [mm]"""
    turned: bool
    """Every second row is turned round: plus lies below."""


def row_places(cabinet: Cabinet, sign: SignLight) -> tuple[RowPlace, ...]:
    """Where each row lies on the light board, as seen from the front along the rows."""
    placed = cabinet.placed_by_key[sign.key]
    board = cabinet.piece_by_key[f"{sign.key}.light-board"]
    left, bottom, right, _ = board.extent
    upright = quarter_turns(placed.turn_deg) % 2 == 1
    along = placed.v - bottom if upright else placed.u - left
    across = right - placed.u if upright else placed.v - bottom
    return tuple(
        RowPlace(
            number,
            row.length,
            along + row.along - row.length / 2,
            across + row.across,
            number % 2 == 0,
        )
        for number, row in enumerate(sign.box.rows.rows, 1)
    )


def field_picture(sign: SignLight) -> Drawing:
    """The opening shaded by the light reckoned, its contour at the least that is asked, and graphs along it."""
    box = sign.box
    scale = min(WIDE / box.width, HIGH / 2 / box.height)
    low = -box.height / 2
    base = low - (GRAPH + 8.0) / scale
    field = np.array(sign.field)
    top = max(float(field.max()), 1.0)
    unit = GRAPH / scale / top
    left, right = -box.width / 2, box.width / 2
    marks: list[Mark] = [
        *_dots(sign, field, top, scale),
        *_contour(sign, field, DARKEST),
        rectangle(Box(left, low, right, -low)),
        Line((left, base), (right, base), "thin"),
        Line((left, base), (left, base + unit * top), "thin"),
    ]
    levels: tuple[tuple[float, Pen, str], ...] = (
        (1.0, "thin", "mean"),
        (DARKEST, "accent-hidden", f"{100 * DARKEST:g} %, least"),
    )
    for level, pen, label in levels:
        y = base + unit * level
        marks += [
            Line((left, y), (right, y), pen),
            Text((right + 1.5 / scale, y), label, LETTERS, vertical="middle"),
        ]
    middle, edge = len(sign.ys) // 2, 0
    graphs: tuple[tuple[int, Pen], ...] = ((middle, "visible"), (edge, "hidden"))
    for row, line_pen in graphs:
        points = tuple(
            (x, base + unit * float(v)) for x, v in zip(sign.xs, field[row], strict=True)
        )
        marks.append(Polyline(points, closed=False, pen=line_pen))
    marks += [
        Text((left - 1.5 / scale, base), "0", LETTERS, "end", "middle"),
        Text(
            (left, base - 4.5 / scale),
            "full line: along the middle; dashed: along the lower edge",
            LETTERS,
        ),
    ]
    return Drawing(f"Light on {sign.label}", tuple(marks), scale=scale)


def _dots(sign: SignLight, field: np.ndarray, top: float, scale: float) -> Iterator[Mark]:
    """Halftone: in the middle of each cell a dot as large as the cell is dark."""
    box, cell = sign.box, CELL / scale
    across, up = max(round(box.width / cell), 1), max(round(box.height / cell), 1)
    xs, ys = np.array(sign.xs), np.array(sign.ys)
    for j in range(up):
        y = -box.height / 2 + (j + 0.5) * box.height / up
        line = np.array([np.interp(y, ys, field[:, i]) for i in range(len(xs))])
        for i in range(across):
            x = -box.width / 2 + (i + 0.5) * box.width / across
            dark = 1.0 - float(np.interp(x, xs, line)) / top
            # The dot's area is the share of the cell that is dark.
            radius = cell * (max(dark, 0.0) / np.pi) ** 0.5
            if radius * scale > 0.08:
                yield Region(Circle((x, y), float(radius)), material="ink", pen="dimension")


def _contour(sign: SignLight, field: np.ndarray, level: float) -> Iterator[Line]:
    """Where the light is just so much of the mean: marching squares, the corners of each cell joined in between."""
    xs, ys = sign.xs, sign.ys
    for j in range(len(ys) - 1):
        for i in range(len(xs) - 1):
            corners = (
                (xs[i], ys[j]),
                (xs[i + 1], ys[j]),
                (xs[i + 1], ys[j + 1]),
                (xs[i], ys[j + 1]),
            )
            values = (field[j][i], field[j][i + 1], field[j + 1][i + 1], field[j + 1][i])
            cuts = _cuts(corners, values, level)
            for a, b in zip(cuts[::2], cuts[1::2], strict=False):
                yield Line(a, b, "accent")


def _cuts(corners: Sequence[Point], values: Sequence[float], level: float) -> list[Point]:
    found = []
    for k in range(4):
        (ax, ay), (bx, by) = corners[k], corners[(k + 1) % 4]
        a, b = float(values[k]), float(values[(k + 1) % 4])
        if (a >= level) != (b >= level):
            share = (level - a) / (b - a)
            found.append((ax + share * (bx - ax), ay + share * (by - ay)))
    return found


def board_picture(cabinet: Cabinet, sign: SignLight) -> Drawing:
    """The light board from the front: rows with cut marks, plus and minus, bridges and feed."""
    board = cabinet.piece_by_key[f"{sign.key}.light-board"]
    placed = cabinet.placed_by_key[sign.key]
    wide, high = board.width, board.height
    if quarter_turns(placed.turn_deg) % 2:
        wide, high = high, wide
    scale = min((WIDE - 24.0) / wide, HIGH / high)
    # Rows are long and narrow: drawn higher than they are, so that both rails can be told apart.
    taller = max(1.0, min(STRIP / (sign.strip_width * scale), HIGH / (high * scale)))
    high *= taller
    places = [replace(place, middle=place.middle * taller) for place in row_places(cabinet, sign)]
    half = sign.strip_width / 2 * taller
    marks: list[Mark] = [
        Region(rectangle(Box(0, 0, wide, high)), material="face"),
        rectangle(Box(0, 0, wide, high)),
    ]
    for place in places:
        marks += _row(sign, place, half, scale)
    marks += _bridges(places, half, scale)
    marks += _feeds(sign, places, half, scale)
    return Drawing(f"Light board of {sign.label}", tuple(marks), scale=scale)


def _row(sign: SignLight, place: RowPlace, half: float, scale: float) -> Iterator[Mark]:
    start, end, y = place.start, place.start + place.length, place.middle
    strip = rectangle(Box(start, y - half, end, y + half), pen="thin")
    yield Region(strip, material="new")
    yield strip
    for unit in range(1, sign.box.rows.units):
        x = start + unit * sign.unit
        yield Line((x, y - half), (x, y + half), "hidden" if sign.unit * scale > 4 else "thin")
    up, down = ("−", "+") if place.turned else ("+", "−")
    inset = 2.0 / scale
    for x in (start + inset, end - inset):
        yield Text((x, y + half / 2), up, LETTERS, "middle", "middle", weight="bold")
        yield Text((x, y - half / 2), down, LETTERS, "middle", "middle", weight="bold")
    words = f"row {place.number}: {sign.box.rows.units} units"
    yield Text(((start + end) / 2, y + half + 1.0 / scale), words, LETTERS, "middle")


def _bridges(places: Sequence[RowPlace], half: float, scale: float) -> Iterator[Mark]:
    """Wires from row to row, at the right and left end in turn; the near rails inside."""
    for index, (a, b) in enumerate(pairwise(places)):
        right = index % 2 == 0
        x = a.start + a.length if right else a.start
        out = 1.0 if right else -1.0
        for reach, side in ((2.0, 1.0), (4.0, -1.0)):
            far = x + out * reach / scale
            low, top = a.middle + side * half / 2, b.middle - side * half / 2
            yield Polyline(((x, low), (far, low), (far, top), (x, top)), closed=False, pen="accent")


def _feeds(
    sign: SignLight, places: Sequence[RowPlace], half: float, scale: float
) -> Iterator[Mark]:
    """Arrows with plus and minus, where the lead is soldered."""
    first, last = places[0], places[-1]
    spots: list[tuple[float, RowPlace, float]] = []
    if sign.feed in ("one end", "both ends"):
        spots.append((first.start, first, -1.0))
    if sign.feed == "both ends":
        left = len(places) % 2 == 0
        spots.append((last.start, last, -1.0) if left else (last.start + last.length, last, 1.0))
    if sign.feed == "middle":
        middle = places[(len(places) - 1) // 2]
        if len(places) % 2:
            x, y = middle.start + middle.length / 2, middle.middle - half
            yield Line((x, y - 7.0 / scale), (x, y), "accent")
            yield arrow_head((x, y), 90.0, scale=scale, size=2.0)
            yield Text((x + 1.5 / scale, y - 6.0 / scale), "feed: + to +, − to −", LETTERS)
            return
        right = (len(places) // 2) % 2 == 1
        x = middle.start + middle.length if right else middle.start
        spots.append((x + (4.0 if right else -4.0) / scale, middle, 1.0 if right else -1.0))
    for x, place, out in spots:
        far = x + out * 9.0 / scale
        for side in (1.0, -1.0):
            y = place.middle + side * half / 2
            plus = (side > 0) != place.turned
            yield Line((far, y), (x, y), "accent")
            yield arrow_head((x, y), 180.0 if out > 0 else 0.0, scale=scale, size=1.6)
            words = f"+{sign.volts:g} V" if plus else "−"
            at = (far + out * 1.0 / scale, y)
            yield Text(at, words, LETTERS, "start" if out > 0 else "end", "middle")


__all__ = ["RowPlace", "board_picture", "field_picture", "row_places"]
