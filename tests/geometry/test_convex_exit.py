"""Ways out of convex shapes, against linear programs; lines inside solids, against lengths that are known."""

from __future__ import annotations

import math

import numpy as np
import pytest
from manifold3d import CrossSection, Manifold
from scipy.optimize import linprog
from scipy.spatial import ConvexHull

from casewright.geometry.chords import longest_chord
from casewright.geometry.convex_exit import exits
from casewright.geometry.solids import Floats, Solid


def box(rng: np.random.Generator) -> Floats:
    """Of few sizes, so that faces and edges often lie in line."""
    corners = np.array(np.meshgrid([-1, 1], [-1, 1], [-1, 1])).reshape(3, -1).T
    return corners * rng.choice([4.0, 8.0, 8.0, 10.0], 3) / 2


def cone(rng: np.random.Generator) -> Floats:
    count = int(rng.choice([16, 64, 128]))
    round_ = np.arange(count) / count * math.tau
    rings = [
        np.column_stack([r * np.cos(round_), r * np.sin(round_), np.full(count, z)])
        for r, z in zip(rng.choice([2.0, 4.0, 5.0], 2), (-4.0, 4.0), strict=True)
    ]
    return np.vstack(rings)


def cloud(rng: np.random.Generator) -> Floats:
    return rng.normal(size=(int(rng.integers(6, 60)), 3)) * rng.uniform(1, 30)


def way_by_program(mover: Floats, obstacle: Floats, axis: Floats) -> float:
    """The longest move t after which a point x of the mover still lies in the obstacle.

    Source: scipy.optimize.linprog (HiGHS), on the half-spaces of scipy.spatial.ConvexHull (Qhull).
    """
    mine, other = ConvexHull(mover).equations, ConvexHull(obstacle).equations
    rows = np.vstack(
        [
            np.column_stack([mine[:, :3], np.zeros(len(mine))]),
            np.column_stack([other[:, :3], other[:, :3] @ axis]),
        ]
    )
    limits = -np.concatenate([mine[:, 3], other[:, 3]])
    found = linprog([0, 0, 0, -1], A_ub=rows, b_ub=limits, bounds=[(None, None)] * 4)
    assert found.success
    return float(-found.fun)


@pytest.mark.parametrize("number", range(60))
def test_ways_out_are_what_a_linear_program_finds(number):
    rng = np.random.default_rng(number)
    makers = [box, cone, cloud]
    mover = makers[number % 3](rng)
    obstacle = makers[number // 3 % 3](rng) + rng.choice([0.0, 0.0, 1.0, 2.0, -1.0], 3)
    if number % 4 == 0:
        mover = mover @ np.linalg.qr(rng.normal(size=(3, 3)))[0]
    ways = exits(mover, obstacle)
    assert ways is not None
    axes = [sign * np.eye(3)[axis] for axis in range(3) for sign in (1.0, -1.0)]
    wanted = [way_by_program(mover, obstacle, axis) for axis in axes]
    assert min(wanted) > 0  # they share space
    assert ways == pytest.approx(wanted, abs=1e-6)


def test_a_peg_in_a_cone_that_stand_aside_of_one_another():
    """Plain geometry: 13 of height over 28 of height; the first three corners do not stand about the axis there."""

    def ring(x: float, y: float, z: float, diameter: float) -> Floats:
        turn = np.arange(96) / 96 * math.tau
        return np.column_stack(
            [x + diameter / 2 * np.cos(turn), y + diameter / 2 * np.sin(turn), np.full(96, z)]
        )

    peg = np.vstack([ring(3.0, -2.0, -4.0, 23.5), ring(3.0, -2.0, 9.0, 23.5)])
    cone = np.vstack([ring(16.5, -16.0, -9.0, 18.0), ring(16.5, -16.0, 19.0, 22.5)])
    ways = exits(peg, cone)
    assert ways is not None
    assert ways[4:] == pytest.approx((23.0, 18.0))


def chords(solid: Manifold) -> list[float]:
    points, triangles = Solid(solid).mesh
    return [longest_chord(points, triangles, axis) for axis in range(3)]


def test_lines_stop_where_they_leave_the_solid():
    """Plain geometry: a box with a slot through it is as long as its longer arm."""
    plate = Manifold.cube((30.0, 20.0, 10.0))
    slot = Manifold.cube((4.0, 12.0, 20.0)).translate((8.0, -1.0, -5.0))
    assert chords(plate) == pytest.approx([30.0, 20.0, 10.0], abs=1e-9)
    assert chords(plate - slot) == pytest.approx([30.0, 20.0, 10.0], abs=1e-9)
    through = Manifold.cube((4.0, 30.0, 20.0)).translate((8.0, -5.0, -5.0))
    assert chords(plate - through) == pytest.approx([18.0, 20.0, 10.0], abs=1e-9)


def test_lines_are_never_longer_than_the_longest_and_nearly_as_long():
    """Plain geometry: a wedge is longest at its thick end, a ball through its middle."""
    wedge = CrossSection([[(0.0, 0.0), (40.0, 0.0), (40.0, 8.0)]]).extrude(5.0)
    length, height, depth = chords(wedge)
    assert 39.9 < length <= 40.0
    assert 7.99 < height <= 8.0
    assert depth == pytest.approx(5.0, abs=1e-9)
    for long in chords(Manifold.sphere(6.0, 96)):
        assert 11.0 < long <= 12.0


def test_nothing_has_no_lines():
    assert chords(Manifold()) == [0.0, 0.0, 0.0]
