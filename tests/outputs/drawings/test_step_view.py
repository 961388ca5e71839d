"""Pictures of the steps: who stands where, against the steps themselves, and areas against shadows by shapely."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from tests.geometry.pieces_by_hand import board, body, frame, hole, rectangle
from tests.outputs.drawings.sheets_bench import NAMES, example

from casewright.geometry.model import Box, Cylinder
from casewright.outputs.drawings.hidden_lines import lines_of_solids
from casewright.outputs.drawings.marks import Polyline, Region
from casewright.outputs.drawings.plain_pieces import without_small
from casewright.outputs.drawings.seen_solids import COARSE, FINE, seen_solids
from casewright.outputs.drawings.shaded import seen_share
from casewright.outputs.drawings.step_scenes import step_scenes
from casewright.outputs.drawings.step_view import step_drawings
from casewright.outputs.drawings.viewpoint import VIEWS, cross
from casewright.planning.work import plan_work

ROOM = (60.0, 50.0)


@pytest.fixture(scope="module", params=NAMES)
def drawn(request):
    worked = example(request.param)
    steps = plan_work(worked.cabinet, worked.cutting).steps
    scenes = {scene.step: scene for scene in step_scenes(worked.cabinet, steps)}
    return worked.cabinet, steps, scenes, step_drawings(worked.cabinet, steps, room=ROOM)


def test_every_step_that_joins_or_fits_has_a_picture(drawn):
    """As the steps themselves say: their stage, and pieces or bought parts with a body at hand."""
    cabinet, steps, _, drawings = drawn
    bodied = {body.owner for body in cabinet.bodies if body.kind == "solid"}
    for step in steps:
        joins = step.stage in ("glue", "close") and step.pieces
        fits = step.stage == "fit" and (step.parts or step.key.startswith("overlay."))
        if joins or (fits and (bodied & {*step.parts} or not step.parts)):
            assert step.key in drawings, step.key
        if step.stage in ("cut", "bevel", "shape", "paint", "wire", "test"):
            assert step.key not in drawings


def test_what_a_step_handles_is_new_in_its_picture(drawn):
    cabinet, steps, scenes, _ = drawn
    bodies = {b.key: b.owner for b in cabinet.bodies}
    for step in steps:
        if step.key not in scenes:
            continue
        scene = scenes[step.key]
        assert not {*scene.new} & {*scene.so_far}
        owners = {bodies.get(key, key) for key in scene.new}
        if step.stage == "fit":
            assert owners <= {*step.parts, *step.pieces}
        elif step.key.startswith("panel."):
            assert {*step.pieces} <= owners


def test_the_carcass_only_grows_and_is_whole_in_the_end(drawn):
    cabinet, _, scenes, _ = drawn
    before: set[str] = set()
    for scene in scenes.values():
        if not scene.host and scene.stays:
            assert before <= {*scene.so_far}
            before = {*scene.so_far, *scene.new}
    last = list(scenes.values())[-1]
    pieces = {piece.key for piece in cabinet.pieces}
    assert pieces <= {*last.so_far, *last.new}


def test_no_board_leans_on_one_that_comes_later(drawn):
    """A panel's step shows only pieces that earlier steps have joined."""
    _, steps, scenes, _ = drawn
    joined = {"left", "right"}
    for step in steps:
        if step.key.startswith(("cleats.", "backing.", "panel.")):
            assert {*scenes[step.key].so_far} <= joined | {*step.pieces}
            joined |= {*step.pieces}


def test_pictures_fit_their_room_and_show_something_new(drawn):
    _, _, _, drawings = drawn
    for drawing in drawings.values():
        assert drawing.bounds.width * drawing.scale <= ROOM[0] + 1e-6
        assert drawing.bounds.height * drawing.scale <= ROOM[1] + 1e-6
        fresh = [m for m in drawing.marks if isinstance(m, Region) and m.material == "new"]
        dashed = [m for m in drawing.marks if isinstance(m, Polyline) and m.pen == "accent-hidden"]
        assert fresh or dashed


def test_no_two_areas_of_a_picture_overlap(drawn):
    """Each place of a picture shows one face; areas by shapely."""
    _, _, _, drawings = drawn
    for key, drawing in drawings.items():
        areas = [
            shapely.Polygon(m.outer.points, [h.points for h in m.holes])
            for m in drawing.marks
            if isinstance(m, Region)
        ]
        overlap = sum(a.area for a in areas) - shapely.union_all(areas).area
        assert overlap == pytest.approx(0.0, abs=1e-3 * sum(a.area for a in areas)), key


@given(st.lists(st.tuples(*[st.floats(-9, 9)] * 6), min_size=1, max_size=6))
def test_cross_is_numpy_s(numbers):
    a, b = np.array(numbers)[:, :3], np.array(numbers)[:, 3:]
    assert np.allclose(cross(a, b), np.cross(a, b))
    assert np.allclose(cross(a[0], b), np.cross(a[0], b))


def test_small_holes_are_left_out_and_large_ones_stay():
    holes = [hole("speck", 50, 50, 4), hole("round", 120, 100, 30)]
    (plain,) = without_small([board("b", rectangle(200, 200), features=holes)], 10)
    assert [feature.key for feature in plain.features] == ["round"]


def test_what_is_seen_of_a_box_beside_another_and_under_one():
    """By hand: from above the box shows its lid, 100 × 100, or nothing under a larger one."""
    box = body("far", Box(50, 50, 100, 100, -400, -300))
    cover = body("near", Box(200, 50, 100, 100, 0, 10))
    _, solids = seen_solids([box, cover], VIEWS["top"], fine=COARSE)
    assert seen_share(solids, [0]) == pytest.approx((100 * 100, 1.0))
    hider = body("over", Box(50, 50, 120, 120, 0, 10))
    _, solids = seen_solids([box, hider], VIEWS["top"], fine=COARSE)
    assert seen_share(solids, [0])[1] == pytest.approx(0.0)


def test_solids_hide_alike_alone_and_in_groups():
    things = [
        body("a", Box(0, 0, 60, 40, 0, 30)),
        body("b", Cylinder(10, 10, 24, 24, 30, 60)),
        board("c", rectangle(200, 100), at=frame((-40, 60, 0), 60)),
    ]
    keys, solids = seen_solids(things, VIEWS["cover"], fine=FINE)
    alone = lines_of_solids(keys, solids, hidden=keys)
    grouped = lines_of_solids(keys, solids, groups=("one", "one", "two"), hidden=keys)
    assert sorted(alone.visible, key=repr) == sorted(grouped.visible, key=repr)
    assert {line.key for line in lines_of_solids(keys, solids, hidden=("a",)).hidden} <= {"a"}
