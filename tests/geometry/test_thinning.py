"""Panels thinned from behind for threads and clips."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.geometry.thinning import LEAST_WOOD, thin_for_grip


def test_a_bushing_of_8_with_a_nut_of_2_5_leaves_5() -> None:
    """By hand: 8 − 2.5 = 5.5 holds, less 0.5 for washer and error."""
    thin = thin_for_grip(thickness=11.8, board=11.8, grip_most=5.5)
    assert thin.recess == pytest.approx(6.8)
    assert thin.grip == pytest.approx(5.0)


def test_a_panel_within_the_grip_is_left_alone() -> None:
    assert thin_for_grip(thickness=25, board=25, grip_most=25).recess == 0


def test_a_clip_for_sheet_asks_for_a_plate() -> None:
    """A rocker switch for 0.8 to 3 mm: a clip made for sheet metal (common practice)."""
    thin = thin_for_grip(thickness=11.8, board=11.8, grip_least=0.8, grip_most=3)
    assert not thin.possible
    assert thin.recess == 0
    assert thin.wood == pytest.approx(2.5)


def test_overlays_count_for_the_grip_but_give_no_wood() -> None:
    """By hand: 5 of grip less 0.5, less 3 of acrylic, leaves 1.5 of wood."""
    thin = thin_for_grip(thickness=14.8, board=11.8, grip_most=5)
    assert not thin.possible
    assert thin.wood == pytest.approx(1.5)


@given(st.floats(4, 30), st.floats(0, 6), st.floats(1, 30), st.floats(0, 1))
def test_a_pocket_makes_the_panel_fit(
    board: float, overlay: float, most: float, share: float
) -> None:
    least = most * share
    thin = thin_for_grip(thickness=board + overlay, board=board, grip_least=least, grip_most=most)
    if thin.possible:
        assert thin.grip <= most + 0.001
        assert thin.recess == 0 or thin.grip >= least - 1e-5
        assert thin.recess == 0 or board - thin.recess >= LEAST_WOOD - 0.001
