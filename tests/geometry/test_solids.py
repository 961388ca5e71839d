"""Solids against closed formulas, as any handbook of plane and solid geometry gives them."""

from __future__ import annotations

import gc
import math
import weakref
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from manifold3d import Manifold, OpType
from shapely import Point, unary_union
from tests.geometry.pieces_by_hand import board, body, frame, hole, rectangle

from casewright.geometry.facets import quarter, shape_points, signed_area
from casewright.geometry.lofts import clear_boxes
from casewright.geometry.model import Box, Circle, Cylinder, Feature, Polygon, Rectangle
from casewright.geometry.solids import Solid, balance_of, piece_solid, solid_of

WIDTH, HEIGHT, THICKNESS = 400.0, 200.0, 12.0
PLAIN = WIDTH * HEIGHT * THICKNESS


def volume(*features: Feature, show=None, back=None) -> float:
    show = show or rectangle(WIDTH, HEIGHT)
    return piece_solid(board("x", show, back=back, features=features, thickness=THICKNESS)).volume()


def prismoid(area, height: float) -> float:
    """Volume of a body whose section `area(h)` is a quadratic of the height: h/6 (A + 4 M + B)."""
    return height / 6 * (area(0.0) + 4 * area(height / 2) + area(height))


def rounded_area(width: float, height: float, radius: float) -> float:
    """Rectangle less its four corners outside the rounding: b h − (4 − π) r²."""
    return width * height - (4 - math.pi) * radius**2


# ---- outlines --------------------------------------------------------------------------------------------------------


@given(st.floats(0.5, 200.0))
def test_a_faceted_circle_keeps_its_area_extent_and_rim(diameter):
    points = shape_points(Circle(3.0, -4.0, diameter))
    assert signed_area(points) == pytest.approx(math.pi * diameter**2 / 4, rel=1e-12)
    assert max(u for u, _ in points) == pytest.approx(3.0 + diameter / 2, abs=1e-12)
    assert min(v for _, v in points) == pytest.approx(-4.0 - diameter / 2, abs=1e-12)
    radius = diameter / 2
    middles = [((a + c) / 2, (b + d) / 2) for (a, b), (c, d) in pairwise(points)]
    off = max(abs(math.dist(p, (3.0, -4.0)) - radius) for p in (*points, *middles))
    assert off <= max(0.01, radius / 2500)


def test_a_quarter_starts_and_ends_on_the_axes():
    points = quarter(8)
    assert (points[0], points[-1], len(points)) == ((1.0, 0.0), (0.0, 1.0), 9)


@given(
    st.floats(20, 100),
    st.floats(20, 100),
    st.floats(0, 1),
    st.floats(-180, 180),
    st.floats(0, 8),
)
def test_a_rounded_rectangle_keeps_its_area_when_grown_and_turned(w, h, share, turn, grow):
    radius = share * min(w, h) / 2
    points = shape_points(Rectangle(1, 2, w, h, radius, turn), grow=grow)
    # Sharp corners stay sharp; round ones stay round about the same centre.
    grown = radius + grow if radius > 1e-9 else 0.0
    expected = rounded_area(w + 2 * grow, h + 2 * grow, grown)
    assert signed_area(points) == pytest.approx(expected, rel=1e-9)


def test_a_grown_polygon_keeps_parallel_sides():
    l_shape = Polygon(((0, 0), (40, 0), (40, 10), (10, 10), (10, 30), (0, 30)))
    grown = shape_points(l_shape, grow=2)
    assert grown == [(-2, -2), (42, -2), (42, 12), (12, 12), (12, 32), (-2, 32)]


# ---- pieces ----------------------------------------------------------------------------------------------------------


def test_a_board_is_exact():
    assert volume() == pytest.approx(PLAIN, rel=1e-12)


@given(st.floats(-11, 11), st.floats(-11, 11), st.floats(-11, 11), st.floats(-11, 11))
def test_a_bevelled_board_is_a_prismoid(left, right, low, high):
    """Sides that slope: the section at depth h is a rectangle whose sides run straight from face to face."""
    back = (
        (left, low),
        (WIDTH - right, low),
        (WIDTH - right, HEIGHT - high),
        (left, HEIGHT - high),
    )

    def section(h: float) -> float:
        share = h / THICKNESS
        return (WIDTH - share * (left + right)) * (HEIGHT - share * (low + high))

    assert volume(back=back) == pytest.approx(prismoid(section, THICKNESS), rel=1e-12)


