from __future__ import annotations

import math
from typing import Any

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from tests.geometry.display_bench import SIGN, numbers, place, project, rules, stack

from casewright.basics.errors import InputError
from casewright.basics.findings import Finding
from casewright.catalog.kinds import Sign, Strip
from casewright.design.parts import KnownPart
from casewright.geometry.fitting import Fitted
from casewright.geometry.inside import clear_back, clear_inside, span_inside
from casewright.geometry.model import Box, Piece, Rectangle, Run, Slab
from casewright.geometry.openings import Area, back_area
from casewright.geometry.sign import fit_sign, sign_layout, sign_strip
from casewright.geometry.sign_row_room import row_remedies
from casewright.geometry.sign_rows import strip_rows

STRIP = Strip(cut_unit=50.0, lights_per_m=60, width=10.0)


def header(data: Sign = SIGN, height: float = 120.0, turn: float = 0.0, **more: Any) -> Fitted:
    wide, high = (670.6, height) if turn == 0 else (height, 670.6)
    on = stack(wide, high)
    return fit_sign(
        place(data, on, wide / 2, high / 2, turn), data, on, project(), strip=STRIP, **more
    )


def pieces(fitted: Fitted) -> dict[str, Piece]:
    return {piece.key.removeprefix("it."): piece for piece in fitted.pieces}


@pytest.mark.parametrize(
    ("volts", "per_m", "unit"), [(12, 60, 50.0), (12, 120, 25.0), (24, 60, 100.0), (24, 120, 50.0)]
)
def test_rows_of_whole_cut_units(volts: int, per_m: int, unit: float) -> None:
    """Strip maker's article: 3 lights a group at 12 V, 6 at 24 V; unit = group ÷ lights per metre."""
    group = {12: 3, 24: 6}[volts]
    assert group / per_m * 1000 == pytest.approx(unit)
    found = strip_rows(630, unit, rows=2, pitch=32)
    assert found.row_length == found.units * unit
    assert 0 <= 630 - found.row_length < unit


def test_library_rows() -> None:
    """The scenario: two rows of 11 units of 50 (550), 32 apart; 1.1 m of strip."""
    found = numbers(header())
    assert (found["row_units"], found["row_length"], found["row_gap"]) == (11, 550.0, 0.0)
    assert found["strip_length"] == 1100.0
    assert found["joints"] == 6  # two feed wires, and two wires with two ends each from row to row


def test_mill_rows() -> None:
    """The scenario: rows of 14 units of 50 mm behind an opening 28 in (711.2 mm) long."""
    found = strip_rows(711.2, 50, rows=2, pitch=32)
    assert (found.units, found.row_length) == (14, 700.0)
    assert found.gap == pytest.approx(5.6)


@given(st.floats(1, 3000), st.floats(5, 200), st.integers(1, 8), st.floats(5, 100))
def test_a_row_is_never_longer_than_wished_nor_a_unit_shorter(
    wished: float, unit: float, rows: int, pitch: float
) -> None:
    found = strip_rows(wished, unit, rows=rows, pitch=pitch)
    assert found.row_length <= wished + 0.002
    assert found.row_length > wished - unit - 0.002
    assert found.row_length + 2 * found.gap == pytest.approx(wished)
    if found.rows:
        assert len(found.rows) == rows
        assert math.fsum(row.across for row in found.rows) == pytest.approx(0, abs=1e-6)


def test_no_rows_of_nothing() -> None:
    with pytest.raises(InputError) as caught:
        strip_rows(0, 50, rows=1, pitch=10)
    assert caught.value.field == "row_length"


