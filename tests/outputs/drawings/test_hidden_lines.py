"""Line pictures against plain geometry, and against rays cast at the solids by the geometry library."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.geometry.pieces_by_hand import board, body, cabinet, frame, hole, rectangle

from casewright.basics.errors import InputError
from casewright.geometry.model import Box, Cylinder
from casewright.geometry.solids import solid_of
from casewright.outputs.drawings.apart import moved_apart
from casewright.outputs.drawings.hidden_lines import lines_of, project_lines
from casewright.outputs.drawings.viewpoint import VIEWS, View, around

CUBE = body("cube.body", Box(50, 50, 100, 100, 0, 100))


def length(lines) -> float:
    return sum(
        math.dist(p, q)
        for line in lines
        for p, q in zip(line.points, line.points[1:], strict=False)
    )


def extent(lines) -> tuple[float, ...]:
    points = [p for line in lines for p in line.points]
    us, vs = [p[0] for p in points], [p[1] for p in points]
    return (min(us), min(vs), max(us), max(vs))


# ---- views -----------------------------------------------------------------------------------------------------------


def test_views_look_the_way_they_are_called():
    right, up, toward = VIEWS["front"].axes
    assert right.tolist() == [1, 0, 0]
    assert up.tolist() == [0, 0, 1]
    assert toward.tolist() == [0, -1, 0]
    assert VIEWS["right"].axes[0].tolist() == [0, 1, 0]
    assert VIEWS["back"].axes[0].tolist() == [-1, 0, 0]
    assert VIEWS["top"].axes[:2].tolist() == [[1, 0, 0], [0, 1, 0]]


def test_the_isometric_view_shortens_all_axes_alike():
    """ISO 5456-3, isometric axonometry: axes along lines 60° apart, each shortened to √(2/3) = 0.816."""
    axes = VIEWS["isometric"].axes[:2]
    shortened = np.linalg.norm(axes, axis=0)
    assert shortened == pytest.approx([math.sqrt(2 / 3)] * 3)
    angles = np.degrees(np.arctan2(axes[1], axes[0]))
    assert sorted(angles % 180) == pytest.approx([30, 90, 150])


def test_a_view_along_its_own_up_is_refused():
    with pytest.raises(InputError) as caught:
        _ = View("bad", (0, 0, 2)).axes
    assert caught.value.field == "toward"


# ---- one solid -------------------------------------------------------------------------------------------------------


def test_a_cube_shows_nine_of_its_twelve_edges():
    picture = lines_of([CUBE], VIEWS["isometric"], hidden=True)
    edge = 100 * math.sqrt(2 / 3)
    assert length(picture.visible) == pytest.approx(9 * edge, abs=1e-2)
    assert length(picture.hidden) == pytest.approx(3 * edge, abs=1e-2)
    # The outline is a regular hexagon whose side is the shortened edge.
    low_u, low_v, high_u, high_v = extent(picture.visible)
    assert high_u - low_u == pytest.approx(edge * math.sqrt(3), abs=1e-3)
    assert high_v - low_v == pytest.approx(edge * 2, abs=1e-3)


def test_a_cube_from_the_front_is_a_square_with_nothing_behind():
    picture = lines_of([CUBE], VIEWS["front"])
    (line,) = picture.visible
    assert line.is_closed and line.key == "cube.body"
    assert len(line.points) == 5
    assert extent([line]) == (0, 0, 100, 100)
    assert picture.hidden == ()


def test_a_cylinder_shows_its_rim_and_its_flanks():
    """From 30° above: an ellipse with axes d and d sin 30°, two flanks of h cos 30°, half an ellipse below."""
    rod = body("rod.body", Cylinder(0, 0, 60, 0, 100))
    picture = lines_of([rod], around("", aside_deg=0, above_deg=30))
    low_u, low_v, high_u, high_v = extent(picture.visible)
    assert (low_u, high_u) == pytest.approx((-30, 30), abs=0.1)
    assert high_v - low_v == pytest.approx(100 * math.cos(math.radians(30)) + 30, abs=0.1)
    a, b = 30.0, 15.0  # Ramanujan's formula for the ellipse's circumference
    h = ((a - b) / (a + b)) ** 2
    rim = math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))
    expected = 1.5 * rim + 2 * 100 * math.cos(math.radians(30))
    assert length(picture.visible) == pytest.approx(expected, rel=0.01)


def test_a_hole_seen_straight_on_is_one_ring():
    piece = board("deck", rectangle(100, 80), features=[hole("h", 50, 40, 30)])
    picture = lines_of([piece], VIEWS["top"])
    rings = sorted(picture.visible, key=lambda line: length([line]))
    assert [ring.is_closed for ring in rings] == [True, True]
    assert length(rings[:1]) == pytest.approx(math.pi * 30, rel=0.005)
    assert length(rings[1:]) == pytest.approx(360)


# ---- several ---------------------------------------------------------------------------------------------------------


def test_a_board_hides_just_what_lies_behind_it():
    """A bar 300 long and 10 high stands 50 behind a board 100 wide that covers u 20 to 120."""
    screen = body("a.screen", Box(70, 0, 100, 4, -50, 50))
    bar = body("b.bar", Box(150, 50, 300, 10, 0, 10))
    picture = lines_of([screen, bar], VIEWS["front"], hidden=True)
    seen = [line for line in picture.visible if line.key == "b.bar"]
    # Both long edges but for 100 each, and both ends.
    assert length(seen) == pytest.approx(2 * 200 + 2 * 10, abs=1e-6)
    inner = sorted(p[0] for line in seen for p in line.points if 0 < p[0] < 300)
    assert inner == pytest.approx([20, 20, 120, 120], abs=1e-3)


def test_what_stands_in_front_is_whole():
    knob = body("a.knob", Cylinder(50, 50, 20, 100, 120))
    alone = lines_of([knob], VIEWS["cover"])
    together = lines_of([knob, CUBE], VIEWS["cover"])
    on_top = [line for line in together.visible if line.key == "a.knob"]
    assert length(on_top) == pytest.approx(length(alone.visible), rel=1e-3)


def test_through_an_opening_one_sees_what_is_behind():
    front = board(
        "front", rectangle(200, 200), features=[hole("h", 100, 100, 80)], at=frame((0, 0, 0), 90)
    )
    post = body("post.body", Box(100, 60, 10, 10, 0, 200))
    picture = lines_of([front, post], VIEWS["front"])
    seen = [line for line in picture.visible if line.key == "post.body"]
    # Two upright edges, 5 aside of the middle, cross the round opening on chords of 2 √(40² − 5²).
    assert length(seen) == pytest.approx(2 * 2 * math.sqrt(1600 - 25), rel=1e-2)


def random_scene():
    number = st.integers(-40, 40)
    size = st.integers(5, 60)
    box = st.tuples(number, number, number, size, size, size, st.sampled_from([0, 20, 45, 90]))
    return st.lists(box, min_size=1, max_size=5)


def apart(scene):
    """No two faces or edges in one place: what then is seen is a matter of taste."""
    return [
        (x + 0.37 * i, y + 0.53 * i, z + 0.71 * i, a, b, c, turn)
        for i, (x, y, z, a, b, c, turn) in enumerate(scene)
    ]


@settings(max_examples=25)
@given(random_scene(), st.sampled_from([(-32, 24), (145, 28), (17, 41)]))
def test_what_rays_find_is_what_is_drawn(scene, angles):
    """Half-way points of lines: a ray to the eye meets something before a hidden one, nothing before a seen one."""
    bodies = [
        body(f"b{i}.body", Box(0, 0, a, b, 0, c), at=frame((x, y, z), turn))
        for i, (x, y, z, a, b, c, turn) in enumerate(apart(scene))
    ]
    # No face of these boxes is seen edge-on, where a ray could go either way.
    view = around("odd", aside_deg=angles[0], above_deg=angles[1])
    picture = lines_of(bodies, view, hidden=True, least=2.0)
    solids = [solid_of(b).manifold for b in bodies]
    axes = view.axes
    for lines, hidden in ((picture.visible, False), (picture.hidden, True)):
        for line in lines:
            for p, q in zip(line.points, line.points[1:], strict=False):
                where = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
                # The line's depth is not in the picture: take the depths of all edges through here.
                depths = edge_depths(bodies, line.key, axes, where)
                states = {is_covered(solids, axes, where, depth) for depth in depths}
                assert hidden in states


def edge_depths(bodies, key, axes, where):
    """Depths at which edges of a box's body run through a point of the picture."""
    (thing,) = [b for b in bodies if b.key == key]
    points, triangles = solid_of(thing).mesh
    seen = points @ axes.T
    found = []
    for triangle in triangles:
        for k in range(3):
            a, b = seen[triangle[k]], seen[triangle[(k + 1) % 3]]
            step = b - a
            span = float(step[:2] @ step[:2])
            if span < 1e-12:
                continue
            t = float((np.array(where) - a[:2]) @ step[:2]) / span
            off = np.array(where) - (a + t * step)[:2]
            if -1e-6 <= t <= 1 + 1e-6 and float(off @ off) < 1e-5:
                found.append(float((a + t * step)[2]))
    assert found
    return found


