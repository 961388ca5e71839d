from __future__ import annotations

from dataclasses import replace

import pytest
import shapely
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

from casewright.basics.errors import InputError
from casewright.catalog.kinds import Display
from casewright.geometry.alignment import alignment
from casewright.geometry.display import (
    default_display_v,
    display_bodies,
    display_face,
    fit_display,
    lit_in_housing,
    share_seen,
)
from casewright.geometry.fitting import Fitted, Stack
from casewright.geometry.model import Box, Rectangle


def test_lit_area_of_the_library_display() -> None:
    """By hand: ((7 − 7) ÷ 2, (20 − 6.5) ÷ 2) = (0, 6.75) from the housing's middle."""
    lit = lit_in_housing(DISPLAY_24)
    assert (lit.u, lit.v) == pytest.approx((0.0, 6.75))
    assert (lit.width, lit.height) == (527.0, 296.5)


def test_portrait_puts_the_bottom_on_the_right() -> None:
    """The mill console's display, turned so that its bottom is on the right: bezels in 1/16 in.

    Landscape: left, right, top 5, bottom 12 sixteenths. By hand: portrait right 12, the others 5.
    """
    face = display_face(DISPLAY_21, 90)
    assert [bezel / 25.4 * 16 for bezel in face.bezels] == pytest.approx([5, 5, 12, 5])
    assert (face.lit.width / 25.4, face.lit.height / 25.4) == pytest.approx((10.5625, 18.75))
    assert face.connector_side == "right"


def test_bezels_of_a_notebook_panel() -> None:
    """Panel maker's specification, 15.6 in 1366 × 768: active 344.232 × 193.536, outline 359.3 × 209.5.

    Bezels not given are half the rest: (359.3 − 344.232) ÷ 2 = 7.534 and (209.5 − 193.536) ÷ 2 = 7.982.
    """
    panel = Display(
        lit_width=344.232,
        lit_height=193.536,
        housing_width=359.3,
        housing_height=209.5,
        housing_depth=5.5,
    )
    assert display_face(panel).bezels == pytest.approx((7.534, 7.982, 7.534, 7.982))


@given(st.floats(0, 30), st.floats(0, 30), st.sampled_from([0, 90, 180, 270]))
def test_four_quarters_come_back(left: float, bottom: float, turn: float) -> None:
    data = DISPLAY_24.model_copy(update={"bezel_left": left, "bezel_bottom": bottom})
    once = display_face(data, turn).bezels
    # A quarter counter-clockwise: what was at the left is at the bottom then.
    again = display_face(data, turn + 90).bezels
    assert again[1] == pytest.approx(once[0])
    assert again[2] == pytest.approx(once[1])
    assert again[3] == pytest.approx(once[2])
    assert again[0] == pytest.approx(once[3])
    assert display_face(data, turn + 360).bezels == pytest.approx(once)


@given(
    st.floats(0, 14),
    st.floats(0, 26.5),
    st.sampled_from([0.0, 90.0, 180.0, 270.0]),
    st.floats(-40, 40),
    st.floats(0, 8),
)
def test_the_lit_glass_lands_in_the_middle_of_the_opening(
    left: float, bottom: float, turn: float, shift: float, margin: float
) -> None:
    data = DISPLAY_24.model_copy(update={"bezel_left": left, "bezel_bottom": bottom})
    on = stack(900, 900)
    placed = place(data, on, 450 + shift, 450 - shift, turn, opening={"margin": margin})
    made = fit_display(placed, data, on, project())
    opening = made.features[0][1].shape
    assert isinstance(opening, Rectangle)
    lit = next(body for body in made.bodies if body.key == "it.lit")
    assert isinstance(lit.shape, Box)
    u, v, n = on.board.frame.local(lit.frame.point(lit.shape.u, lit.shape.v, lit.shape.n_high))
    assert (u, v) == pytest.approx((opening.u, opening.v), abs=1e-6)
    assert n == pytest.approx(-on.board.thickness)
    assert opening.width - lit.shape.width == pytest.approx(2 * margin)
    assert opening.height - lit.shape.height == pytest.approx(2 * margin)
    housing = next(body for body in made.bodies if body.key == "it.housing")
    assert isinstance(housing.shape, Box)
    hu, hv, _ = on.board.frame.local(housing.frame.point(housing.shape.u, housing.shape.v, 0))
    face = display_face(data, turn)
    assert (u - hu, v - hv) == pytest.approx((face.lit.u, face.lit.v), abs=1e-6)