def test_sheets_and_frame() -> None:
    """By hand: artwork 630 + 20 by 64 + 20; window 12 smaller; frame 30 larger than that: 668 × 102."""
    on = stack(670.6, 120)
    layout = sign_layout(place(SIGN, on, 335.3, 60), SIGN, back_area(on.board))
    assert (layout.artwork.width, layout.artwork.height) == pytest.approx((650, 84))
    assert (layout.window.width, layout.window.height) == pytest.approx((638, 72))
    assert (layout.frame.width, layout.frame.height) == pytest.approx((668, 102))
    # Growth of acrylic: 7.2e-5 per K (acrylic sheet data page): 650 mm by 15 K is 0.702, half at each edge.
    assert layout.artwork.left - layout.rabbet.left == pytest.approx(0.5 + 0.351)


def test_the_light_board_is_65_behind_the_opal() -> None:
    on = stack(670.6, 120)
    made = header()
    diffuser = next(body for body in made.bodies if body.key == "it.diffuser")
    assert isinstance(diffuser.shape, Box)
    rear = on.board.frame.local(diffuser.frame.point(0, 0, diffuser.shape.n_low))[2]
    light = pieces(made)["light-board"]
    face = on.board.frame.local(light.frame.origin)[2]
    assert rear - face == pytest.approx(65.0)
    # Ten beyond the opening of 630 × 64 all round; the two rows take 32 + 10 of its height.
    assert (light.width, light.height) == pytest.approx((650.0, 84.0))
    rows = [body for body in made.bodies if ".row-" in body.key]
    low = [on.board.frame.local(r.frame.point(r.shape.u, r.shape.v, r.shape.n_low)) for r in rows]
    assert [p[2] for p in low] == pytest.approx([face, face])
    assert [p[0] for p in low] == pytest.approx([335.3, 335.3])
    assert low[1][1] - low[0][1] == pytest.approx(32.0)


def test_opening_by_the_straight_bit() -> None:
    opening = header().features[0][1]
    assert isinstance(opening.shape, Rectangle)
    assert (opening.shape.width, opening.shape.height, opening.shape.radius) == (630, 64, 4)
    assert opening.tool == "straight"


def test_the_frame_leaves_a_lip_and_is_screwed_where_wide_enough() -> None:
    made = header()
    ring = pieces(made)["frame"]
    assert (ring.material, ring.thickness) == ("thin", 8.8)
    rabbet = ring.feature("it.frame.rabbet")
    assert rabbet.face == "show"
    assert rabbet.depth == pytest.approx(5.2)
    assert "sign.lip" not in rules(made)
    (screws,) = made.fastenings
    assert screws.into == "screen"
    assert screws.left >= 3
    # Seats at the sides: 15 − 6 − 0.85 = 8.15; 102 high: 2 each. Above and below: 668 long, 20 from the ends, at most
    # 150 apart: 5 gaps, so 4 each between the corners.
    assert screws.count == 2 * 2 + 2 * 4
    assert "sign.frame-fixed" not in rules(made)
    assert "sign.frame-fixed" in rules(header(SIGN.model_copy(update={"frame_width": 13.0})))


def test_a_frame_too_thin_for_its_lip_is_made_of_a_board_that_there_is():
    """Cover 2.0, print 0.2 and a diffuser of 5.0 with 2.0 of lip ask for more than 8.8; boards of 11.8 are there."""
    thin = SIGN.model_copy(update={"diffuser": 5.0})
    (finding,) = [f for f in header(thin).findings if f.rule == "sign.lip"]
    thicker = thin.model_copy(update=changed_by(finding))
    assert thicker.frame_thickness in {m.thickness for m in project().materials.values()}
    assert "sign.lip" not in rules(header(thicker))
    thick = SIGN.model_copy(update={"diffuser": 40.0})
    (finding,) = [f for f in header(thick).findings if f.rule == "sign.lip"]
    (remedy,) = finding.remedies
    assert (remedy.field, remedy.value) == ("", None)
    assert remedy.text.endswith("none of the materials is.")


