"""A made piece against the plan: outlines, edges, holes."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon as Area
from tests.strategies import examples

from casewright.design.built import BuiltFeature, BuiltPiece
from casewright.geometry.model import Circle, Feature, Frame, Piece
from casewright.planning.as_built.fits import fit_of
from casewright.planning.as_built.made import drawn_of, made_piece

FRAME = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def board(
    width: float, height: float, *, lean: float = 0.0, holes: tuple[Feature, ...] = ()
) -> Piece:
    """A board 18 thick; its upper edge leans so that the back face ends `lean` lower."""
    show = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    back = ((0.0, 0.0), (width, 0.0), (width, height - lean), (0.0, height - lean))
    return Piece(
        "board", "board", "panel", "other", "ply", 18.0, FRAME, show, back, holes, "board", "u"
    )


def hole(key: str, u: float, v: float, diameter: float = 28.0) -> Feature:
    return Feature(key, "hole", Circle(u, v, diameter), "show", None, "forstner", owner=key)


def test_what_is_as_drawn_fits() -> None:
    piece = board(600, 200, lean=5, holes=(hole("a", 100, 90),))
    record = BuiltPiece(state="drilled", drawn=drawn_of(piece))
    fit = fit_of(piece, made_piece(piece, record), seam=0.5, hole=0.6)
    assert fit.short == 0 and fit.spare == 0 and fit.features == ()


@settings(max_examples=examples(60))
@given(st.floats(-3, 3), st.floats(-3, 3), st.floats(0, 12), st.booleans())
def test_lacking_and_spare_agree_with_plane_areas(
    more: float, wider: float, lean: float, drilled: bool
) -> None:
    # shapely: with nothing lacking the planned faces lie inside the made ones, wherever the piece is laid.
    piece = board(600, 200, lean=lean, holes=(hole("a", 100, 90),))
    record = BuiltPiece(state="drilled" if drilled else "cut", length=600 + more, width=200 + wider)
    made = made_piece(piece, record)
    fit = fit_of(piece, made, seam=0.0, hole=0.6)
    du, dv = fit.shift
    assert not drilled or (du, dv) == (0.0, 0.0)  # its hole holds it
    inside = all(
        Area([(u + du, v + dv) for u, v in there]).buffer(2e-3).covers(Area(plan))
        for plan, there in ((piece.show, made.show), (piece.back, made.back))
    )
    assert inside == (fit.short < 2e-3)
    assert fit.short == pytest.approx(max(0.0, -more, -wider), abs=2e-3)
    assert fit.spare == pytest.approx(max(0.0, more, wider), abs=2e-3)


@given(st.floats(1, 60), st.floats(1, 60))
def test_a_bevel_sawn_at_another_tilt_keeps_its_long_point(planned: float, sawn: float) -> None:
    # Plain trigonometry: the short face ends thickness times the tangent behind the long point.
    lean = 18 * math.tan(math.radians(planned))
    piece = board(600, 200, lean=lean)
    made = made_piece(piece, BuiltPiece(state="cut", bevels={"upper": sawn}))
    assert made.show == piece.show
    assert made.back[2][1] == pytest.approx(200 - 18 * math.tan(math.radians(sawn)))
    fit = fit_of(piece, made, seam=0.5, hole=0.6)
    upper = next(edge for edge in fit.edges if edge.name == "upper")
    gap = 18 * (math.tan(math.radians(sawn)) - math.tan(math.radians(planned)))
    if gap > 2e-3:
        assert upper.short == pytest.approx(gap, abs=2e-3) and upper.short_face == "back"
    assert upper.made_tilt_deg == pytest.approx(sawn, abs=0.01)


def test_holes_are_moved_smaller_missing_or_needless() -> None:
    piece = board(600, 200, holes=(hole("a", 100, 90), hole("b", 200, 90), hole("c", 300, 90)))
    before = replace(
        piece, features=(hole("a", 103, 94), hole("b", 200, 90, 25), hole("d", 400, 90))
    )
    record = BuiltPiece(state="drilled", drawn=drawn_of(before))
    fit = fit_of(piece, made_piece(piece, record), seam=0.5, hole=0.6)
    changes = {f.key: f for f in fit.features}
    assert {key: f.change for key, f in changes.items()} == {
        "a": "moved",
        "b": "smaller",
        "c": "missing",
        "d": "needless",
    }
    assert changes["a"].off == pytest.approx(5.0)  # 3, 4, 5


def test_a_piece_that_is_only_cut_has_no_holes_to_be_wrong() -> None:
    piece = board(600, 200, holes=(hole("a", 100, 90),))
    made = made_piece(piece, BuiltPiece(state="cut"))
    assert made.features == {} and fit_of(piece, made, seam=0.5, hole=0.6).features == ()
    told = BuiltPiece(state="drilled", holes={"a": BuiltFeature(u=104.0)})
    assert fit_of(piece, made_piece(piece, told), seam=0.5, hole=0.6).features[0].du == 4.0


def test_a_profile_cut_too_low_lost_only_its_top() -> None:
    # By hand: a wedge 300 deep at the foot, 200 at the top, 400 high; 5 lower, its slope runs on the same line.
    show = ((0.0, 0.0), (300.0, 0.0), (300.0, 100.0), (200.0, 400.0), (0.0, 400.0))
    side = Piece(
        "left", "side", "side", "other", "ply", 18.0, FRAME, show, show, (), "left", "none"
    )
    made = made_piece(side, BuiltPiece(state="shaped", length=395.0))
    assert made.show[3] == pytest.approx((300 - 100 * 295 / 300, 395.0))
    assert made.show[4] == pytest.approx((0.0, 395.0)) and made.show[:3] == show[:3]
