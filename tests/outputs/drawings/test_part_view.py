"""Sheets of pieces: every feature once, from the face it is worked from, mirrored truly, lettering apart."""

import json
from dataclasses import replace

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString
from tests.checks.bench import box, subject_of
from tests.outputs.drawings.sheets_bench import NAMES, board, crossing_words, example, sheets_of

from casewright.basics.units import LengthStyle
from casewright.geometry.model import Circle, Feature, Rectangle
from casewright.outputs.drawings import marks
from casewright.outputs.drawings.face_view import FaceView
from casewright.outputs.drawings.hole_table import group_letter, hole_rows, size_words
from casewright.outputs.drawings.part_view import (
    faces_of,
    known_labels,
    part_drawings,
    part_sheet,
)
from casewright.outputs.drawings.same_pieces import same_pieces
from casewright.outputs.drawings.scales import ROOM, SCALES, SIDE_ROOM, scale_words
from casewright.workflow import open_text, work_out

MM = LengthStyle("mm")
INCHES = LengthStyle("in", denominator=32)


@pytest.fixture(scope="module", autouse=True)
def duel():
    """Worked out before any random case, so that a broken example fails at once."""
    return example("library-duel")


@pytest.fixture(scope="module", params=NAMES)
def name(request):
    return request.param


@pytest.fixture(scope="module")
def worked(name):
    return example(name)


@pytest.fixture(scope="module")
def sheets(name):
    return sheets_of(name)


def hole(key, u, v, diameter, face="show", depth=None, kind="hole"):
    return Feature(key, kind, Circle(u, v, diameter), face, depth, "forstner")


def circles(drawing):
    """(x, y, diameter, operation) of every hole that is worked on this sheet, to a hundredth of a millimeter."""
    return sorted(
        (round(m.centre[0], 2), round(m.centre[1], 2), round(2 * m.radius, 2), m.operation.face)
        for m in drawing.simple()
        if isinstance(m, marks.Circle) and m.operation is not None
    )


def test_holes_are_in_inches_to_a_64th_and_places_as_fine_as_the_user_says():
    """5/64 in = 1.984 mm and 29/64 in = 11.509 mm: number and fraction drill sizes, ANSI/ASME B94.11M."""
    for diameter, words in ((1.984, "⌀ 5/64"), (11.509, "⌀ 29/64"), (25.4, "⌀ 1")):
        said = size_words(hole("a", 40.0, 30.0, diameter), INCHES)
        assert said.replace("\u00a0", " ") == words
    assert size_words(hole("a", 40.0, 30.0, 11.5), MM) == "⌀ 11.5"


# ---- where things stand ----


def test_a_back_face_is_the_mirror_image_of_the_show_face():
    """u_back = W − u_show: the law of mirrored drawings, plain geometry."""
    piece = board(300.0, 200.0, at=(-20.0, 5.0))
    show, back = FaceView(piece, "show"), FaceView(piece, "back")
    for u, v in ((-20.0, 5.0), (0.0, 5.0), (30.0, 55.0), (280.0, 205.0)):
        x, y = show.point((u, v))
        assert back.point((u, v)) == pytest.approx((300.0 - x, y))
    assert show.point((-20.0, 5.0)) == back.point((280.0, 5.0)) == (0.0, 0.0)


places = st.tuples(st.floats(20, 280), st.floats(20, 180), st.floats(2, 30))


def one_sheet(piece, face, style=MM, room=ROOM):
    cabinet = example("library-duel").cabinet
    return part_sheet(cabinet, (piece,), face, style, labels=known_labels(cabinet), room=room)


@given(st.lists(places, min_size=1, max_size=8), st.lists(places, max_size=8))
@settings(max_examples=25, deadline=None)
def test_holes_stand_where_the_model_has_them(from_show, from_back):
    features = [hole(f"s{i}", *p) for i, p in enumerate(from_show)]
    features += [hole(f"b{i}", *p, face="back", depth=6.0) for i, p in enumerate(from_back)]
    piece = board(300.0, 200.0, *features)
    assert circles(one_sheet(piece, "show").bare) == sorted(
        (round(u, 2), round(v, 2), round(d, 2), "show") for u, v, d in from_show
    )
    if from_back:
        sheet = one_sheet(piece, "back")
        assert circles(sheet.bare) == circles(sheet.drawing)
        assert circles(sheet.bare) == sorted(
            (round(300.0 - u, 2), round(v, 2), round(d, 2), "back") for u, v, d in from_back
        )


