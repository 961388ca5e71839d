"""What runs into something is made shorter by a value that cures: loose boards, inner boards, ends of free seams."""

from __future__ import annotations

import math
from typing import Any

import pytest
from tests.checks.bench import applied, box, device, found, hole, subject_of

from casewright.basics.findings import Finding
from casewright.checks.rules import board_loose, collision_solid, inner_loose, inner_outside


def overlap(data: dict[str, Any], *names: str) -> list[Finding]:
    met = found(collision_solid, data, collide=True)
    return [finding for finding in met if set(names) <= set(finding.place.names)]


def divider(height: float, *, low: float = 12.0, **more: Any) -> dict[str, Any]:
    """Of 12, across the middle of the box, whose inside is 276 deep and from z 12 to z 188."""
    board = {"material": "ply", "plane": "side", "at": [294, 12, low], "size": [276, height]}
    return box(boards={"divider": {**board, **more}})


def test_a_divider_a_little_too_high_is_made_as_high_as_it_fits():
    """From 12 on, 179.3 high: 3.3 over the 176 there are."""
    data = divider(179.3)
    (finding,) = overlap(data, "divider")
    remedy = finding.remedies[0]
    assert (remedy.field, remedy.also) == ("boards.divider.size.1", ())
    assert remedy.value == pytest.approx(176.0)
    after = applied(data, remedy)
    assert not overlap(after, "divider")
    assert not found(board_loose, after)


def test_a_divider_that_begins_too_low_begins_higher():
    """From z 10 to z 188: 2 into the base. It begins at 12 and is 176 high; both values go together."""
    data = divider(178.0, low=10.0)
    (finding,) = overlap(data, "divider")
    remedy = finding.remedies[0]
    assert (remedy.field, remedy.value) == ("boards.divider.size.1", pytest.approx(176.0))
    assert remedy.also == (("boards.divider.at.2", pytest.approx(12.0)),)
    assert not overlap(applied(data, remedy), "divider")


def test_a_board_that_something_is_cut_into_keeps_its_size():
    data = divider(179.3)
    data["features"] = [hole(100, 100, on="divider")]
    (finding,) = overlap(data, "divider")
    assert not any(".size." in r.field for r in finding.remedies)


def test_a_shelf_that_runs_into_the_back_ends_before_it():
    """Level at z 100 from y 40 to y 290; the back begins at 288."""
    shelf = {"material": "ply", "start": [40, 100], "end": [290, 100]}
    data = box(inner={"shelf": shelf})
    (finding,) = overlap(data, "shelf", "back")
    remedy = next(r for r in finding.remedies if r.field.startswith("inner.shelf.end"))
    assert (remedy.field, remedy.value, remedy.also) == ("inner.shelf.end.0", 288.0, ())
    after = applied(data, remedy)
    assert not overlap(after, "shelf")
    assert not found(inner_loose, after)


@pytest.mark.parametrize("tilt", [0, 20])
def test_boards_that_overlap_at_a_free_seam_end_farther_back(tilt):
    """Both end square at the corner of deck and front, and share 12 × 12. The deck ends 12 before the corner then;
    tilted by 20 with its back the shorter, 12 × tan 20 = 4.4 of it are gone at its back already: still 12 at its face.
    """
    seam = {"between": ["deck", "front"], "rule": "free", "tilt": {"deck": tilt}}
    data = box(seams=[seam])
    (finding,) = overlap(data, "deck", "front")
    values = {r.field: r for r in finding.remedies if r.field}
    assert set(values) == {"seams.deck/front.setback.deck", "seams.deck/front.setback.front"}
    assert values["seams.deck/front.setback.deck"].value == pytest.approx(12, abs=0.1)
    # The front is cut back as far down as the deck's back goes, over its own thickness.
    low = 12.0 if tilt == 0 else min(12.0, 12.0 / math.tan(math.radians(tilt)))
    assert values["seams.deck/front.setback.front"].value == pytest.approx(low, abs=0.1)
    for remedy in values.values():
        assert not overlap(applied(data, remedy), "deck", "front")


