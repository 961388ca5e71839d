"""Stop strips behind a door, where shelves and dividers meet its panel. Lengths are reckoned by hand, beside them."""

from __future__ import annotations

import pytest
from tests.checks.bench import box, subject_of
from tests.measuring import overlaps

from casewright.basics.findings import Severity
from casewright.checks import run_checks

# A front of 576 × 188 (12 + 12 of base and deck) with a door of 300 × 120 in its middle, gap 2, strips 10 in and out.
DOOR = {"on": "front", "width": 300, "height": 120, "gap": 2, "lip": 10, "fixing": "magnets"}


def strips(**sections):
    """The strips by what follows "door.stop-", each as least and most u, least and most v; and the cabinet's stops."""
    subject = subject_of(box(doors={"door": DOOR}, **sections), collide=True)
    pieces = subject.cabinet.pieces
    assert list(overlaps(pieces)) == []
    found = {
        p.key.removeprefix("door.stop-"): p.extent for p in pieces if p.key.startswith("door.stop-")
    }
    return found, [f for f in run_checks(subject) if f.severity is Severity.STOP]


def test_an_upright_strip_goes_round_a_shelf():
    """The opening is 124 high, its strips leave 104; a shelf of 12 whose top is at half the front's 188, and 1 clear on
    either side of it, leave 104 - 14 = 90, on both sides alike."""
    shelf = {"material": "ply", "start": [280, 100], "end": [20, 100], "until": "panels"}
    found, stops = strips(inner={"shelf": shelf})
    assert set(found) == {"low", "high", "left-1", "left-2", "right-1", "right-2"}
    assert stops == []
    for side in ("left", "right"):
        (_, a, _, b), (_, c, _, d) = (found[f"{side}-{n}"] for n in (1, 2))
        assert d - a == pytest.approx(104)
        assert c - b == pytest.approx(12 + 2)
        assert (b - a) + (d - c) == pytest.approx(90)


def test_lying_strips_go_round_a_divider():
    """Lower and upper strip are 300 + 2 × (2 + 10) = 324 long; a divider of 12 takes 14 out of them."""
    divider = {"material": "ply", "plane": "side", "at": [232, 12, 12], "size": [200, 176]}
    found, stops = strips(boards={"divider": divider})
    assert set(found) == {"low-1", "low-2", "high-1", "high-2", "left", "right"}
    assert stops == []
    first, second = found["low-1"], found["low-2"]
    assert second[2] - first[0] == pytest.approx(324)
    assert second[0] - first[2] == pytest.approx(14)
    # The board's left face is at x 232; u begins at the left side's inner face, 12. It stops 1 short of it.
    assert first[2] == pytest.approx(232 - 12 - 1)


def test_a_rest_too_short_to_nail_is_left_out():
    """The shelf's top 40 under the strip's upper end leaves 39 above it; 25 under it leaves 24, less than 30."""
    plain = subject_of(box(doors={"door": DOOR})).cabinet.piece_by_key["door.stop-left"]
    upper_end = float(plain.frame.point(0.0, plain.extent[3])[2])
    for under, count in ((40, 2), (25, 1)):
        top = upper_end - under
        shelf = {"material": "ply", "start": [280, top], "end": [20, top], "until": "panels"}
        found, _ = strips(inner={"shelf": shelf})
        assert sum(key.startswith("left") for key in found) == count, (under, found)


def test_a_board_all_along_a_strip_is_told():
    """A shelf just behind the lower strip leaves nothing of it: no strip is left out in silence."""
    subject = subject_of(box(doors={"door": DOOR}))
    low = subject.cabinet.piece_by_key["door.stop-low"]
    top = float(low.frame.point(0.0, low.extent[3])[2])
    shelf = {"material": "ply", "start": [280, top], "end": [20, top], "until": "panels"}
    subject = subject_of(box(doors={"door": DOOR}, inner={"shelf": shelf}), collide=True)
    assert "door.stop-low" in subject.cabinet.piece_by_key
    told = [f for f in run_checks(subject) if f.rule == "collision.solid"]
    assert any({"door", "shelf"} <= set(f.place.names) for f in told)
