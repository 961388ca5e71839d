"""Boxes for loudspeakers: against printed examples, published alignments and a model of lumped masses and springs."""

from __future__ import annotations

import math

import fluids
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.signal import butter, freqs

from casewright.behavior.acoustics import (
    FLAT_Q,
    PORT_CONSTANT,
    RIPPLE,
    closed_box,
    closed_response,
    f3_ratio,
    hump,
    litres_for,
    port_least,
    port_length,
    vented_box,
    vented_response,
)


def test_a_printed_closed_box():
    """Article on loudspeaker boxes: fs 35 Hz, Qts 0.65, Vas 45 L in 30 L: Qtc 1.03, fc 55.4 Hz, f3 43 Hz."""
    box = closed_box(35, 0.65, 45, 30)
    assert box.q == pytest.approx(1.03, abs=0.005)
    assert box.resonance == pytest.approx(55.4, abs=0.1)
    assert box.f3 == pytest.approx(43, abs=0.5)


def test_the_volume_for_a_wished_q():
    """The same article: for Qtc 0.707 the driver wants 246 L (exact 245.8)."""
    assert litres_for(0.707, 0.65, 45) == pytest.approx(246, abs=0.5)
    assert litres_for(0.6, 0.65, 45) == math.inf


@pytest.mark.parametrize(
    ("q", "ratio"),
    [
        (0.5, 1.55377),
        (0.577, 1.27306),
        (0.707, 1.00015),
        (0.8, 0.89716),
        (1.0, 0.78615),
        (1.2, 0.73582),
    ],
)
def test_cut_off_over_resonance(q, ratio):
    """Computed with the closed-box relation by an independent script; and where the curve itself is 3 dB down."""
    assert f3_ratio(q) == pytest.approx(ratio, abs=1e-5)
    box = closed_box(40, q / math.sqrt(2), 20, 20)
    (level,) = closed_response(np.array([box.f3]), box)
    assert level == pytest.approx(-3.0103, abs=1e-3)


@pytest.mark.parametrize(("q", "decibels"), [(1.0, 1.2494), (1.2, 2.4118), (0.7, 0.0)])
def test_hump_is_the_top_of_the_curve(q, decibels):
    """Small's formula, from memory; and the highest point of the response."""
    assert hump(q) == pytest.approx(decibels, abs=1e-4)
    box = closed_box(40, q / math.sqrt(2), 20, 20)
    top = closed_response(np.geomspace(5, 20000, 8000), box).max()
    assert top == pytest.approx(decibels, abs=2e-3)


def test_the_flat_closed_box_is_a_butterworth_filter():
    box = closed_box(50, FLAT_Q / math.sqrt(2), 20, 20)
    at = np.geomspace(10, 1000, 50)
    _, response = freqs(*butter(2, box.resonance, "highpass", analog=True), worN=at)
    assert closed_response(at, box) == pytest.approx(20 * np.log10(abs(response)), abs=1e-9)


def test_the_flat_vented_box_is_a_butterworth_filter():
    """Thiele's alignment 5 (B4): Qts 0.383, Vas ÷ Vb 1.414, fb = fs = f3, no losses. scipy makes the filter."""
    at = np.geomspace(10, 1000, 50)
    _, response = freqs(*butter(4, 40, "highpass", analog=True), worN=at)
    ours = vented_response(at, 40, 0.3827, 50, 50 / math.sqrt(2), 40, leaks=1e9)
    assert ours == pytest.approx(20 * np.log10(abs(response)), abs=0.01)


@given(
    st.floats(25, 90),
    st.floats(0.25, 0.8),
    st.floats(0.3, 6),
    st.floats(0.5, 1.8),
    st.floats(3, 20),
)
def test_vented_box_as_masses_and_springs(fs, q, alpha, h, leaks):
    """The acoustic circuit itself: cone, air of box and port, leak; pressure goes with jω × flow."""
    at = np.geomspace(10, 1000, 25)
    w, ws = 2j * math.pi * at, 2 * math.pi * fs
    mass, compliance = 1.0, 1 / ws**2
    damping = ws * mass / q
    box = compliance / alpha
    wb = h * ws
    port, leak = 1 / (wb**2 * box), leaks / (wb * box)
    behind = 1 / (w * box + 1 / (w * port) + 1 / leak)
    flow = behind * w * box / (w * mass + damping + 1 / (w * compliance) + behind)
    expected = 20 * np.log10(abs(w * mass * flow))
    ours = vented_response(at, fs, q, alpha * 10, 10, h * fs, leaks)
    assert ours == pytest.approx(expected, abs=1e-6)


def test_tuning_keeps_the_hump_small_and_goes_lower_than_closed():
    box = vented_box(55, 0.40, 18, 15)
    assert box.hump <= RIPPLE
    assert box.f3 < closed_box(55, 0.40, 18, 15).f3
    at = np.geomspace(20, 400, 4000)
    levels = vented_response(at, 55, 0.40, 18, 15, box.tuning)
    assert levels.max() == pytest.approx(box.hump, abs=0.01)
    assert float(at[np.flatnonzero(levels < -3.0103)[-1]]) == pytest.approx(box.f3, rel=0.005)


@pytest.mark.parametrize(
    ("litres", "tuning", "wide", "long"), [(30, 40, 70, 189.294), (15, 50, 50, 120.483)]
)
def test_port_lengths(litres, tuning, wide, long):
    """Formula of a page on home-made subwoofers, Lv = 23562.5·Dv²·Np/(Fb²·Vb) − k·Dv, k 0.732 (cm, L, Hz)."""
    assert port_length(litres, tuning, wide) == pytest.approx(long, abs=0.01)


def test_a_port_is_a_mass_on_the_air_of_the_box():
    """Helmholtz: f = c ÷ 2π × √(A ÷ (V × effective length)), c 344.15 m/s as the formula's constant stands for."""
    wide, long = 0.07, port_length(30, 40, 70) / 1000 + 0.732 * 0.07
    area = math.pi * wide**2 / 4
    assert 344.15 / (2 * math.pi) * math.sqrt(area / (0.030 * long)) == pytest.approx(40, rel=1e-3)


def test_the_port_formula_stands_for_sound_in_warm_air():
    """fluids: speed of sound in air is 344.2 m/s at 21.7 °C; 23562.5 in cm, L, Hz is c² ÷ 16π with c in cm/s."""
    speed = math.sqrt(16 * math.pi * PORT_CONSTANT * 1000) / 100
    assert speed == pytest.approx(fluids.ATMOSPHERE_1976.sonic_velocity(273.15 + 21.7), abs=0.3)


def test_least_port():
    """The same page: cone 13 cm, travel 4 mm, 40 Hz: 5.88 cm; two ports are each √2 narrower."""
    assert port_least(130, 4, 40) == pytest.approx(58.817, abs=0.001)
    assert port_least(130, 4, 40, 2) == pytest.approx(58.817 / math.sqrt(2), abs=0.001)


@given(st.floats(20, 100), st.floats(0.2, 1.2), st.floats(1, 100), st.floats(1, 200))
def test_more_air_is_lower_and_drier(fs, q, vas, litres):
    small, large = closed_box(fs, q, vas, litres), closed_box(fs, q, vas, 2 * litres)
    assert large.q < small.q and large.resonance < small.resonance
    assert large.q > q and large.resonance > fs
