"""Worked walls as told to the viewer: where a bit really leaves its walls."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely

from casewright.faces.web.components.scene_works import CHAMFER, Band, bands_of, works_of
from casewright.faces.web.views.whole import work_words
from casewright.geometry.model import Circle, Feature, Frame, Piece, Polygon, Rectangle
from casewright.geometry.solids import piece_solid

THICK = 18.0
HERE = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
SQUARE = ((0.0, 0.0), (300.0, 0.0), (300.0, 300.0), (0.0, 300.0))


def board(*features: Feature, key: str = "deck") -> Piece:
    return Piece(key, key, "panel", "deck", "ply", THICK, HERE, SQUARE, SQUARE, features=features)


def feature(kind: str, shape: object, face: str, depth: float | None, **more: object) -> Feature:
    return Feature(f"a.{kind}", kind, shape, face, depth, "straight", **more)  # type: ignore[arg-type]


def taken_away(band: Band) -> float:
    """Volume between the rings of a band. [mm³]

    Of a frustum h / 3 (A + √(A B) + B): any handbook's table of solids; exact for rings that are alike.
    """
    if band.radii:
        areas = [math.pi * radius**2 for radius in band.radii]
    else:
        areas = [shapely.Polygon(ring).area for ring in band.rings]
    return sum(
        abs(band.levels[i + 1] - band.levels[i]) / 3 * (a + math.sqrt(a * b) + b)
        for i, (a, b) in enumerate(pairwise(areas))
    )


CASES = {
    "hole": feature("hole", Circle(80, 90, 30), "show", None),
    "pocket from behind": feature("pocket", Rectangle(150, 150, 60, 40, 6, 30), "back", 7.0),
    "opening": feature("opening", Polygon(((50, 50), (120, 60), (90, 140))), "show", None),
    "countersink": feature("countersink", Circle(60, 60, 8), "show", None),
    "blind hole": feature("counterbore", Circle(200, 60, 15), "back", 9.5),
    "rim chamfered": feature("hole", Circle(150, 150, 28), "show", None, chamfer=3.0),
    "square rim chamfered behind": feature(
        "opening", Rectangle(150, 150, 80, 80), "back", None, chamfer=4.0
    ),
}


@pytest.mark.parametrize("name", list(CASES))
def test_the_walls_enclose_what_the_solid_lost(name: str) -> None:
    """The solid's own volume, by another road: a mesh of the whole board against the rings of its bands."""
    piece = board(CASES[name])
    lost = 300 * 300 * THICK - piece_solid(piece).volume()
    assert sum(map(taken_away, bands_of(piece))) == pytest.approx(lost, rel=0.01)


def test_walls_end_at_the_face_they_are_worked_from() -> None:
    (pocket,) = bands_of(board(CASES["pocket from behind"]))
    assert pocket.levels == (-18.0, -11.0) and pocket.has_floor
    (hole,) = bands_of(board(CASES["hole"]))
    assert hole.levels == (0.0, -18.0) and not hole.has_floor
    assert hole.radii == (15.0, 15.0) and hole.centre == (80, 90)
    (slot,) = bands_of(
        board(feature("slot", Polygon(((0, 0), (300, 0), (300, 12), (0, 12))), "show", 1.5))
    )
    assert slot.levels == (-9.75, -8.25)  # 1.5 wide in the middle of 18


def test_a_chamfer_is_a_work_of_its_own() -> None:
    rim, wall = bands_of(board(CASES["rim chamfered"]))
    assert rim.works == (CHAMFER,) and rim.levels == (0.0, -3.0) and rim.radii == (17.0, 14.0)
    assert wall.works == ("hole", "straight") and wall.levels == (-3.0, -18.0)
    assert works_of(board(CASES["rim chamfered"])) == (CHAMFER, "hole", "straight")


def test_rings_of_a_band_have_corners_that_belong_together() -> None:
    (rim, _) = bands_of(board(CASES["square rim chamfered behind"]))
    upper, lower = np.array(rim.rings[0]), np.array(rim.rings[1])
    assert upper.shape == lower.shape
    across = np.abs(upper - lower)
    assert across == pytest.approx(np.full_like(across, 4.0))  # at 45°, each corner by 4 both ways
    told = rim.as_json()
    assert told["n"] == [-18.0, -14.0] and len(told["rings"][0]) == 2 * len(upper)


def test_the_choice_counts_them() -> None:
    two = board(CASES["hole"], feature("hole", Circle(200, 200, 12), "back", None))
    one = board(CASES["rim chamfered"], key="lid")
    words = work_words([two, one, board(key="plain")])
    assert words["hole"] == "holes: 3 in 2 pieces"
    assert words[CHAMFER] == "chamfers: 1 in 1 piece"
    assert words["straight"].endswith("straight bit: 3 in 2 pieces")
    assert "pocket" not in words and list(words) == ["hole", CHAMFER, "straight"]
