"""Rows of light strip in whole cut units, and the stretch of a line inside a cabinet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from casewright.basics.errors import InputError
from casewright.basics.units import TOUCHING
from casewright.geometry.model import Point2

STRIP_THICKNESS = 2.5
"""Light strip with its glue. Source: common practice. [mm]"""


@dataclass(frozen=True)
class StripRow:
    """One row of strip on the light board, by its middle."""

    along: float
    """From the middle of the opening, along the row. [mm]"""
    across: float
    """From the middle of the opening, across the rows, upward. [mm]"""
    length: float


@dataclass(frozen=True)
class StripRows:
    """All rows of a sign."""

    rows: tuple[StripRow, ...]
    units: int
    """Whole cut units in one row."""
    row_length: float
    gap: float
    """Left of what was wished for, at each end of a row. [mm]"""
    joints: int
    """Soldered wire ends: the feed, and a bridge of wires from each row to the next."""

    @property
    def strip_length(self) -> float:
        """Strip used. [mm]"""
        return self.row_length * len(self.rows)


def strip_rows(
    wished: float, cut_unit: float, *, rows: int, pitch: float, wires: int = 2
) -> StripRows:
    """Return rows of whole cut units, centred, that are no longer than wished.

    Strip is cut only at its marks: cut elsewhere, the rest of that unit stays dark.

    Args:
        wished: Length to fill with one row. [mm]
        cut_unit: Between two cut marks. [mm]
        rows: How many.
        pitch: From row to row. [mm]
        wires: Conductors of the strip, 2 or (with data) 3.

    Raises:
        InputError: A length is not more than 0, or there is no row.

    Source:
        Plain arithmetic: units = ⌊wished ÷ unit⌋; joints = wires × (1 + 2 × (rows − 1)).

    Example:
        >>> found = strip_rows(630, 50, rows=2, pitch=32)
        >>> found.units, found.row_length, found.gap, found.joints
        (12, 600.0, 15.0, 6)
    """
    if not (wished > 0 and cut_unit > 0 and rows > 0):
        got = f"{rows} rows of {wished:g} mm in units of {cut_unit:g} mm"
        raise InputError("row_length", got=got, want="numbers of more than 0", example="550 mm")
    units = math.floor((wished + TOUCHING) / cut_unit)
    length = float(units * cut_unit)
    placed = tuple(StripRow(0.0, (i - (rows - 1) / 2) * pitch, length) for i in range(rows))
    joints = wires * (1 + 2 * (rows - 1)) if units else 0
    return StripRows(placed if units else (), units, length, (wished - length) / 2, joints)


def span_inside(
    outline: Sequence[Point2], start: Point2, direction: Point2, near: float
) -> tuple[float, float] | None:
    """Return the stretch of a line inside a closed outline, as distances along it from `start`.

    Of several stretches the one that holds `near`, else the one nearest to it. None where the line misses the outline.

    Args:
        outline: Corners in the side view (y, z).
        start: A point of the line.
        direction: Unit vector along it.
        near: Where the stretch is looked for. [mm]

    Source:
        Plain geometry: crossings with every edge, in order, in pairs.
    """
    crossings = []
    for (ay, az), (by, bz) in zip(outline, (*outline[1:], outline[0]), strict=True):
        # Distance of both ends from the line, along its normal; an end on the line counts as above it.
        da = (ay - start[0]) * -direction[1] + (az - start[1]) * direction[0]
        db = (by - start[0]) * -direction[1] + (bz - start[1]) * direction[0]
        if (da >= 0) != (db >= 0):
            share = da / (da - db)
            y, z = ay + (by - ay) * share, az + (bz - az) * share
            crossings.append((y - start[0]) * direction[0] + (z - start[1]) * direction[1])
    crossings.sort()
    spans = list(zip(crossings[::2], crossings[1::2], strict=True))
    if not spans:
        return None
    return min(spans, key=lambda span: max(span[0] - near, near - span[1], 0.0))


__all__ = ["STRIP_THICKNESS", "StripRow", "StripRows", "span_inside", "strip_rows"]
