"""Routing plans: lines, strips and start holes recomputed with shapely, which knows nothing of the plans."""

from __future__ import annotations

import math
import re

import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import ValidationError
from shapely.geometry import Point, box
from shapely.geometry import Polygon as Area
from tests.outputs.drawings.sheets_bench import EXAMPLES, board, example
from tests.strategies import as_project, examples, known, project_data
from tests.wild import wild_data

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.units import LengthStyle
from casewright.catalog.load import load_catalog
from casewright.design.project import Shop
from casewright.geometry.build import build_cabinet
from casewright.geometry.fastening import screw_sizes
from casewright.geometry.model import Circle, Feature, Polygon, Rectangle
from casewright.outputs.drawings.marks import Line, Polyline
from casewright.outputs.drawings.routing_view import corner_drawing, routing_drawing, stack_drawing
from casewright.planning.work.routing import STRIP_WIDTH, _plan, routing_plans

NAMES = tuple(sorted(path.name.split(".")[0] for path in EXAMPLES.glob("*.cabinet.yaml")))
SHOP = Shop.model_validate(
    {
        "bits": [
            {"kind": "flush trim", "sizes": ["12.7 mm"], "length": "25 mm"},
            {"kind": "straight", "sizes": ["8 mm"], "length": "20 mm"},
        ]
    }
)


def area(shape):
    """A face shape as shapely draws it: a rounded rectangle is its core, grown by the radius."""
    if isinstance(shape, Circle):
        return Point(shape.u, shape.v).buffer(shape.diameter / 2, quad_segs=64)
    if isinstance(shape, Polygon):
        return Area(shape.points)
    a, b, r = shape.width / 2, shape.height / 2, shape.radius
    core = box(-a + r, -b + r, a - r, b - r) if min(a, b) > r else None
    if core is None:  # round ends
        long = max(a, b) - r
        ends = [(-long, 0), (long, 0)] if a >= b else [(0, -long), (0, long)]
        core = shapely.LineString(ends) if long > 1e-9 else Point(0, 0)
    grown = core.buffer(r, quad_segs=64) if r else core
    turned = shapely.affinity.rotate(grown, shape.turn_deg, origin=(0, 0))
    return shapely.affinity.translate(turned, shape.u, shape.v)


def planned(feature: Feature, **more: object):
    piece = board(300, 200, feature, **more)
    return piece, _plan(1, piece, [feature], SHOP)


def opening(shape, **more: object) -> Feature:
    words = {"kind": "opening", "face": "show", "depth": None, "tool": "flush trim", **more}
    return Feature(key="o", shape=shape, **words)


@pytest.fixture(scope="module", params=NAMES)
def plans(request):
    worked = example(request.param)
    return worked.cabinet, routing_plans(worked.cabinet)


def test_every_opening_and_pocket_has_one_plan(plans):
    cabinet, made = plans
    wanted = sorted(
        (piece.key, f.key)
        for piece in cabinet.pieces
        for f in piece.features
        if f.kind in ("opening", "pocket", "notch", "groove")
        and f.tool in ("flush trim", "straight", "jigsaw", "saw")
    )
    assert sorted((plan.piece, key) for plan in made for key in plan.alike) == wanted
    assert [plan.number for plan in made] == list(range(1, len(made) + 1))


def test_rough_lines_lie_inside_the_finished_ones(plans):
    """Everywhere at least what is to be left, and no more than that somewhere."""
    for plan in plans[1]:
        if plan.rough is None:
            continue
        finished, rough = area(plan.feature.shape), area(plan.rough)
        assert finished.contains(rough)
        # Shapely's round corners are polygons: off by r (1 − cos(90°/64)), less than 0.01 mm at any radius here.
        assert rough.distance(finished.boundary) == pytest.approx(plan.leave, abs=0.01)


@given(st.one_of(project_data(), wild_data()))
@settings(max_examples=examples(25), deadline=None, suppress_health_check=list(HealthCheck))
def test_plans_hold_on_random_cabinets(data):
    """Lines inside each other and strips that close, whatever was drawn; nothing raises."""
    try:
        project = as_project(data)
        cabinet = build_cabinet(project, known(project), screw_sizes(load_catalog(), project.unit))
    except (InputError, InputErrors, ValidationError):
        return
    for plan in routing_plans(cabinet):
        assert plan.depths[-1] == pytest.approx(
            plan.feature.depth or cabinet.piece_by_key[plan.piece].thickness
        )
        finished = area(plan.feature.shape)
        if plan.rough is not None and finished.is_valid:
            assert finished.buffer(0.01).contains(area(plan.rough))
        if plan.guide in ("strips", "base") and len(plan.strips) == 4:
            closed(plan)


