"""Battens behind panels and seams: where they have room, what they go round, what is said where they have none."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import shapely
from tests import laws
from tests.checks.bench import applied, box, device, hole, subject_of
from tests.measuring import overlaps
from tests.strategies import Sixteenths, as_project

from casewright.geometry.cleat_room import Obstacles, box_passage, free_side_view
from casewright.geometry.model import Body, Box, Frame
from casewright.geometry.solids import solid_of
from casewright.workflow import open_project, work_out

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.cabinet.yaml"))

UPRIGHT = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def cabinet(**sections):
    return subject_of(box(**sections)).cabinet


def cleats(of, name):
    return [p for p in of.pieces if p.kind == "cleat" and p.key.startswith(name)]


def no_room(of):
    return [f for f in of.findings if f.rule == "cleat.no-room"]


def leaning_box(lean_deg, width=100.0, height=400.0):
    """A box in (v, n), turned so that its long way leans from the v axis; its middle at v = 200, n = −200."""
    a = math.radians(lean_deg)
    frame = Frame(
        (0.0, 200.0, -200.0),
        (1.0, 0.0, 0.0),
        (0.0, math.cos(a), math.sin(a)),
        (0.0, -math.sin(a), math.cos(a)),
    )
    return Body("b", "b", "solid", frame, Box(10.0, 0.0, 500.0, height, -width / 2, width / 2))


@pytest.mark.parametrize("lean_deg", [0, 15, 30, 45, 60, 89])
def test_a_leaning_body_takes_what_its_section_takes(lean_deg):
    """The stretch by shapely (GEOS): the leaning rectangle, cut to the strip that the batten lies in."""
    body = leaning_box(lean_deg)
    low, high = -180.0, -160.0
    (span,) = Obstacles(bodies=[body]).taken(box_passage(UPRIGHT, 1, (0.0, 20.0), (low, high)))
    corners = [body.frame.point(0, v, n)[1:] for v in (-200, 200) for n in (-50, 50)]
    section = shapely.MultiPoint(corners).convex_hull & shapely.box(-1000, low, 1000, high)
    least, _, most, _ = section.bounds
    assert span == pytest.approx((least - 1, most + 1), abs=0.01)  # with 1 mm of room at both ends


def test_a_body_beside_the_strip_takes_nothing():
    """Its bounding box reaches into the strip, the body itself does not: a plate leaning in (u, n) past a corner."""
    half = math.sqrt(0.5)
    frame = Frame(
        (100, 0, -100), (half, 0, half), (0, 1, 0), (-half, 0, half)
    )  # from (0, −200) up to (200, 0)
    plate = Body("b", "b", "solid", frame, Box(0, 0, 280, 50, -5, 5))
    assert Obstacles(bodies=[plate]).taken(box_passage(UPRIGHT, 1, (0, 20), (-20, 0))) == []
    assert Obstacles(bodies=[plate]).taken(box_passage(UPRIGHT, 1, (180, 200), (-20, 0)))
    touching = Body("b", "b", "solid", UPRIGHT, Box(30, 0, 20, 50, -100, 0))
    assert Obstacles(bodies=[touching]).taken(box_passage(UPRIGHT, 1, (0, 20), (-20, 0))) == []


def test_a_cleat_keeps_off_an_opening_of_its_own_panel():
    made = cleats(cabinet(features=[hole(10, 150, 40)]), "deck.cleat-left")
    spans = sorted((p.extent[1], p.extent[3]) for p in made)
    assert len(spans) == 2
    assert spans[0][1] == pytest.approx(129)  # 150 − 20 and 1 of room
    assert spans[1][0] == pytest.approx(171)
    assert (
        len(cleats(cabinet(features=[{**hole(10, 150, 40), "depth": 4}]), "deck.cleat-left")) == 1
    )


def test_a_cleat_does_not_stand_out_of_an_open_front():
    """The front leans back over the floor and is left open: a floor's cleat ends where the side does."""
    corners = {"A": [0, 0], "B": [300, 0], "C": [300, 200], "D": [100, 200]}
    panels = {"base": {"run": "A-B", "role": "floor"}, "back": {"run": "B-C", "role": "back"}}
    data = box(shape={"corners": corners})
    data["panels"], data["seams"] = panels, []
    of = subject_of(data).cabinet
    outline = shapely.Polygon(list(corners.values())).buffer(0.001)
    made = cleats(of, "base.cleat")
    assert len(made) == 2
    for piece in made:
        for face, n in ((piece.show, 0.0), (piece.back, -piece.thickness)):
            for u, v in face:
                assert outline.covers(shapely.Point(piece.frame.point(u, v, n)[1:]))


# ---- behind seams ----------------------------------------------------------------------------------------------------


def corner_box(lean, rule, over="", batten=(20, 20), gap=0.0):
    """The front leans by so many mm over its height of 200: the corner of deck and front is sharp or blunt."""
    corners = {"A": [max(-lean, 0), 0], "B": [600, 0], "C": [600, 200], "D": [max(lean, 0), 200]}
    seam = {"between": ["deck", "front"], "rule": rule, "cleat": True, "gap": gap}
    if over:
        seam["over"] = over
    data = box(shape={"corners": corners}, batten={"width": batten[0], "height": batten[1]})
    data["seams"] = [seam]
    for panel in data["panels"].values():
        panel["cleats"] = {"along": "none"}
    return subject_of(data).cabinet


