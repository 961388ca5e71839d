"""Whole edges moved square to themselves: plain geometry, held against shapely and by hand."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from casewright.session.grips import grip_of, pushed

CASE = {"A": (0.0, 0.0), "B": (400.0, 0.0), "C": (400.0, 300.0), "D": (100.0, 300.0)}
"""Square but for the front D-A, which leans back: 100 in 300."""


def slopes(corners: dict[str, tuple[float, float]]) -> list[float]:
    points = list(corners.values())
    return [
        math.atan2(b[1] - a[1], b[0] - a[0])
        for a, b in zip(points, (*points[1:], points[0]), strict=True)
    ]


def test_the_lid_goes_up_and_the_front_stays_straight() -> None:
    """60 up: the front's upper corner goes on along its slope, 20 back."""
    grip = grip_of(CASE, "run:C-D")
    assert grip is not None
    assert grip.home == (250.0, 300.0)
    assert grip.normal == pytest.approx((0.0, 1.0))
    moved = pushed(CASE, grip, (999.0, 360.0))  # what is along the edge does not count
    assert moved is not None
    assert moved["C"] == pytest.approx((400.0, 360.0))
    assert moved["D"] == pytest.approx((120.0, 360.0))
    assert (moved["A"], moved["B"]) == (CASE["A"], CASE["B"])


def test_an_edge_in_line_with_its_neighbor_goes_alone() -> None:
    """Nothing slides along a line that is the edge's own: a step comes of it."""
    corners = {"A": (0.0, 0.0), "B": (200.0, 0.0), "C": (400.0, 0.0), "D": (400.0, 300.0)}
    corners["E"] = (0.0, 300.0)
    grip = grip_of(corners, "run:D-E")
    assert grip is not None
    assert pushed(corners, grip, (200.0, 250.0)) is not None
    grip = grip_of(corners, "run:A-B")
    assert grip is not None
    moved = pushed(corners, grip, (100.0, -20.0))
    assert moved is not None
    assert moved["B"] == pytest.approx((200.0, -20.0))


def test_no_edge_vanishes_or_turns_round() -> None:
    grip = grip_of(CASE, "run:C-D")
    assert grip is not None
    assert pushed(CASE, grip, (250.0, 0.0)) is None
    assert pushed(CASE, grip, (250.0, -5.0)) is None
    assert pushed(CASE, grip, (250.0, 1201.0)) is None  # back and front meet at 1200
    assert pushed(CASE, grip, (250.0, 1199.0)) is not None


def test_what_is_no_edge() -> None:
    assert grip_of(CASE, "run:A-Z") is None
    assert grip_of(CASE, "Z") is None
    assert grip_of(CASE, "run:A") is None


@given(st.sampled_from(["A-B", "B-C", "C-D", "D-A"]), st.floats(-80, 80))
def test_slopes_stay_and_the_area_grows_by_the_strip(run: str, far: float) -> None:
    """Against shapely: the new outline less the old, or the old less the new, is a strip as wide as the way."""
    grip = grip_of(CASE, f"run:{run}")
    assert grip is not None and grip.normal is not None
    to = (grip.home[0] + far * grip.normal[0], grip.home[1] + far * grip.normal[1])
    moved = pushed(CASE, grip, to)
    assert moved is not None
    assert slopes(moved) == pytest.approx(slopes(CASE), abs=1e-9)
    old, new = shapely.Polygon(list(CASE.values())), shapely.Polygon(list(moved.values()))
    assert new.is_valid
    edges = [shapely.LineString([c[n] for n in grip.names]) for c in (CASE, moved)]
    assert edges[0].distance(edges[1]) == pytest.approx(abs(far), abs=1e-6) or abs(far) < 1e-6
    strip = (edges[0].length + edges[1].length) / 2 * far
    assert new.area - old.area == pytest.approx(strip, abs=1e-3)