def test_start_holes_spare_the_line(plans):
    for plan in plans[1]:
        for hole in plan.starts:
            assert area(plan.rough or plan.feature.shape).buffer(0.02).contains(area(hole))
            assert hole.diameter <= 10.0


def test_strips_close_round_their_opening(plans):
    for plan in plans[1]:
        if plan.guide in ("strips", "base"):
            closed(plan)


def closed(plan):
    """Four strips that do not overlap leave one hole: the opening, grown by their distance from its line."""
    shape = plan.feature.shape
    strips = [Area(strip.corners) for strip in plan.strips]
    assert len(strips) == 4
    whole = shapely.union_all(strips, grid_size=1e-6)
    assert whole.area == pytest.approx(sum(strip.area for strip in strips), abs=1e-3)
    (hole,) = whole.interiors
    square = Rectangle(
        shape.u,
        shape.v,
        shape.width + 2 * plan.offset,
        shape.height + 2 * plan.offset,
        0.0,
        shape.turn_deg,
    )
    assert Area(hole).symmetric_difference(area(square)).area < 1e-2
    for strip in plan.strips:
        sides = sorted(
            math.dist(a, b)
            for a, b in zip(strip.corners, (*strip.corners[1:], strip.corners[0]), strict=True)
        )
        assert sides == pytest.approx([STRIP_WIDTH, STRIP_WIDTH, strip.length, strip.length])
    sums = [shape.height, shape.width] * 2
    assert [s.length for s in plan.strips] == pytest.approx(
        [side + 2 * plan.offset + STRIP_WIDTH for side in sums]
    )


def test_each_strip_butts_with_its_end_on_the_one_before():
    _, plan = planned(opening(Rectangle(150, 100, 120, 60, 6.35, 20.0)))
    strips = list(plan.strips)
    for strip, before in zip(strips, (strips[-1], *strips[:-1]), strict=True):
        # The end is the side from the first corner to the last one; the leading edge from the first to the second.
        end = shapely.LineString([strip.corners[0], strip.corners[3]])
        edge = shapely.LineString(before.corners[:2])
        assert edge.buffer(1e-6).contains(end)
    closed(plan)


def test_a_notch_has_no_strip_where_it_leaves_the_piece():
    """Cut into the upper edge of a board 300 × 200: 180 and 10 beyond the edge."""
    _, plan = planned(opening(Rectangle(150, 195, 80, 30, 0.0), kind="notch"))
    assert len(plan.strips) == 3
    assert not plan.starts
    assert all(
        min(v for _, v in strip.corners) < 200.0 for strip in plan.strips
    )  # none of them lies beyond the upper edge


@pytest.mark.parametrize(
    ("shape", "tool", "guide"),
    [
        (Rectangle(150, 100, 120, 60, 6.35), "flush trim", "strips"),
        (Rectangle(150, 100, 120, 36, 18.0), "flush trim", "template"),
        (Rectangle(150, 100, 120, 60, 4.0), "straight", "base"),
        (Circle(150, 100, 120), "flush trim", "trammel"),
        (Polygon(((100, 60), (200, 60), (150, 140))), "flush trim", "template"),
        (Rectangle(150, 100, 120, 60, 0.0), "jigsaw", "saw"),
    ],
)
def test_what_leads_the_tool(shape, tool, guide):
    """Common practice: strips for straight sides, a template for round corners, a trammel for circles."""
    _, plan = planned(opening(shape, tool=tool))
    assert plan.guide == guide


def test_bit_strip_and_board_stack_up():
    """By hand: through 12 the edge must be 13 high. A bearing on a bit of 25 sits 12 above the board, and takes 5."""
    _, plan = planned(opening(Rectangle(150, 100, 120, 60, 6.35)))
    assert (plan.stack, plan.cutting_length, plan.too_short) == (13.0, 25.0, 0.0)
    assert plan.strip_least == pytest.approx(25 - 13 + 5)
    _, thick = planned(opening(Rectangle(150, 100, 120, 60, 6.35)), thickness=30.0)
    assert thick.too_short == pytest.approx(6.0)
    assert any("edge just cut" in remark for remark in thick.remarks)


