"""What is left beside many holes that move together, against shapely's distances."""

from __future__ import annotations

import random

import pytest
import shapely
from tests.geometry.pieces_by_hand import board, project, rectangle

from casewright.checks.webs import margin_after, web_least
from casewright.geometry.model import Circle, Feature, Piece, Rectangle

OWN = "mine"


def hole(owner: str, number: int, u: float, v: float, diameter: float) -> Feature:
    shape = Circle(u, v, diameter)
    return Feature(f"{owner}.{number}", "hole", shape, "show", None, "forstner", owner=owner)


def perforated(rng: random.Random, own: int, others: int) -> Piece:
    """Holes at random: those of one owner in the middle, those of two others about them."""
    features = [
        hole(OWN, n, rng.uniform(350, 650), rng.uniform(250, 350), rng.uniform(3, 9))
        for n in range(own)
    ] + [
        hole(rng.choice(["a", "b"]), n, rng.uniform(10, 990), rng.uniform(10, 590), 6.0)
        for n in range(others)
    ]
    return board("plate", rectangle(1000, 600), features=features)


@pytest.mark.parametrize("number", range(6))
def test_many_holes_that_run_past_a_slanted_outline(number: int) -> None:
    """Some inside, some not: the worst of them, against shapely's boundary and inside."""
    rng = random.Random(number)
    outline = ((0.0, 0.0), (1000.0, 0.0), (800.0, 600.0), (300.0, 450.0))
    holes = [
        hole(OWN, n, rng.uniform(200, 700), rng.uniform(100, 350), rng.uniform(3, 9))
        for n in range(40)
    ]
    square = Feature(
        "mine.square", "opening", Rectangle(500, 200, 40, 30), "show", None, "jigsaw", owner=OWN
    )
    piece = board("plate", outline, features=[*holes, square])
    made, du, dv = project(), rng.uniform(-150, 150), rng.uniform(-120, 120)
    ring = shapely.Polygon(outline)
    gaps = []
    for one in holes:
        assert isinstance(one.shape, Circle)
        middle = shapely.Point(one.shape.u + du, one.shape.v + dv)
        away = middle.distance(ring.exterior) * (1 if ring.contains(middle) else -1)
        gaps.append(away - one.shape.diameter / 2)
    box = shapely.box(480 + du, 185 + dv, 520 + du, 215 + dv)
    corners = [shapely.Point(p) for p in box.exterior.coords]
    outside = [p.distance(ring.exterior) for p in corners if not ring.contains(p)]
    gaps.append(-max(outside) if outside else box.distance(ring.exterior))
    wanted = min(gaps) - web_least(made, piece)
    assert margin_after(made, piece, OWN, du, dv) == pytest.approx(wanted, abs=1e-6)


def discs(piece: Piece, owners: str, du: float = 0.0, dv: float = 0.0) -> list[shapely.Geometry]:
    return [
        shapely.Point(f.shape.u + du, f.shape.v + dv).buffer(f.shape.diameter / 2, quad_segs=64)
        for f in piece.features
        if f.owner in owners.split() and isinstance(f.shape, Circle)
    ]


@pytest.mark.parametrize(("own", "others"), [(2, 5), (3, 40), (25, 60)])
@pytest.mark.parametrize("number", range(8))
def test_the_margin_of_holes_that_move_is_the_least_distance_over_what_is_asked(
    own: int, others: int, number: int
) -> None:
    rng = random.Random(number)
    piece = perforated(rng, own, others)
    made = project()
    least = web_least(made, piece)
    du, dv = rng.uniform(-300, 300), rng.uniform(-200, 200)
    also = {"b": (rng.uniform(-20, 20), rng.uniform(-20, 20))} if number % 2 else {}
    mine = shapely.union_all(discs(piece, OWN, du, dv))
    there = discs(piece, "a") + discs(piece, "b", *also.get("b", (0.0, 0.0)))
    to_others = min(mine.distance(one) for one in there)
    edge = shapely.box(0, 0, 1000, 600).exterior
    to_edge = min(one.distance(edge) for one in discs(piece, OWN, du, dv))
    margin = margin_after(made, piece, OWN, du, dv, also=also)
    if to_others == 0:
        assert margin < -least
    elif to_others < least:
        assert margin == pytest.approx(min(to_others, to_edge) - least, abs=0.02)
    else:  # what is far enough from the others is told by the edge, or by one that is near enough to look at
        assert -0.02 <= min(margin, to_edge - least) == pytest.approx(margin, abs=0.02)
