"""The joystick's hole against a cylinder tilted in space, point by point."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from casewright.design.project import Bit
from casewright.geometry.lever_window import (
    LEAST_LAND,
    WINDOW_PLAY,
    height_for_window,
    lever_window,
    settle_lever,
)

LEVER = {"pivot": 6.0, "tilt_deg": 14.0, "shaft": 10.0, "washer": 37.0}
"""An invented ball-top lever of everyday size."""


def shaft_reach(height: float, tilt_deg: float, shaft: float) -> float:
    """Farthest that a tilted cylinder's skin gets from the upright axis, from its pivot up to `height`.

    Rotates the cylinder's generating lines as vectors and cuts them at many levels: no use of the formula under test.
    """
    theta = math.radians(tilt_deg)
    turn = np.array(
        [
            [math.cos(theta), 0, math.sin(theta)],
            [0, 1, 0],
            [-math.sin(theta), 0, math.cos(theta)],
        ]
    )
    around = np.linspace(0, 2 * math.pi, 721)
    rim = np.stack([np.cos(around), np.sin(around), np.zeros_like(around)]) * shaft / 2
    start, axis = turn @ rim, turn @ np.array([0.0, 0.0, 1.0])
    reach = 0.0
    for level in np.linspace(0, height, 41):
        along = (level - start[2]) / axis[2]
        points = start + np.outer(axis, along)
        reach = max(reach, float(np.hypot(points[0], points[1]).max()))
    return reach


def washer_covers(height: float, tilt_deg: float, washer: float, hole: float) -> bool:
    """Whether a flat washer round the tilted axis covers every point of the hole's rim, by sampling."""
    shift = height * math.sin(math.radians(tilt_deg)) / math.cos(math.radians(tilt_deg))
    around = np.linspace(0, 2 * math.pi, 721)
    u, v = hole / 2 * np.cos(around), hole / 2 * np.sin(around)
    return bool((np.hypot(u - shift, v) <= washer / 2).all())


@pytest.mark.parametrize(
    ("thickness", "least", "most"), [(12, 19.3, 28.0), (18, 22.3, 25.0), (14.8, 20.7, 26.6)]
)
def test_window_worked_by_hand(thickness: float, least: float, most: float) -> None:
    """By hand with tan 14° = 0.24933 and cos 14° = 0.97030 (any table): t 12, h 18: 2 × 4.488 + 10.306 = 19.28."""
    window = lever_window(thickness=thickness, **LEVER)
    assert window.least == pytest.approx(least, abs=0.05)
    assert window.most == pytest.approx(most, abs=0.05)
    assert window.is_open


def test_no_hole_serves_at_21() -> None:
    """By hand: h 27, 2 × 6.732 + 10.306 = 23.77 is over 37 − 13.464 = 23.54."""
    window = lever_window(thickness=21, **LEVER)
    assert not window.is_open
    assert window.least == pytest.approx(23.77, abs=0.005)
    assert window.most == pytest.approx(23.54, abs=0.005)


levers = st.fixed_dictionaries(
    {
        "pivot": st.floats(2, 15),
        "tilt_deg": st.floats(3, 25),
        "shaft": st.floats(4, 16),
        "washer": st.floats(20, 60),
    }
)


@given(levers, st.floats(3, 30), st.floats(0, 1))
def test_a_hole_in_the_window_clears_the_shaft_and_hides(
    lever: dict[str, float], thickness: float, share: float
) -> None:
    window = lever_window(thickness=thickness, **lever)
    assume(window.most > window.least + 0.2)
    hole = window.least + 0.05 + share * (window.most - window.least - 0.1)
    height = lever["pivot"] + thickness
    assert shaft_reach(height, lever["tilt_deg"], lever["shaft"]) <= hole / 2
    assert washer_covers(height, lever["tilt_deg"], lever["washer"], hole)


@given(levers, st.floats(3, 30), st.floats(0.1, 5))
def test_a_hole_outside_the_window_does_not(
    lever: dict[str, float], thickness: float, beyond: float
) -> None:
    window = lever_window(thickness=thickness, **lever)
    height = lever["pivot"] + thickness
    assert shaft_reach(height, lever["tilt_deg"], lever["shaft"]) > (window.least - beyond) / 2
    too_large = window.most + beyond
    if too_large > 0:
        assert not washer_covers(height, lever["tilt_deg"], lever["washer"], too_large)


@given(levers, st.floats(0, 4))
def test_height_for_window_is_the_limit(lever: dict[str, float], play: float) -> None:
    height = height_for_window(
        tilt_deg=lever["tilt_deg"], shaft=lever["shaft"], washer=lever["washer"], play=play
    )
    window = lever_window(thickness=height - lever["pivot"], **lever)
    assert window.most - window.least == pytest.approx(play, abs=1e-6)


def test_a_lever_that_does_not_tilt() -> None:
    window = lever_window(pivot=6, thickness=18, tilt_deg=0, shaft=10, washer=37)
    assert (window.least, window.most) == (10, 37)


def test_the_shop_s_bit_inside_the_window() -> None:
    """11.8 of plywood under 3.0 of acrylic: 20.7 to 26.6, and 24 is at hand."""
    bits = (Bit(kind="forstner", sizes=(15, 16, 20, 24, 28.6, 30, 35)),)
    settled = settle_lever(thickness=14.8, board=11.8, bits=bits, **LEVER)
    assert (settled.recess, settled.hole.bit, settled.reason) == (0, 24, "none")


def test_a_recess_opens_the_window() -> None:
    settled = settle_lever(thickness=21, board=18, **LEVER)
    assert settled.reason == "opens the window"
    assert settled.window.most - settled.window.least >= WINDOW_PLAY
    assert settled.land == 18 - settled.recess
    # Half a millimetre less would not do.
    less = lever_window(thickness=21, recess=settled.recess - 0.5, **LEVER)
    assert less.most - less.least < WINDOW_PLAY


def test_a_wished_recess_is_kept() -> None:
    settled = settle_lever(thickness=18, board=18, recess=6, **LEVER)
    assert (settled.recess, settled.land, settled.reason) == (6, 12, "wished")
    assert settled.window == lever_window(thickness=12, **LEVER)


def test_no_recess_where_it_cannot_help() -> None:
    settled = settle_lever(pivot=6, thickness=30, board=12, tilt_deg=14, shaft=10, washer=37)
    assert settled.reason == "not enough"
    assert settled.recess == 0
    assert settled.hole.size >= settled.window.least


@given(levers, st.floats(6, 30), st.floats(0, 8))
def test_a_chosen_recess_always_leaves_its_land(
    lever: dict[str, float], board: float, overlay: float
) -> None:
    settled = settle_lever(thickness=board + overlay, board=board, **lever)
    assert settled.recess == 0 or settled.land >= LEAST_LAND - 1e-9
    if settled.window.is_open:
        assert settled.window.least - 0.01 <= settled.hole.size <= settled.window.most + 0.01
