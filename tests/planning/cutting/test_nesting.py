"""Shapes in one blank, held against plane geometry by shapely: each outline is moved there by its own matrix."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity

from casewright.planning.cutting import (
    Blank,
    Placement,
    Profile,
    SawLimits,
    Stock,
    Wishes,
    better_plan,
    nest_faults,
    nested_blanks,
    on_sheet,
    plan_cuts,
)
from casewright.planning.cutting.nesting import Turns

TROMINO = ((0.0, 0.0), (200.0, 0.0), (200.0, 100.0), (100.0, 100.0), (100.0, 200.0), (0.0, 200.0))


def moved(profile: Profile, turned_deg: float, face: str, corner: tuple[float, float]) -> object:
    """The outline turned over, turned, and set down with its lowest corner there."""
    c, s = math.cos(math.radians(turned_deg)), math.sin(math.radians(turned_deg))
    flip = -1.0 if face == "back" else 1.0
    shape = affinity.affine_transform(
        shapely.Polygon(profile.outline), [flip * c, -s, flip * s, c, 0, 0]
    )
    return affinity.translate(shape, corner[0] - shape.bounds[0], corner[1] - shape.bounds[1])


def check(blank: Blank, profiles: tuple[Profile, ...], gap: float, faces: set[str]) -> None:
    sheet = shapely.box(0, 0, blank.length, blank.width)
    shapes = []
    assert [nested.key for nested in blank.nested] == [profile.key for profile in profiles]
    for nested, profile in zip(blank.nested, profiles, strict=True):
        there = shapely.Polygon(nested.outline)
        assert there.difference(sheet).area < 1e-3
        own = moved(profile, nested.turned_deg, nested.face, there.bounds[:2])
        assert there.symmetric_difference(own).area < 0.02
        assert nested.face in faces
        if profile.turns == "half":
            assert nested.turned_deg % 180 == 0
        shapes.append(there)
    for a, b in combinations(shapes, 2):
        assert a.distance(b) >= gap - 1e-4
        assert a.intersection(b).area < 1e-3


@st.composite
def outlines(draw: st.DrawFn) -> tuple[tuple[float, float], ...]:
    """A star-shaped outline: any distances round a middle, so concave ones too."""
    count = draw(st.integers(3, 8))
    points = []
    for number in range(count):
        reach = draw(st.floats(60, 400))
        angle = 2 * math.pi * (number + draw(st.floats(0.0, 0.6))) / count
        points.append((reach * math.cos(angle), reach * math.sin(angle)))
    left, low = min(x for x, _ in points), min(y for _, y in points)
    return tuple((x - left, y - low) for x, y in points)


@settings(deadline=None, max_examples=12)
@given(
    shapes=st.lists(outlines(), min_size=2, max_size=3),
    gap=st.sampled_from([0.0, 3.2, 7.0, 12.7]),
    turns=st.sampled_from(["half", "free"]),
    either=st.booleans(),
)
def test_whatever_the_shapes_they_lie_inside_a_gap_apart_and_as_the_grain_allows(
    shapes: list[tuple[tuple[float, float], ...]],
    gap: float,
    turns: Turns,
    either: bool,
) -> None:
    """Shapely: distances, areas and places of the outlines, moved apart from the product."""
    parts = tuple(
        Profile(f"p{number}", f"part {number}", outline, turns)
        for number, outline in enumerate(shapes)
    )
    blanks = nested_blanks(*parts, gap=gap, either_face=either)
    assert blanks
    assert blanks == nested_blanks(*parts, gap=gap, either_face=either)
    sides = [shapely.Polygon(profile.outline).bounds[2:] for profile in parts]
    for blank in blanks:
        check(blank, parts, gap, {"show", "back"} if either else {"show"})
        assert blank.grain == ("none" if turns == "free" else "length")
    if len(parts) > 2:
        return  # the rest counts on one being slid against one
    # One above the other, level at the left, is always possible: no worse than that.
    stacked = max(w for w, _ in sides) * (sides[0][1] + sides[1][1] + 2.1 * gap)
    assert min(b.length * b.width for b in blanks) <= stacked + 1


def test_two_l_shapes_of_three_squares_make_two_by_three_squares() -> None:
    """Plain geometry: an L of three squares and its half turn fill a rectangle of six."""
    best = nested_blanks(Profile("a", "a", TROMINO), Profile("b", "b", TROMINO), gap=0)[0]
    assert sorted((best.length, best.width)) == pytest.approx([200, 300], abs=1e-3)


def test_a_gap_between_them_is_paid_once_in_each_direction() -> None:
    """Plain geometry: the same L shapes 10 mm apart need a rectangle larger by that, and no smaller one will do."""
    best = nested_blanks(Profile("a", "a", TROMINO), Profile("b", "b", TROMINO), gap=10)[0]
    assert sorted((best.length, best.width)) == pytest.approx([210, 310], abs=1e-3)


def test_a_wedge_and_its_mirror_image_need_the_other_face_to_fit_into_each_other() -> None:
    """Plain geometry: two triangles of one hand make a rectangle; a left and a right one do only turned over."""
    left = ((0.0, 0.0), (300.0, 0.0), (0.0, 200.0))
    right = ((0.0, 0.0), (300.0, 0.0), (300.0, 200.0))
    pair = (Profile("left", "left", left), Profile("right", "right", right))
    showing = nested_blanks(*pair, gap=0)[0]
    either = nested_blanks(*pair, gap=0, either_face=True)[0]
    assert showing.length * showing.width > 300 * 200 + 1
    assert either.length * either.width == pytest.approx(300 * 200, abs=1e-3)
    assert {nested.face for nested in either.nested} == {"show", "back"}


@pytest.mark.parametrize("count", [2, 3, 4])
def test_equal_sided_triangles_in_a_row_need_half_a_side_more_for_each(count: int) -> None:
    """Plain geometry: every other one upside down, they fill a strip (n + 1)/2 sides long but for a triangle's half."""
    side = 400.0
    triangle = ((0.0, 0.0), (side, 0.0), (side / 2, side * math.sqrt(3) / 2))
    row = [Profile(f"t{number}", f"t{number}", triangle) for number in range(count)]
    best = nested_blanks(*row, gap=0)[0]
    # In rows of two or one above the other they need as much: a row wastes one triangle's area, however long it is.
    assert best.length * best.width == pytest.approx(
        (count + 1) / 2 * side * side * math.sqrt(3) / 2, rel=1e-6
    )


