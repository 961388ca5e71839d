"""Pieces of the carcass: frames, lengths, grooves, inner boards, doors, loose boards."""

from __future__ import annotations

import pytest

from casewright.basics.errors import InputErrors
from casewright.design.project import Project
from casewright.design.shape import OutlineShape
from casewright.geometry.build import build_cabinet
from casewright.geometry.model import Cabinet, Polygon, Rectangle
from casewright.geometry.outline import solve_outline


def box(**more: object) -> Project:
    """A plain box, 500 wide, 300 deep, 400 high, of 18 mm boards."""
    data: dict[str, object] = {
        "name": "box",
        "materials": {
            "board": {"kind": "mdf", "nominal": 18},
            "thin": {"kind": "acrylic", "nominal": 3},
        },
        "shape": {
            "recipe": "outline",
            "width": 500,
            "side": {"material": "board"},
            "board": "board",
            "corners": {"A": [0, 0], "B": [300, 0], "C": [300, 400], "D": [0, 400]},
        },
        "panels": {
            "base": {"run": "A-B", "role": "floor"},
            "back": {"run": "B-C", "role": "back"},
            "top": {"run": "C-D", "role": "top"},
            "front": {"run": "D-A", "role": "front"},
        },
    }
    for key, value in more.items():
        if isinstance(value, dict) and isinstance(data.get(key), dict):
            merged = dict(data[key])  # type: ignore[call-overload]
            for name, entry in value.items():
                merged[name] = (
                    {**merged.get(name, {}), **entry} if isinstance(entry, dict) else entry
                )
            data[key] = merged
        else:
            data[key] = value
    return Project.model_validate(data, context={"unit": "mm"})


def built(**more: object) -> Cabinet:
    return build_cabinet(box(**more), {}, ())


def test_length_is_width_less_two_sides():
    """Plain arithmetic: 500 − 2 × 18 = 464."""
    cabinet = built()
    assert cabinet.piece_by_key["top"].width == pytest.approx(464)
    number = cabinet.numbers["top.length"]
    assert number.value == 464
    assert [(t.label, t.value, t.times) for t in number.terms] == [
        ("width over the sides", 500.0, 1),
        ("side thickness", 18.0, -2),
    ]


def test_frames_are_right_handed_and_look_outward():
    cabinet = built()
    expected = {
        "front": ((1, 0, 0), (0, 0, 1), (0, -1, 0)),
        "back": ((-1, 0, 0), (0, 0, 1), (0, 1, 0)),
        "top": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
        "base": ((-1, 0, 0), (0, 1, 0), (0, 0, -1)),
        "left": ((0, -1, 0), (0, 0, 1), (-1, 0, 0)),
        "right": ((0, 1, 0), (0, 0, 1), (1, 0, 0)),
    }
    for key, (u, v, n) in expected.items():
        frame = cabinet.piece_by_key[key].frame
        assert frame.u == pytest.approx(u), key
        assert frame.v == pytest.approx(v), key
        assert frame.n == pytest.approx(n), key


def test_u_is_zero_at_the_left_inner_edge_as_seen_from_outside():
    cabinet = built()
    assert cabinet.piece_by_key["front"].frame.point(0, 0) == pytest.approx((18, 0, 0))
    # the back is seen from behind, so its left is the cabinet's right
    assert cabinet.piece_by_key["back"].frame.point(0, 0) == pytest.approx((482, 300, 0))


def test_reveal_sets_the_show_face_back():
    cabinet = built(panels={"front": {"reveal": 5}})
    assert cabinet.piece_by_key["front"].frame.origin[1] == pytest.approx(5)


def test_grooves_lengthen_the_panel_and_are_cut_in_both_sides():
    """Plain arithmetic: 464 + 2 × 6 = 476; the groove is 18.2 wide and 6 deep."""
    cabinet = built(panels={"back": {"joint": "groove", "reveal": 4}})
    assert cabinet.piece_by_key["back"].width == pytest.approx(476)
    for side in ("left", "right"):
        groove = cabinet.piece_by_key[side].feature("back.groove")
        assert (groove.face, groove.depth) == ("back", 6)
        assert isinstance(groove.shape, Polygon)
        us = [u for u, _ in groove.shape.points]
        assert max(us) - min(us) == pytest.approx(18.2)
    mirrored = [
        cabinet.piece_by_key[side].feature("back.groove").shape.points for side in ("left", "right")
    ]
    turned = sorted((round(300 - u, 6), round(v, 6)) for u, v in mirrored[0])
    assert turned == sorted((round(u, 6), round(v, 6)) for u, v in mirrored[1])


