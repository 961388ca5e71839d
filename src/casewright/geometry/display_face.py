"""A display as it stands in its panel: turned by quarters, seen from the show face."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from casewright.basics.errors import InputError
from casewright.catalog.kinds import Display, Side
from casewright.design.parts import Opening
from casewright.geometry.model import Piece, Placed, Point2, Rectangle
from casewright.geometry.openings import Area, back_area, corner_hidden

_AROUND: tuple[Side, ...] = ("down", "right", "up", "left")  # counter-clockwise


LAP_LEAST = 3.0
"""Least that a housing laps the back of the panel. Source: common practice. [mm]"""


@dataclass(frozen=True)
class DisplayFace:
    """Front view of a display after its turn; places are from the middle of its housing."""

    housing_width: float
    housing_height: float
    lit: Rectangle
    pattern: tuple[Point2, ...]
    """Rear mounting holes, none for a display without them."""
    pattern_middle: Point2
    connector_side: Side

    @property
    def bezels(self) -> tuple[float, float, float, float]:
        """Left, bottom, right, top: from the housing's edge to the lit area. [mm]"""
        lit = self.lit
        return (
            self.housing_width / 2 + lit.u - lit.width / 2,
            self.housing_height / 2 + lit.v - lit.height / 2,
            self.housing_width / 2 - lit.u - lit.width / 2,
            self.housing_height / 2 - lit.v - lit.height / 2,
        )


def quarter_turns(turn_deg: float) -> int:
    """Return 0 to 3 quarters, counter-clockwise as seen from the show face.

    Raises:
        InputError: The turn is no whole number of quarters.
    """
    quarters = round(turn_deg / 90)
    if abs(turn_deg - 90 * quarters) > 1e-6:
        raise InputError(
            "turn", got=f"{turn_deg:g}°", want="0, 90, 180 or 270 degrees", example="90"
        )
    return quarters % 4


def display_face(data: Display, turn_deg: float = 0.0) -> DisplayFace:
    """Return a display's front view, turned counter-clockwise.

    A quarter turn takes the housing's lower edge to the right.

    Raises:
        InputError: The turn is no whole number of quarters.

    Source:
        Plain geometry: lit centre from the housing's middle = ((bL − bR) ÷ 2, (bB − bT) ÷ 2).
    """
    turns = quarter_turns(turn_deg)
    rest_width = data.housing_width - data.lit_width
    rest_height = data.housing_height - data.lit_height
    left = rest_width / 2 if data.bezel_left is None else data.bezel_left
    bottom = rest_height / 2 if data.bezel_bottom is None else data.bezel_bottom
    across, up = data.pattern_width / 2, data.pattern_height / 2
    corners = sorted({(a * across, b * up) for a in (-1, 1) for b in (-1, 1)})
    flat = [] if across == 0 and up == 0 else corners
    middle = (data.pattern_u, data.pattern_v)
    swap = turns % 2 == 1
    lit_u, lit_v = _turned((left - rest_width / 2, bottom - rest_height / 2), turns)
    lit_width, lit_height = (
        (data.lit_height, data.lit_width) if swap else (data.lit_width, data.lit_height)
    )
    side: Side = "behind"
    if data.connector_side != "behind":
        side = _AROUND[(_AROUND.index(data.connector_side) + turns) % 4]
    return DisplayFace(
        data.housing_height if swap else data.housing_width,
        data.housing_width if swap else data.housing_height,
        Rectangle(lit_u, lit_v, lit_width, lit_height),
        tuple(_turned((middle[0] + u, middle[1] + v), turns) for u, v in flat),
        _turned(middle, turns),
        side,
    )


def _turned(point: Point2, quarters: int) -> Point2:
    """Turned counter-clockwise round the origin."""
    u, v = point
    for _ in range(quarters):
        u, v = -v, u
    return (u + 0.0, v + 0.0)  # never −0.0


def lit_in_housing(data: Display, turn_deg: float = 0.0) -> Rectangle:
    """Return the lit area, measured from the middle of the housing, after the turn. [mm]"""
    return display_face(data, turn_deg).lit


def housing_area(placed: Placed, face: DisplayFace) -> Area:
    """Return the housing's outline in the panel; a placed display's (u, v) is the centre of its lit area."""
    u, v = placed.u - face.lit.u, placed.v - face.lit.v
    return Area.around(u, v, face.housing_width, face.housing_height)


def default_display_v(
    data: Display, turn_deg: float, board: Piece | Area | Sequence[Point2]
) -> float:
    """Return the lit area's centre that puts the housing midway up the clear back face.

    Args:
        data: The display.
        turn_deg: Its turn.
        board: The board it lies behind, its back outline, or the part of it that is clear.
    """
    if isinstance(board, Piece):
        board = back_area(board)
    clear = board if isinstance(board, Area) else Area.of(board)
    return clear.centre[1] + display_face(data, turn_deg).lit.v


def display_opening(wish: Opening | None, face: DisplayFace) -> tuple[float, float]:
    """Return width and height of the opening at its narrowest. [mm]

    Raises:
        InputError: A negative margin leaves nothing open.
    """
    wish = wish or Opening()
    width = face.lit.width + 2 * wish.margin if wish.width is None else wish.width
    height = face.lit.height + 2 * wish.margin if wish.height is None else wish.height
    if width <= 0 or height <= 0:
        got = f"an opening of {width:g} × {height:g} mm"
        raise InputError("opening", got=got, want="an opening of more than 0", example="margin: 0")
    return (width, height)


def opening_area(placed: Placed, face: DisplayFace) -> Area:
    """Return the opening's throat in the panel, centred on the lit area."""
    return Area.around(placed.u, placed.v, *display_opening(placed.wish.opening, face))


def share_seen(lit: tuple[float, float], opening: tuple[float, float], radius: float) -> float:
    """Return the share of the lit area that an opening centred on it lets be seen from straight ahead.

    Args:
        lit: Width and height of the lit area. [mm]
        opening: Width and height of the opening. [mm]
        radius: Of the opening's corners. [mm]
    """
    corner = corner_hidden((opening[0] - lit[0]) / 2, (opening[1] - lit[1]) / 2, radius)
    seen = min(lit[0], opening[0]) * min(lit[1], opening[1]) - 4 * corner
    return max(seen, 0.0) / (lit[0] * lit[1])


__all__ = [
    "LAP_LEAST",
    "DisplayFace",
    "default_display_v",
    "display_face",
    "display_opening",
    "housing_area",
    "lit_in_housing",
    "opening_area",
    "quarter_turns",
    "share_seen",
]
