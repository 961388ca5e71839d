"""What a piece weighs and how large it is, told without its solid, against the solid and against handbook bodies."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.geometry.pieces_by_hand import board, body, hole, rectangle
from tests.strategies import known, projects

from casewright.basics.errors import InputErrors
from casewright.geometry.build import build_cabinet
from casewright.geometry.model import Box, Circle, Cylinder, Feature, Polygon, Rectangle
from casewright.geometry.moments import moments_about, ruled_moments, sum_of
from casewright.geometry.solids import balance_of, box_of, solid_of

SHOW, BACK = "show", "back"


def same(thing) -> None:
    """Volume, centre and box as measured on the mesh, which is built another way."""
    solid = solid_of(thing)
    volume, centre = balance_of(thing)
    assert volume == pytest.approx(solid.volume, rel=1e-9, abs=1e-9)
    if volume > 1.0:
        assert centre == pytest.approx(solid.centre, rel=1e-9, abs=1e-6)
    for mine, other in zip(box_of(thing), solid.box, strict=True):
        assert mine == pytest.approx(other, abs=1e-7)  # flat figures are rounded to 1e-8


def test_a_square_frustum():
    """Volume h/3 (A + √(AB) + B), centre h/4 (A + 2√(AB) + 3B) / (A + √(AB) + B) above the base A: any handbook."""
    low = np.array([(-3.0, -3.0), (3.0, -3.0), (3.0, 3.0), (-3.0, 3.0)])
    moments = ruled_moments(low, low / 3, 2.0, 8.0)
    assert moments.volume == pytest.approx(6 / 3 * (36 + 12 + 4))
    assert moments.centre == pytest.approx((0, 0, 2 + 6 / 4 * (36 + 24 + 12) / (36 + 12 + 4)))


def test_a_hole_is_a_negative_body():
    plate = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (0.0, 4.0)])
    peg = np.array([(6.0, 1.0), (8.0, 1.0), (8.0, 3.0), (6.0, 3.0)])
    left = sum_of((ruled_moments(plate, plate, 0, 5), ruled_moments(peg[::-1], peg[::-1], 0, 5)))
    assert left.volume == pytest.approx(200 - 20)
    assert left.centre == pytest.approx(((200 * 5 - 20 * 7) / 180, 2.0, 2.5))
    assert moments_about(20.0, (7.0, 2.0, 2.5)).first == (140.0, 40.0, 50.0)


@st.composite
def features(draw: st.DrawFn) -> Feature:
    """Anything that may be worked into a board, over its edges and over one another as well."""
    u, v = draw(st.floats(-10, 310)), draw(st.floats(-10, 110))
    shape = draw(
        st.one_of(
            st.builds(Circle, st.just(u), st.just(v), st.floats(1, 60)),
            st.builds(
                Rectangle,
                st.just(u),
                st.just(v),
                st.floats(2, 80),
                st.floats(2, 50),
                st.sampled_from((0.0, 0.5, 1.0)),
                st.floats(-90, 90),
            ),
            st.just(Polygon(((u, v), (u + 20, v), (u + 20, v + 9), (u + 8, v + 30)))),
        )
    )
    kind = draw(st.sampled_from(("hole", "pocket", "countersink", "opening", "pilot")))
    if not isinstance(shape, Circle) and kind == "countersink":
        kind = "pocket"
    return Feature(
        key=f"f{u}-{v}",
        kind=kind,
        shape=shape,
        face=draw(st.sampled_from((SHOW, BACK))),
        depth=draw(st.sampled_from((None, 3.0, 5.0, 12.0))),
        tool="brad",
        chamfer=draw(st.sampled_from((0.0, 0.0, 1.0))) if kind in ("hole", "opening") else 0.0,
    )


@settings(deadline=None, max_examples=60)
@given(st.lists(features(), max_size=6), st.sampled_from((0.0, 5.0, -5.0)))
def test_any_board_weighs_what_its_solid_does(cuts, bevel):
    back = ((0.0, bevel), (300.0, bevel), (300.0, 100.0), (0.0, 100.0))
    same(board("x", rectangle(300, 100), back=back, features=cuts, thickness=12.0))


def test_bodies_weigh_what_their_solids_do():
    for shape in (
        Box(3, 4, 5, 6, -7, 8),
        Cylinder(3, 4, 5, -6, 7),
        Cylinder(3, 4, 5, -6, 7, top_diameter=2),
    ):
        same(body("x.body", shape))


def test_stepped_holes_and_a_notch_over_the_edge():
    cuts = [
        hole("shank", 50, 50, 5),
        Feature("head", "counterbore", Circle(50, 50, 12), "back", 4.0, "forstner"),
        Feature("sink", "countersink", Circle(100, 50, 10), "show", None, "countersink"),
        Feature("notch", "notch", Rectangle(0, 50, 30, 20), "show", None, "saw"),
    ]
    thing = board("x", rectangle(300, 100), features=cuts, thickness=12.0)
    same(thing)
    less = math.pi * (2.5**2 * 8 + 6**2 * 4) + math.pi * 5**3 / 3 + 15 * 20 * 12
    assert balance_of(thing)[0] == pytest.approx(300 * 100 * 12 - less)


@settings(deadline=None, max_examples=6, suppress_health_check=[HealthCheck.too_slow])
@given(projects())
def test_all_of_a_cabinet_weighs_what_its_solids_do(project):
    try:
        cabinet = build_cabinet(project, known(project), ())
    except InputErrors:
        return
    for thing in (*cabinet.pieces, *cabinet.bodies):
        same(thing)