def test_a_small_part_comes_to_lie_in_what_a_large_one_leaves() -> None:
    """Plain geometry: the hollow of an L of three squares is one square; a smaller triangle fits in a gap away."""
    large = Profile("a", "a", TROMINO)
    small = Profile("b", "b", ((0.0, 0.0), (90.0, 0.0), (90.0, 90.0)))
    blanks = nested_blanks(large, small, gap=8)
    assert (blanks[0].length, blanks[0].width) == pytest.approx((200, 200), abs=1e-3)


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"outline": tuple((x - 500, y) for x, y in TROMINO)}, "sticks out"),
        ({"outline": tuple((x / 2, y / 2) for x, y in TROMINO)}, "own outline"),
        ({"face": "back"}, "own outline"),
        ({"turned_deg": 90.0}, "across the grain"),
    ],
)
def test_a_nest_that_cannot_be_cut_is_refused(change: dict[str, object], fault: str) -> None:
    """Each law broken once, on purpose."""
    pair = (Profile("a", "a", TROMINO), Profile("b", "b", TROMINO))
    best = nested_blanks(*pair, gap=10)[0]
    assert nest_faults(best, pair, gap=10) == ()
    assert nest_faults(best, pair, gap=10.01)
    first, second = best.nested
    broken = replace(best, nested=(replace(first, **change), second))  # type: ignore[arg-type]
    assert any(fault in told for told in nest_faults(broken, pair, gap=10))


def test_outlines_follow_their_blank_to_its_place_on_the_sheet() -> None:
    """Plain geometry: straight it is moved; turned, a quarter to the left, so that it fills the laid rectangle."""
    pair = (Profile("a", "a", TROMINO, "free"), Profile("b", "b", TROMINO, "free"))
    blank = nested_blanks(*pair, gap=5)[0]
    for turned in (False, True):
        length, width = (blank.width, blank.length) if turned else (blank.length, blank.width)
        place = Placement(blank.key, 1, 40, 70, length, width, turned)
        shapes = [shapely.Polygon(outline) for _, outline in on_sheet(blank, place)]
        assert shapely.union_all(shapes).bounds == pytest.approx((40, 70, 40 + length, 70 + width))
        assert shapes[0].distance(shapes[1]) >= 5 - 1e-6
        assert all(shape.exterior.is_ccw for shape in shapes)  # turned, not mirrored


def test_of_two_plans_the_one_with_fewer_sheets_is_better_then_the_one_with_the_larger_offcut() -> (
    None
):
    """The order of aims as the documents give it."""
    stock = [Stock("sheet", 1000, 600)]
    saw, wishes = SawLimits(kerf=3), Wishes()
    one = plan_cuts([Blank("a", 900, 300)], stock, saw=saw)
    two = plan_cuts([Blank("a", 900, 300), Blank("b", 900, 400)], stock, saw=saw)
    wide = plan_cuts([Blank("a", 900, 350)], stock, saw=saw)
    assert better_plan(one, two, stock, saw=saw, wishes=wishes)
    assert not better_plan(two, one, stock, saw=saw, wishes=wishes)
    assert better_plan(one, wide, stock, saw=saw, wishes=wishes)
    assert not better_plan(one, one, stock, saw=saw, wishes=wishes)