def test_the_solids_make_up_the_housing() -> None:
    """Plain geometry: 541 × 323 × 45 with nothing counted twice."""
    on = stack()
    bodies = display_bodies(place(DISPLAY_24, on, 335.3, 176.25), DISPLAY_24, on)
    volume = sum(
        b.shape.width * b.shape.height * (b.shape.n_high - b.shape.n_low)
        for b in bodies
        if b.kind == "solid" and isinstance(b.shape, Box)
    )
    assert volume == pytest.approx(541 * 323 * 45)


def test_plugs_leave_below_or_where_the_turn_takes_them() -> None:
    on = stack(900, 900)
    for turn, expected in ((0, (0, -1)), (90, (1, 0)), (180, (0, 1)), (270, (-1, 0))):
        bodies = display_bodies(place(DISPLAY_24, on, 450, 450, turn), DISPLAY_24, on)
        room = next(body for body in bodies if body.kind == "room").shape
        assert isinstance(room, Box)
        face = display_face(DISPLAY_24, turn)
        half = (face.housing_width / 2, face.housing_height / 2)
        assert room.u == pytest.approx(expected[0] * (half[0] + 22.5))
        assert room.v == pytest.approx(expected[1] * (half[1] + 22.5))


def test_library_opening_and_lands() -> None:
    """By hand: the housing midway on 339: lit centre 169.5 + 6.75 = 176.25; opening 527 × 296.5.

    Land on the show face, chamfer 8: below 176.25 − 148.25 − 8 = 20; above 339 − 176.25 − 148.25 − 8 = 6.5;
    left and right 335.3 − 263.5 − 8 = 63.8.
    """
    on = stack()
    v = default_display_v(DISPLAY_24, 0, on.board)
    assert v == pytest.approx(176.25)
    placed = place(DISPLAY_24, on, 335.3, v, opening={"chamfer": 8})
    made = fit_display(placed, DISPLAY_24, on, project())
    found = numbers(made)
    assert (found["opening_width"], found["opening_height"]) == (527.0, 296.5)
    assert [found[f"land_{side}"] for side in ("below", "above", "left", "right")] == pytest.approx(
        [20.0, 6.5, 63.8, 63.8]
    )
    assert found["land_above_back"] == pytest.approx(14.5)
    assert not {f.rule for f in made.findings if f.severity.value == "stop"}
    assert "display.chamfer-land" not in rules(made)  # 11.8 − 8 = 3.8 of straight edge
    assert "display.corners" in rules(made)
    opening = made.features[0][1]
    assert (opening.key, opening.face, opening.chamfer, opening.tool) == (
        "it.opening",
        "show",
        8.0,
        "flush trim",
    )


def test_the_margin_that_clears_the_corners() -> None:
    """NOTE with the value that passes: 6.35·(1 − 1/√2) = 1.86, offered as 1.9."""
    on = stack()
    placed = place(DISPLAY_24, on, 335.3, 176.25)
    made = fit_display(placed, DISPLAY_24, on, project())
    finding = next(f for f in made.findings if f.rule == "display.corners")
    margins = [r.value for r in finding.remedies if r.field.endswith("opening.margin")]
    assert margins == [1.9]
    cured = place(DISPLAY_24, on, 335.3, 176.25, opening={"margin": 1.9})
    made = fit_display(cured, DISPLAY_24, on, project())
    assert "display.corners" not in rules(made)
    assert numbers(made)["share_seen"] == 1.0


def test_an_opening_of_a_given_size_is_not_offered_a_margin_that_it_would_ignore() -> None:
    on = stack()
    placed = place(DISPLAY_24, on, 335.3, 176.25, opening={"width": 527.0, "height": 296.5})
    made = fit_display(placed, DISPLAY_24, on, project())
    finding = next(f for f in made.findings if f.rule == "display.corners")
    assert not any(r.field.endswith("opening.margin") for r in finding.remedies)
    assert any("margin of ⟦1.9000↑⟧" in r.text for r in finding.remedies)