def test_a_board_that_ends_in_a_wedge_is_half_its_block():
    show = ((0.0, 0.0), (100.0, 0.0), (100.0, 0.0), (0.0, 0.0))
    back = rectangle(100, 40)
    assert volume(show=show, back=back) == pytest.approx(100 * 40 * THICKNESS / 2, rel=1e-9)


BEVELLED = ((0.0, -5.0), (WIDTH, -5.0), (WIDTH, HEIGHT + 8.0), (0.0, HEIGHT + 8.0))
BEVELLED_VOLUME = WIDTH * THICKNESS * (HEIGHT + (HEIGHT + 13)) / 2


@pytest.mark.parametrize(
    ("back", "blank"), [(None, PLAIN), (BEVELLED, BEVELLED_VOLUME)], ids=["square", "bevelled"]
)
@pytest.mark.parametrize("face", ["show", "back"])
class TestFeatures:
    """Each feature takes away the volume that its formula gives, alone and where it meets another."""

    def taken(self, blank, back, *features):
        return blank - volume(*features, back=back)

    def test_hole(self, back, blank, face):
        feature = Feature("h", "hole", Circle(200, 100, 28.6), face, None, "forstner")
        expected = math.pi * 28.6**2 / 4 * THICKNESS
        assert self.taken(blank, back, feature) == pytest.approx(expected, rel=1e-9)

    def test_pocket_with_a_hole_in_its_floor(self, back, blank, face):
        pocket = Feature("p", "pocket", Rectangle(200, 100, 96, 54, 6), face, 5.0, "straight")
        drill = Feature("h", "hole", Circle(200, 100, 24), face, None, "forstner")
        expected = rounded_area(96, 54, 6) * 5 + math.pi * 12**2 * (THICKNESS - 5)
        assert self.taken(blank, back, pocket, drill) == pytest.approx(expected, rel=1e-9)

    def test_pilot(self, back, blank, face):
        feature = Feature("h", "pilot", Circle(50, 30, 2.5), face, 9.0, "twist")
        expected = math.pi * 1.25**2 * 9
        assert self.taken(blank, back, feature) == pytest.approx(expected, rel=1e-6)

    @pytest.mark.parametrize("beside", [False, True])
    def test_chamfered_hole(self, back, blank, face, beside):
        """Frustum of a cone: π h / 3 (R² + R r + r²), over the straight part."""
        feature = Feature("h", "hole", Circle(200, 100, 60), face, None, "hole saw", chamfer=4)
        straight, flare = math.pi * 900 * 8, math.pi * 4 / 3 * (34**2 + 34 * 30 + 900)
        expected, features = straight + flare, [feature]
        if beside:  # two holes that share a place are cut, not built in
            features.append(Feature("i", "pilot", Circle(200, 100, 3), face, None, "twist"))
        assert self.taken(blank, back, *features) == pytest.approx(expected, rel=1e-9)

    @pytest.mark.parametrize("radius", [0.0, 6.0, 30.0])
    def test_chamfered_opening(self, back, blank, face, radius):
        shape = Rectangle(200, 100, 200, 60, radius)
        feature = Feature("o", "opening", shape, face, None, "flush trim", chamfer=8)

        def section(h: float) -> float:
            return rounded_area(200 + 2 * h, 60 + 2 * h, radius + h if radius else 0.0)

        expected = rounded_area(200, 60, radius) * (THICKNESS - 8) + prismoid(section, 8)
        assert self.taken(blank, back, feature) == pytest.approx(expected, rel=1e-9)

    def test_chamfer_wider_than_the_board_is_thick(self, back, blank, face):
        feature = Feature("h", "hole", Circle(200, 100, 60), face, None, "hole saw", chamfer=15)
        wide, narrow = 45.0, 45.0 - THICKNESS
        expected = math.pi * THICKNESS / 3 * (wide**2 + wide * narrow + narrow**2)
        assert self.taken(blank, back, feature) == pytest.approx(expected, rel=1e-9)

    def test_countersink(self, back, blank, face):
        """A whole cone of 90°: π r³ / 3."""
        feature = Feature("c", "countersink", Circle(200, 100, 8.4), face, None, "countersink")
        expected = math.pi * 4.2**3 / 3
        assert self.taken(blank, back, feature) == pytest.approx(expected, rel=1e-6)

    def test_counterbore_over_a_clearance_hole(self, back, blank, face):
        bore = Feature("b", "counterbore", Circle(200, 100, 9), face, 6.0, "forstner")
        clearance = Feature("c", "clearance", Circle(200, 100, 4.5), face, None, "twist")
        expected = math.pi * (4.5**2 * 6 + 2.25**2 * 6)
        assert self.taken(blank, back, bore, clearance) == pytest.approx(expected, rel=1e-6)

    def test_bored_and_sunk_from_both_faces(self, back, blank, face):
        other = "back" if face == "show" else "show"
        clearance = Feature("c", "clearance", Circle(200, 100, 4.5), face, None, "twist")
        bore = Feature("b", "counterbore", Circle(200, 100, 9), face, 4.0, "forstner")
        sink = Feature("s", "countersink", Circle(200, 100, 11), other, 2.0, "countersink")
        cone = math.pi * 2 / 3 * (5.5**2 + 5.5 * 3.5 + 3.5**2)
        expected = math.pi * (4.5**2 * 4 + 2.25**2 * 6) + cone
        assert self.taken(blank, back, bore, clearance, sink) == pytest.approx(expected, rel=1e-6)

    def test_a_countersink_in_a_clearance_hole_ends_where_the_hole_is_as_wide(
        self, back, blank, face
    ):
        """The cone narrows to the hole's radius r at the depth R − r: π (R − r) / 3 (R² + R r + r²)."""
        clearance = Feature("c", "clearance", Circle(200, 100, 4), face, None, "twist")
        sink = Feature("s", "countersink", Circle(200, 100, 8), face, None, "countersink")
        expected = math.pi * 2 / 3 * (16 + 8 + 4) + math.pi * 4 * (THICKNESS - 2)
        assert self.taken(blank, back, clearance, sink) == pytest.approx(expected, rel=1e-3)

    def test_a_pilot_in_an_opening_that_is_no_rectangle(self, back, blank, face):
        l_shape = Polygon(((50, 50), (150, 50), (150, 90), (90, 90), (90, 150), (50, 150)))
        opening = Feature("o", "opening", l_shape, face, None, "jigsaw")
        inside = Feature("p", "pilot", Circle(70, 70, 3), face, 8.0, "twist")
        beside = Feature("q", "pilot", Circle(130, 130, 3), face, 8.0, "twist")
        expected = (100 * 40 + 40 * 60) * THICKNESS + math.pi * 1.5**2 * 8
        assert self.taken(blank, back, opening, inside, beside) == pytest.approx(expected, rel=1e-7)

    def test_groove_from_edge_to_edge(self, back, blank, face):
        shape = Rectangle(WIDTH / 2, 100, WIDTH + 20, 9)
        feature = Feature("g", "groove", shape, face, 6.0, "straight")
        assert self.taken(blank, back, feature) == pytest.approx(WIDTH * 9 * 6, rel=1e-9)

    def test_notch_at_a_corner(self, back, blank, face):
        notch = Polygon(((-1, 50), (20, 50), (20, 70), (-1, 70)))
        feature = Feature("n", "notch", notch, face, None, "jigsaw")
        assert self.taken(blank, back, feature) == pytest.approx(20 * 20 * THICKNESS, rel=1e-9)

    def test_slot_in_an_edge(self, back, blank, face):
        shape = Rectangle(WIDTH - 5, 100, 10, 100)
        feature = Feature("s", "slot", shape, face, 2.0, "slot cutter")
        assert self.taken(blank, back, feature) == pytest.approx(10 * 100 * 2, rel=1e-9)

    def test_two_holes_that_cross(self, back, blank, face):
        """Area of two equal circles less their lens, 2 r² acos(d / 2r) − d/2 √(4 r² − d²)."""
        r, d = 10.0, 12.0
        lens = 2 * r**2 * math.acos(d / (2 * r)) - d / 2 * math.sqrt(4 * r**2 - d**2)
        pair = [
            Feature(k, "hole", Circle(u, 100, 2 * r), face, None, "forstner")
            for k, u in (("a", 100.0), ("b", 100.0 + d))
        ]
        expected = (2 * math.pi * r**2 - lens) * THICKNESS
        assert self.taken(blank, back, *pair) == pytest.approx(expected, rel=1e-3)

    def test_holes_that_cross_in_a_ring(self, back, blank, face):
        """They cut the ring and free what it goes round: the disks' union by shapely, less nothing of the middle."""
        spots = [
            (200 + 60 * math.cos(turn), 100 + 60 * math.sin(turn))
            for turn in (math.tau * step / 24 for step in range(24))
        ]
        ring = [
            Feature(f"h{i}", "hole", Circle(u, v, 20), face, None, "forstner")
            for i, (u, v) in enumerate(spots)
        ]
        far = Feature("far", "pocket", Circle(40, 40, 20), face, 5.0, "forstner")
        disks = unary_union([Point(u, v).buffer(10, quad_segs=256) for u, v in spots])
        assert len(disks.interiors) == 1
        expected = disks.area * THICKNESS + math.pi * 100 * 5
        assert self.taken(blank, back, *ring, far) == pytest.approx(expected, rel=1e-3)
        piece = board("x", rectangle(WIDTH, HEIGHT), back=back, features=[*ring, far])
        mass, centre = balance_of(piece)
        assert mass == pytest.approx(blank - expected, rel=1e-4)
        assert centre == pytest.approx(solid_of(piece).centre, abs=1e-6)

    def test_screws_about_a_fan(self, back, blank, face):
        """Their boxes share corners with the fan's, the holes themselves are apart."""
        fan = Feature("fan", "hole", Circle(150, 100, 74), "show", None, "hole saw")
        screws = [
            Feature(f"s{u}{v}", "pilot", Circle(150 + u, 100 + v, 3), face, 8.0, "twist")
            for u in (-30.0, 30.0)
            for v in (-30.0, 30.0)
        ]
        expected = math.pi * (37**2 * THICKNESS + 4 * 1.5**2 * 8)
        assert self.taken(blank, back, fan, *screws) == pytest.approx(expected, rel=1e-7)


