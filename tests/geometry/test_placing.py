"""Where parts land: centring, followers, pairs on the sides, faces, and what cannot be."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import pytest
from tests.checks.bench import box, subject_of
from tests.geometry.devices.bench import part, project
from tests.geometry.pieces_by_hand import board, rectangle

from casewright.basics.errors import InputErrors
from casewright.geometry.model import Frame, Piece, Placed, Run, Slab
from casewright.geometry.placing import place_parts

# A box of 700 × 250 × 300 with sides of 12 and a deck that slopes up to the back at 30°: worked by hand.
SLOPE = math.radians(30)
COS, SIN = math.cos(SLOPE), math.sin(SLOPE)
DEPTH = 250.0
DECK = Frame((12.0, 0.0, 100.0), (1.0, 0.0, 0.0), (0.0, COS, SIN), (0.0, -SIN, COS))


def piece(key: str, kind: Any, frame: Frame, width: float, height: float, panel: str = "") -> Piece:
    made = board(key, rectangle(width, height), at=frame)
    thickness = 3.0 if kind == "overlay" else 12.0
    return Piece(**{**made.__dict__, "kind": kind, "thickness": thickness, "panel": panel or key})


def pieces() -> dict[str, Piece]:
    deck = Frame(DECK.point(0, 0, -3.0), DECK.u, DECK.v, DECK.n)
    found = [
        piece("right", "side", Frame((700, 0, 0), (0, 1, 0), (0, 0, 1), (1, 0, 0)), DEPTH, 300),
        piece("left", "side", Frame((0, DEPTH, 0), (0, -1, 0), (0, 0, 1), (-1, 0, 0)), DEPTH, 300),
        piece("deck", "panel", deck, 676, 200),
        piece("deck.cover", "overlay", DECK, 676, 200, "deck"),
    ]
    return {p.key: p for p in found}


def slab() -> Slab:
    """The run goes down from the back, its show face cut short by 10 at the lower end and 4 at the upper."""
    top = (200 * COS, 100 + 200 * SIN)
    run = Run("G", "H", top, (0.0, 100.0), "deck", "deck")

    def at(v: float) -> tuple[float, float]:
        return (v * COS, 100 + v * SIN)

    return Slab("deck", run, 0, 15, at(196), at(10), at(10), at(196), 0, 0)


def place(
    placed: Sequence[dict[str, Any]], kind: str = "button", **more: Any
) -> tuple[Placed, ...]:
    shop = project(parts={"thing": {"kind": kind, "placed": list(placed)}, **more})
    data: dict[str, Any] = {}
    if kind == "button":
        data = {"hole": 28.6, "bezel": 33, "nut": 39, "grip_most": 25, "body": 27, "behind": 60}
    parts = {"thing": part(kind, **data)}
    return place_parts(shop, parts, pieces(), {"deck": slab()}, known=("lost",))


def errors(placed: Sequence[dict[str, Any]], kind: str = "button") -> dict[str, str]:
    with pytest.raises(InputErrors) as caught:
        place(placed, kind)
    return {error.field: error.want for error in caught.value.errors}


def test_what_is_not_said_is_centred() -> None:
    (one,) = place([{"key": "a", "on": "deck"}])
    # Half of 676; v midway between 10 and 196.
    assert (one.u, one.v) == (338, pytest.approx(103))
    assert one.frame.origin == pytest.approx(DECK.point(338, 103))


def test_a_display_is_centred_by_its_housing() -> None:
    """Housing 160 with a lit 130 and 20 below it: the picture's middle is 20 + 65 − 80 = 5 over the housing's.

    The board's back is 200 high, so the housing's middle lies at 100.
    """
    shop = project(parts={"thing": {"kind": "display", "placed": [{"key": "a", "on": "deck"}]}})
    display = part(
        "display",
        lit_width=240,
        lit_height=130,
        housing_width=260,
        housing_height=160,
        housing_depth=30,
        bezel_bottom=20,
    )
    (one,) = place_parts(shop, {"thing": display}, pieces(), {"deck": slab()})
    assert (one.u, one.v) == (338, pytest.approx(105))


def test_a_part_on_the_back_hangs_from_the_board_s_back() -> None:
    (one,) = place([{"key": "a", "on": "deck", "u": 100, "v": 50}], "dial")
    assert one.face == "back"
    assert one.piece == "deck"
    # 12 of board under 3 of cover.
    assert one.frame.origin == pytest.approx(DECK.point(100, 50, -15))
    assert one.frame.n == DECK.n


def test_followers_add_their_shift_and_turn() -> None:
    a, b, c, d = place(
        [
            {"key": "a", "on": "deck", "like": "b", "du": 43, "dv": -1},
            {"key": "b", "on": "deck", "like": "c", "du": 40, "dv": 16, "turn": 10},
            {"key": "c", "on": "deck", "u": 140, "v": 150, "turn": 20},
            {"key": "d", "on": "deck", "like": "a", "v": 88},
        ]
    )
    assert (c.u, c.v, c.turn_deg) == (140, 150, 20)
    assert (b.u, b.v, b.turn_deg) == (180, 166, 30)
    assert (a.u, a.v, a.turn_deg) == (223, 165, 30)
    assert (d.u, d.v) == (223, 88)


def test_a_turned_frame_keeps_its_hand() -> None:
    (one,) = place([{"key": "a", "on": "deck", "turn": 30}])
    u, v, n = one.frame.u, one.frame.v, one.frame.n
    cross = (
        u[1] * v[2] - u[2] * v[1],
        u[2] * v[0] - u[0] * v[2],
        u[0] * v[1] - u[1] * v[0],
    )
    assert cross == pytest.approx(n)
    # Counter-clockwise as seen from the show face: its u axis rises toward v.
    assert sum(x * y for x, y in zip(u, DECK.v, strict=True)) == pytest.approx(
        math.sin(math.radians(30))
    )


def test_a_pair_on_the_sides_is_mirrored_in_the_cabinet() -> None:
    left, right = place([{"key": "grip", "on": "sides", "u": 60, "v": 220, "turn": 15}], "grip")
    assert (left.key, right.key) == ("grip-left", "grip-right")
    assert left.frame.origin == pytest.approx((0, 60, 220))
    assert right.frame.origin == pytest.approx((700, 60, 220))
    assert (left.piece, right.piece) == ("left", "right")
    # The same slant in the side view: both long axes rise by 15° toward the back or the front alike.
    assert right.frame.u[1:] == pytest.approx(
        (math.cos(math.radians(15)), math.sin(math.radians(15)))
    )
    assert left.frame.u[1:] == pytest.approx(
        (-math.cos(math.radians(15)), -math.sin(math.radians(15)))
    )


def test_the_usual_face_of_a_foot_is_the_show_face() -> None:
    (foot,) = place([{"key": "a", "on": "deck"}], "foot")
    assert foot.face == "show"


def test_a_recess_is_known_with_the_place() -> None:
    """Thread 8 less nut 2.5, washer 0.5 and 0.5 leaves 4.5: 7.5 of a side of 12; in the deck the nut is sunk."""
    (dial,) = place([{"key": "a", "on": "right"}], "dial")
    assert dial.recess == pytest.approx(7.5)
    (dial,) = place([{"key": "a", "on": "deck"}], "dial")
    assert dial.recess == pytest.approx(7.5)


def test_an_unknown_panel_names_the_nearest() -> None:
    found = errors([{"key": "a", "on": "dekc"}])
    assert "deck" in found["parts.thing.placed.0.on"]


def test_a_panel_that_came_to_nothing_carries_nothing() -> None:
    assert place([{"key": "a", "on": "lost"}]) == ()


def test_a_ring_of_followers() -> None:
    found = errors(
        [
            {"key": "a", "on": "deck", "like": "b"},
            {"key": "b", "on": "deck", "like": "a"},
            {"key": "c", "on": "deck", "like": "a"},
        ]
    )
    assert set(found) == {"parts.thing.placed.0.like", "parts.thing.placed.1.like"}


def test_an_unknown_leader_names_the_nearest() -> None:
    found = errors(
        [{"key": "answer-a", "on": "deck"}, {"key": "b", "on": "deck", "like": "anser-a"}]
    )
    assert "answer-a" in found["parts.thing.placed.1.like"]


def test_all_that_is_wrong_is_told_at_once() -> None:
    found = errors(
        [
            {"key": "a", "on": "deck"},
            {"key": "a", "on": "deck"},
            {"key": "b", "on": "nowhere"},
            {"key": "c", "on": "deck", "face": "back"},
            {"key": "d", "on": "deck", "recess": 12},
        ]
    )
    assert set(found) == {
        "parts.thing.placed.1.key",
        "parts.thing.placed.2.on",
        "parts.thing.placed.3.face",
        "parts.thing.placed.4.recess",
    }


def test_a_display_that_cannot_be_is_told_with_the_rest() -> None:
    """A slanting turn, also one that comes from what it is like; an opening of less than nothing."""
    lit = {"lit_width": 200, "lit_height": 120, "housing_width": 220, "housing_height": 150}
    shop = project(
        parts={
            "screen": {
                "kind": "display",
                "placed": [
                    {"key": "a", "on": "deck", "turn": 45},
                    {"key": "b", "on": "deck", "like": "a", "turn": 10},
                    {"key": "c", "on": "deck", "turn": 90, "opening": {"margin": -60}},
                    {"key": "d", "on": "deck", "turn": 90, "opening": {"margin": -59}},
                ],
            }
        }
    )
    data = {**lit, "housing_depth": 30, "bezel_left": 10, "bezel_bottom": 15}
    with pytest.raises(InputErrors) as caught:
        place_parts(shop, {"screen": part("display", **data)}, pieces(), {"deck": slab()})
    assert [error.field for error in caught.value.errors] == [
        "parts.screen.placed.0.turn",
        "parts.screen.placed.1.turn",
        "parts.screen.placed.2.opening",
    ]


def test_a_pair_s_names_are_taken() -> None:
    found = errors(
        [
            {"key": "g", "on": "sides", "u": 60, "v": 220},
            {"key": "g-left", "on": "left", "u": 60, "v": 100},
        ],
        "grip",
    )
    assert set(found) == {"parts.thing.placed.1.key"}


def test_a_part_that_is_only_bought_is_not_placed() -> None:
    shop = project(parts={"thing": {"kind": "hardware", "quantity": 8}})
    assert place_parts(shop, {"thing": part("hardware")}, pieces(), {}) == ()


@pytest.mark.parametrize(
    ("key", "refused"), [("left", True), ("base", True), ("front", False), ("woofer", False)]
)
def test_a_part_is_not_called_as_a_piece_that_it_does_not_sit_on(key, refused):
    """A loudspeaker called left that ran into the left side was taken for that side, and not told."""
    speaker = {
        "kind": "speaker",
        "measured": {"cutout": 90, "frame": 100, "depth": 60, "holes_square": 80, "mass_kg": 0.3},
        "placed": [{"key": key, "on": "front", "u": 200, "v": 90}],
    }
    data = box(parts={"s": speaker})
    if not refused:
        subject_of(data)
        return
    with pytest.raises(InputErrors) as wrong:
        subject_of(data)
    assert [error.field for error in wrong.value.errors] == ["parts.s.placed.0.key"]


def test_no_sheet_material_is_called_as_the_strip_wood_of_cleats():
    """Cleats were cut from such a sheet, and weighed as strip wood."""
    data = box(materials={"batten": {"kind": "plywood", "nominal": 12}}, shape={"board": "batten"})
    with pytest.raises(InputErrors) as wrong:
        subject_of(data)
    assert [error.field for error in wrong.value.errors] == ["materials.batten"]
