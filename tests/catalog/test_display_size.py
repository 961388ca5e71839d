"""Lit areas against published panels; diagonals in inches are rounded by the trade, so panels differ a little."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.basics.errors import InputError
from casewright.catalog.display_size import display_lit_area, parse_aspect

INCH = 25.4


@pytest.mark.parametrize(
    ("diagonal", "aspect", "width", "height", "near"),
    [
        # Panel makers' specifications: active area as printed, or pixels times printed pitch.
        (15.6, (16, 9), 344.232, 193.536, 1.2),  # 1366 × 768; its own diagonal is 15.55 in
        (15.6, (16, 9), 1920 * 0.17925, 1080 * 0.17925, 1.2),
        (21.5, (16, 9), 1920 * 0.248, 1080 * 0.248, 0.3),
        (19.05, (16, 10), 410.4, 256.5, 0.2),  # 1440 × 900, diagonal printed as 19.05 in
        (13.3, (16, 10), 286.08, 178.8, 0.5),  # 1280 × 800, pitch 0.2235
        # Encyclopedia article on 27 in displays: 59.7 × 33.5 cm.
        (27, (16, 9), 597, 335, 1.3),
        # Panel makers' data sheets, from memory.
        (17, (5, 4), 337.92, 270.34, 0.8),
        (19, (5, 4), 376.32, 301.06, 0.6),
        (23.8, (16, 9), 527.04, 296.46, 0.3),
    ],
)
def test_lit_area_is_that_of_published_panels(
    diagonal: float, aspect: tuple[int, int], width: float, height: float, near: float
) -> None:
    lit = display_lit_area(diagonal * INCH, aspect)
    assert lit == pytest.approx((width, height), abs=near)


def test_diagonal_of_the_printed_panel_gives_its_printed_sides() -> None:
    """Panel maker's specification, 21.5 in: pitch 0.248 mm, 1920 × 1080."""
    width, height = 476.16, 267.84
    lit = display_lit_area(math.hypot(width, height), (16, 9))
    assert lit == pytest.approx((width, height), abs=0.005)


def test_three_four_five() -> None:
    assert display_lit_area(500.0, (4, 3)) == pytest.approx((400.0, 300.0))


@given(st.floats(50, 3000), st.floats(0.3, 4))
def test_sides_keep_diagonal_and_aspect(diagonal: float, aspect: float) -> None:
    width, height = display_lit_area(diagonal, (aspect, 1))
    assert math.hypot(width, height) == pytest.approx(diagonal)
    assert width / height == pytest.approx(aspect)


@pytest.mark.parametrize(
    ("text", "aspect"),
    [("16:9", (16, 9)), ("16 x 10", (16, 10)), ("5/4", (5, 4)), (" 1.85 : 1 ", (1.85, 1))],
)
def test_aspect_is_read(text: str, aspect: tuple[float, float]) -> None:
    assert parse_aspect(text) == aspect


@pytest.mark.parametrize("wrong", ["16", "16:0", "0:9", "wide", 1.78, None, "100:1", "-16:9"])
def test_aspect_that_is_none_names_its_field(wrong: object) -> None:
    with pytest.raises(InputError) as caught:
        parse_aspect(wrong, field="parts.display.measured.aspect")
    assert caught.value.field == "parts.display.measured.aspect"


@pytest.mark.parametrize(
    ("diagonal", "aspect", "field"),
    [(0.0, (16, 9), "diagonal"), (-1, (16, 9), "diagonal"), (600, (16, 0), "aspect")],
)
def test_impossible_display_is_refused(
    diagonal: float, aspect: tuple[float, float], field: str
) -> None:
    with pytest.raises(InputError) as caught:
        display_lit_area(diagonal, aspect)
    assert caught.value.field == field