@pytest.mark.parametrize(("end", "field"), [(290, "end.0"), (280, "until")])
def test_a_shelf_with_something_on_it_keeps_its_place(end, field):
    """What sits on it is placed from its start: its end may move, its start may not."""
    start = 40 if field == "end.0" else 8
    shelf = {"material": "ply", "start": [start, 100], "end": [end, 100]}
    thing = device("box", 300, 100)
    thing["placed"][0]["on"] = "shelf"
    data = box(inner={"shelf": shelf}, parts={"box": thing})
    met = overlap(data, "shelf")
    remedy = next(r for r in met[0].remedies if r.field)
    assert remedy.field == f"inner.shelf.{field}"
    after = applied(data, remedy)
    assert not overlap(after, "shelf")
    places = [subject_of(d).cabinet.placed_by_key["box"].frame.origin for d in (data, after)]
    assert places[0] == pytest.approx(places[1])


@pytest.mark.parametrize("dial", [False, True])
def test_a_shelf_past_the_sides_ends_before_the_back_or_on_the_panels(dial):
    """From y 60 to y 305, 5 past the edge. It is offered to end at 288, and on both panels only where nothing is met
    in front: a device on the front stands in the way of a shelf that reaches that."""
    shelf = {"material": "ply", "start": [60, 100], "end": [305, 100]}
    thing = device("box", 300, 94)
    thing["placed"][0]["on"] = "front"
    data = box(inner={"shelf": shelf}, parts={"box": thing} if dial else {})
    (finding,) = found(inner_outside, data)
    fields = [r.field for r in finding.remedies if r.field]
    assert fields == ["inner.shelf.end.0"] if dial else ["inner.shelf.until", "inner.shelf.end.0"]
    for remedy in finding.remedies:
        if remedy.field:
            after = applied(data, remedy)
            assert found(inner_outside, after) == []
            assert not overlap(after, "shelf")


def test_a_back_that_leans_is_moved_at_both_its_corners():
    """Its upper corner 15 before the lower one, near enough upright: both go back by what the housing lacks."""
    corners = {"A": [0, 0], "B": [315, 0], "C": [300, 400], "D": [0, 400]}
    thing = device("box", 300, 200, depth=310)
    thing["placed"][0]["on"] = "front"
    data = box(shape={"corners": corners}, parts={"box": thing})
    (finding,) = overlap(data, "box", "back")
    remedy = next(r for r in finding.remedies if r.field.startswith("shape"))
    assert [remedy.field, *(f for f, _ in remedy.also)] == [
        "shape.corners.B.0",
        "shape.corners.C.0",
    ]
    after = applied(data, remedy)
    assert not overlap(after, "box", "back")
    moved = after["shape"]["corners"]
    assert moved["B"][0] - 315 == pytest.approx(moved["C"][0] - 300)


@pytest.mark.parametrize(("at", "to"), [(60, 80), (110, None)])
def test_an_inner_board_behind_a_loudspeaker_goes_back(at, to):
    """The loudspeaker reaches 12 + 40 + 10 of air behind the front: 62 from the show face, and the wall of 12, which
    stands before its line, is moved to y = 74 at least; a deeper cabinet would not move it. At 110 it is free."""
    loud = {
        "kind": "speaker",
        "measured": {"cutout": 70, "frame": 80, "depth": 40, "magnet": 40, "mass_kg": 0.2},
        "placed": [{"key": "loud", "on": "front"}],
    }
    wall = {"material": "ply", "start": [at, 12], "end": [at, 188], "cleats": False}
    data = box(parts={"loud": loud}, inner={"wall": wall})
    told = found(collision_solid, data, collide=True)
    assert bool(told) is (to is not None)
    for finding in told:
        assert not any(r.field.startswith("shape") for r in finding.remedies)
        remedy = next(r for r in finding.remedies if r.field == "inner.wall.start.0")
        assert to is not None and isinstance(remedy.value, float)
        assert remedy.value >= 74 - 1e-6
        assert remedy.also == (("inner.wall.end.0", remedy.value),)
        assert found(collision_solid, applied(data, remedy), collide=True) == []


def test_an_inner_board_is_not_moved_out_of_the_cabinet():
    """A wall of 176 in a device as wide as the inside: down or up it would be free, outside the cabinet."""
    wall = {"material": "ply", "start": [150, 12], "end": [150, 188], "cleats": False}
    full = device("full", 288, 150, width=570, height=270, depth=170)
    data = box(parts={"full": full}, inner={"wall": wall})
    (finding,) = overlap(data, "wall")
    for remedy in finding.remedies:
        assert not remedy.field.startswith("inner.wall.start.1"), remedy.text