def is_covered(solids, axes, where, depth) -> bool:
    start = np.array((*where, depth + 0.021)) @ axes  # what lies in a face is seen
    end = np.array((*where, 1000.0)) @ axes
    return any(len(solid.ray_cast(tuple(start), tuple(end))) for solid in solids)


@settings(max_examples=20)
@given(random_scene())
def test_seen_and_hidden_lines_together_are_all_edges(scene):
    """Boxes one by one, far apart in the picture, have 9 seen and 3 hidden edges each; moved together none is lost."""
    bodies = [
        body(f"b{i}.body", Box(0, 0, a, b, 0, c), at=frame((x, y, z), turn))
        for i, (x, y, z, a, b, c, turn) in enumerate(apart(scene))
    ]
    view = VIEWS["cover"]
    alone = [lines_of([b], view, hidden=True, least=0.0) for b in bodies]
    total = sum(length(p.visible) + length(p.hidden) for p in alone)
    together = lines_of(bodies, view, hidden=True, least=0.0)
    assert length(together.visible) + length(together.hidden) == pytest.approx(total, rel=1e-3)


# ---- taken apart -----------------------------------------------------------------------------------------------------


def box_cabinet():
    """Four boards round a box, an overlay on its front, and a knob on the overlay."""
    pieces = [
        board("floor", rectangle(200, 100), at=frame((0, 0, 12))),
        board("front", rectangle(200, 100), at=frame((0, -12, 0), 90)),
        board("top", rectangle(200, 100), at=frame((0, 0, 100))),
    ]
    return cabinet(pieces, [CUBE])


