"""Rows of light strip in whole cut units."""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.basics.errors import InputError
from casewright.basics.units import TOUCHING

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
    wished: float, cut_unit: float, *, rows: int, pitch: float, wires: int = 2, feeds: int = 1
) -> StripRows:
    """Return rows of whole cut units, centred, that are no longer than wished.

    Strip is cut only at its marks: cut elsewhere, the rest of that unit stays dark.

    Args:
        wished: Length to fill with one row. [mm]
        cut_unit: Between two cut marks. [mm]
        rows: How many.
        pitch: From row to row. [mm]
        wires: Conductors of the strip, 2 or (with data) 3.
        feeds: Ends of the chain that the supply is joined to.

    Raises:
        InputError: A length is not more than 0, or there is no row.

    Source:
        Plain arithmetic: units = ⌊wished ÷ unit⌋; joints = wires × (feeds + 2 × (rows − 1)).

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
    joints = wires * (feeds + 2 * (rows - 1)) if units else 0
    return StripRows(placed if units else (), units, length, (wished - length) / 2, joints)


__all__ = ["STRIP_THICKNESS", "StripRow", "StripRows", "strip_rows"]
