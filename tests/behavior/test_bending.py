"""Strips and plates against printed tables, worked examples and other ways to solve the same equations."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_bvp

from casewright.behavior.bending import Stiff, plate_bend, strip_bend

NU = 0.3


def alike(modulus: float) -> Stiff:
    """A board that is as stiff every way."""
    return Stiff(modulus, modulus, modulus / (2 * (1 + NU)), NU)


@pytest.mark.parametrize(("how", "sag"), [("spread", 0.8602), ("middle", 1.3763)])
def test_a_shelf_by_the_standard_formulas(how, sag):
    """600 × 300 × 18 mm MDF, E 2200 MPa (EN 622-5, 12 to 19 mm), 98.1 N: as printed in structural formula tables."""
    assert strip_bend(600, 300, 18, 2200, 98.1, how).sag == pytest.approx(sag, abs=1e-4)


def test_stress_of_the_same_shelf():
    """M = W·L/8, σ = M·y/I: 0.4542 MPa."""
    assert strip_bend(600, 300, 18, 2200, 98.1, "spread").stress == pytest.approx(0.4542, abs=1e-4)


def test_a_strip_solved_by_collocation():
    """scipy's solve_bvp on E·I·w'''' = q with w = w'' = 0 at both ends."""
    e, inertia, span, load = 7400.0, 300 * 12**3 / 12, 500.0, 80.0

    def slopes(x, y):
        return np.vstack([y[1], y[2], y[3], np.full_like(x, load / span / (e * inertia))])

    def ends(a, b):
        return np.array([a[0], a[2], b[0], b[2]])

    x = np.linspace(0, span, 21)
    solved = solve_bvp(slopes, ends, x, np.zeros((4, x.size)), tol=1e-8)
    ours = strip_bend(500, 300, 12, e, load, "spread")
    assert ours.sag == pytest.approx(float(solved.sol(span / 2)[0]), rel=1e-5)
    moment = abs(float(solved.sol(span / 2)[2])) * e * inertia
    assert ours.stress == pytest.approx(moment * 6 / inertia, rel=1e-5)


@pytest.mark.parametrize(
    ("ratio", "alpha", "beta"),
    [
        (1.0, 0.0444, 0.2874),
        (1.2, 0.0616, 0.3762),
        (1.4, 0.0770, 0.4530),
        (1.6, 0.0906, 0.5172),
        (1.8, 0.1017, 0.5688),
        (2.0, 0.1110, 0.6102),
        (3.0, 0.1335, 0.7134),
        (4.0, 0.1400, 0.7410),
        (5.0, 0.1417, 0.7476),
    ],
)
def test_a_plate_by_roarks_table(ratio, alpha, beta):
    """Roark's formulas, table 11.4, case 1a (ν 0.3): y = α·q·b⁴/(E·t³), σ = β·q·b²/t²; three digits printed."""
    b, t, e, q = 300.0, 10.0, 2200.0, 0.002
    bend = plate_bend(ratio * b, b, t, alike(e), q * ratio * b * b)
    assert bend.sag == pytest.approx(alpha * q * b**4 / (e * t**3), rel=0.006)
    assert bend.stress == pytest.approx(beta * q * b**2 / t**2, rel=0.006)


@pytest.mark.parametrize(
    ("ratio", "alpha"), [(1.0, 0.01160), (1.2, 0.01353), (1.6, 0.01570), (2.0, 0.01651)]
)
def test_a_load_on_one_spot_by_timoshenkos_table(ratio, alpha):
    """Theory of plates and shells, concentrated load in the middle: w = α·P·b²/D; from memory."""
    b, t, e = 400.0, 12.0, 2200.0
    stiffness = e * t**3 / (12 * (1 - NU**2))
    bend = plate_bend(ratio * b, b, t, alike(e), 100.0, (1.0, 1.0))
    assert bend.sag == pytest.approx(alpha * 100 * b**2 / stiffness, rel=0.005)


def test_two_plates_of_the_reference_sheet():
    """800 × 400 × 12 mm MDF under 1 kPa: 0.7475 mm, 0.678 MPa; 500 × 500 × 5 mm acrylic under 200 Pa: 1.3455 mm.

    Computed with Roark's table, whose factors have three digits.
    """
    back = plate_bend(800, 400, 12, alike(2200), 0.001 * 800 * 400)
    assert back.sag == pytest.approx(0.7475, rel=0.005)
    assert back.stress == pytest.approx(0.678, rel=0.002)
    clear = plate_bend(500, 500, 5, alike(3300), 200e-6 * 500 * 500)
    assert clear.sag == pytest.approx(1.3455, rel=0.002)


def test_plywood_by_finite_differences():
    """A plate stiffer one way, its equation solved on a grid: second differences with edges that let it turn."""
    a, b, t = 600.0, 300.0, 12.0
    stiff = Stiff(10000, 7400, 600)
    cube = t**3 / 12
    dx, dy, h = stiff.along * cube, stiff.across * cube, 2 * stiff.shear * cube
    n = 31

    def second(length: float) -> np.ndarray:
        step = length / (n + 1)
        return (2 * np.eye(n) - np.eye(n, k=1) - np.eye(n, k=-1)) / step**2

    x, y, one = second(a), second(b), np.eye(n)
    whole = dx * np.kron(x @ x, one) + 2 * h * np.kron(x, y) + dy * np.kron(one, y @ y)
    q = 0.001
    w = np.linalg.solve(whole, np.full(n * n, q)).reshape(n, n)
    assert plate_bend(a, b, t, stiff, q * a * b).sag == pytest.approx(w[15, 15], rel=0.005)


def test_a_long_plate_is_a_strip_across():
    """Far from its ends a plate bends like a strip between its long edges, 1 − ν² stiffer."""
    strip = strip_bend(200, 1, 10, 2200 / (1 - NU**2), 0.2, "spread")
    assert plate_bend(4000, 200, 10, alike(2200), 0.001 * 4000 * 200).sag == pytest.approx(
        strip.sag, rel=0.005
    )


@given(st.floats(100, 1500), st.floats(100, 1500), st.floats(3, 30), st.floats(1, 500))
def test_laws_of_plates(length, width, thickness, load):
    stiff = Stiff(10000, 7400, 600)
    bend = plate_bend(length, width, thickness, stiff, load, (80, 80))
    twice = plate_bend(length, width, thickness, stiff, 2 * load, (80, 80))
    thick = plate_bend(length, width, 2 * thickness, stiff, load, (80, 80))
    spread = plate_bend(length, width, thickness, stiff, load)
    turned = plate_bend(width, length, thickness, Stiff(7400, 10000, 600), load, (80, 80))
    assert twice.sag == pytest.approx(2 * bend.sag)
    assert thick.sag == pytest.approx(bend.sag / 8)
    assert thick.stress == pytest.approx(bend.stress / 4)
    assert spread.sag <= bend.sag * (1 + 1e-9)
    assert turned.sag == pytest.approx(bend.sag)
