"""Cures that a piece which exists already would pay for say so. No outside figure is needed."""

from __future__ import annotations

from typing import Any

import pytest
from tests.checks.bench import BUTTON, box, merged, subject_of

from casewright.checks import run_checks

CLOSE = merged(
    BUTTON,
    {
        "placed": [
            {"key": "one", "on": "deck", "u": 200, "v": 150},
            {"key": "two", "on": "deck", "u": 225, "v": 150},
        ]
    },
)
SAID = " made already: "


def order(rule: str, **sections: Any) -> str:
    """The first order of a rule that writes a value."""
    findings = run_checks(subject_of(box(**sections)))
    return next(r.text for f in findings if f.rule == rule for r in f.remedies if r.field)


def built(**states: str) -> dict[str, Any]:
    return {key: {"state": state} for key, state in states.items()}


@pytest.mark.parametrize(
    ("states", "told"),
    [
        ({}, False),
        ({"deck": "drawn"}, False),
        ({"deck": "cut"}, False),  # its holes are still to be drilled
        ({"front": "painted"}, False),
        ({"deck": "drilled"}, True),
        ({"deck": "painted"}, True),
    ],
)
def test_a_button_moved_on_a_board_that_is_drilled(states, told):
    text = order("control.spacing", parts={"b": CLOSE}, as_built=built(**states))
    assert (SAID in text) is told
    assert not told or "deck is made already: it has to be" in text


@pytest.mark.parametrize(
    ("states", "names"),
    [
        ({"back": "drawn"}, ""),
        ({"back": "cut"}, "back is"),
        ({"back": "cut", "left": "cut", "right": "cut"}, "back is"),  # grooves can still be cut
        ({"left": "painted", "right": "painted"}, "left side and right side are"),
    ],
)
def test_grooves_change_the_panel_and_sides_that_are_past_the_router(states, names):
    """A low back has no room for cleats; let into grooves it gets longer, and the sides get the grooves."""
    corners = {"A": [0, 0], "B": [300, 0], "C": [300, 40], "D": [0, 40]}
    text = order("cleat.no-room", shape={"corners": corners}, as_built=built(**states))
    assert (f"{names}{SAID}" in text) if names else (SAID not in text)


@pytest.mark.parametrize(("state", "told"), [("drawn", False), ("cut", True)])
def test_a_seam_changes_both_its_panels(state, told):
    """A thin front mitered to a thick deck: past the saw's tilt, so that one is to cover the other."""
    ply = {"kind": "plywood", "species": "plywood-birch"}
    text = order(
        "seam.tilt",
        materials={"thin": {**ply, "nominal": 6, "measured": 6}},
        panels={"front": {"material": "thin"}},
        seams=[{"between": ["deck", "front"], "rule": "miter"}],
        as_built=built(front=state),
    )
    assert (SAID in text) is told


def test_what_a_moved_part_takes_along_counts():
    """The first button moves by its own holes in the deck, and the one on the front that follows it moves too."""
    follower = {"key": "three", "on": "front", "like": "two", "dv": -60}
    parts = {"b": merged(CLOSE, {"placed": [*CLOSE["placed"], follower]})}
    text = order("control.spacing", parts=parts, as_built=built(front="drilled"))
    assert "front is made already" in text