def test_round_holes_may_share_corners_of_their_boxes():
    """Apart by Pythagoras: 30 √2 = 42.4 between centres; a round one and a square one are asked by their boxes."""
    outline = [rectangle(400, 400)]

    def boxes(radius):
        return [(100 - 37, 63, 137, 137), (130 - radius, 130 - radius, 130 + radius, 130 + radius)]

    assert clear_boxes(boxes(5.3), outline, [True, True]) == [True, True]
    assert clear_boxes(boxes(5.5), outline, [True, True]) == [False, False]
    assert clear_boxes(boxes(5.3), outline, [True, False]) == [False, False]


@given(
    st.lists(
        st.tuples(
            st.floats(0, WIDTH),
            st.floats(0, HEIGHT),
            st.floats(2, 60),
            st.sampled_from([None, 3.0, 8.0]),
            st.sampled_from(["show", "back"]),
            st.sampled_from([0.0, 2.0]),
        ),
        max_size=6,
    ),
    st.booleans(),
)
def test_building_in_and_cutting_out_agree(holes, bevelled):
    """Wherever the holes lie, one solid is the blank with each hole's own solid taken out of it in turn."""
    features = [
        Feature(f"h{i}", "hole", Circle(u, v, d), face, depth, "forstner", chamfer=chamfer)
        for i, (u, v, d, depth, face, chamfer) in enumerate(holes)
    ]
    back = BEVELLED if bevelled else None
    at_once = board("x", rectangle(WIDTH, HEIGHT), back=back, features=features)
    # A far larger block with one hole, taken from a solid block, leaves that hole's own body.
    far = rectangle(WIDTH + 400, HEIGHT + 400, u=-200, v=-200)
    block = piece_solid(board("block", far))
    bodies = [block - piece_solid(board("b", far, features=[f])) for f in features]
    blank = piece_solid(board("x", rectangle(WIDTH, HEIGHT), back=back))
    in_turn = Manifold.batch_boolean([blank, *bodies], OpType.Subtract)
    assert piece_solid(at_once).volume() == pytest.approx(
        in_turn.volume(), abs=5.0
    )  # rims are off by 0.01 mm


