"""Corners of a free outline put in and taken out: nothing else of the cabinet moves."""

from __future__ import annotations

import pytest

from casewright.basics.errors import RefusedError
from casewright.session.cornering import FEWEST, corner_put_in, corner_taken_out
from casewright.workflow import (
    Edits,
    Worked,
    changed_document,
    open_document,
    open_text,
    read_catalogs,
    starter_text,
    with_groups,
    work_out,
)


def started(unit: str = "mm") -> Worked:
    return work_out(open_text(starter_text("outline", name="Start", unit=unit)))  # type: ignore[arg-type]


def after(worked: Worked, edits: Edits) -> Worked:
    old = worked.opened.document
    document = changed_document(old, with_groups(old.data, edits))
    return work_out(open_document(document, read_catalogs()))


@pytest.mark.parametrize(("start", "unit"), [("A", "mm"), ("B", "in"), ("D", "mm"), ("E", "in")])
def test_a_corner_in_the_middle_of_a_run_changes_no_edge(start: str, unit: str) -> None:
    """Plain geometry: halfway between two corners lies a point of the outline as it was."""
    before = started(unit)
    run = next(run for run in before.cabinet.shape.runs if run.start == start)
    now = after(before, corner_put_in(before, start))
    shape = now.cabinet.shape
    assert len(shape.corners) == 6 and len(shape.runs) == 6
    middle = ((run.p[0] + run.q[0]) / 2, (run.p[1] + run.q[1]) / 2)
    assert shape.corners["F"] == pytest.approx(middle, abs=0.01)
    assert tuple(shape.corners)["ABCDE".index(start) + 1] == "F"
    assert shape.panels[f"{run.panel}-2"].role == run.role
    for new in now.cabinet.placed:
        old = before.cabinet.placed_by_key[new.key]
        if new.wish.v is not None:  # one without a place of its own is centred anew
            assert (new.u, new.v) == pytest.approx((old.u, old.v), abs=0.01)
    assert {c.rule for c in now.cabinet.corners if c.name == "F"} == {"miter"}
    assert [c.rule for c in now.cabinet.corners if c.name != "F"] == [
        c.rule for c in before.cabinet.corners
    ]


def test_what_was_put_in_can_be_taken_out() -> None:
    before = started()
    more = after(before, corner_put_in(before, "C"))
    same = after(more, corner_taken_out(more, "F"))
    assert same.cabinet.shape.corners == before.cabinet.shape.corners
    assert {p.key for p in same.cabinet.pieces} == {p.key for p in before.cabinet.pieces}
    assert {frozenset(s.between) for s in same.cabinet.shape.seams} == {
        frozenset(s.between) for s in before.cabinet.shape.seams
    }


def test_the_panel_that_carries_something_stays() -> None:
    """At D the top ends and the deck with its button begins."""
    before = started()
    now = after(before, corner_taken_out(before, "D"))
    assert "top" not in now.cabinet.shape.panels
    assert now.cabinet.shape.panels["deck"].run == "C-E"
    assert {p.key for p in now.cabinet.placed} == {p.key for p in before.cabinet.placed}


def test_corners_that_cannot_be_taken_out() -> None:
    before = started()
    with pytest.raises(RefusedError, match="carry something"):
        corner_taken_out(before, "B")  # feet on the base, a socket in the back
    hole: Edits = {
        ("features",): [{"shape": "hole", "on": "top", "u": 60, "v": 30, "diameter": 20}]
    }
    holed = after(before, hole)
    with pytest.raises(RefusedError, match="the hole off top"):
        corner_taken_out(holed, "C")
    few = before
    for name in "DE":
        few = after(few, corner_taken_out(few, name))
    assert len(few.cabinet.shape.corners) == FEWEST
    with pytest.raises(RefusedError, match="3 corners"):
        corner_taken_out(few, "A")