@given(st.floats(-20, 20), st.floats(-20, 20), st.floats(0.1, 9))
def test_share_seen_against_a_polygon(du: float, dv: float, radius: float) -> None:
    """Reference library: shapely's intersection of lit area and rounded opening."""
    width, height = 200 + 2 * du, 120 + 2 * dv
    core = shapely.box(
        -width / 2 + radius, -height / 2 + radius, width / 2 - radius, height / 2 - radius
    )
    seen = shapely.box(-100, -60, 100, 60).intersection(core.buffer(radius, quad_segs=128)).area
    assert share_seen((200, 120), (width, height), radius) == pytest.approx(seen / 24000, abs=2e-6)


def test_a_display_of_the_next_size_does_not_go_in() -> None:
    """27 in class, housing 612 × 364, on a run of 339: 25 too high (364 − 339)."""
    bigger = Display(
        lit_width=597.7,
        lit_height=336.2,
        housing_width=612.0,
        housing_height=364.0,
        housing_depth=45.0,
    )
    on = stack()
    made = fit_display(place(bigger, on, 335.3, 169.5), bigger, on, project())
    finding = next(f for f in made.findings if f.rule == "display.housing-room")
    assert finding.severity.value == "stop"
    assert any("⟦25.0000↑⟧ longer" in remedy.text for remedy in finding.remedies)


def test_a_display_off_the_panel_is_told_where_to_go() -> None:
    on = stack()
    made = fit_display(place(DISPLAY_24, on, 335.3, 190.0), DISPLAY_24, on, project())
    finding = next(f for f in made.findings if f.rule == "display.housing-room")
    value = next(r.value for r in finding.remedies if r.field.endswith(".v"))
    assert value == pytest.approx(184.25)  # 339 − 323 ÷ 2 + 6.75
    cured = fit_display(place(DISPLAY_24, on, 335.3, 184.25), DISPLAY_24, on, project())
    assert "display.housing-room" not in rules(cured)


def test_a_display_off_the_panel_both_ways_is_moved_at_once() -> None:
    """670.6 wide: half of 541 from the left edge is u 270.5; v as above."""
    on = stack()
    made = fit_display(place(DISPLAY_24, on, 200.0, 190.0), DISPLAY_24, on, project())
    finding = next(f for f in made.findings if f.rule == "display.housing-room")
    (remedy,) = finding.remedies
    values = dict([(remedy.field, remedy.value), *remedy.also])
    assert sorted(values.values()) == pytest.approx([184.25, 270.5])  # type: ignore[type-var]
    cured = fit_display(place(DISPLAY_24, on, 270.5, 184.25), DISPLAY_24, on, project())
    assert "display.housing-room" not in rules(cured)


@pytest.mark.parametrize(
    ("v", "opening", "cures"),
    [
        # Too high by 9.25; the housing, 6.75 above the picture's middle, wants it lower still, as it is told above.
        (200.0, {}, {"v": 184.25}),
        # 14.5 of panel above the opening: 8 of it are to stay beside the chamfer. Moved, it would fit as wide as it is?
        # 296.5 + 60 are more than 339, by 17.5.
        (176.25, {"chamfer": 30.0}, {"opening.chamfer": 6.0}),
        # 7.75 above it are less than 8: no chamfer, or moved to where 339 - 148.25 - 20 = 170.75.
        (183.0, {"chamfer": 20.0}, {"opening.chamfer": 0.0, "v": 170.75}),
    ],
)
def test_an_opening_past_its_panel_is_told_what_brings_it_in(
    v: float, opening: dict[str, float], cures: dict[str, float]
) -> None:
    on = stack()

    def fitted(at: float, wish: dict[str, float]) -> Fitted:
        return fit_display(
            place(DISPLAY_24, on, 335.3, at, opening=wish), DISPLAY_24, on, project()
        )

    finding = next(f for f in fitted(v, opening).findings if f.rule == "display.opening-room")
    told = {r.field.split(".placed.0.")[1]: r.value for r in finding.remedies if r.field}
    assert told == pytest.approx(cures)
    for field, value in told.items():
        assert isinstance(value, float)
        at, wish = (value, opening) if field == "v" else (v, {**opening, "chamfer": value})
        assert "display.opening-room" not in rules(fitted(at, wish))