@given(
    st.lists(places, min_size=1, max_size=30),
    st.sampled_from(["show", "back"]),
    st.sampled_from([MM, INCHES]),
    st.floats(-10, 10),
)
@settings(max_examples=40, deadline=None)
def test_no_words_on_words_on_any_panel(holes, face, style, upper_back):
    features = [hole(f"h{i}", *p, face=face) for i, p in enumerate(holes)]
    sheet = one_sheet(board(300.0, 200.0, *features, upper_back=upper_back), face, style)
    assert crossing_words(sheet.drawing) == []
    assert crossing_words(sheet.bare) == []


@given(
    st.floats(4, 2600),
    st.floats(4, 2600),
    st.floats(2, 60),
    st.floats(-12, 12),
    st.sampled_from(["rail", "door for the left hand cupboard under the deck " * 3, "Übel ⌀ ½"]),
    st.sampled_from(["u", "v", "none"]),
)
@settings(max_examples=40, deadline=None)
def test_any_size_of_board_fits_its_room(width, height, thickness, upper_back, label, grain):
    upper_back = max(upper_back, 1.0 - height)
    piece = board(
        width, height, thickness=thickness, upper_back=upper_back, label=label, grain=grain
    )
    sheet = one_sheet(piece, "show")
    assert crossing_words(sheet.drawing) == []
    assert crossing_words(sheet.section) == []
    bounds = sheet.drawing.bounds
    assert bounds.width * sheet.scale <= ROOM[0] + 1e-6
    assert bounds.height * sheet.scale <= ROOM[1] + 1e-6


def test_the_overlap_check_sees_an_overlap():
    words = (marks.Text((0.0, 0.0), "deck"), marks.Text((2.0, 1.0), "lip"))
    assert crossing_words(marks.Drawing("", words)) == [("deck", "lip")]


# ---- whole cabinets ----


def test_every_feature_is_in_the_table_of_the_face_it_is_worked_from_once(worked, sheets):
    for group in same_pieces(worked.cabinet.pieces):
        mine = [sheet for sheet in sheets if sheet.piece == group[0].key]
        assert tuple(sheet.face for sheet in mine) == faces_of(group[0])
        assert mine[0].pieces == tuple(piece.key for piece in group)
        listed = [row.feature.key for sheet in mine for row in sheet.hole_rows]
        assert sorted(listed) == sorted(feature.key for feature in group[0].features)
        for sheet in mine:
            assert {row.feature.face for row in sheet.hole_rows} <= {sheet.face}
            tags = [row.tag for row in sheet.hole_rows]
            assert len(set(tags)) == len(tags)


def test_every_piece_is_drawn(worked, sheets):
    keys = {key for sheet in sheets for key in sheet.pieces}
    assert keys == {piece.key for piece in worked.cabinet.pieces}


def test_words_are_apart_and_large_enough_and_sheets_fit_their_room(sheets):
    for sheet in sheets:
        room = SIDE_ROOM if sheet.piece in ("left", "right") else ROOM
        bounds = sheet.drawing.bounds
        assert bounds.width * sheet.scale <= room[0] + 1e-6, sheet.label
        assert bounds.height * sheet.scale <= room[1] + 1e-6, sheet.label
        for drawing in (sheet.drawing, sheet.bare, sheet.section):
            assert crossing_words(drawing) == [], sheet.label
            for mark in drawing.simple():
                if isinstance(mark, marks.Text):
                    # ISO 3098-1 step; the least that reads on a bench (common practice)
                    assert mark.height >= 2.5


def test_every_sheet_says_name_face_scale_and_unit(worked, sheets):
    unit = {"mm": "sizes in mm", "in": "sizes in inches"}[worked.opened.style.unit]
    for sheet in sheets:
        words = " ".join(m.text for m in sheet.drawing.simple() if isinstance(m, marks.Text))
        assert sheet.face_words in words
        assert f"scale {scale_words(sheet.scale)}" in words
        assert unit in words
        for name in sheet.label.split():
            assert name in words


def test_table_and_drawing_agree(sheets):
    for sheet in sheets:
        drawn = {(x, y) for x, y, _, _ in circles(sheet.bare)}
        for row in sheet.hole_rows:
            if isinstance(row.feature.shape, Circle):
                assert (round(row.x, 2), round(row.y, 2)) in drawn


# ---- words ----


def test_scales_are_those_of_the_standard_with_steps_between():
    """ISO 5455 reduction scales 1:2, 1:5, 1:10, 1:20, 1:50, 1:100."""
    named = {scale_words(scale) for scale in SCALES}
    assert {"1:1", "1:2", "1:5", "1:10", "1:20", "1:50", "1:100"} <= named


