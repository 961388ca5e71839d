"""Marks: bounds, motions, and lettering that stays readable."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.basics.errors import InputError
from casewright.outputs.drawings.lettering import font_size, text_width
from casewright.outputs.drawings.marks import (
    Arc,
    Box,
    Circle,
    Drawing,
    Line,
    Motion,
    Operation,
    Polyline,
    Region,
    Text,
    arc_of,
    bounds,
    mirrored,
    moved,
    polar,
    rectangle,
    scaled,
    turned,
)
from casewright.outputs.drawings.symbols import CentreMark, DatumMark, GrainArrow, Triangle

near = st.floats(-500, 500)
points = st.tuples(near, near)


def sampled(arc):
    return [arc.at(arc.start_deg + arc.sweep_deg * i / 200) for i in range(201)]


@given(points, st.floats(1, 300), st.floats(0, 360), st.floats(0, 360))
def test_bounds_of_an_arc_hold_it_tightly(centre, radius, start, end):
    """Plain geometry: 200 points of the arc, no two further apart than its 1/200 part."""
    arc = Arc(centre, radius, start, end)
    box, dots = bounds([arc]), sampled(arc)
    xs, ys = [x for x, _ in dots], [y for _, y in dots]
    slack = radius * math.radians(arc.sweep_deg / 200)
    assert box.left <= min(xs) + 1e-6
    assert box.left >= min(xs) - slack
    assert box.right >= max(xs) - 1e-6
    assert box.right <= max(xs) + slack
    assert box.bottom <= min(ys) + 1e-6
    assert box.top >= max(ys) - 1e-6


@given(points, points, st.floats(-3, 3).filter(lambda bulge: abs(bulge) > 0.01))
def test_a_bulge_is_the_arc_that_dxf_defines(start, end, bulge):
    """DXF reference, LWPOLYLINE group 42: bulge = tan(included angle / 4), positive counter-clockwise."""
    if math.dist(start, end) < 1:
        return
    arc = arc_of(start, end, bulge)
    assert math.radians(arc.sweep_deg) == pytest.approx(4 * math.atan(abs(bulge)))
    first, last = (start, end) if bulge > 0 else (end, start)
    assert arc.at(arc.start_deg) == pytest.approx(first, abs=1e-6)
    assert arc.at(arc.end_deg) == pytest.approx(last, abs=1e-6)


def test_a_rounded_rectangle_is_as_big_as_it_says():
    outline = rectangle(Box(10, 20, 110, 80), radius=6)
    box = bounds([outline])
    assert (box.left, box.bottom, box.right, box.top) == pytest.approx((10, 20, 110, 80))
    with pytest.raises(InputError) as refused:
        rectangle(Box(0, 0, 10, 100), radius=6)
    assert refused.value.field == "radius"


def test_a_back_face_is_the_mirror_image_in_the_width():
    """Seen from behind, u becomes W - u: a hole 60 from the left of a 434 panel is 374 from the left."""
    hole = Circle((60.0, 70.0), 14.0)
    (seen,) = mirrored([hole], axis=434 / 2)
    assert seen == Circle((374.0, 70.0), 14.0)


@given(st.floats(-90, 90), st.sampled_from(["start", "middle", "end"]), st.sampled_from([-1, 1]))
def test_lettering_covers_the_mirrored_place_and_stays_readable(angle, anchor, side):
    text = Text((side * 40.0, 12.0), "⌀24.0", 3.5, anchor, "middle", angle)
    (seen,) = mirrored([text])
    assert -90 < seen.angle_deg <= 90 + 1e-6
    wanted = [(-x, y) for x, y in _corners_of_capitals(text)]
    assert _same_points(_corners_of_capitals(seen), wanted)


def _corners_of_capitals(text):
    length, height = text.size()
    left = {"start": 0.0, "middle": -length / 2, "end": -length}[text.anchor]
    low = {"baseline": 0.0, "middle": -height / 2, "top": -height}[text.vertical]
    place = Motion(*text.at, turn_deg=text.angle_deg)
    return [place.point((left + a * length, low + b * height)) for a in (0, 1) for b in (0, 1)]


def _same_points(mine, others):
    return all(min(math.dist(p, q) for q in others) < 1e-6 for p in mine)


@pytest.mark.parametrize("vertical", ["baseline", "middle", "top"])
def test_upright_lettering_reads_from_the_right_after_mirroring(vertical):
    text = Text((40.0, 0.0), "434.0", vertical=vertical, angle_deg=90.0)
    (seen,) = mirrored([text])
    assert seen.angle_deg == pytest.approx(90.0)
    assert _same_points(
        _corners_of_capitals(seen), [(-x, y) for x, y in _corners_of_capitals(text)]
    )


@given(st.floats(-400, 400), st.floats(0.1, 8), points)
def test_what_is_mirrored_twice_is_where_it_was(axis, factor, place):
    marks = (
        Line(place, (1.0, 2.0)),
        Arc(place, 5.0, 20.0, 100.0),
        Polyline((place, (600.0, 0.0), (600.0, 700.0)), (1.0, 0.0, -0.3)),
        Region(rectangle(Box(0, 0, 20, 10)), (Circle((5.0, 5.0), 2.0),)),
        CentreMark(place, 6.0),
        GrainArrow(place, 30.0),
        DatumMark(place),
        Triangle(place, share="left"),
    )
    again = mirrored(mirrored(marks, axis=axis), axis=axis)
    for before, after in zip(marks, again, strict=True):
        mine, other = bounds([before]), bounds([after])
        assert (mine.left, mine.bottom) == pytest.approx((other.left, other.bottom), abs=1e-6)
        assert (mine.right, mine.top) == pytest.approx((other.right, other.top), abs=1e-6)
    assert again[-1].share == "left"


def test_a_mirrored_piece_carries_the_other_half_of_the_triangle():
    (seen,) = mirrored([Triangle((10.0, 0.0), share="left")])
    assert seen.share == "right"
    assert seen.up_deg == pytest.approx(90.0)


def test_sizes_on_paper_do_not_shrink_with_the_part():
    text = Text((0.0, 0.0), "434.0")
    (small,) = scaled([text], 0.2)
    assert small.height == text.height
    assert text.size(0.2)[1] == pytest.approx(3.5 / 0.2)
    mark = CentreMark((0.0, 0.0), 10.0)
    assert bounds([mark], 0.2).right == pytest.approx(10 + 2.5 / 0.2)


def test_moving_and_turning():
    (line,) = moved([Line((0.0, 0.0), (10.0, 0.0))], 5, 7)
    assert line.end == (15.0, 7.0)
    (line,) = turned([Line((0.0, 0.0), (10.0, 0.0))], 90)
    assert line.end == pytest.approx((0.0, 10.0))


def test_a_drawing_knows_its_bounds_and_refuses_what_it_cannot_use():
    drawing = Drawing("Deck", (Line((0.0, 0.0), (100.0, 50.0)),))
    assert drawing.bounds == Box(0.0, 0.0, 100.0, 50.0)
    for wrong, field in (
        (lambda: Drawing("Deck", (), scale=0.0, bounds=Box(0, 0, 1, 1)), "scale"),
        (lambda: Drawing("Deck", ()), "marks"),
        (lambda: Operation("bore", depth=0.0), "depth"),
        (lambda: Polyline(((0.0, 0.0),)), "points"),
        (lambda: Polyline(((0.0, 0.0), (1.0, 1.0)), (1.0,)), "bulges"),
        (lambda: scaled((), math.nan), "factor"),
    ):
        with pytest.raises(InputError) as refused:
            wrong()
        assert refused.value.field == field


def test_lettering_is_measured_as_pillow_measures_it():
    """Reference: Pillow (FreeType) with the same font file, unhinted at a large size."""
    image_font = pytest.importorskip("PIL.ImageFont")
    from casewright.assets import font_folder

    font = image_font.truetype(
        str(font_folder() / "DejaVuSansCondensed.ttf"), 2048, layout_engine=0
    )
    for text in ("434.0", "⌀24.5 ½″ × 18 mm", "Deck, show face"):
        wanted = font.getlength(text) / 2048 * font_size(3.5)
        assert text_width(text, 3.5) == pytest.approx(wanted, rel=0.02)


def test_polar_goes_counter_clockwise():
    assert polar((1.0, 1.0), 2.0, 90.0) == pytest.approx((1.0, 3.0))
