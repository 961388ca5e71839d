from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.geometry.display_bench import (
    DISPLAY_21,
    DISPLAY_24,
    numbers,
    place,
    project,
    rules,
    stack,
)

from casewright.design.parts import Hold
from casewright.geometry.display import display_bodies
from casewright.geometry.display_hold import fit_hold
from casewright.geometry.display_rails import RAIL_LEAST, rails_round
from casewright.geometry.fitting import Fitted
from casewright.geometry.model import Box, Circle, Piece, Rectangle
from casewright.geometry.openings import Area


def pieces(fitted: Fitted) -> dict[str, Piece]:
    return {piece.key.removeprefix("it."): piece for piece in fitted.pieces}


def library(height: float = 339.0, **wish: Any) -> Fitted:
    on = stack(height=height)
    placed = place(DISPLAY_24, on, 335.3, height / 2 + 6.75, **wish)
    return fit_hold(placed, DISPLAY_24, on, project())


def test_library_rails_and_bar() -> None:
    """By hand, on a run of 339: 8.0 above and below leave 7 beside a gap of 1, so no level rails.

    Side rails 20 wide, 1 off the housing (64.8 … 605.8): 43.8 to 63.8 and 606.8 to 626.8. Bar round 169.5 − 4.
    """
    made = library()
    found = pieces(made)
    assert sorted(found) == ["bar", "block-left", "block-right", "rail-left", "rail-right"]
    assert found["rail-left"].extent == pytest.approx((43.8, 8.0, 63.8, 331.0))
    assert found["rail-right"].extent == pytest.approx((606.8, 8.0, 626.8, 331.0))
    assert found["bar"].extent == pytest.approx((43.8, 105.5, 626.8, 225.5))
    assert found["block-left"].thickness == pytest.approx(25.0)
    assert numbers(made)["bar_length"] == pytest.approx(583.0)
    assert rules(made) == {"display.rail-room"}


def test_more_run_gives_a_lower_rail() -> None:
    """One millimeter more below, as the finding asks: 8 of rail and 1 of gap."""
    on = stack(height=341)
    placed = place(DISPLAY_24, on, 335.3, 170.5 + 6.75)
    made = fit_hold(placed, DISPLAY_24, on, project())
    assert rules(made) == set()
    assert pieces(made)["rail-bottom"].extent == pytest.approx((64.8, 0.0, 605.8, 8.0))


@pytest.mark.parametrize("v", [170.5, 170.4321, 169.98765])
def test_the_place_that_gives_a_lower_rail_can_be_measured(v: float) -> None:
    """Moved as the finding says, to a tenth of a millimeter, there is a rail of 8 with its gap of 1."""
    on = stack(height=345)
    made = fit_hold(place(DISPLAY_24, on, 335.3, v), DISPLAY_24, on, project())
    (finding,) = [f for f in made.findings if f.rule == "display.rail-room"]
    value = next(r.value for r in finding.remedies if r.field)
    assert value == pytest.approx(round(float(value), 1), abs=1e-9)
    moved = fit_hold(place(DISPLAY_24, on, 335.3, float(value)), DISPLAY_24, on, project())
    assert rules(moved) == set()


def test_everything_stands_on_what_is_before_it() -> None:
    """Panel, rail, block and bar touch, face to face, along −n; the bar's show face is the housing's rear."""
    on = stack()
    found = pieces(library())
    depths = {
        name: -on.board.frame.local(found[name].frame.origin)[2]
        for name in ("rail-left", "block-left", "bar")
    }
    assert depths["rail-left"] == pytest.approx(11.8)
    assert depths["block-left"] == pytest.approx(11.8 + found["rail-left"].thickness)
    assert depths["bar"] == pytest.approx(depths["block-left"] + found["block-left"].thickness)
    assert depths["bar"] == pytest.approx(11.8 + 45.0)


def test_machine_screws_of_both_displays() -> None:
    """By hand: bar 11.8 + washer 1 + thread 9 (or 8) allow 21.8 (20.8): M4 × 20 in both, bites 7.2."""
    on = stack(776, 521)
    for data, turn in ((DISPLAY_24, 0), (DISPLAY_21, 90)):
        made = fit_hold(place(data, on, 388, 260, turn), data, on, project())
        screw = next(f for f in made.fastenings if f.into == "it")
        assert (screw.name, screw.count) == ("M4 × 20", 4)
        assert screw.bite == pytest.approx(7.2)
        slots = [f.shape for f in pieces(made)["bar"].features if ".slot-" in f.key]
        assert len(slots) == 4
        assert all(isinstance(s, Rectangle) and s.width - s.height == 6.0 for s in slots)


@given(st.floats(1, 30), st.floats(1, 15), st.floats(4, 25), st.sampled_from([0, 90, 180, 270]))
def test_screws_never_reach_past_thread_or_show_face(
    depth: float, rail_height: float, board: float, turn: float
) -> None:
    data = DISPLAY_24.model_copy(update={"pattern_thread_depth": depth})
    on = stack(900, 900, board)
    placed = place(data, on, 450, 450, turn, hold={"rail_height": rail_height})
    made = fit_hold(placed, data, on, project())
    for screw in made.fastenings:
        assert screw.left > 0
        if screw.into == "it":
            assert screw.bite < depth
        elif screw.into == "screen":
            assert screw.left >= 3.0 - 1e-6
    for key, feature in made.features:
        if key == "screen":
            assert feature.depth is not None
            assert feature.depth <= board - 3.0 + 1e-6
    if not any(screw.into == "it" for screw in made.fastenings):
        assert "display.bar-screw" in rules(made)


areas = st.builds(
    lambda u, v, w, h: Area(u, v, u + w, v + h),
    st.floats(0, 600),
    st.floats(0, 500),
    st.floats(1, 300),
    st.floats(1, 300),
)


