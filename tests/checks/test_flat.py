"""Distances in a face, against shapely's."""

from __future__ import annotations

import itertools
import math
import random

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import affinity

from casewright.basics.rectangles import FEW
from casewright.checks.flat import (
    Flat,
    flat_of,
    gap_between,
    gap_is_over,
    gap_to_edge,
    is_inside,
    least_shifts,
    near_pairs,
)
from casewright.geometry.model import Circle, Polygon, Rectangle

place = st.floats(-200, 200)
size = st.floats(2, 120)
circles = st.builds(Circle, place, place, size)
rectangles = st.builds(
    lambda u, v, w, h, share, turn: Rectangle(u, v, w, h, min(w, h) / 2 * share, turn),
    place,
    place,
    size,
    size,
    st.floats(0, 1),
    st.floats(-180, 180),
)
triangles = st.builds(
    lambda u, v, w, h: Polygon(((u, v), (u + w, v), (u, v + h))), place, place, size, size
)
shapes = circles | rectangles | triangles


def drawn(shape):
    """The same with shapely, which widens by polygons of many corners."""
    if isinstance(shape, Circle):
        return shapely.Point(shape.u, shape.v).buffer(shape.diameter / 2, quad_segs=64)
    if isinstance(shape, Polygon):
        return shapely.Polygon(shape.points)
    r = min(shape.radius, shape.width / 2 - 1e-6, shape.height / 2 - 1e-6)
    w, h = shape.width / 2 - r, shape.height / 2 - r
    core = shapely.box(-w, -h, w, h).buffer(r, quad_segs=64)
    return affinity.translate(
        affinity.rotate(core, shape.turn_deg, origin=(0, 0)), shape.u, shape.v
    )


@given(shapes, shapes)
def test_gap_is_the_distance_of_the_shapes(a, b):
    ours, theirs = gap_between(flat_of(a), flat_of(b)), drawn(a).distance(drawn(b))
    if theirs > 0.1:
        assert ours == pytest.approx(theirs, abs=0.05)
    elif drawn(a).intersection(drawn(b)).area > 1:
        assert ours < 0


@given(shapes)
def test_gap_to_an_edge_that_is_not_convex(shape):
    """A side with a header over a deck."""
    outline = ((-300, -300), (300, -300), (300, 300), (0, 300), (0, 100), (-300, 100))
    ours, region = gap_to_edge(flat_of(shape), outline), shapely.Polygon(outline)
    if region.contains(drawn(shape)):
        assert ours == pytest.approx(region.exterior.distance(drawn(shape)), abs=0.05)
    elif drawn(shape).difference(region).area > 1:
        assert ours < 0


@given(place, place)
def test_inside(u, v):
    outline = ((-150, -150), (150, -150), (150, 150), (0, 0), (-150, 150))
    region = shapely.Polygon(outline)
    if region.exterior.distance(shapely.Point(u, v)) > 1e-6:
        assert is_inside((u, v), outline) == region.contains(shapely.Point(u, v))


def test_how_far_a_hole_sticks_out():
    """Plain geometry: a hole of radius 15 whose middle is 10 outside sticks out by 25."""
    square = ((0, 0), (100, 0), (100, 100), (0, 100))
    assert gap_to_edge(flat_of(Circle(-10, 50, 30)), square) == pytest.approx(-25)
    assert gap_to_edge(flat_of(Circle(10, 50, 30)), square) == pytest.approx(-5)


def test_least_shift_is_the_gap_that_lacks():
    a, b = flat_of(Circle(0, 0, 30)), flat_of(Circle(35, 0, 30))

    def left(du, dv):
        return gap_between(b.moved(du, dv), a)

    first, *_ = least_shifts(left, 8.0, 100)
    assert (first.axis, first.sign) == ("u", 1.0)
    assert first.by == pytest.approx(3.0, abs=1e-3)  # pitch 38 = 30 + 8
    along_v = next(s for s in least_shifts(left, 8.0, 100) if s.axis == "v")
    assert along_v.by == pytest.approx(math.sqrt(38**2 - 35**2), abs=1e-3)


@pytest.mark.parametrize("count", [0, 1, 2, FEW, FEW + 1, 300])
def test_pairs_that_are_near_are_those_that_trying_every_two_gives(count):
    """By brute force; few are held against each other, many looked up in a tree."""
    draw = random.Random(count)
    flats = [
        Flat(((draw.randrange(40) * 5.0, draw.randrange(40) * 5.0),), draw.choice((0.0, 1.0, 5.0)))
        for _ in range(count)
    ]
    for most in (0.0, 3.0, 5.0):
        tried = [
            (i, j)
            for i, j in itertools.combinations(range(count), 2)
            if not gap_is_over(flats[i], flats[j], most)
        ]
        assert list(near_pairs(flats, most)) == tried
