"""How a drawing at true size is spread over sheets of paper.

A1 ┌──────┬──────┐ A2      Rows are letters from the top, columns figures from the left. Neighboring windows
   │      │      │         share a strip `overlap` wide, printed on both sheets; a cross on the strip's middle
B1 ├──────┼──────┤ B2      line comes out on both and shows where they belong.
   └──────┴──────┘
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from casewright.basics.errors import InputError
from casewright.outputs.drawings.placing import Box, Point

MARGIN = 8.0
"""What home printers may leave white along the edges [mm]; common practice, most need 3 to 6."""
OVERLAP = 10.0
"""Shared strip [mm]; common practice, 8 to 12 (3/8 in)."""
HEADER, FOOTER, STRIP = 17.0, 14.0, 14.0
"""Room for the sheet's name above, a ruler below and a ruler on the left. [mm]"""
PAD = 3.0
"""Least white round the drawing inside of the mosaic. [mm]"""

Heading = Literal["upright", "lying"]


@dataclass(frozen=True)
class Paper:
    """A sheet of paper, upright. [mm]"""

    name: str
    width: float
    height: float


PAPERS = MappingProxyType(
    {
        # ISO 216, main series
        "A4": Paper("A4", 210.0, 297.0),
        "A3": Paper("A3", 297.0, 420.0),
        # ANSI/ASME Y14.1, sizes A (8.5 x 11 in) and B (11 x 17 in); the names are the paper trade's
        "Letter": Paper("Letter", 215.9, 279.4),
        "Tabloid": Paper("Tabloid", 279.4, 431.8),
    }
)


@dataclass(frozen=True)
class Tile:
    """One sheet's window on the mosaic."""

    row: int
    column: int
    box: Box
    """In the mosaic, from its lower left corner. [mm]"""

    @property
    def name(self) -> str:
        """Row letter and column figure, "B2"."""
        return tile_name(self.row, self.column)


@dataclass(frozen=True)
class Tiling:
    """All windows, and how a page is divided."""

    paper: Paper
    heading: Heading
    margin: float
    overlap: float
    rows: int
    columns: int
    origin: Point
    """Where the drawing's lower left corner stands in the mosaic. [mm]"""

    @property
    def page(self) -> Box:
        """The page as it is held. [mm]"""
        paper = self.paper
        if self.heading == "upright":
            return Box(0.0, 0.0, paper.width, paper.height)
        return Box(0.0, 0.0, paper.height, paper.width)

    @property
    def window(self) -> Box:
        """Where the page shows its tile. [mm]"""
        page, margin = self.page, self.margin
        return Box(margin + STRIP, margin + FOOTER, page.right - margin, page.top - margin - HEADER)

    @property
    def mosaic(self) -> Box:
        """The whole picture after taping. [mm]"""
        window = self.window
        return Box(
            0.0,
            0.0,
            self.columns * (window.width - self.overlap) + self.overlap,
            self.rows * (window.height - self.overlap) + self.overlap,
        )

    @property
    def corners(self) -> Box:
        """The corner crosses, half an overlap inside of the mosaic's edges. [mm]"""
        return self.mosaic.grown(-self.overlap / 2)

    @property
    def diagonal(self) -> float:
        """From corner cross to opposite corner cross. [mm]"""
        return math.hypot(self.corners.width, self.corners.height)

    @property
    def tiles(self) -> tuple[Tile, ...]:
        """Row by row from the top left."""
        window, lap = self.window, self.overlap
        tiles = []
        for row in range(self.rows):
            bottom = (self.rows - 1 - row) * (window.height - lap)
            for column in range(self.columns):
                left = column * (window.width - lap)
                box = Box(left, bottom, left + window.width, bottom + window.height)
                tiles.append(Tile(row, column, box))
        return tuple(tiles)

    @property
    def seams_x(self) -> tuple[float, ...]:
        """Middles of the upright shared strips, in the mosaic. [mm]"""
        pitch = self.window.width - self.overlap
        return tuple(i * pitch + self.overlap / 2 for i in range(1, self.columns))

    @property
    def seams_y(self) -> tuple[float, ...]:
        """Middles of the level shared strips, in the mosaic. [mm]"""
        pitch = self.window.height - self.overlap
        return tuple(i * pitch + self.overlap / 2 for i in range(1, self.rows))