def test_pockets_in_passes_no_deeper_than_half_the_bit():
    """Common practice. 9 deep with a bit of 8: three passes of 3; half the bit is 4."""
    pocket = opening(Rectangle(150, 100, 40, 40, 4.0), kind="pocket", depth=9.0, tool="straight")
    _, plan = planned(pocket)
    assert plan.depths == pytest.approx((3.0, 6.0, 9.0))
    assert plan.radius == 4.0
    assert plan.offset == pytest.approx((150 - 8) / 2)


@pytest.mark.parametrize("deep", [6.0, 18.0, 24.0])
def test_the_section_shows_the_wood_below_a_pocket_and_none_where_it_comes_through(deep):
    """Board of 18: a pocket deeper than that is told as a stop, its section is drawn all the same."""
    feature = opening(Rectangle(150, 100, 80, 60, 8), kind="pocket", depth=deep, tool="straight")
    piece, plan = planned(feature, thickness=18.0)
    drawing = stack_drawing(piece, plan, LengthStyle("mm"))
    boxes = [m.points for m in drawing.marks if isinstance(m, Polyline) and len(m.points) == 4]
    below = [b for b in boxes if min(x for x, _ in b) == 0 and min(y for _, y in b) == -18]
    floors = [
        top for b in below if (top := max(y for _, y in b)) < 0
    ]  # the cutter stands above the face
    assert floors == ([-deep] if deep < 18 else [])


def test_the_chamfer_s_land_is_what_is_left_of_the_thickness():
    _, plan = planned(opening(Rectangle(150, 100, 120, 60, 6.35), chamfer=8.0))
    assert plan.chamfer is not None
    assert (plan.chamfer.land, plan.chamfer.passes, plan.chamfer.face) == (4.0, 2, "show")


def test_the_back_face_is_drawn_mirrored_and_fed_clockwise():
    """Opening 120 × 60 at (100, 80) of a board 300 wide: seen from behind its middle is at 300 − 100."""
    piece, plan = planned(opening(Rectangle(100, 80, 120, 60, 6.35)))
    drawing = routing_drawing(piece, plan, LengthStyle("mm"))
    arrows = [mark for mark in drawing.marks if isinstance(mark, Line) and mark.pen == "accent"]
    assert len(arrows) == 4
    xs = [x for arrow in arrows for x in (arrow.start[0], arrow.end[0])]
    assert (min(xs) + max(xs)) / 2 == pytest.approx(200.0)
    for arrow in arrows:
        (ax, ay), (bx, by) = arrow.start, arrow.end
        turn = (ax - 200) * (by - 80) - (ay - 80) * (bx - 200)
        assert turn < 0, "counter-clockwise"


def test_the_corner_is_drawn_at_full_size_with_what_is_left_on():
    """Plain geometry: the rough line lies 2.5 mm, common practice, inside the finished one all along."""
    _, plan = planned(opening(Rectangle(150, 100, 120, 60, 6.35)))
    drawing = corner_drawing(plan, LengthStyle("mm"))
    assert drawing is not None and drawing.scale == 1.0
    lines = [mark for mark in drawing.marks if isinstance(mark, Polyline)]
    finished = next(line for line in lines if line.pen == "visible")
    rough = next(line for line in lines if line.pen == "hidden")
    assert finished.points[1:3] == ((0.0, 6.35), (6.35, 0.0))
    assert [rough.points[0][0], rough.points[3][1]] == [2.5, 2.5]
    # Both arcs turn about (6.35, 6.35): their radii differ by what is left on.
    radii = [math.dist(line.points[1], (6.35, 6.35)) for line in (finished, rough)]
    assert radii[0] - radii[1] == pytest.approx(2.5)


@pytest.mark.parametrize("name", NAMES)
def test_each_step_at_the_router_names_the_plan_that_is_printed(name):
    """The headings of the printed plans against the steps: every feature routed is drawn where its step says."""
    worked = example(name)
    printed = {plan.number: plan for plan in routing_plans(worked.cabinet)}
    named = set()
    for step in worked.work.steps:
        found = [o for o in step.orders if o.endswith("bench-drawings.pdf.")]
        done = {(w.piece, w.feature) for w in step.works if w.part == "whole"}
        drawn = {(plan.piece, key) for plan in printed.values() for key in plan.alike}
        if step.stage != "shape" or not done & drawn:
            assert not found, step.key
            continue
        numbers = {int(n) for n in re.findall(r"\d+", found[0].replace("bench-drawings.pdf", ""))}
        named |= numbers
        for number in numbers:
            assert {(printed[number].piece, key) for key in printed[number].alike} & done, step.key
        assert done & drawn <= {(printed[n].piece, k) for n in numbers for k in printed[n].alike}
    assert named == set(printed)