def changed_by(finding: Finding) -> dict[str, float]:
    """By name, all values that the finding's one order writes."""
    (remedy,) = finding.remedies
    values = {}
    for field, value in ((remedy.field, remedy.value), *remedy.also):
        assert isinstance(value, float)
        values[field.rpartition(".")[2]] = value
    return values


def test_a_low_header_and_the_overlap_that_passes() -> None:
    """The library box's header face shows 95.6; its back is lower still. The finding names a cure that works."""
    made = header(height=84.0)
    finding = next(f for f in made.findings if f.rule == "sign.frame-room")
    assert finding.severity.value == "stop"
    changes = changed_by(finding)
    assert changes["overlap"] < 6
    cured = header(SIGN.model_copy(update=changes), 84.0)
    assert "sign.frame-room" not in rules(cured)
    assert "sign.frame-seen" not in rules(cured)
    assert "frame" in pieces(cured)


@given(
    high=st.floats(45, 130),
    opening=st.floats(15, 140),
    overlap=st.floats(3, 20),
    lip=st.floats(1, 20),
    strips=st.floats(4, 30),
    off=st.floats(-30, 30),
    turn=st.sampled_from([0.0, 90.0]),
)
def test_all_cures_together_leave_frame_and_rim_their_room(
    high: float,
    opening: float,
    overlap: float,
    lip: float,
    strips: float,
    off: float,
    turn: float,
) -> None:
    """Law: a seat of 4 all round, a lip no wider than the overlap, 8 of plywood beside the opening."""
    on = stack(670.6, high) if turn == 0 else stack(high, 670.6)
    data = SIGN.model_copy(
        update={
            "opening_height": opening,
            "overlap": overlap,
            "frame_lip": min(lip, overlap),
            "frame_width": strips,
        }
    )
    u, v = (335.3, high / 2 + off) if turn == 0 else (high / 2 + off, 335.3)
    made = fit_sign(place(data, on, u, v, turn), data, on, project(), strip=STRIP)
    found = [f for f in made.findings if f.rule == "sign.frame-room"]
    if not found:
        return
    changes = changed_by(found[0])
    u, v = changes.pop("u", u), changes.pop("v", v)
    assert changes.get("overlap", overlap) >= 3 - 1e-6
    cured = data.model_copy(update=changes)
    again = fit_sign(place(cured, on, u, v, turn), cured, on, project(), strip=STRIP)
    assert not {"sign.frame-room", "sign.frame-seen", "sign.opening-room"} & rules(again)
    shape = again.features[0][1].shape
    assert isinstance(shape, Rectangle)
    wide, tall = on.board.width, on.board.height
    assert min(shape.u, wide - shape.u) - shape.width / 2 >= 8 - 1e-6
    assert min(shape.v, tall - shape.v) - shape.height / 2 >= 8 - 1e-6


def test_the_opening_keeps_its_size_while_the_artwork_may_reach_less() -> None:
    """By hand, 84 high: 64 + 2 × (overlap + 0.851 + 4) = 84, so 5.149 of overlap, 5.1 as it is
    written, and a lip 1 narrower."""
    finding = next(f for f in header(height=84.0).findings if f.rule == "sign.frame-room")
    values = changed_by(finding)
    assert values == pytest.approx({"overlap": 5.1, "frame_lip": 4.1})


def test_the_rim_of_the_panel_goes_before_the_opening() -> None:
    """By hand, 74 high: 8 beside the opening leave 58, and (74 - 58) ÷ 2 - 4.851 = 3.149 of overlap, 3.1 as written."""
    finding = next(f for f in header(height=74.0).findings if f.rule == "sign.frame-room")
    values = changed_by(finding)
    assert values == pytest.approx({"opening_height": 58.0, "overlap": 3.1, "frame_lip": 2.1})