def test_an_overlay_is_a_piece_of_its_own_before_the_board():
    cabinet = built(panels={"top": {"layers": [{"key": "sheet", "material": "thin", "inset": 1}]}})
    board, sheet = cabinet.piece_by_key["top"], cabinet.piece_by_key["top.sheet"]
    assert board.frame.origin[2] == pytest.approx(397)
    assert sheet.frame.origin[2] == pytest.approx(400)
    assert (sheet.thickness, sheet.width) == pytest.approx((3, 462))
    assert cabinet.slab_by_panel["top"].thickness == pytest.approx(21)


def test_an_inner_board_reaches_to_the_panels():
    """A shelf from front to back: 300 − 18 − 18 = 264 deep."""
    shelf = {"material": "board", "start": [250, 200], "end": [50, 200], "until": "panels"}
    cabinet = built(inner={"shelf": shelf})
    piece = cabinet.piece_by_key["shelf"]
    assert (piece.width, piece.height) == pytest.approx((464, 264))
    # from back to front the left is below: the show face looks up
    assert piece.frame.n == pytest.approx((0, 0, 1))


def test_a_cleat_in_the_way_is_notched_out_of_a_shelf():
    shelf = {
        "material": "board",
        "start": [250, 200],
        "end": [50, 200],
        "until": "panels",
        "cleats": False,
    }
    cabinet = built(inner={"shelf": shelf})
    notches = [f for f in cabinet.piece_by_key["shelf"].features if f.kind == "notch"]
    owners = {n.owner for n in notches}
    assert owners == {f"{p}.cleat-{s}" for p in ("back", "front") for s in ("left", "right")}
    for notch in notches:
        assert isinstance(notch.shape, Polygon)
        us, vs = zip(*notch.shape.points, strict=True)
        assert max(us) - min(us) == pytest.approx(21)  # 20 of cleat and 1 of room
        assert max(vs) - min(vs) == pytest.approx(21)


def test_cleats_stop_short_of_each_other_and_of_the_boards():
    cabinet = built()
    cleats = [p for p in cabinet.pieces if p.kind == "cleat"]
    assert len(cleats) == 8
    from casewright.geometry.collisions import find_collisions

    assert find_collisions(cabinet) == ()


def test_a_door_fills_its_opening_less_the_gap():
    cabinet = built(doors={"hatch": {"on": "back", "width": 300, "height": 250, "gap": 2}})
    opening = cabinet.piece_by_key["back"].feature("hatch.opening").shape
    assert isinstance(opening, Rectangle)
    assert (opening.width, opening.height) == (304, 254)
    door = cabinet.piece_by_key["hatch"]
    assert (door.width, door.height) == pytest.approx((300, 250))
    assert len([p for p in cabinet.pieces if p.kind == "strip"]) == 4


def test_a_loose_board_stands_where_it_is_put():
    leg = {"material": "board", "plane": "side", "at": [0, 20, -500], "size": [260, 500]}
    piece = built(boards={"leg": leg}).piece_by_key["leg"]
    assert piece.frame.point(0, 0) == pytest.approx((18, 20, -500))
    assert piece.frame.point(0, 0, -18) == pytest.approx((0, 20, -500))


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"panels": {"base": {"material": "oak"}}}, "panels.base.material"),
        ({"panels": {"base": {"run": "A-C"}}}, "panels.base.run"),
        ({"panels": {"base": {"run": "B-C"}}}, "panels.back.run"),
        ({"shape": {"board": "oak"}}, "shape.board"),
        ({"shape": {"corners": {"A": [0, 0], "B": [0, 400], "C": [300, 400]}}}, "shape.corners"),
        ({"inner": {"top": {"material": "board", "start": [1, 1], "end": [9, 9]}}}, "inner.top"),
        ({"inner": {"s": {"material": "board", "start": [1, 1], "end": [1, 1]}}}, "inner.s.end"),
        (
            {"features": [{"shape": "hole", "on": "lid", "u": 1, "v": 1, "diameter": 5}]},
            "features.0.on",
        ),
        (
            {
                "features": [
                    {
                        "shape": "outline",
                        "on": "top",
                        "u": 0,
                        "v": 0,
                        "points": [[0, 0], [5, 5], [9, 9]],
                    }
                ]
            },
            "features.0.points",
        ),
        (
            {
                "features": [
                    {
                        "shape": "outline",
                        "on": "top",
                        "u": 0,
                        "v": 0,
                        "points": [[0, 0], [40, 20], [40, 0], [0, 30]],
                    }
                ]
            },
            "features.0.points",
        ),
        (
            {
                "features": [
                    {
                        "shape": "groove",
                        "on": "top",
                        "u": 9,
                        "v": 9,
                        "to": [9, 9],
                        "width": 4,
                        "depth": 3,
                    }
                ]
            },
            "features.0.to",
        ),
    ],
)
def test_names_and_outlines_that_lead_nowhere(change, field):
    with pytest.raises(InputErrors) as caught:
        built(**change)
    assert field in {error.field for error in caught.value.errors}


