"""Sides and sections: a mirrored pair, footprints where the slabs are, cuts as large as the wood."""

import math

import pytest
from shapely.geometry import Polygon
from shapely.ops import unary_union
from tests.outputs.drawings.sheets_bench import NAMES, crossing_words, example, sheets_of

from casewright.basics.errors import InputError
from casewright.geometry.solids import piece_solid
from casewright.outputs.drawings import marks
from casewright.outputs.drawings.deck_view import deck_view
from casewright.outputs.drawings.face_view import FaceView
from casewright.outputs.drawings.marking_out import marking_out
from casewright.outputs.drawings.section_view import lit_ends, piece_slices, side_section, slices
from casewright.outputs.drawings.side_view import inside_angle, named_corners


@pytest.fixture(scope="module", params=NAMES)
def name(request):
    return request.param


@pytest.fixture(scope="module")
def worked(name):
    return example(name)


@pytest.fixture(scope="module")
def sheets(name):
    return sheets_of(name)


def test_a_cut_is_that_of_the_whole_piece(worked):
    """Of a piece's features only those near the cut are made; the solid with all of them is cut alike (manifold3d)."""

    def area(found):
        return unary_union([Polygon(outer, holes) for outer, holes in found])

    for share in (0.0, 0.03, 0.2, 0.37, 0.5, 0.501, 0.8):
        at = worked.cabinet.shape.width * share
        for piece in worked.cabinet.pieces:
            whole = area(slices(piece_solid(piece), at))
            assert area(piece_slices(piece, at)).symmetric_difference(whole).area < 1e-4, piece.key


def side(cabinet, key, face):
    return FaceView(cabinet.piece_by_key[key], face)


def test_the_sides_are_a_mirrored_pair(worked):
    """Seen from outside the left side is the right one in a mirror; its inner face looks like the right's outer."""
    cabinet = worked.cabinet
    depth = max(y for y, _ in cabinet.shape.corners.values())
    left, right = (Polygon(side(cabinet, key, "show").near) for key in ("left", "right"))
    mirrored = Polygon([(depth - x, y) for x, y in right.exterior.coords])
    assert left.symmetric_difference(mirrored).area < 1e-6
    inner = Polygon(side(cabinet, "left", "back").near)
    assert inner.symmetric_difference(right).area < 1e-6
    assert right.area == pytest.approx(Polygon(cabinet.shape.corners.values()).area)


def test_corners_keep_their_names_and_angles_sum_to_the_polygons(worked, sheets):
    """Inside angles of a simple polygon sum to (n − 2) · 180° (Euclid, Elements I.32, its corollary)."""
    cabinet = worked.cabinet
    count = len(cabinet.shape.corners)
    corners = named_corners(cabinet, side(cabinet, "right", "show"))
    for name, point in corners:
        assert point == pytest.approx(cabinet.shape.corners[name])
    points = [point for _, point in corners]
    angles = [inside_angle(points[i - 1], points[i], points[(i + 1) % count]) for i in range(count)]
    assert sum(angles) == pytest.approx((count - 2) * 180.0)
    words = {
        m.text
        for sheet in sheets
        if (sheet.piece, sheet.face) == ("left", "show")
        for m in sheet.drawing.simple()
        if isinstance(m, marks.Text)
    }
    for (name, _), degrees in zip(corners, angles, strict=True):
        assert f"{name} {degrees:.1f}°" in words


def test_footprints_lie_where_the_slabs_are(worked):
    """A slab's cross-section is by itself the mark that its panel leaves on the side."""
    cabinet = worked.cabinet
    view = side(cabinet, "right", "back")
    depth = max(y for y, _ in cabinet.shape.corners.values())
    out = marking_out(cabinet, view, worked.opened.style)
    for slab in cabinet.slabs:
        panel = cabinet.shape.panels[slab.panel]
        if panel.joint == "groove":
            continue
        mine = [
            Polygon(f.points)
            for f in out.footprints
            if f.piece.panel == slab.panel and f.piece.kind in ("panel", "overlay")
        ]
        # seen from inside, the right side's front is at the right
        expected = Polygon([(depth - y, z) for y, z in slab.polygon])
        drawn = unary_union(mine)
        assert drawn.symmetric_difference(expected).area < 0.01 * expected.area, slab.panel


def test_left_and_right_marking_out_are_mirrored(worked):
    cabinet, style = worked.cabinet, worked.opened.style
    depth = max(y for y, _ in cabinet.shape.corners.values())
    both = [marking_out(cabinet, side(cabinet, key, "back"), style) for key in ("left", "right")]
    left, right = (
        {f.piece.key: Polygon(f.points) for f in out.footprints if f.piece.kind == "panel"}
        for out in both
    )
    assert left.keys() == right.keys()
    assert left
    for key, shape in left.items():
        mirrored = Polygon([(depth - x, y) for x, y in right[key].exterior.coords])
        assert shape.symmetric_difference(mirrored).area < 1e-3
    cleats = [
        sum(Polygon(f.points).area for f in out.footprints if f.piece.kind == "cleat")
        for out in both
    ]
    assert cleats[0] == pytest.approx(cleats[1], rel=0.02)


