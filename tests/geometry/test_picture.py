from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.basics.errors import InputError
from casewright.geometry.picture import content_on_display


@pytest.mark.parametrize(
    ("content", "screen", "share"),
    [
        (4 / 3, 16 / 9, 0.75),
        (16 / 9, 4 / 3, 0.75),
        (3 / 4, 16 / 9, 0.421875),
        (3 / 4, 9 / 16, 0.75),
        (4 / 3, 5 / 4, 0.9375),
        (4 / 3, 16 / 10, 0.833333),
        (4 / 3, 21 / 9, 0.571429),
        (16 / 9, 16 / 10, 0.9),
        (5 / 4, 16 / 9, 0.703125),
        (1, 16 / 9, 0.5625),
    ],
)
def test_share_used(content: float, screen: float, share: float) -> None:
    """Exact arithmetic: min(c/s, s/c)."""
    fit = content_on_display(content, 900 * screen, 900)
    assert fit.share == pytest.approx(share, abs=1e-6)


@pytest.mark.parametrize(("content", "diagonal_in"), [(4 / 3, 17.568), (3 / 4, 13.176)])
def test_diagonal_of_other_content_on_a_21_5_inch_screen(
    content: float, diagonal_in: float
) -> None:
    """Exact arithmetic: 21.5 in at 16:9 is 10.541 in high; full height 4:3 and 3:4 pictures."""
    height = 21.5 * 25.4 * 9 / math.hypot(16, 9)
    fit = content_on_display(content, height * 16 / 9, height)
    assert fit.diagonal / 25.4 == pytest.approx(diagonal_in, abs=0.0006)


def test_bars_on_a_measured_panel() -> None:
    """Panel maker's data, 19 in 1440 × 900: active area 410.4 × 256.5, pitch 0.285. 1440 × 810 pixels show 16:9."""
    fit = content_on_display(16 / 9, 410.4, 256.5)
    assert (fit.width, fit.height) == pytest.approx((1440 * 0.285, 810 * 0.285), abs=1e-9)
    assert fit.level_bar == pytest.approx(45 * 0.285)
    assert fit.side_bar == pytest.approx(0)


@given(st.floats(0.2, 5), st.floats(10, 2000), st.floats(10, 2000))
def test_picture_keeps_its_shape_and_fills_one_way(content: float, w: float, h: float) -> None:
    fit = content_on_display(content, w, h)
    assert fit.width / fit.height == pytest.approx(content)
    assert fit.width + 2 * fit.side_bar == pytest.approx(w)
    assert fit.height + 2 * fit.level_bar == pytest.approx(h)
    assert min(fit.side_bar, fit.level_bar) == pytest.approx(0, abs=1e-9 * max(w, h))


def test_nothing_to_show() -> None:
    with pytest.raises(InputError) as caught:
        content_on_display(0, 100, 100)
    assert caught.value.field == "content_aspect"