def test_an_outline_that_crosses_itself_is_refused():
    corners = {"A": [0, 0], "B": [300, 400], "C": [300, 0], "D": [0, 400]}
    with pytest.raises(InputErrors) as caught:
        build_cabinet(
            box().model_copy(
                update={
                    "shape": box().shape.model_copy(
                        update={"corners": {k: tuple(v) for k, v in corners.items()}}
                    )
                }
            ),
            {},
            (),
        )
    assert "crossing" in str(caught.value)


@pytest.mark.parametrize(
    ("corners", "field"),
    [
        ({"A": [0, 0], "B": [300, 0], "C": [300, 400], "D": [150, 0]}, "shape.corners.D"),
        (  # a spike that runs back along its own run
            {"A": [0, 0], "B": [300, 0], "C": [200, 0], "D": [200, 400], "E": [0, 400]},
            "shape.corners.C",
        ),
    ],
)
def test_an_outline_that_touches_itself_is_refused(corners, field):
    with pytest.raises(InputErrors) as caught:
        solve_outline(
            box(), OutlineShape.model_validate(box().shape.model_dump() | {"corners": corners})
        )
    assert field in [error.field for error in caught.value.errors]


def test_a_feature_goes_through_every_layer_and_stops_at_its_depth():
    layers = {"top": {"layers": [{"key": "sheet", "material": "thin"}]}}
    hole = {"shape": "hole", "on": "top", "u": 100, "v": 100, "diameter": 20}
    cabinet = built(panels=layers, features=[hole, {**hole, "u": 200, "depth": 10}])
    board, sheet = cabinet.piece_by_key["top"], cabinet.piece_by_key["top.sheet"]
    assert board.feature("own1").depth is None
    assert sheet.feature("own1").depth is None
    assert sheet.feature("own2").depth is None  # the 3 mm sheet is pierced
    assert board.feature("own2").depth == pytest.approx(7)
    from_behind = built(panels=layers, features=[{**hole, "face": "back", "depth": 10}])
    assert from_behind.piece_by_key["top"].feature("own1").depth == pytest.approx(10)
    assert not from_behind.piece_by_key["top.sheet"].features


@pytest.mark.parametrize("face", ["show", "back"])
def test_a_chamfer_runs_on_from_layer_to_layer(face):
    """5 across at 45° through an overlay of 3: the overlay's rim is 2 wider on every edge, 3 and 2 are cut.

    From the back, 20 through a board of 18 leave 2 for the overlay. Plain geometry.
    """
    layers = {"top": {"layers": [{"key": "sheet", "material": "thin"}]}}
    chamfer = 5 if face == "show" else 20
    window = {"shape": "rectangle", "on": "top", "u": 200, "v": 150, "width": 100, "height": 60}
    cabinet = built(panels=layers, features=[{**window, "chamfer": chamfer, "face": face}])
    board, sheet = cabinet.piece_by_key["top"], cabinet.piece_by_key["top.sheet"]
    first, second = (sheet, board) if face == "show" else (board, sheet)
    outer, inner = first.feature("own1"), second.feature("own1")
    assert (outer.chamfer, inner.chamfer) == pytest.approx((first.thickness, 2))
    assert isinstance(outer.shape, Rectangle)
    assert isinstance(inner.shape, Rectangle)
    assert (inner.shape.width, inner.shape.height) == (100, 60)
    assert (outer.shape.width, outer.shape.height) == (104, 64)
    assert outer.shape.radius == pytest.approx(inner.shape.radius + 2)