def test_footprints_are_listed_with_their_corners(worked, sheets):
    cabinet, style = worked.cabinet, worked.opened.style
    sheet = next(s for s in sheets if (s.piece, s.face) == ("right", "back"))
    out = marking_out(cabinet, side(cabinet, "right", "back"), style)
    assert [row.label for row in sheet.mark_rows] == [f.piece.label for f in out.footprints]
    for row, footprint in zip(sheet.mark_rows, out.footprints, strict=True):
        assert len(row.corners) == len(footprint.points)


def test_a_cut_is_as_large_as_the_boards_own_cross_section(worked):
    """The solids are cut; the slabs come from the seam rules: two ways to the same area."""
    cabinet = worked.cabinet
    # right beside the left side's inner face no hole is cut out of the panels
    x = cabinet.piece_by_key["left"].thickness + 1.0
    for slab in cabinet.slabs:
        layers = [
            p for p in cabinet.pieces if p.panel == slab.panel and p.kind in ("panel", "overlay")
        ]
        area = 0.0
        for layer in layers:
            for outline, holes in slices(piece_solid(layer), x):
                area += Polygon(outline, holes).area
        assert area == pytest.approx(Polygon(slab.polygon).area, rel=0.01), slab.panel


def test_the_lit_area_is_as_high_as_its_display(worked):
    """Measured on the display: 296.5 mm upright; a portrait one shows its lit width upright."""
    cabinet = worked.cabinet
    for key, (low, high) in lit_ends(cabinet).items():
        data = cabinet.placed_by_key[key].part.data
        turned = cabinet.placed_by_key[key].turn_deg % 180.0 > 45.0
        lit = next(b for b in cabinet.bodies if b.owner == key and b.look == "lit").shape
        assert math.dist(low, high) in (
            pytest.approx(lit.height, abs=1e-6),
            pytest.approx(lit.width, abs=1e-6),
        )
        assert math.dist(low, high) == pytest.approx(
            data.lit_width if turned else data.lit_height, abs=1e-6
        )


@pytest.mark.parametrize("x", [None, 85.0, 300.0])
def test_sections_have_their_words_apart_and_cut_wood_hatched(worked, x):
    drawing = side_section(worked.cabinet, worked.opened.style, x=x)
    assert crossing_words(drawing) == []
    simple = drawing.simple()
    assert any(isinstance(m, marks.Region) and m.material == "wood" for m in simple)
    assert any(isinstance(m, marks.Region) and m.material == "acrylic" for m in simple)
    assert any(getattr(m, "pen", "") == "accent" for m in simple)
    lines = [m for m in simple if getattr(m, "pen", "") == "sight"]
    assert len(lines) == 2 * len(worked.cabinet.project.people) * len(lit_ends(worked.cabinet))
    without = side_section(worked.cabinet, worked.opened.style, x=x, sight=False).simple()
    assert not [m for m in without if getattr(m, "pen", "") == "sight"]


def test_a_panel_shows_every_part_on_it_by_name(worked):
    cabinet = worked.cabinet
    for panel in cabinet.shape.panels:
        drawing = deck_view(cabinet, panel, worked.opened.style)
        assert crossing_words(drawing) == []
        words = [m.text for m in drawing.simple() if isinstance(m, marks.Text)]
        for placed in cabinet.placed:
            if placed.piece == panel:
                assert placed.label in words


def test_an_unknown_panel_is_named(worked):
    with pytest.raises(InputError) as error:
        deck_view(worked.cabinet, "attic", worked.opened.style)
    assert error.value.field == "panel"


def test_only_what_reaches_the_side_is_marked_out(worked):
    """A cleat stands on one side; display rails and the other side's cleats stand on none."""
    cabinet, style = worked.cabinet, worked.opened.style
    left, right = (
        {f.piece.key for f in marking_out(cabinet, side(cabinet, key, "back"), style).footprints}
        for key in ("left", "right")
    )
    cleats = {p.key for p in cabinet.pieces if p.kind == "cleat"}
    alone = {key for key in cleats if ".cleat-left" in key or ".cleat-right" in key}
    assert alone
    assert not left & right & alone
    assert alone <= left | right
    assert not [key for key in left | right if ".rail-" in key or ".bar" in key]


def test_a_hole_in_what_is_cut_stays_open():
    """A hand hole with round ends is w · h − (4 − π) · r² large: plain geometry."""
    cabinet = example("library-duel").cabinet
    right = cabinet.piece_by_key["right"]
    (grip,) = [f.shape for f in right.features if f.kind == "opening"]
    # close to the outer face, where no pilot reaches
    ((outline, holes),) = slices(piece_solid(right), cabinet.shape.width - 1.0)
    assert Polygon(outline).area == pytest.approx(Polygon(right.show).area)
    (hole,) = holes
    area = grip.width * grip.height - (4.0 - math.pi) * grip.radius**2
    assert Polygon(hole).area == pytest.approx(area, rel=0.002)  # arcs cut into facets
