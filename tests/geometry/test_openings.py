from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from tests.geometry.display_bench import project, stack

from casewright.design.project import Shop
from casewright.geometry.model import Rectangle
from casewright.geometry.openings import Area, corner_cut, corner_hidden, corner_margin, pierce


def test_corner_margin_is_where_the_corner_meets_the_arc() -> None:
    """Plain geometry: a 12.7 bit (r 6.35) clears a square corner from 1.86 on; r 3.175 from 0.93."""
    assert corner_margin(6.35) == pytest.approx(1.860, abs=0.0005)
    assert corner_margin(3.175) == pytest.approx(0.930, abs=0.0005)
    assert corner_hidden(corner_margin(6.35), corner_margin(6.35), 6.35) == pytest.approx(
        0, abs=1e-9
    )
    assert corner_hidden(1.8, 1.8, 6.35) > 0


def test_a_flush_opening_hides_the_corner_outside_the_quarter_circle() -> None:
    """Plain geometry: r²·(1 − π/4)."""
    assert corner_hidden(0, 0, 10) == pytest.approx(100 * (1 - math.pi / 4))


@given(st.floats(0, 12), st.floats(0, 12), st.floats(0.5, 10))
def test_hidden_corner_against_a_polygon(mu: float, mv: float, radius: float) -> None:
    """Reference library: shapely's area of picture minus rounded opening, one of four corners."""
    picture = shapely.box(-50, -50, 50, 50)
    core = shapely.box(-50 - mu + radius, -50 - mv + radius, 50 + mu - radius, 50 + mv - radius)
    opening = core.buffer(radius, quad_segs=256)
    hidden = picture.difference(opening).area / 4
    assert corner_hidden(mu, mv, radius) == pytest.approx(hidden, abs=0.002)


def test_bits_decide_the_corner() -> None:
    """Plain geometry: a 1/2 in pattern bit leaves r 6.35, an 8 mm straight bit r 4."""
    shop = project().shop
    assert corner_cut(shop).radius == pytest.approx(6.35)
    assert corner_cut(shop).tool == "flush trim"
    four = corner_cut(shop, 4.0)
    assert (four.tool, four.bit, four.by_hand) == ("straight", 8.0, False)
    assert corner_cut(shop, 2.0).by_hand
    assert corner_cut(shop, 8.0).tool == "flush trim"
    assert corner_cut(Shop()).assumed


def test_a_clear_overlay_is_not_cut_and_an_opaque_one_is() -> None:
    area = Area(10, 10, 110, 60)
    cut = corner_cut(project().shop)
    clear = pierce(stack(overlay="clear"), project(), area, cut, owner="it", label="")
    dark = pierce(stack(overlay="dark"), project(), area, cut, owner="it", label="")
    assert [key for key, _ in clear] == ["screen"]
    assert [key for key, _ in dark] == ["screen.cover", "screen"]


def test_a_chamfer_runs_on_from_layer_to_layer() -> None:
    """Plain geometry: 8 at 45° takes all of a 3 mm layer, whose throat is then 5 larger, and 5 of the board."""
    made = pierce(
        stack(overlay="dark"),
        project(),
        Area(100, 100, 200, 150),
        corner_cut(project().shop),
        owner="it",
        label="",
        chamfer=8.0,
    )
    cover, wood = (feature for _, feature in made)
    assert (cover.chamfer, wood.chamfer) == (3.0, 5.0)
    assert (cover.face, wood.face) == ("show", "show")
    assert isinstance(cover.shape, Rectangle)
    assert isinstance(wood.shape, Rectangle)
    assert (cover.shape.width, wood.shape.width) == (110.0, 100.0)
    assert (cover.shape.radius, wood.shape.radius) == pytest.approx((11.35, 6.35))


def test_without_chamfer_it_is_routed_from_the_back() -> None:
    made = pierce(stack(), project(), Area(0, 0, 9, 9), corner_cut(Shop()), owner="it", label="")
    assert made[0][1].face == "back"
