"""Dimensions: nothing overlaps, every figure stands at its place, all is readable."""

import itertools
import math
from functools import cache

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.basics.errors import InputError
from casewright.outputs.drawings.dimensions import (
    SAME,
    Callout,
    Ordinate,
    angle,
    callouts,
    diameter,
    linear,
    ordinates,
    spread,
)
from casewright.outputs.drawings.marks import Arc, Box, Line, Polyline, Text, mirrored
from casewright.outputs.drawings.symbols import DatumMark

PART = Box(0.0, 0.0, 434.0, 260.0)
CORNERS = ("bottom-left", "bottom-right", "top-left", "top-right")


def texts(marks):
    return [mark for mark in marks if isinstance(mark, Text)]


def assert_apart(marks, scale):
    """No two boxes of lettering share a place; all lettering here is level or upright, so boxes are exact."""
    boxes = [(text.text, text.box(scale)) for text in texts(marks)]
    for (one, mine), (two, other) in itertools.combinations(boxes, 2):
        assert not mine.overlaps(other, by=1e-6), f"{one} lies on {two}"


@given(
    st.lists(st.floats(0, 434), min_size=1, max_size=40),
    st.lists(st.floats(0, 260), max_size=40),
    st.sampled_from(CORNERS),
    st.floats(0.08, 1),
    st.sampled_from([2.5, 3.5, 5.0]),
)
def test_no_two_figures_overlap(xs, ys, datum, scale, height):
    marks = ordinates(
        PART,
        xs=[Ordinate(x, f"{x:.1f}", 100.0) for x in xs],
        ys=[Ordinate(y, f"{y:.1f}") for y in ys],
        datum=datum,
        scale=scale,
        height=height,
    )
    assert_apart(marks, scale)
    for text in texts(marks):
        assert not text.box(scale).overlaps(PART), f"{text.text} lies on the part"
        assert text.angle_deg in (0.0, 90.0), "readable from the bottom or the right (ISO 129-1)"


@given(st.lists(st.floats(0, 434), min_size=1, max_size=20), st.sampled_from(CORNERS))
def test_every_figure_is_led_to_its_place(xs, datum):
    wanted = {f"{x:.3f}": x for x in xs}
    marks = ordinates(
        PART, xs=[Ordinate(x, label) for label, x in wanted.items()], datum=datum, zero="zero"
    )
    pairs = itertools.pairwise(marks)
    led = {
        text.text: leader
        for leader, text in pairs
        if isinstance(leader, Polyline) and isinstance(text, Text)
    }
    corner_x = PART.right if datum.endswith("right") else PART.left
    assert set(led) == {*wanted, "zero"}
    for label, x in {**wanted, "zero": corner_x}.items():
        leader = led[label]
        assert leader.points[0][0] == pytest.approx(x, abs=SAME)
        (text,) = [text for text in texts(marks) if text.text == label]
        assert text.at[0] == pytest.approx(leader.points[-1][0])
    (mark,) = [mark for mark in marks if isinstance(mark, DatumMark)]
    assert mark.at == (corner_x, PART.top if datum.startswith("top") else PART.bottom)


def test_the_same_size_is_written_once():
    marks = ordinates(PART, ys=[Ordinate(70.0, "70.0"), Ordinate(70.001, "70.0", 50.0)])
    assert sorted(text.text for text in texts(marks)) == ["0", "70.0"]


@given(
    st.lists(
        st.tuples(st.floats(0, 434), st.floats(0, 260), st.floats(0, 20)), min_size=1, max_size=40
    ),
    st.sampled_from(["left", "right"]),
    st.floats(0.08, 1),
)
def test_no_two_callouts_overlap(holes, side, scale):
    notes = [Callout((x, y), f"⌀{2 * r:.1f} A", r) for x, y, r in holes]
    marks = callouts(PART, notes, side=side, scale=scale)
    assert len(texts(marks)) == len(holes)
    assert_apart(marks, scale)


@given(st.lists(st.floats(-100, 100), min_size=1, max_size=30), st.floats(0, 20))
def test_spread_keeps_order_and_distance(places, gap):
    places.sort()
    found = spread(places, gap)
    assert all(b - a >= gap - 1e-6 for a, b in itertools.pairwise(found))
    # The sum of squares is least at the mean: the shifts of a pool balance each other.
    assert sum(found) == pytest.approx(sum(places), abs=1e-6)