@given(
    st.floats(250, 420),
    st.floats(150, 350),
    st.floats(0, 5),
    st.floats(1, 40),
    st.lists(areas, max_size=4),
)
def test_rails_keep_off_housing_edges_and_neighbors(
    u: float, v: float, gap: float, width: float, standing: list[Area]
) -> None:
    housing = Area.around(u, v, 400, 250)
    clear = Area(0, 0, 670, 500)
    hold = Hold(gap=gap, rail_width=width)
    rails, missing = rails_round(housing, hold, clear, standing)
    grown = housing.grown(gap - 1e-6)
    for rail in rails:
        assert not rail.area.meets(grown)
        assert rail.area.beyond(clear) <= 1e-6
        assert not any(rail.area.meets(other) for other in standing)
        assert min(rail.area.width, rail.area.height) >= RAIL_LEAST - 0.01
    for i, rail in enumerate(rails):
        assert not any(rail.area.meets(other.area) for other in rails[i + 1 :])
    assert {rail.side for rail in rails} | set(missing) == {"bottom", "left", "right", "top"}


def test_a_rail_is_interrupted_where_something_stands() -> None:
    rails, _ = rails_round(
        Area(100, 100, 500, 300), Hold(), Area(0, 0, 600, 400), [Area(250, 60, 300, 95)]
    )
    bottom = [rail.area for rail in rails if rail.side == "bottom"]
    assert [(a.left, a.right) for a in bottom] == [(100, 250), (300, 500)]


def test_a_narrow_bar_and_the_width_that_passes() -> None:
    made = library(hold={"bar_width": 100})
    finding = next(f for f in made.findings if f.rule == "display.bar-width")
    (value,) = (remedy.value for remedy in finding.remedies)
    assert value == pytest.approx(116.0)  # 100 apart and 8 at each edge
    assert "display.bar-width" not in rules(library(hold={"bar_width": 116}))


def test_no_room_at_the_sides_leaves_no_bar() -> None:
    on = stack(width=560)
    made = fit_hold(place(DISPLAY_24, on, 280, 176.25), DISPLAY_24, on, project())
    assert "bar" not in pieces(made)
    assert "display.bar-support" in rules(made)


def test_holes_line_up_from_bar_to_rail() -> None:
    made = library()
    bar = pieces(made)["bar"]
    shanks = {
        (f.shape.u, f.shape.v)
        for f in bar.features
        if f.kind == "clearance" and isinstance(f.shape, Circle)
    }
    pilots = {
        (f.shape.u, f.shape.v)
        for key, f in made.features
        if key.startswith("it.rail") and isinstance(f.shape, Circle)
    }
    assert len(shanks) == 4
    assert shanks == pilots


def test_plugs_at_the_side_turn_the_bar_upright() -> None:
    """The mill console: portrait, plugs leave to the right, so the bar stands from lower to upper rail.

    By hand: panel 776 × 524, housing 295.275 × 492.125: 15.9375 above and below, less 1 of gap: rails 14.9375.
    """
    on = stack(776, 524)
    placed = place(DISPLAY_21, on, 388 - 5.55625, 262, 90)
    made = fit_hold(placed, DISPLAY_21, on, project())
    found = pieces(made)
    assert {"block-bottom", "block-top"} < set(found)
    assert found["bar"].extent == pytest.approx((328.0, 0.0, 448.0, 524.0))
    assert numbers(made)["bar_length"] == pytest.approx(524.0)
    slots = [f.shape for f in found["bar"].features if ".slot-" in f.key]
    assert all(isinstance(s, Rectangle) and s.turn_deg == 90 for s in slots)
    room = next(b for b in display_bodies(placed, DISPLAY_21, on) if b.kind == "room")
    assert isinstance(room.shape, Box)
    left = on.board.frame.local(room.frame.point(room.shape.u - room.shape.width / 2, 0, 0))[0]
    assert max(found[k].extent[2] for k in ("bar", "block-bottom", "block-top")) <= left
    # A narrow rail takes screws of 3.5 only from 8.75 on, of 4.0 from 10.
    seat = next(f for f in made.fastenings if f.key == "it.bar-top.screws")
    assert seat.diameter <= 14.9375 / 2.5


def test_a_bar_that_finds_no_room_upright_lies_across_and_says_so() -> None:
    on = stack(776, 524)
    placed = place(DISPLAY_21, on, 388 - 5.55625, 262, 90)
    # The panel's head is at y 100 + 524 · sin 19.3° = 273; a back at y 290 is too near for a bar up there.
    inside = ((0.0, 0.0), (290.0, 0.0), (290.0, 900.0), (0.0, 900.0))
    made = fit_hold(placed, DISPLAY_21, on, project(), inside=inside)
    assert {"block-left", "block-right"} < set(pieces(made))
    assert "display.bar-plugs" in rules(made)
    deep = ((0.0, 0.0), (400.0, 0.0), (400.0, 900.0), (0.0, 900.0))
    assert "block-top" in pieces(fit_hold(placed, DISPLAY_21, on, project(), inside=deep))


def test_the_way_of_the_bar_as_wished() -> None:
    on = stack(776, 524)
    placed = place(DISPLAY_21, on, 388 - 5.55625, 262, 90, hold={"bar_way": "across"})
    assert "block-left" in pieces(fit_hold(placed, DISPLAY_21, on, project()))


def test_styles() -> None:
    assert library(hold={"style": "none"}) == Fitted()
    assert set(pieces(library(hold={"style": "rails"}))) == {"rail-left", "rail-right"}


def test_a_bar_of_another_board() -> None:
    bar = pieces(library(hold={"bar_material": "thin"}))["bar"]
    assert (bar.material, bar.thickness) == ("thin", 8.8)