@pytest.mark.parametrize(("degrees", "rise"), [(45.0, 12.0), (30.0, 6.9282), (22.5, 4.9706)])
def test_bevels_are_labelled_with_the_saws_tilt(degrees, rise):
    """tan 45° = 1, tan 30° = 0.57735, tan 22.5° = 0.41421 (table of tangents) on a 12 mm board."""
    sheet = one_sheet(board(upper_back=rise), "show")
    words = [m.text for m in sheet.drawing.simple() if isinstance(m, marks.Text)]
    assert f"bevel {degrees:.1f}°, back face long" in words
    section = [m.text for m in sheet.section.simple() if isinstance(m, marks.Text)]
    assert f"bevel {degrees:.1f}°" in section
    assert "show face 200.0" in section
    assert f"back face {200 + rise:.1f}" in section


@pytest.mark.parametrize("width", [15, 30, 60, 80, 100, 130, 200])
@pytest.mark.parametrize("height", [90, 240])
def test_words_of_a_bevel_stand_on_no_edge_of_a_narrow_board(width, height):
    """They go in several lines where one is longer than the board is wide."""
    back = ((0.0, 5.0), (width, 5.0), (width, height - 5.0), (0.0, height - 5.0))
    sheet = one_sheet(replace(board(float(width), float(height)), back=back), "show")
    for drawing in (sheet.drawing, sheet.bare):
        outline = shapely.Polygon([(0, 0), (width, 0), (width, height), (0, height)]).exterior
        told = [
            m
            for m in drawing.simple()
            if isinstance(m, marks.Text) and ("bevel" in m.text or "long" in m.text)
        ]
        assert told
        for text in told:
            assert not shapely.Polygon(text.corners(drawing.scale)).intersects(outline), text.text


def test_words_of_a_bevel_stand_on_no_extension_line():
    """A board 52 wide whose left edge is bevelled: the lines that lead to its figures go out through that edge."""
    back = ((6.0, 0.0), (52.0, 0.0), (52.0, 130.0), (6.0, 130.0))
    lead = [hole(f"h{v}", 40.0, v, 6.0) for v in (32.5, 97.5)]
    piece = replace(board(52.0, 130.0, *lead), back=back)
    drawing = one_sheet(piece, "show", room=(110.0, 120.0)).drawing
    lines = [
        shapely.LineString(m.points)
        for m in drawing.simple()
        if isinstance(m, marks.Polyline) and min(x for x, _ in m.points) < -1
    ]
    told = [m for m in drawing.simple() if isinstance(m, marks.Text) and "bevel" in m.text]
    assert lines and told
    for text in told:
        shape = shapely.Polygon(text.corners(drawing.scale))
        assert not any(line.intersects(shape) for line in lines)


def test_a_setting_has_one_letter_and_letters_that_read_like_figures_are_left_out():
    """I and O are not used as marks on drawings (common practice)."""
    piece = board(300.0, 200.0, hole("a", 50, 50, 24), hole("b", 90, 50, 24), hole("c", 70, 90, 16))
    rows = hole_rows(FaceView(piece, "show"), MM, {})
    assert [(row.tag, row.size) for row in rows] == [
        ("A1", "⌀ 24.0"),
        ("A2", "⌀ 24.0"),
        ("B", "⌀ 16.0"),
    ]
    letters = [group_letter(i) for i in range(60)]
    assert len(set(letters)) == 60
    assert not set("".join(letters)) & {"I", "O"}


def test_sizes_are_in_the_users_unit():
    """An inch is exactly 25.4 mm; 26.7 mm is 33.6 thirty-seconds, rounded once to 34/32 = 1 1/16."""
    shape = Rectangle(0.0, 0.0, 50.8, 26.7, 6.35)
    feature = Feature("a", "opening", shape, "show", None, "jigsaw", chamfer=8.0)
    assert size_words(feature, MM) == "50.8 × 26.7, R 6.4, chamfer 8.0"
    assert size_words(feature, INCHES) == "2 × 1\u00a01/16, R 1/4, chamfer 5/16"


def test_equal_pieces_share_a_sheet_and_mirrored_ones_do_not():
    low = hole("a", 20.0, 10.0, 4.0, face="back")
    strip = {"kind": "strip"}
    first = board(100.0, 20.0, low, key="one", **strip)
    moved = board(
        100.0, 20.0, hole("b", 70.0, 30.0, 4.0, face="back"), key="two", at=(50, 20), **strip
    )
    mirrored = board(100.0, 20.0, hole("c", 80.0, 10.0, 4.0, face="back"), key="three", **strip)
    groups = same_pieces((first, moved, mirrored))
    assert [[p.key for p in group] for group in groups] == [["one", "two"], ["three"]]


# ---- kinds of features look different ----


