"""The shortest way out, held against solids that are moved."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests.geometry.pieces_by_hand import board, body, hole, rectangle
from tests.strategies import examples

from casewright.geometry.collisions import collisions_between
from casewright.geometry.model import Body, Box, Cylinder, Frame, Piece
from casewright.geometry.solids import solid_of
from casewright.geometry.way_out import LEAST_OVERLAP, way_out

SIZES = st.floats(4, 40)


@st.composite
def bodies(draw: st.DrawFn, key: str) -> Body:
    """Boxes, cylinders and cones: standing any way round the height, head down, leaning."""
    turn = math.radians(draw(st.sampled_from([0, 90, 30, 200.5])))
    lean = math.radians(draw(st.sampled_from([0, 0, 0, 180, 25])))
    u, v = draw(st.floats(-15, 15)), draw(st.floats(-15, 15))
    across = np.array([math.cos(turn), math.sin(turn), 0.0])
    flat = np.array([-math.sin(turn), math.cos(turn), 0.0])
    up = flat * math.cos(lean) + np.array([0.0, 0.0, math.sin(lean)])
    at = Frame(
        (u, v, draw(st.floats(-5, 5))), tuple(across), tuple(up), tuple(np.cross(across, up))
    )
    low, high = -draw(SIZES), draw(SIZES)
    if draw(st.booleans()):
        top = draw(st.none() | SIZES)
        return body(key, Cylinder(3.0, -2.0, draw(SIZES), low, high, top), at=at)
    return body(key, Box(3.0, -2.0, draw(SIZES), draw(SIZES), low, high), at=at)


def shared(a: Body | Piece, b: Body | Piece, way: tuple[float, ...]) -> float:
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


PLATE = board(
    "plate",
    rectangle(120, 90, u=-60, v=-45),
    thickness=14.0,
    features=[hole("h1", 0, 0, 34), hole("h2", 40, 10, 22), hole("h3", -38, -12, 30)],
)


@settings(max_examples=examples(25))
@given(bodies("a.body"), st.booleans())
def test_out_of_a_board_with_holes_as_well_and_not_by_way_of_a_place_that_is_free(a, turned_about):
    """What comes free in a hole has come free: the first such place counts, and nothing before it is one."""
    mover, obstacle = (PLATE, a) if turned_about else (a, PLATE)
    assume(collisions_between([PLATE], [a]))
    far, along = way_out(mover, obstacle)
    for name in "uvn":
        axis = getattr(mover.frame, name)
        for sign in (1.0, -1.0):
            way = tuple(sign * far * x for x in axis)
            if along == f"{'+' if sign > 0 else '-'}{name}":
                assert shared(mover, obstacle, way) <= LEAST_OVERLAP + 1e-6
            for share in (0.3, 0.6, 0.95):
                assert shared(mover, obstacle, tuple(share * x for x in way)) > 0