@pytest.mark.parametrize(
    ("feature", "field"),
    [
        ({"shape": "slot", "length": 10, "width": 30}, "features.0.length"),
        (
            {"shape": "rectangle", "width": 60, "height": 40, "chamfer": 5, "depth": 3},
            "features.0.chamfer",
        ),
    ],
)
def test_features_that_cannot_be_are_refused(feature, field):
    """A slot has round ends of its width; a chamfer at 45° is as deep as wide."""
    with pytest.raises(InputErrors) as caught:
        built(features=[{"on": "top", "u": 200, "v": 150, **feature}])
    assert [error.field for error in caught.value.errors] == [field]


@pytest.mark.parametrize(
    ("ends", "sides"),
    [
        ({}, ("left", "right")),
        ({"left": 100}, ("right",)),
        ({"right": 300}, ("left",)),
        ({"left": 100, "right": 300}, ()),
        ({"clearance": 6}, ()),
    ],
)
@pytest.mark.parametrize("climbs", [False, True])
def test_an_inner_board_has_grooves_where_it_reaches_the_sides(ends, sides, climbs):
    """A groove 18.2 wide, 0.1 beyond either face; none in a side that the board does not reach into."""
    line = {"start": [250, 200], "end": [50, 200]}
    line = {"start": line["end"], "end": line["start"]} if climbs else line
    shelf = {"material": "board", **line, "joint": "groove", "cleats": False, **ends}
    cabinet = built(inner={"shelf": shelf})
    for key in ("left", "right"):
        cut = [f for f in cabinet.piece_by_key[key].features if f.kind == "groove"]
        assert len(cut) == (key in sides)
        for groove in cut:
            assert isinstance(groove.shape, Polygon)
            heights = [v for _, v in groove.shape.points]
            low = (
                199.9 if climbs else 181.9
            )  # left of the way, seen from the right, is up going back
            assert (min(heights), max(heights)) == pytest.approx((low, low + 18.2))


def test_an_inner_board_that_butts_cuts_no_groove_even_where_it_runs_into_a_side():
    """Its overlap with the side is told as such; a groove of no depth cannot be drawn."""
    shelf = {"material": "board", "start": [250, 200], "end": [50, 200], "right": 10_000}
    cabinet = built(inner={"shelf": {**shelf, "cleats": False}})
    assert not [f for side in ("left", "right") for f in cabinet.piece_by_key[side].features]


@pytest.mark.parametrize(
    ("material", "lip", "proud"), [("board", 12, 0), ("thin", 12, -15), ("thin", 0, 0)]
)
def test_a_doors_back_lies_on_its_strips(material, lip, proud):
    """3 in a board of 18: 15 behind the show face where strips are, flush where none are. Nothing overlaps."""
    from casewright.geometry.collisions import find_collisions

    door = {"on": "back", "width": 300, "height": 250, "lip": lip, "material": material}
    cabinet = built(doors={"hatch": door})
    back, hatch = cabinet.piece_by_key["back"], cabinet.piece_by_key["hatch"]
    assert back.frame.local(hatch.frame.origin)[2] == pytest.approx(proud)
    assert find_collisions(cabinet) == ()
    turned = built(
        materials={"board": {"nominal": 12}, "side": {"kind": "mdf", "nominal": 18}},
        shape={"side": {"material": "side"}},
        doors={"hatch": {**door, "material": "side", "lip": 12}},
    )
    back, hatch = turned.piece_by_key["back"], turned.piece_by_key["hatch"]
    assert back.frame.local(hatch.frame.origin)[2] == pytest.approx(6)
    assert find_collisions(turned) == ()


def test_a_doors_opening_goes_through_overlays_too():
    """In the middle of a back 464 wide that runs from the floor to below the top, 382; 1.5 of gap on every edge."""
    layers = {"back": {"layers": [{"key": "sheet", "material": "thin"}]}}
    cabinet = built(panels=layers, doors={"hatch": {"on": "back", "width": 300, "height": 250}})
    shapes = {
        cabinet.piece_by_key[k].feature("hatch.opening").shape for k in ("back", "back.sheet")
    }
    assert shapes == {Rectangle(232, 191, 303, 253)}
