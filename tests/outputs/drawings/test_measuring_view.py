"""Pictures of what to measure from where, held against plain geometry reckoned anew."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from casewright.basics.units import LengthStyle
from casewright.geometry.model import Cabinet, Circle, Piece, Rectangle
from casewright.outputs.drawings.marks import Region, Text
from casewright.outputs.drawings.measuring_view import bevel_drawing, hole_drawing, place_of
from casewright.planning.setups import bevel_edges
from casewright.workflow import build_up, open_project

MM = LengthStyle("mm", decimals=1)
EXAMPLES = Path(__file__).parents[3] / "examples"


@pytest.fixture(scope="module", params=["library-duel", "lap-controller"])
def cabinet(request: pytest.FixtureRequest) -> Cabinet:
    return build_up(open_project(EXAMPLES / f"{request.param}.cabinet.yaml")).cabinet


def measured(piece: Piece) -> list[tuple[str, float, float]]:
    """Key, and distances from the corner that lies lower left as one looks at the face worked from, tape in hand."""
    us = [u for u, _ in (*piece.show, *piece.back)]
    vs = [v for _, v in (*piece.show, *piece.back)]
    return [
        (
            f.key,
            f.shape.u - min(us) if f.face == "show" else max(us) - f.shape.u,
            f.shape.v - min(vs),
        )
        for f in piece.features
        if isinstance(f.shape, Circle | Rectangle)
    ]


def test_what_is_measured_leads_back_to_where_the_hole_is(cabinet: Cabinet) -> None:
    seen = set()
    for piece in cabinet.pieces:
        features = {f.key: f for f in piece.features}
        for key, right, up in measured(piece):
            feature = features[key]
            seen.add(feature.face)
            u, v = place_of(piece, feature.face, right, up)
            assert (u, v) == pytest.approx((feature.shape.u, feature.shape.v), abs=1e-9)  # type: ignore[union-attr]
    assert seen == {"show", "back"}


def test_from_behind_the_far_end_is_the_one_that_is_there(cabinet: Cabinet) -> None:
    """A board 2 mm short at its right end: on the back face its lower left corner has moved with that end."""
    piece = cabinet.piece_by_key["deck"]
    low, _, high, _ = piece.extent
    assert place_of(piece, "back", 30.0, 0.0)[0] == pytest.approx(high - 30.0)
    assert place_of(piece, "back", 30.0, 0.0, wide=high - low - 2.0)[0] == pytest.approx(
        high - 32.0
    )
    assert place_of(piece, "show", 30.0, 0.0, wide=high - low - 2.0)[0] == pytest.approx(low + 30.0)


def test_the_picture_tells_both_distances(cabinet: Cabinet) -> None:
    piece = cabinet.piece_by_key["deck"]
    features = {f.key: f for f in piece.features}
    for key, right, up in measured(piece)[:6]:
        drawing = hole_drawing(piece, features[key], MM)
        figures = {
            float(m.text)
            for m in drawing.marks
            if isinstance(m, Text) and re.fullmatch(r"[\d.]+", m.text)
        }
        assert {round(right, 1), round(up, 1)} <= figures
        assert drawing.bounds.width * drawing.scale < 130


def test_a_bevel_is_drawn_at_its_tilt(cabinet: Cabinet) -> None:
    """Thickness times the tangent is how far the longer face reaches out."""
    edges = [edge for piece in cabinet.pieces for edge in bevel_edges(piece)]
    assert edges
    for edge in edges:
        board = next(m for m in bevel_drawing(edge).marks if isinstance(m, Region))
        points = board.outer.points  # type: ignore[union-attr]
        lean = max(x for x, _ in points)
        high = max(y for _, y in points)
        assert math.degrees(math.atan2(lean, high)) == pytest.approx(edge.tilt_deg, abs=1e-6)