def test_sheets_cut_from_the_projects_materials() -> None:
    """Their thickness is the material's: a cover of 3 for one of 2, so 3 + 0.2 + 3 to the diffuser's back."""
    on = stack(670.6, 120)
    placed = place(SIGN, on, 335.3, 60, cover="clear", diffuser="dark")
    made = fit_sign(placed, SIGN, on, project(), strip=STRIP)
    cover, diffuser = pieces(made)["cover"], pieces(made)["diffuser"]
    assert [p.kind for p in (cover, diffuser)] == ["artwork", "artwork"]
    assert (cover.material, cover.thickness) == ("clear", 3.0)
    assert (diffuser.width, diffuser.height) == pytest.approx((650.0, 84.0))
    depths = [on.board.frame.local(p.frame.origin)[2] for p in (cover, diffuser)]
    assert depths == pytest.approx([-11.8, -11.8 - 3.2])
    assert numbers(made)["sandwich"] == pytest.approx(6.2)
    assert {body.key for body in made.bodies if ".row" not in body.key} == {"it.print"}
    assert {p.key for p in made.pieces} >= {"it.frame", "it.light-board"}
    plain = fit_sign(place(SIGN, on, 335.3, 60), SIGN, on, project(), strip=STRIP)
    assert {body.key for body in plain.bodies} >= {"it.cover", "it.print", "it.diffuser"}
    assert {p.kind for p in plain.pieces} == {"frame", "light board"}


def test_strips_that_are_too_narrow() -> None:
    made = header(SIGN.model_copy(update={"frame_width": 8.0}))
    finding = next(f for f in made.findings if f.rule == "sign.frame-room")
    width = changed_by(finding)["frame_width"]
    assert "sign.frame-room" not in rules(
        header(SIGN.model_copy(update={"frame_width": width}), 130)
    )


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        ({"frame_lip": 11.0, "frame_width": 20.0}, "sign.frame-seen"),
        ({"diffuser": 5.0}, "sign.lip"),
        ({"opening_height": 130.0}, "sign.opening-room"),
        ({"row_pitch": 120.0}, "sign.rows"),
        ({"row_length": 40.0}, "sign.rows"),
        ({"corner_radius": 2.0}, "sign.corners"),
    ],
)
def test_signs_that_do_not_work(change: dict[str, float], rule: str) -> None:
    assert rule not in rules(header())
    assert rule in rules(header(SIGN.model_copy(update=change)))


@pytest.mark.parametrize(
    ("change", "cure"),
    [
        # A panel 670.6 long less 1 of play at each end: 668.6, so 13 units of 50.
        ({"row_length": 900.0}, {"row_length": 650.0}),
        # A board of 600 takes 12 units whole.
        ({"row_length": 630.0, "board_length": 600.0, "opening_width": 500.0}, None),
        ({"row_length": 650.0, "board_length": 600.0}, {"row_length": 600.0}),
        # 120 high less 2: two rows 10 wide lie 108 apart at most; five of them 27 apart.
        ({"row_pitch": 120.0}, {"row_pitch": 108.0}),
        ({"rows": 5}, {"row_pitch": 27.0}),
        # 14 rows side by side would be 140 high: eleven, of 10, make 110.
        ({"rows": 14}, {"rows": 11.0, "row_pitch": 10.0}),
        # Both ways at once.
        ({"row_length": 900.0, "row_pitch": 120.0}, {"row_length": 650.0, "row_pitch": 108.0}),
    ],
)
@pytest.mark.parametrize("turn", [0.0, 90.0])
def test_rows_that_lie_on_their_board_are_told(
    change: dict[str, float], cure: dict[str, float] | None, turn: float
) -> None:
    """By hand, beside each; upright signs as lying ones."""
    made = header(SIGN.model_copy(update=change), turn=turn)
    if cure is None:
        assert "sign.rows" not in rules(made)
        return
    finding = next(f for f in made.findings if f.rule == "sign.rows")
    assert changed_by(finding) == cure
    after = header(Sign.model_validate({**SIGN.model_dump(), **change, **cure}), turn=turn)
    assert "sign.rows" not in rules(after)