@pytest.mark.parametrize(
    ("rule", "over"), [("miter", ""), ("cover", "deck"), ("cover", "front"), ("gap", "deck")]
)
@pytest.mark.parametrize("lean", [-200, -115, -50, 0, 50, 115, 200])
def test_a_seam_cleat_fits_its_corner(lean, rule, over):
    """Corners of 45° to 135°: the batten lies on one back, its end along the other, no larger than its strip."""
    of = corner_box(lean, rule, over, gap=2 if rule == "gap" else 0)
    (cleat,) = cleats(of, "deck-front.cleat")
    assert list(overlaps(of.pieces)) == []
    assert cleat.width == pytest.approx(576 - 2 * 21)  # between the sides, less two cleats and room
    assert cleat.height <= 20 + 1e-9  # the strip it is ripped from
    assert 10 - 1e-9 <= cleat.thickness <= 20 + 1e-9
    section = shapely.MultiPoint(
        [
            cleat.frame.point(0, v, n)[1:]
            for face, n in ((cleat.show, 0), (cleat.back, -cleat.thickness))
            for _, v in face
        ]
    ).convex_hull
    for key in ("deck", "front"):
        slab = shapely.Polygon(of.slab_by_panel[key].polygon)
        assert section.distance(slab) < (2.01 if rule == "gap" else 0.01)


def test_holes_of_a_bevelled_cleat_lie_in_both_its_faces():
    of = corner_box(-200, "cover", "deck")  # 135°: the faces share half the width
    (cleat,) = cleats(of, "deck-front.cleat")
    for feature in cleat.features:
        for face in (cleat.show, cleat.back):
            assert shapely.Polygon(face).covers(shapely.Point(feature.shape.u, feature.shape.v))


def test_a_corner_too_blunt_for_a_batten_is_told():
    (finding,) = no_room(corner_box(-560, "cover", "deck"))  # 160°
    assert finding.place.names == ("deck", "front")
    assert finding.remedies


# ---- no room ---------------------------------------------------------------------------------------------------------


def test_a_smaller_batten_is_proposed_where_it_has_room():
    """A box 15 mm below the deck's back, all along: a batten 20 high has no room, one of 12 has."""
    part = device("d", 50, width=100, height=260, depth=200 - 12 - 12 - 15)
    data = box(parts={"d": part})
    (left,) = [f for f in no_room(subject_of(data).cabinet) if "deck" in f.place.names]
    remedy = left.remedies[0]
    assert (remedy.field, remedy.value) == ("batten.height", 15)
    cured = subject_of(applied(data, remedy)).cabinet
    assert not [f for f in no_room(cured) if "deck" in f.place.names]


def test_a_groove_is_proposed_where_no_batten_has_room():
    part = device("d", 50, width=100, height=260, depth=200 - 12 - 12 - 2)
    data = box(parts={"d": part})
    (left,) = [f for f in no_room(subject_of(data).cabinet) if "deck" in f.place.names]
    assert [(r.field, r.value) for r in left.remedies] == [("panels.deck.joint", "groove")]
    cured = subject_of(applied(data, left.remedies[0])).cabinet
    assert not [f for f in no_room(cured) if "deck" in f.place.names]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.name.partition(".")[0])
def test_a_cleat_is_named_after_the_side_of_the_cabinet_it_is_screwed_to(path):
    """Up the back a panel's own left end is on the cabinet's right; whoever stands before it means the cabinet's."""
    made = work_out(open_project(path)).cabinet
    half = made.shape.width / 2
    found = [p for p in made.pieces if ".cleat-left" in p.key or ".cleat-right" in p.key]
    assert found
    for cleat in found:
        low, high = solid_of(cleat).box
        name = "left" if (low[0] + high[0]) / 2 < half else "right"
        assert f".cleat-{name}" in cleat.key
        assert f"cleat, {name}" in cleat.label


def test_no_panel_is_left_out_where_edges_nearly_coincide():
    """Found among random cabinets: GEOS' difference without a grid lost a panel, and a cleat ran through it.

    The area that is left is the outline's less each panel's own, as no two overlap (plain geometry).
    """
    corners = tuple(
        (Sixteenths(y), Sixteenths(z))
        for y, z in ((0, 0), (126, 0), (126, 137), (38, 137), (25, 92), (52, 47), (0, 24))
    )
    data = {
        "name": "steps",
        "materials": {
            "board": {"kind": "plywood", "nominal": Sixteenths(6)},
            "clear": {"kind": "acrylic", "nominal": Sixteenths(2)},
        },
        "shape": {
            "recipe": "outline",
            "width": Sixteenths(126),
            "side": {"material": "board"},
            "board": "board",
            "corners": dict(zip("ABCDEFI", corners, strict=True)),
        },
        "panels": {
            key: {
                "run": run,
                "role": "deck",
                **({} if key in ("p3", "p6") else {"layers": [{"key": "c", "material": "clear"}]}),
                **({"reveal": Sixteenths(1)} if key == "p4" else {}),
            }
            for key, run in zip(
                ("p0", "p1", "p2", "p3", "p4", "p5", "p6"),
                ("A-B", "B-C", "C-D", "D-E", "E-F", "F-I", "I-A"),
                strict=True,
            )
        },
        "seams": [
            {"between": ["p2", "p3"], "rule": "miter"},
            {"between": ["p3", "p4"], "rule": "gap", "over": "p3", "gap": Sixteenths(1)},
            {"between": ["p4", "p5"], "rule": "miter"},
            {"between": ["p5", "p6"], "rule": "miter"},
        ],
    }
    cabinet = laws.build(as_project(data))
    assert cabinet is not None
    sections = [slab.polygon for slab in cabinet.slabs]
    outline = [(y.mm, z.mm) for y, z in corners]
    left = shapely.Polygon(outline).area - sum(shapely.Polygon(s).area for s in sections)
    assert free_side_view(cabinet.shape, cabinet.slabs).area == pytest.approx(left, abs=0.01)
    laws.cleats_go_round_everything(list(overlaps(cabinet.pieces)))
