"""A display behind the upright front of the rules' box, for tests of sight: 600 wide, 200 high, plywood of 12 mm."""

from __future__ import annotations

from typing import Any

from tests.checks.bench import box, subject_of

from casewright.behavior.seeing import Sighting
from casewright.behavior.sight import Sight

LIT = (200.0, 120.0)


def screen(*people: dict[str, Any], **more: Any) -> dict[str, Any]:
    """The box on the floor, its front at y = 0; the picture's middle is 300 right and `v` up.

    Args:
        people: With eye, distance and aside.
        more: "opening", "lamps", "display" (its measured sizes), "limits", "panels", "boards", "parts".
    """
    display = {
        "kind": "display",
        "measured": {
            "lit_width": LIT[0],
            "lit_height": LIT[1],
            "housing_width": 220,
            "housing_height": 150,
            "housing_depth": 30,
            "bezel_left": 10,
            "bezel_bottom": 15,
            **more.pop("display", {}),
        },
        "placed": [
            {
                "key": "tube",
                "on": "front",
                "opening": {"corner_radius": 0, **more.pop("opening", {})},
            }
        ],
    }
    site = {"on": "floor", "lamps": more.pop("lamps", [])}
    usual = {"label": "one", "posture": "standing"}
    everybody = [{**usual, **person} for person in people]
    parts = {"screen": display, **more.pop("parts", {})}
    return box(parts=parts, site=site, people=everybody, **more)


def sight(data: dict[str, Any]) -> Sight:
    behavior = subject_of(data).behavior
    assert behavior is not None
    return behavior.sight


def sighting(data: dict[str, Any]) -> Sighting:
    (found,) = sight(data).sightings
    return found
