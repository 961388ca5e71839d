"""Moving, aligning and spacing placed parts of the demo; places read back from the geometry."""

from __future__ import annotations

from pathlib import Path

import pytest

from casewright.basics.errors import InputError
from casewright.session import Session
from casewright.session.arranging import aligned, moved, placed_at, spread, wish_path

DUEL = Path(__file__).parents[2] / "examples" / "library-duel.cabinet.yaml"


@pytest.fixture
def session(tmp_path: Path) -> Session:
    path = tmp_path / "duel.cabinet.yaml"
    path.write_bytes(DUEL.read_bytes())
    return Session.open(path)


def place(session: Session, key: str) -> tuple[float, float]:
    assert session.worked is not None
    placed = session.worked.cabinet.placed_by_key[key]
    return placed.u, placed.v


def test_a_moved_part_takes_its_followers_along(session: Session) -> None:
    assert session.worked is not None
    before = place(session, "red2")
    session.edit(moved(session.worked, "red1", "u", 143.3))
    assert place(session, "red1") == pytest.approx((143.3, 140))
    assert place(session, "red2") == pytest.approx((before[0] + 3, before[1]))


def test_a_follower_moved_alone_keeps_following(session: Session) -> None:
    assert session.worked is not None
    session.edit(moved(session.worked, "red2", "u", "480 mm"))
    assert place(session, "red2") == pytest.approx((480, 140))
    assert place(session, "red1") == pytest.approx((140.3, 140))
    assert session.worked.cabinet.placed_by_key["red2"].wish.like == "red1"


def test_leader_and_follower_moved_together_end_where_they_are_asked_to(session: Session) -> None:
    assert session.worked is not None
    session.edit(placed_at(session.worked, {"red2": {"u": 470.0}, "red1": {"u": 150.0}}))
    assert place(session, "red1")[0] == pytest.approx(150)
    assert place(session, "red2")[0] == pytest.approx(470)


def test_parts_align_with_the_first(session: Session) -> None:
    assert session.worked is not None
    session.edit(aligned(session.worked, ["red1", "blue1", "yellow1", "palm1"], "v"))
    assert {place(session, key)[1] for key in ("red1", "blue1", "yellow1", "palm1")} == {140.0}


def test_parts_spread_evenly_between_the_outer_two(session: Session) -> None:
    """Plain arithmetic: 140.3 and 265.3 leave 125 for three gaps."""
    assert session.worked is not None
    session.edit(spread(session.worked, ["green1", "blue1", "red1", "yellow1"], "u"))
    us = [place(session, key)[0] for key in ("red1", "blue1", "yellow1", "green1")]
    assert us == pytest.approx([140.3, 140.3 + 125 / 3, 140.3 + 250 / 3, 265.3], abs=1e-3)


def test_a_pair_on_the_sides_has_one_place_in_the_file(session: Session) -> None:
    assert session.worked is not None
    paths = {wish_path(session.worked, key) for key in ("grip-left", "grip-right")}
    assert paths == {("parts", "grips", "placed", 0)}


def test_either_of_a_mirrored_pair_can_be_moved(session: Session) -> None:
    """The sides are 430 deep: 365 from the front on the right one is 65 from the left one's left edge."""
    assert place(session, "grip-right")[0] == pytest.approx(365)
    assert place(session, "grip-left")[0] == pytest.approx(65)
    assert session.worked is not None
    session.edit(moved(session.worked, "grip-left", "u", "70 mm"))
    assert place(session, "grip-left")[0] == pytest.approx(70)
    assert place(session, "grip-right")[0] == pytest.approx(360)


def test_a_shift_from_the_middle_stays_one(session: Session) -> None:
    wish = {"key": "volume-dial", "on": "lip", "du": 100}
    session.set(("parts", "volume", "placed", 0), wish)
    u, v = place(session, "volume-dial")
    assert session.worked is not None
    session.edit(placed_at(session.worked, {"volume-dial": {"u": u + 7.5, "v": v + 2}}))
    assert place(session, "volume-dial") == pytest.approx((u + 7.5, v + 2))
    assert "du: 107.5" in session.text and "u: 107.5" in session.text


def test_what_is_no_length_or_no_part_is_refused(session: Session) -> None:
    assert session.worked is not None
    with pytest.raises(InputError) as refused:
        moved(session.worked, "red1", "u", "far")
    assert refused.value.field == "u"
    with pytest.raises(InputError) as unknown:
        moved(session.worked, "nobody", "u", 3)
    assert unknown.value.field == "part"
