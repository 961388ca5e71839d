"""What comes to nothing is said, with the value that would pass."""

from __future__ import annotations

import pytest
from tests.checks.bench import board, box, subject_of

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Severity
from casewright.geometry.solids import solid_of


def gone(data):
    """Findings on pieces that come to nothing, and the keys of all pieces that are left."""
    cabinet = subject_of(data).cabinet
    found = [f for f in cabinet.findings if f.rule == "piece.no-length"]
    return found, set(cabinet.piece_by_key)


def test_a_cabinet_is_wider_than_its_two_sides():
    """Plain geometry: two sides of 12 need more than 24."""
    with pytest.raises(InputErrors) as caught:
        subject_of(box(shape={"width": 24}))
    assert [error.field for error in caught.value.errors] == ["shape.width"]
    assert "24" in caught.value.errors[0].want
    subject_of(box(shape={"width": 25}))


@pytest.mark.parametrize(("clearance", "count"), [(287.5, 0), (288.0, 1), (400.0, 1)])
def test_a_panel_kept_clear_over_its_whole_length(clearance, count):
    """600 − 2 × 12 = 576 between the sides: 288 kept clear at each end leave nothing."""
    data = box(
        panels={"deck": {"clearance": clearance, "layers": [{"key": "top", "material": "ply"}]}}
    )
    found, left = gone(data)
    assert [(f.severity, f.place.names[0]) for f in found if f.place.names == ("deck",)] == [
        (Severity.STOP, "deck")
    ] * count
    assert ("deck" in left) == ("deck.top" in left) == (not count)
    if count:
        remedy = next(r for f in found for r in f.remedies if r.field == "panels.deck.clearance")
        cured = box(panels={"deck": {"clearance": remedy.value}})
        assert gone(cured)[0] == []
        assert board(cured, "deck").width > 0


def test_overlay_insets_that_meet_take_the_overlay_only():
    layers = [{"key": "top", "material": "ply", "inset": 288}]
    found, left = gone(box(panels={"deck": {"layers": layers}}))
    assert [f.place.names for f in found] == [("deck.top",)]
    assert "deck" in left


def test_an_inner_board_with_its_ends_swapped():
    shelf = {"material": "ply", "start": [50, 100], "end": [200, 100], "left": 400, "right": 100}
    found, left = gone(box(inner={"shelf": shelf}))
    assert [f.place.names for f in found] == [("shelf",)]
    assert found[0].remedies
    assert "shelf" not in left


def test_clear_room_at_the_one_end_that_stands_at_a_side():
    """From the left side, 12, to 112: of these 100 less than 100 may be kept clear."""
    shelf = {
        "material": "ply",
        "start": [50, 100],
        "end": [200, 100],
        "right": 112,
        "clearance": 130,
    }
    (finding,) = gone(box(inner={"shelf": shelf}))[0]
    remedy = next(r for r in finding.remedies if r.field == "inner.shelf.clearance")
    assert "less than ⟦100.0000⟧" in remedy.text
    cured = box(inner={"shelf": {**shelf, "clearance": remedy.value}})
    assert gone(cured)[0] == []


def test_a_groove_of_a_panel_that_is_gone_is_not_cut():
    sides = subject_of(box(panels={"deck": {"joint": "groove", "clearance": 500}})).cabinet
    assert not any(f.owner == "deck" for f in sides.piece_by_key["left"].features)


def test_an_opening_larger_than_its_board_leaves_nothing_and_does_not_fail():
    cabinet = subject_of(
        box(doors={"door": {"on": "front", "width": 700, "height": 400}}), collide=True
    )
    solid = solid_of(cabinet.cabinet.piece_by_key["front"])
    assert solid.volume == 0
    assert solid.box == (
        (0, 0, 0),
        (0, 0, 0),
    )  # finite, so that nothing that looks at extents fails


@pytest.mark.parametrize(("lip", "strips"), [(12, 4), (49.5, 4), (60, 2)])
def test_stop_strips_never_meet(lip, strips):
    """A door 100 × 100 with a gap of 1.5: strips 51.5 wide on both sides would meet in the middle."""
    door = {"on": "front", "width": 100, "height": 100, "gap": 1.5, "lip": lip}
    made = [p for p in subject_of(box(doors={"d": door})).cabinet.pieces if p.kind == "strip"]
    assert len(made) == strips
    for face in (face for piece in made for face in (piece.show, piece.back)):
        (u0, v0), (u1, _), (_, v1), _ = face
        assert u1 > u0
        assert v1 > v0
