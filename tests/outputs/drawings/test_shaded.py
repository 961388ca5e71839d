"""Areas of shaded pictures against plain geometry and against shadows that the geometry library casts."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import Manifold, OpType
from tests.geometry.pieces_by_hand import board, body, cabinet, frame, hole, rectangle

from casewright.geometry.model import Box, Cylinder
from casewright.geometry.solids import solid_of
from casewright.outputs.drawings.shaded import DARKEST, LIGHT, shade, shade_things
from casewright.outputs.drawings.viewpoint import VIEWS, around

CUBE = body("cube.body", Box(50, 50, 100, 100, 0, 100))


def area(face) -> float:
    return shapely.Polygon(face.outer, face.holes).area


def test_a_cube_shows_three_faces_alike_in_size_and_each_with_its_own_tone():
    """ISO 5456-3: each face of an isometric cube is a rhombus of sides a √(2/3) at 120°."""
    picture = shade_things([CUBE], VIEWS["isometric"])
    rhombus = (100 * math.sqrt(2 / 3)) ** 2 * math.sin(math.radians(120))
    assert [area(face) for face in picture.faces] == pytest.approx([rhombus] * 3, rel=1e-3)
    assert len({face.tone for face in picture.faces}) == 3


def test_tones_follow_the_light():
    """Lambert's law: as the cosine of the angle between face and light."""
    (face,) = shade_things([CUBE], VIEWS["front"]).faces
    toward = LIGHT[2] / math.sqrt(sum(x * x for x in LIGHT))
    assert face.tone == pytest.approx(DARKEST + (1 - DARKEST) * toward, abs=1e-3)


def test_through_a_hole_one_sees_the_board_behind():
    front = board(
        "front", rectangle(200, 200), features=[hole("h", 100, 100, 80)], at=frame((0, 0, 0), 90)
    )
    behind = board("behind", rectangle(200, 200), at=frame((0, 100, 0), 90))
    faces = {face.key: face for face in shade_things([front, behind], VIEWS["front"]).faces}
    disk = math.pi * 40**2
    assert area(faces["behind"]) == pytest.approx(disk, rel=1e-3)
    assert area(faces["front"]) == pytest.approx(200 * 200 - disk, rel=1e-3)
    (ring,) = faces["front"].holes
    assert shapely.Polygon(ring).area == pytest.approx(disk, rel=1e-3)


def test_through_an_open_hole_one_sees_the_ground():
    front = board(
        "front", rectangle(200, 200), features=[hole("h", 100, 100, 80)], at=frame((0, 0, 0), 90)
    )
    (face,) = shade_things([front], VIEWS["front"]).faces
    assert area(face) == pytest.approx(200 * 200 - math.pi * 40**2, rel=1e-3)


def test_a_knob_on_a_board_covers_it_with_its_own_shadow_outline():
    knob = body("a.knob", Cylinder(100, 100, 40, 0, 30))
    plate = board("plate", rectangle(200, 200))
    picture = shade_things([plate, knob], around("", aside_deg=0, above_deg=30))
    seen = {
        key: sum(area(face) for face in picture.faces if face.key == key)
        for key in ("plate", "a.knob")
    }
    # From 30° above: the rim's ellipse, and the flank's rectangle below it.
    knob_area = math.pi * 20**2 * 0.5 + 40 * 30 * math.cos(math.radians(30))
    assert seen["a.knob"] == pytest.approx(knob_area, rel=0.01)
    plate_area = 200 * 200 * 0.5 + 200 * 12 * math.cos(math.radians(30))
    assert seen["plate"] == pytest.approx(plate_area - knob_area, rel=0.01)


number, size = st.integers(-40, 40), st.integers(5, 60)
turn = st.sampled_from([0, 20, 45, 90])


@settings(max_examples=25)
@given(
    st.lists(st.tuples(number, number, number, size, size, size, turn), min_size=1, max_size=5),
    st.sampled_from([(-32, 24), (145, 28), (17, 41)]),
)
def test_all_areas_together_are_the_shadow(scene, angles):
    """What is seen, whatever is before what, fills the outline of the union's projection."""
    view = around("", aside_deg=angles[0], above_deg=angles[1])
    bodies = [
        body(
            f"b{i}.body",
            Box(0, 0, a, b, 0, c),
            at=frame((x + 0.37 * i, y + 0.53 * i, z + 0.71 * i), turn),
        )
        for i, (x, y, z, a, b, c, turn) in enumerate(scene)
    ]
    picture = shade_things(bodies, view)
    whole = Manifold.batch_boolean([solid_of(b).manifold for b in bodies], OpType.Add)
    turned = whole.transform(np.column_stack((view.axes, np.zeros(3))))
    shadow = turned.project().area()
    assert sum(area(face) for face in picture.faces) == pytest.approx(shadow, rel=2e-3)


def test_the_same_cabinet_gives_the_same_picture():
    case = cabinet([board("plate", rectangle(200, 200))], [CUBE])
    first = shade(case, VIEWS["cover"], explode=0.5)
    assert first == shade(case, VIEWS["cover"], explode=0.5)
    assert {face.key for face in first.faces} == {"plate", "cube.body"}


def test_an_empty_cabinet_gives_an_empty_picture():
    assert shade(cabinet(), VIEWS["cover"]).faces == ()