def test_taken_apart_no_two_boards_that_were_apart_meet():
    case = box_cabinet()
    moves = moved_apart(case, 0.5)
    boxes = {}
    for piece in case.pieces:
        low, high = solid_of(piece).box
        move = np.array(moves[piece.key])
        boxes[piece.key] = (np.array(low) + move, np.array(high) + move)
    for a in boxes:
        for b in boxes:
            if a < b:
                gap = np.maximum(boxes[a][0] - boxes[b][1], boxes[b][0] - boxes[a][1]).max()
                assert gap > 5


def test_a_share_of_nothing_moves_nothing():
    case = box_cabinet()
    assert set(moved_apart(case, 0.0).values()) == {(0.0, 0.0, 0.0)}
    assert project_lines(case, VIEWS["cover"]) == project_lines(case, VIEWS["cover"], explode=0.0)


def test_bodies_can_be_left_out():
    case = box_cabinet()
    keys = {line.key for line in project_lines(case, VIEWS["cover"], explode=1.0).visible}
    assert keys == {"floor", "front", "top", "cube.body"}
    without = project_lines(case, VIEWS["cover"], explode=1.0, bodies=False).visible
    assert {line.key for line in without} == {"floor", "front", "top"}


def test_an_empty_cabinet_gives_an_empty_picture():
    assert project_lines(cabinet(), VIEWS["cover"]).visible == ()