def test_no_strip_is_said() -> None:
    on = stack(670.6, 120)
    made = fit_sign(place(SIGN, on, 335.3, 60), SIGN, on, project())
    finding = next(f for f in made.findings if f.rule == "sign.strip")
    assert finding.missing


def test_unboxed_is_opening_and_artwork_only() -> None:
    on = stack(670.6, 120)
    made = fit_sign(place(SIGN, on, 335.3, 60, boxed=False), SIGN, on, project(), strip=STRIP)
    assert made.pieces == ()
    assert len(made.features) == 1


def test_upright_sign_is_the_lying_one_turned() -> None:
    lying, upright = header(), header(turn=90.0)
    for name, piece in pieces(lying).items():
        other = pieces(upright)[name]
        assert (other.height, other.width) == pytest.approx((piece.width, piece.height))
    assert rules(upright) == rules(lying)


def test_span_inside_a_square_and_an_l() -> None:
    """Plain geometry: a 45° line through the unit square's corner region; an L met twice takes the near arm."""
    square = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    half = math.sqrt(0.5)
    assert span_inside(square, (0.0, 5.0), (half, half), 1.0) == pytest.approx((0, 5 / half))
    arms = (
        (0.0, 0.0),
        (10.0, 0.0),
        (10.0, 9.0),
        (7.0, 9.0),
        (7.0, 3.0),
        (3.0, 3.0),
        (3.0, 9.0),
        (0.0, 9.0),
    )
    assert span_inside(arms, (-1.0, 6.0), (1.0, 0.0), 10.0) == pytest.approx((8, 11))
    assert span_inside(arms, (-1.0, 6.0), (1.0, 0.0), 2.0) == pytest.approx((1, 4))
    assert span_inside(arms, (0.0, 20.0), (1.0, 0.0), 2.0) is None


def test_a_light_board_as_high_as_can_be() -> None:
    """Both faces inside a level-topped outline: the panel leans 19.3°, so the two faces are cut differently."""
    on = stack(670.6, 120)
    placed = place(SIGN, on, 335.3, 60)
    # The header's panel starts at y 100, z 200 and rises to 120 · cos 19.3° over that.
    inside = ((0.0, 150.0), (400.0, 150.0), (400.0, 290.0), (0.0, 290.0))
    tall = SIGN.model_copy(update={"board_height": 200.0})
    made = fit_sign(placed, tall, on, project(), strip=STRIP, inside=inside)
    board = pieces(made)["light-board"]
    tops = [board.frame.point(0, board.extent[3], -n) for n in (0.0, board.thickness)]
    lows = [board.frame.point(0, board.extent[1], -n) for n in (0.0, board.thickness)]
    assert max(p[2] for p in tops) == pytest.approx(290 - math.cos(math.radians(19.3)), abs=1e-6)
    assert min(p[2] for p in lows) >= 150


def test_a_neighbor_under_the_back_face_takes_its_share() -> None:
    """Plain geometry: a level floor at z 220 meets the back face, 11.8 behind a face that leans back by 19.3°.

    The foot of the back lies 11.8 · sin 19.3° = 3.9 lower than the show face's, at z 196.1; up the slope 220 is
    (220 − 196.1) ÷ cos 19.3° = 25.3 from it.
    """
    on = stack(670.6, 120)
    inside = ((0.0, 220.0), (400.0, 220.0), (400.0, 400.0), (0.0, 400.0))
    assert clear_back(on.board, inside, 60).bottom == pytest.approx(25.32, abs=0.02)
    made = fit_sign(place(SIGN, on, 335.3, 60), SIGN, on, project(), strip=STRIP, inside=inside)
    assert "sign.frame-room" in rules(made)