def test_parts_sum_to_their_union():
    """Three boards in a miter and a butt joint share faces and no space."""
    deck = board("deck", rectangle(300, 100), back=((0, 12), (300, 12), (300, 100), (0, 100)))
    lip = board(
        "lip",
        rectangle(300, 80, v=-80),
        back=((0, -80), (300, -80), (300, -12), (0, -12)),
        at=frame((0, 0, 0), 90),
    )
    side = board(
        "side",
        rectangle(100, 80, v=-80),
        at=type(deck.frame)((300, 0, 0), (0, 1, 0), (0, 0, 1), (1, 0, 0)),
    )
    side = board(
        "side",
        side.show,
        at=type(side.frame)((312, 0, 0), *(side.frame.u, side.frame.v, side.frame.n)),
    )
    solids = [piece_solid(p) for p in (deck, lip, side)]
    union = Manifold.batch_boolean(solids, OpType.Add)
    assert union.volume() == pytest.approx(sum(s.volume() for s in solids), rel=1e-9)
    assert union.bounding_box() == pytest.approx((0, 0, -80, 312, 100, 0))


def test_centre_of_a_wedge_is_a_third_up():
    show = ((0.0, 0.0), (90.0, 0.0), (90.0, 0.0), (0.0, 0.0))
    wedge = board("w", show, back=rectangle(90, 60))
    assert solid_of(wedge).centre == pytest.approx((45.0, 20.0, -8.0))