def test_an_opening_that_no_place_suits_both_faces_of_is_told_so() -> None:
    """Both ends bevelled one way: shown from 0 to 300, behind from 40 to 340. An opening of 296.5 is at 3.5 at most on
    the one and at 40 at least on the other, though each is long enough for it."""
    (wood,) = stack(height=300.0).pieces
    on = Stack("screen", (replace(wood, back=tuple((u, v + 40.0) for u, v in wood.show)),))
    made = fit_display(place(DISPLAY_24, on, 335.3, 150.0), DISPLAY_24, on, project())
    (remedy,) = next(f for f in made.findings if f.rule == "display.opening-room").remedies
    assert "larger there" in remedy.text
    assert not remedy.field


def test_a_chamfer_is_told_to_leave_what_its_material_asks() -> None:
    """As above: 14.5 of panel beside the opening. Of MDF 10 of it are to stay, of plywood 8; the limit goes before."""
    asked = {"mdf": 4.0, "plywood": 6.0}
    for kind, chamfer in (*asked.items(), ("limit", 2.0)):
        sheet = {"kind": "plywood" if kind == "limit" else kind, "nominal": 12, "measured": 11.8}
        materials = {**project().model_dump(include={"materials"})["materials"], "ply": sheet}
        limits = {"limits": {"web": 12.0}} if kind == "limit" else {}
        wish = place(DISPLAY_24, stack(), 335.3, 176.25, opening={"chamfer": 30.0})
        made = fit_display(wish, DISPLAY_24, stack(), project(materials=materials, **limits))
        finding = next(f for f in made.findings if f.rule == "display.opening-room")
        assert [r.value for r in finding.remedies if r.field.endswith("chamfer")] == [chamfer]


def test_an_opening_larger_than_its_panel_is_not_told_to_move() -> None:
    """32 in class on a run of 339: lit 392 high, 53 more than there is."""
    bigger = Display(
        lit_width=600.0, lit_height=392.0, housing_width=620, housing_height=420, housing_depth=45.0
    )
    on = stack()
    made = fit_display(place(bigger, on, 335.3, 169.5), bigger, on, project())
    (remedy,) = next(f for f in made.findings if f.rule == "display.opening-room").remedies
    assert "⟦53.0000↑⟧ longer" in remedy.text
    assert not remedy.field


@pytest.mark.parametrize(
    ("opening", "rule"),
    [
        ({"width": 500.0}, "display.opening-hides"),
        ({"margin": 7.5}, "display.past-housing"),
        ({"chamfer": 9.0}, "display.chamfer-land"),
        ({"chamfer": 30.0}, "display.opening-room"),
    ],
)
def test_wishes_that_do_not_work(opening: dict[str, float], rule: str) -> None:
    on = stack()
    made = fit_display(
        place(DISPLAY_24, on, 335.3, 176.25, opening=opening), DISPLAY_24, on, project()
    )
    assert rule in rules(made)


@pytest.mark.parametrize(
    "opening",
    [
        {"width": 500.0},
        {"width": 500.0, "height": 200.0},
        {"margin": -4.0},
        {"margin": -4.0, "width": 520.0},
    ],
)
def test_an_opening_smaller_than_the_picture_is_made_as_large(opening: dict[str, float]) -> None:
    """What the remedy writes leaves an opening of the lit area's size, whichever way its own was given."""
    on = stack()
    made = fit_display(
        place(DISPLAY_24, on, 335.3, 176.25, opening=opening), DISPLAY_24, on, project()
    )
    (finding,) = [f for f in made.findings if f.rule == "display.opening-hides"]
    (remedy,) = finding.remedies
    pairs = ((remedy.field, remedy.value), *remedy.also)
    cured = {**opening, **{field.rpartition(".")[2]: value for field, value in pairs}}
    after = fit_display(
        place(DISPLAY_24, on, 335.3, 176.25, opening=cured), DISPLAY_24, on, project()
    )
    assert "display.opening-hides" not in rules(after)