def test_a_sign_off_the_middle_is_told_to_move() -> None:
    """By hand: 64 ÷ 2 + 10 of overlap, 0.851 of play and 4 of seat: 46.851 from the lower edge, so 46.9, no further."""
    on = stack(670.6, 120)
    made = fit_sign(place(SIGN, on, 335.3, 35), SIGN, on, project(), strip=STRIP)
    finding = next(f for f in made.findings if f.rule == "sign.frame-room")
    assert changed_by(finding) == pytest.approx({"v": 46.9})


def test_the_inside_of_a_box() -> None:
    """Plain geometry: a box of 400 × 300 of boards 12 thick, covered seams: 376 × 276 inside."""
    corners = ((0.0, 0.0), (400.0, 0.0), (400.0, 300.0), (0.0, 300.0))
    slabs = [
        slab((0, 0), (400, 0)),
        slab((400, 0), (400, 300)),
        slab((400, 300), (0, 300)),
        slab((0, 300), (0, 0)),
    ]
    inside = shapely.Polygon(clear_inside(corners, slabs))
    assert inside.bounds == pytest.approx((12, 12, 388, 288), abs=1e-6)
    assert inside.area == pytest.approx(376 * 276, abs=1e-3)


def slab(p: tuple[float, float], q: tuple[float, float]) -> Slab:
    """Twelve thick, square ends, inside of its run."""
    run = Run("A", "B", p, q, "x", "other")
    ny, nz = run.normal
    back = [(y - 12 * ny, z - 12 * nz) for y, z in (q, p)]
    return Slab("x", run, 0.0, 12.0, p, q, back[0], back[1], 0.0, 0.0)


def test_a_light_board_too_deep_is_told_how_deep_it_may_be() -> None:
    on = stack(670.6, 120)
    placed = place(SIGN, on, 335.3, 60)
    # The back's inner face at y 180: 80 behind the foot of a panel that leans back by 19.3°.
    inside = ((0.0, 150.0), (180.0, 150.0), (180.0, 330.0), (0.0, 330.0))
    made = fit_sign(placed, SIGN, on, project(), strip=STRIP, inside=inside)
    finding = next(f for f in made.findings if f.rule == "sign.board-room")
    (distance,) = (remedy.value for remedy in finding.remedies)
    assert isinstance(distance, float)
    nearer = SIGN.model_copy(update={"board_distance": distance})
    cured = fit_sign(placed, nearer, on, project(), strip=STRIP, inside=inside)
    board = pieces(cured)["light-board"]
    corners = [
        board.frame.point(0, v, n) for v in board.extent[1::2] for n in (0, -board.thickness)
    ]
    assert max(p[1] for p in corners) <= 180
    assert "sign.board-room" not in rules(cured)


def test_a_shorter_light_board() -> None:
    board = pieces(header(SIGN.model_copy(update={"board_length": 560.0})))["light-board"]
    assert (board.width, board.extent[0]) == pytest.approx((560.0, 335.3 - 280.0))


def test_plain_strip_before_addressable() -> None:
    def known(key: str, data: Any) -> KnownPart:
        return KnownPart(key=key, label=key, data=data, origin={})

    smart = known("smart", Strip(addressable=True))
    plain = known("plain", STRIP)
    assert sign_strip({"a": smart, "b": plain}) == STRIP
    assert sign_strip({"a": known("sign", SIGN)}) is None


def test_rows_of_tiny_units_are_found_by_halving() -> None:
    """A hundredth of a millimeter a unit, a million of them in a row: the room is asked some dozens of times."""
    asked: list[float] = []
    strip = Strip(cut_unit=0.01, width=10.0)
    sign = SIGN.model_copy(update={"row_length": 10_000.0})

    def room_of(other: Sign) -> Area:
        asked.append(other.row_length or 0.0)
        return Area.around(0.0, 0.0, 668.6, 118.0)

    (remedy,) = row_remedies(place(sign, stack(), 0.0, 0.0), sign, project(), strip, room_of)
    assert remedy.value == pytest.approx(668.6, abs=0.05)
    assert len(asked) < 100
