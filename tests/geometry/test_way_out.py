"""The shortest way out, held against solids that are moved."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from tests.geometry.pieces_by_hand import body

from casewright.geometry.collisions import collisions_between
from casewright.geometry.model import Body, Box, Cylinder, Frame
from casewright.geometry.solids import solid_of
from casewright.geometry.way_out import way_out

SIZES = st.floats(4, 40)


@st.composite
def bodies(draw: st.DrawFn, key: str) -> Body:
    """Straight, standing any way round the height, some of them head down."""
    turn = math.radians(draw(st.sampled_from([0, 90, 30, 200.5])))
    u, v = draw(st.floats(-15, 15)), draw(st.floats(-15, 15))
    down = draw(st.booleans())
    across = (math.cos(turn), math.sin(turn), 0.0)
    up = (math.sin(turn), -math.cos(turn), 0.0) if down else (-math.sin(turn), math.cos(turn), 0.0)
    at = Frame((u, v, draw(st.floats(-5, 5))), across, up, (0.0, 0.0, -1.0 if down else 1.0))
    low, high = -draw(SIZES), draw(SIZES)
    if draw(st.booleans()):
        return body(key, Cylinder(3.0, -2.0, draw(SIZES), low, high), at=at)
    return body(key, Box(3.0, -2.0, draw(SIZES), draw(SIZES), low, high), at=at)


def shared(a: Body, b: Body, way: tuple[float, ...]) -> float:
    return float((solid_of(a).manifold.translate(way) ^ solid_of(b).manifold).volume())


@given(bodies("a.body"), bodies("b.body"))
def test_it_ends_the_collision_and_nothing_shorter_does(a, b):
    assume(collisions_between([], [a, b]))
    far, along = way_out(a, b)
    axes = {"u": a.frame.u, "v": a.frame.v, "n": a.frame.n}
    for name, axis in axes.items():
        for sign in (1.0, -1.0):
            ends = f"{'+' if sign > 0 else '-'}{name}" == along
            moves = (far, 0.9 * far) if ends else (0.98 * far,)
            left = [shared(a, b, tuple(sign * move * x for x in axis)) for move in moves]
            if ends:
                assert left[0] == pytest.approx(0.0, abs=1e-3)
            assert left[-1] > 0