@pytest.mark.parametrize(
    "opening",
    [
        {"width": 560.0},
        {"width": 560.0, "height": 340.0},
        {"height": 330.0},
        {"margin": 12.0},
        {"margin": 12.0, "width": 560.0},
    ],
)
def test_an_opening_that_the_housing_does_not_close_is_made_smaller(
    opening: dict[str, float],
) -> None:
    """The housing is 541.0 × 323.0; what the remedy writes is within it, and hides nothing of the picture."""
    on = stack()
    made = fit_display(
        place(DISPLAY_24, on, 335.3, 176.25, opening=opening), DISPLAY_24, on, project()
    )
    (finding,) = [f for f in made.findings if f.rule == "display.past-housing"]
    remedy, cover = finding.remedies
    assert "already" in cover.text and "⟦527.0000⟧ × ⟦296.5000⟧" in cover.text
    pairs = ((remedy.field, remedy.value), *remedy.also)
    cured = {**opening, **{field.rpartition(".")[2]: value for field, value in pairs}}
    after = fit_display(
        place(DISPLAY_24, on, 335.3, 176.25, opening=cured), DISPLAY_24, on, project()
    )
    assert {"display.past-housing", "display.opening-hides", "display.lap"}.isdisjoint(rules(after))


def test_a_housing_too_large_both_ways_is_told_so_at_once() -> None:
    """A housing of 700 × 364 on a panel of 670.6 × 339: 29.4 wider, and 25.0 longer."""
    on = stack()
    large = DISPLAY_24.model_copy(update={"housing_width": 700.0, "housing_height": 364.0})
    made = fit_display(place(large, on, 335.3, 169.5), large, on, project())
    (finding,) = [f for f in made.findings if f.rule == "display.housing-room"]
    said = finding.message + " ".join(remedy.text for remedy in finding.remedies)
    for length in ("700.0000⟧ wide", "364.0000⟧ high", "29.4000↑⟧ wider", "25.0000↑⟧ longer"):
        assert f"⟦{length}" in said


def test_a_chamfer_exactly_on_the_limit_passes() -> None:
    on = stack()
    placed = place(DISPLAY_24, on, 335.3, 176.25, opening={"chamfer": 8.8})
    assert "display.chamfer-land" not in rules(fit_display(placed, DISPLAY_24, on, project()))


def test_bezels_that_cannot_be() -> None:
    wrong = DISPLAY_24.model_copy(update={"bezel_left": 20.0})
    on = stack()
    assert "display.bezels" in rules(
        fit_display(place(wrong, on, 335.3, 176.25), wrong, on, project())
    )


def test_a_clear_overlay_covers_the_screen() -> None:
    on = stack(overlay="clear")
    made = fit_display(place(DISPLAY_24, on, 335.3, 176.25), DISPLAY_24, on, project())
    assert "display.covered" in rules(made)
    assert {key for key, feature in made.features if feature.kind == "opening"} == {"screen"}


def test_a_display_stands_straight_or_on_its_side() -> None:
    with pytest.raises(InputError) as caught:
        display_face(DISPLAY_24, 30)
    assert caught.value.field == "turn"


def test_an_opening_of_nothing() -> None:
    on = stack()
    placed = place(DISPLAY_24, on, 335.3, 176.25, opening={"margin": -200})
    with pytest.raises(InputError) as caught:
        fit_display(placed, DISPLAY_24, on, project())
    assert caught.value.field == "opening"


def test_alignment_sheet() -> None:
    """By hand: housing 541 × 323 round (335.3, 169.5); holes 100 × 100 round 4 below its middle."""
    on = stack()
    sheet = alignment(place(DISPLAY_24, on, 335.3, 176.25), DISPLAY_24, on, project())
    assert (sheet.housing.left, sheet.housing.bottom) == pytest.approx((64.8, 8.0))
    assert (sheet.lit.left, sheet.lit.top) == pytest.approx((71.8, 324.5))
    assert sorted((hole.u, hole.v) for hole in sheet.holes)[0] == pytest.approx((285.3, 115.5))
    assert sheet.holes[0].diameter == 4.5
    assert sheet.centre == (335.3, 176.25)
    assert sheet.opening.radius == pytest.approx(6.35)