# ---- frames, bodies, memory ------------------------------------------------------------------------------------------


def test_a_piece_stands_where_its_frame_says():
    piece = board("p", rectangle(100, 50), at=frame((10, 20, 30), 90), thickness=12)
    assert solid_of(piece).box == (
        pytest.approx((10, 20, 30)),
        pytest.approx((110, 32, 80)),
    )


def test_bodies_are_boxes_cylinders_and_frusta():
    box = body("a.b", Box(10, 20, 30, 40, -50, 2))
    assert solid_of(box).box == (pytest.approx((-5, 0, -50)), pytest.approx((25, 40, 2)))
    round_body = body("a.c", Cylinder(0, 0, 20, -60, 0))
    assert solid_of(round_body).volume == pytest.approx(math.pi * 100 * 60, rel=1e-9)
    knob = body("a.d", Cylinder(0, 0, 30, 0, 12, top_diameter=20))
    assert solid_of(knob).volume == pytest.approx(math.pi * 4 * (225 + 150 + 100), rel=1e-9)


def test_only_what_changed_is_built_again():
    piece = board("p", rectangle(100, 50), features=[hole("h", 30, 30, 16)])
    twin = board("p", rectangle(100, 50), features=[hole("named otherwise", 30, 30, 16)])
    moved = board("p", rectangle(100, 50), features=[hole("h", 31, 30, 16)])
    assert solid_of(piece) is solid_of(twin)
    assert solid_of(piece) is not solid_of(moved)


def test_a_crossed_outline_of_a_feature_takes_what_it_goes_round():
    """A bow tie's two triangles run opposite ways round; one of them counts, and no more than both."""
    bow = Polygon(((100, 50), (200, 50), (100, 150), (200, 150)))
    feature = Feature("b", "opening", bow, "show", None, "jigsaw")
    assert 0 <= PLAIN - volume(feature) <= 2 * (100 * 50 / 2) * THICKNESS + 1e-6


def test_ends_that_cross_between_the_faces_make_a_body_all_the_same():
    turned_out = ((0.0, 30.0), (100.0, 30.0), (100.0, 10.0), (0.0, 10.0))
    solid = piece_solid(board("x", turned_out, back=rectangle(100, 40)))
    drilled = board("x", turned_out, back=rectangle(100, 40), features=[hole("h", 50, 20, 5)])
    assert 0 < piece_solid(drilled).volume() < solid.volume()


def test_solids_of_earlier_cabinets_are_let_go():
    """A cabinet has a few hundred solids; those of many edits ago are kept by nothing."""
    shape = Box(0.0, 0.0, 10.0, 10.0, 0.0, 10.0)

    def solid(number: int) -> weakref.ref[Solid]:
        return weakref.ref(solid_of(body(f"b{number}", shape, at=frame(origin=(number, 0.0, 0.0)))))

    made = [solid(number) for number in range(4 * 300 + 1)]
    gc.collect()
    assert made[-1]() is not None  # what was made last is found again
    assert made[0]() is None
