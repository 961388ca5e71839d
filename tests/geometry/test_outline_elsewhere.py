"""A cabinet is the same wherever its outline is drawn: its front edge and its underside are its own."""

from __future__ import annotations

from typing import Any

import pytest
from tests.checks.bench import box, button, subject_of

from casewright.checks import Subject, run_checks
from casewright.geometry.viewers import base_over_floor, front_and_underside, viewers

OUTLINE = ((0, 0), (300, 0), (300, 500), (200, 500), (150, 150), (0, 120))
PANELS = {
    "base": {"run": "A-B", "role": "floor"},
    "back": {"run": "B-C", "role": "back"},
    "top": {"run": "C-D", "role": "top"},
    "screen": {"run": "D-E", "role": "screen"},
    "deck": {"run": "E-F", "role": "deck"},
    "front": {"run": "F-A", "role": "front"},
}


def console(dy: float, dz: float) -> Subject:
    """A small console on a table, its outline drawn so far back and up."""
    corners = {name: [y + dy, z + dz] for name, (y, z) in zip("ABCDEF", OUTLINE, strict=True)}
    display: dict[str, Any] = {"type": "display-15-6"}
    display["placed"] = [{"key": "d", "on": "screen", "u": 288, "v": 175}]
    data = box(
        shape={"corners": corners},
        panels=PANELS,
        seams=[],
        site={
            "height": 720,
            "depth": 290,
            "lamps": [{"label": "lamp", "height": 2400, "distance": 800}],
        },
        people=[
            {"label": "one", "posture": "seated", "eye": 1250, "distance": 400},
            {"label": "other", "posture": "wheelchair"},
        ],
        parts={"b": button((100, 90), (300, 20)), "d": display},
    )
    return subject_of(data, collide=True)


def said(subject: Subject) -> list[tuple[str, str, tuple[str, ...]]]:
    return sorted(
        (f.rule, f.message, tuple(r.text for r in f.remedies)) for f in run_checks(subject)
    )


@pytest.mark.parametrize(("dy", "dz"), [(0, 50), (40, 0), (-30, -20)])
def test_all_that_is_said_is_the_same_elsewhere(dy, dz):
    """By the law that a design knows no origin; by hand, an eye at 1250 is 530 over the underside at 720."""
    here, there = console(0, 0), console(dy, dz)
    project, parts = there.cabinet.project, there.cabinet.parts
    assert front_and_underside(project) == (dy, dz)
    assert base_over_floor(project, parts).value == 720 - dz
    one, _ = viewers(project, parts, width=600)
    assert one.eye == (300, dy - 400, 530 + dz)
    assert said(there) == said(here)
    assert {"sight.throat", "hand.wheelchair"} & {rule for rule, _, _ in said(here)}