def test_a_pocket_is_hatched_and_labelled_with_its_depth_and_hidden_from_the_other_face():
    pocket = Feature("p", "pocket", Rectangle(150, 100, 60, 40, 6.35), "back", 6.5, "straight")
    piece = board(300.0, 200.0, pocket, hole("h", 40.0, 40.0, 20.0))
    back, show = one_sheet(piece, "back"), one_sheet(piece, "show")
    fills = {m.material for m in back.drawing.simple() if isinstance(m, marks.Region)}
    assert "pocket" in fills
    words = " ".join(m.text for m in back.drawing.simple() if isinstance(m, marks.Text))
    assert "6.5 deep" in words
    pens = [m.pen for m in show.drawing.simple() if isinstance(m, marks.Polyline) and m.bulges]
    assert pens == ["hidden"]
    done = [m for m in show.bare.simple() if getattr(m, "operation", None)]
    assert {m.operation.kind for m in done} == {"cut", "bore"}


def test_a_chamfer_runs_round_its_opening_at_its_width():
    shape = Rectangle(150, 100, 120, 80, 6.0)
    opening = Feature("o", "opening", shape, "show", None, "flush trim", chamfer=8.0)
    sheet = one_sheet(board(300.0, 200.0, opening), "show")
    by_kind = {m.operation.kind: m for m in sheet.bare.simple() if getattr(m, "operation", None)}
    inner = LineString(by_kind["opening"].points)
    gaps = {round(inner.distance(LineString([p, p])), 6) for p in by_kind["chamfer"].points}
    assert gaps == {8.0}
    assert by_kind["chamfer"].operation.depth == 8.0  # at 45° as deep as wide


def test_a_piece_that_nothing_is_worked_into_shows_its_show_face():
    assert faces_of(board()) == ("show",)
    assert faces_of(board(300, 200, hole("a", 50, 50, 20, face="back"))) == ("back",)
    assert faces_of(replace(board(), kind="side")) == ("show", "back")


def test_a_grain_arrow_lies_along_the_grain():
    from casewright.outputs.drawings.symbols import GrainArrow

    for grain, degrees in (("u", 0.0), ("v", 90.0)):
        sheet = one_sheet(replace(board(), grain=grain), "show")
        arrows = [m for m in sheet.drawing.marks if isinstance(m, GrainArrow)]
        assert [a.angle_deg for a in arrows] == [degrees]


def test_a_chamfer_right_through_an_overlay_is_cut_on_its_board():
    """5 through a sheet of 3: no edge of its own is left for the bearing, the board's opening guides it."""
    window = {"shape": "rectangle", "on": "deck", "u": 300, "v": 150, "width": 90, "height": 60}
    data = box(
        materials={"clear": {"kind": "acrylic", "nominal": 3, "measured": 3}},
        panels={"deck": {"layers": [{"key": "sheet", "material": "clear"}]}},
        features=[{**window, "chamfer": 5}],
    )
    worked = work_out(open_text(json.dumps(data)))
    sheets = part_drawings(worked.cabinet, worked.opened.style)
    notes = {sheet.piece: " ".join(sheet.notes) for sheet in sheets if sheet.face == "show"}
    assert "clamped to its board" in notes["deck.sheet"]
    assert "on the opening's edge" in notes["deck"]
    rims = {s.pieces[0]: " ".join(s.orders) for s in worked.work.steps if s.key.startswith("rim.")}
    assert "clamped to its board" in rims["deck.sheet"]
    assert "trimmed edge" in rims["deck"]


def test_hinges_stand_on_the_drawings_of_a_door_and_its_panel():
    """A door 300 × 110 on its left edge, two hinges of 40: middles a hinge and a half from its ends (common practice),
    but no nearer the middle than a quarter: 27.5 and 82.5; on the panel that is counted from its own corner.
    """
    door = {
        "on": "front",
        "width": 300,
        "height": 110,
        "u": 200,
        "v": 80,
        "fixing": "hinges",
        "hinged": "left",
    }
    cabinet = subject_of(
        box(doors={"door": door}, parts={"hinge": {"type": "hinge-butt-40"}})
    ).cabinet
    sheets = {(s.piece, s.face): s for s in part_drawings(cabinet, MM)}
    bottom = cabinet.piece_by_key["front"].extent[1]
    for piece, at in (
        ("door", (27.5, 82.5)),
        ("front", (80 - 55 - bottom + 27.5, 80 - 55 - bottom + 82.5)),
    ):
        drawing = sheets[piece, "show"].drawing
        texts = [m.text for m in drawing.simple() if isinstance(m, marks.Text)]
        assert texts.count("hinge") == 2
        assert {f"{place:.1f}" for place in at} <= set(texts)
        bare = [m for m in sheets[piece, "show"].bare.marks if isinstance(m, marks.Polyline)]
        pencilled = [m for m in bare if m.operation is None and len(m.points) == 4]
        high = [[y for _, y in m.points] for m in pencilled]
        middles = sorted(sum(ys) / 4 for ys in high if max(ys) - min(ys) == pytest.approx(40))
        assert middles == pytest.approx(at)