SMALLEST, LARGEST = 0.001, 10_000.0
"""Extents of a picture that can be tiled. [mm]"""
ROWS, COLUMNS = 26, 99
"""Most rows, named by letters, and columns, of two figures."""
MOST_SHEETS = 200
"""More are not taped together without drifting apart. Project convention; a side of 3 × 3 m on A4 takes fewer."""


def can_tape(
    picture: Box, paper: Paper, *, overlap: float = OVERLAP, margin: float = MARGIN
) -> bool:
    """Whether a picture at true size takes no more than `MOST_SHEETS` sheets, and no more rows than have a letter."""
    if not (SMALLEST <= picture.width <= LARGEST and SMALLEST <= picture.height <= LARGEST):
        return False
    best = _fewest(picture.width, picture.height, paper, overlap, margin)
    return best.rows <= ROWS and best.columns <= COLUMNS and best.rows * best.columns <= MOST_SHEETS


def tile_windows(
    width: float,
    height: float,
    paper: Paper,
    *,
    overlap: float = OVERLAP,
    margin: float = MARGIN,
) -> Tiling:
    """Return the windows that show a picture at true size on the fewest sheets.

    Args:
        width: Of the picture. [mm, more than 0]
        height: Of the picture. [mm, more than 0]
        paper: The sheets in the printer.
        overlap: Strip that neighbors share. [mm, 4 to 30]
        margin: White that the printer needs along the edges. [mm, 0 to 25]

    Returns:
        The tiling, the picture in its middle. Paper upright where that takes no more sheets than lying.

    Raises:
        InputError: A value is outside of its range, or 26 rows or 99 columns would not do.

    Example:
        >>> tiling = tile_windows(434.0, 260.0, PAPERS["A4"])
        >>> tiling.heading, [tile.name for tile in tiling.tiles]
        ('lying', ['A1', 'A2', 'B1', 'B2'])
    """
    for field, value, least, most in (
        ("width", width, SMALLEST, LARGEST),
        ("height", height, SMALLEST, LARGEST),
        ("overlap", overlap, 4.0, 30.0),
        ("margin", margin, 0.0, 25.0),
    ):
        if not least <= value <= most:
            raise InputError(field, got=f"{value} mm", want=f"{least:g} to {most:g} mm")
    best = _fewest(width, height, paper, overlap, margin)
    if best.rows > ROWS or best.columns > COLUMNS:
        raise InputError("paper", got=paper.name, want="paper large enough for this picture")
    return best


def _fewest(width: float, height: float, paper: Paper, overlap: float, margin: float) -> Tiling:
    headings: tuple[Heading, ...] = ("upright", "lying")
    tilings = [_tiling(width, height, paper, heading, overlap, margin) for heading in headings]
    return min(tilings, key=lambda tiling: tiling.rows * tiling.columns)


def _tiling(
    width: float, height: float, paper: Paper, heading: Heading, overlap: float, margin: float
) -> Tiling:
    trial = Tiling(paper, heading, margin, overlap, 1, 1, (0.0, 0.0))
    columns = _count(width + 2 * PAD, trial.window.width, overlap)
    rows = _count(height + 2 * PAD, trial.window.height, overlap)
    tiling = Tiling(paper, heading, margin, overlap, rows, columns, (0.0, 0.0))
    origin = ((tiling.mosaic.width - width) / 2, (tiling.mosaic.height - height) / 2)
    return Tiling(paper, heading, margin, overlap, rows, columns, origin)


def _count(length: float, window: float, overlap: float) -> int:
    """How many windows cover the length: n windows reach n * (window - overlap) + overlap."""
    return max(1, math.ceil((length - overlap) / (window - overlap) - 1e-9))


def tile_name(row: int, column: int) -> str:
    """Return the name of a sheet, counted from 0.

    Example:
        >>> tile_name(1, 1)
        'B2'
    """
    return f"{chr(ord('A') + row)}{column + 1}"


__all__ = [
    "MARGIN",
    "MOST_SHEETS",
    "OVERLAP",
    "PAD",
    "PAPERS",
    "Heading",
    "Paper",
    "Tile",
    "Tiling",
    "can_tape",
    "tile_name",
    "tile_windows",
]