@given(st.lists(st.integers(0, 12), min_size=2, max_size=3), st.integers(1, 6))
def test_spread_moves_as_little_as_can_be(places, gap):
    """Reference: every arrangement on a grid of a third of a unit, tried one by one."""
    places.sort()
    tried = arrangements(len(places))
    apart = (numpy.diff(tried, axis=1) >= gap - 1e-9).all(axis=1)
    best = ((tried[apart] - places) ** 2).sum(axis=1).min()
    cost = sum((p - q) ** 2 for p, q in zip(places, spread(places, gap), strict=True))
    assert cost <= best + 1e-9


@cache
def arrangements(count):
    """Every way to set so many on the grid, in order."""
    grid = [i / 3 for i in range(-18, 73)]
    return numpy.array([*itertools.combinations_with_replacement(grid, count)])


def test_spread_stays_inside_where_there_is_room():
    assert spread([0.0, 1.0, 99.0, 100.0], 5.0, least=0.0, most=100.0) == [0.0, 5.0, 95.0, 100.0]
    assert spread([1.0, 1.0, 1.0], 5.0, least=0.0, most=3.0) == [0.0, 5.0, 10.0]


@pytest.mark.parametrize(
    ("start", "end", "direction", "angle_deg", "line_y"),
    [
        ((0.0, 0.0), (100.0, 0.0), None, 0.0, 12.0),
        ((100.0, 5.0), (0.0, 0.0), 0.0, 0.0, 17.0),
        ((100.0, 0.0), (0.0, 0.0), None, 0.0, -12.0),
    ],
)
def test_a_length_is_drawn_from_end_to_end(start, end, direction, angle_deg, line_y):
    marks = linear(start, end, "100.0", offset=12, direction_deg=direction)
    line = next(m for m in reversed(marks) if isinstance(m, Line))
    assert math.dist(line.start, line.end) == pytest.approx(100.0)
    assert line.start[1] == pytest.approx(line_y)
    (text,) = texts(marks)
    assert text.angle_deg == pytest.approx(angle_deg)
    assert text.at[1] > line_y, "the figure stands above its line"


def test_an_upright_length_reads_from_the_right():
    marks = linear((0.0, 0.0), (0.0, 260.0), "260.0", offset=10)
    (text,) = texts(marks)
    assert text.angle_deg == pytest.approx(90.0)
    assert text.at[0] < -10


def test_a_figure_too_long_for_its_line_stands_beside_it():
    marks = linear((0.0, 0.0), (4.0, 0.0), "4.0", offset=10)
    (text,) = texts(marks)
    assert text.box().left > 4.0


def test_points_in_one_line_across_are_refused():
    with pytest.raises(InputError) as refused:
        linear((5.0, 0.0), (5.0, 10.0), "0", offset=10, direction_deg=0.0)
    assert refused.value.field == "direction_deg"


@given(st.floats(0, 360), st.floats(1, 180), st.floats(10, 40))
def test_the_figure_of_an_angle_stays_outside_its_arc(start, sweep, radius):
    marks = angle((0.0, 0.0), start, start + sweep, "27.7°", radius=radius)
    arc = next(m for m in marks if isinstance(m, Arc))
    assert arc.sweep_deg == pytest.approx(sweep)
    (text,) = texts(marks)
    length, height = text.size()
    x = max(abs(text.at[0]) - length / 2, 0.0)
    y = max(abs(text.at[1]) - height / 2, 0.0)
    assert math.hypot(x, y) >= radius


@given(st.floats(0, 360))
def test_a_diameter_points_at_the_centre_and_carries_its_sign(toward):
    marks = diameter((10.0, 20.0), 12.0, "24", toward_deg=toward)
    leader = next(m for m in marks if isinstance(m, Polyline))
    assert math.dist(leader.points[0], (10.0, 20.0)) == pytest.approx(12.0)
    (text,) = texts(marks)
    assert text.text == "⌀24"
    assert math.dist(text.at, (10.0, 20.0)) > 12.0


def test_mirrored_figures_still_do_not_overlap():
    marks = ordinates(PART, xs=[Ordinate(x, f"{x}") for x in (10.0, 11.0, 12.0, 200.0)])
    assert_apart(mirrored(marks, axis=217), 1.0)
