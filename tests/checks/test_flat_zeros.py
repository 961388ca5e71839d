"""Equal shapes say the same in writing, whichever of them was asked for first."""

from __future__ import annotations

import pytest

from casewright.checks.flat import flat_of
from casewright.geometry.model import Circle, FaceShape, Polygon, Rectangle


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (Circle(-0.0, 5.25, 3.0), Circle(0.0, 5.25, 3.0)),
        (Rectangle(-0.0, -0.0, 4.25, 2.0, 1.0), Rectangle(0.0, 0.0, 4.25, 2.0, 1.0)),
        (
            Polygon(((-0.0, 0.0), (3.25, -0.0), (3.25, 2.0))),
            Polygon(((0.0, 0.0), (3.25, 0.0), (3.25, 2.0))),
        ),
    ],
)
def test_a_zero_has_no_sign(first: FaceShape, second: FaceShape) -> None:
    # IEEE 754: -0.0 equals 0.0, so the two share one remembered result, but they are written differently.
    assert first == second
    flat_of.cache_clear()
    flat_of(first)
    remembered = repr(flat_of(second))
    flat_of.cache_clear()
    assert repr(flat_of(second)) == remembered
