"""Doors on hinges, held against the same motion done in the plane by a general geometry library."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
import shapely
from shapely import affinity
from tests.checks.bench import CATALOG, box, device

from casewright.design.known import know_parts
from casewright.design.project import Project
from casewright.geometry.build import build_cabinet
from casewright.geometry.fastening import screw_sizes
from casewright.geometry.hinges import Hanging, hangings, hinge_places
from casewright.geometry.model import Cabinet
from casewright.geometry.swinging import GROUND, swing

SECTION = 1e-3
"""Overlap in the section below this is contact. [mm²]"""


def built(data: dict[str, Any]) -> Cabinet:
    project = Project.model_validate(data)
    return build_cabinet(project, know_parts(project, CATALOG), screw_sizes(CATALOG, "mm"))


def hung(**door) -> tuple[Cabinet, Hanging]:
    """The box of 12 mm plywood with a door 300 × 90 in its front, on narrow butt hinges."""
    wish = {"on": "front", "width": 300, "height": 90, "fixing": "hinges", **door}
    cabinet = built(box(doors={"door": wish}, parts={"hinge": {"type": "hinge-butt-40"}}))
    (hanging,) = hangings(cabinet)
    return cabinet, hanging


def section(hanging: Hanging, angle_deg: float, gap: float) -> float:
    """Area that a door, turned about its pin, shares with its panel beyond the free edge. [mm²]

    x from the pin to the free edge, y outward: drawn anew and turned by shapely.
    """
    near, rise, thick = gap / 2, hanging.rise, hanging.thickness
    door = shapely.box(near, -rise - thick, near + hanging.reach, -rise)
    over = hanging.rise_over_host
    wall = shapely.box(
        near + hanging.reach + gap,
        -over - hanging.host_thickness,
        near + hanging.reach + 500,
        -over,
    )
    turned = affinity.rotate(door, angle_deg, origin=(0, 0))
    return float(turned.intersection(wall).area)


@pytest.mark.parametrize(
    ("width", "height", "edge"),
    [
        (300, 90, "left"),
        (60, 120, "left"),
        (40, 120, "right"),
        (300, 40, "top"),
        (300, 90, "bottom"),
    ],
)
def test_the_gap_in_which_a_door_swings_free(width, height, edge):
    """At the gap that is asked it shares nothing with its panel at any angle; a tenth of a millimeter less, it does."""
    _, hanging = hung(width=width, height=height, hinged=edge)
    asked = hanging.gap_asked
    for _ in range(30):  # the pin moves with the gap, half as far
        asked = replace(hanging, gap=asked).gap_asked
    angles = [i / 5 for i in range(451)]
    assert max(section(hanging, a, asked + 0.01) for a in angles) <= SECTION
    assert max(section(hanging, a, asked - 0.1) for a in angles) > SECTION


def test_a_bevelled_edge_swings_free_in_the_gap_it_has():
    """The free edge's back taken off by the tangent of the bevel times the thickness, turned by shapely."""
    _, hanging = hung(width=40, height=120, hinged="left", gap=1)
    assert hanging.gap_asked > 1
    near, rise, thick = 0.5, hanging.rise, hanging.thickness
    wall = shapely.box(near + 40 + 1, -rise - thick, 400, -hanging.rise_over_host)

    def most(bevel_deg: float) -> float:
        off = math.tan(math.radians(bevel_deg)) * thick
        door = shapely.Polygon(
            [
                (near, -rise),
                (near + 40, -rise),
                (near + 40 - off, -rise - thick),
                (near, -rise - thick),
            ]
        )
        turns = (affinity.rotate(door, i / 5, origin=(0, 0)) for i in range(451))
        return max(float(turned.intersection(wall).area) for turned in turns)

    assert most(hanging.bevel_asked) <= SECTION
    assert most(hanging.bevel_asked - 0.5) > SECTION


@pytest.mark.parametrize("v", [60, 80, 94])
def test_a_flap_hung_below_opens_until_it_meets_the_table(v):
    """The section of the door turned by shapely: the last whole degree at which its lowest point is over the table.

    The front is upright and its lower edge is on the floor board; v is measured up from there.
    """
    cabinet, hanging = hung(hinged="bottom", height=80, v=v)
    (met,) = swing(cabinet, hanging, 180, ground=0.0)
    over = hanging.pin.origin[2]
    near, rise = hanging.gap / 2, hanging.rise
    # In (height, outward): the door stands up from its pin and turns outward and down.
    door = shapely.box(near, -rise - hanging.thickness, near + hanging.reach, -rise)
    free = [
        a for a in range(181) if affinity.rotate(door, a, origin=(0, 0)).bounds[0] >= -over - 0.5
    ]
    assert met.obstacle == GROUND
    assert met.angle_deg == pytest.approx(max(free), abs=1)
    assert not swing(cabinet, hanging, met.angle_deg - 1, ground=0.0)
    assert not swing(cabinet, hanging, 180)  # held in the hands there is no table


def test_a_door_meets_the_edge_of_a_side_that_stands_before_its_panel():
    """A front set back by 30: hung beside the side a door meets it before it lies flat, at 90° and a little.

    Turned by shapely in plan: the side's edge stands 30 before the front, 18 from the opening.
    """
    door = {
        "on": "front",
        "width": 300,
        "height": 90,
        "u": 180,
        "fixing": "hinges",
        "hinged": "left",
    }
    data = box(
        doors={"door": door},
        panels={"front": {"reveal": 30}},
        parts={"hinge": {"type": "hinge-piano"}},
    )
    cabinet = built(data)
    (hanging,) = hangings(cabinet)
    (met,) = swing(cabinet, hanging, 180)
    assert met.obstacle == "left"
    x = hanging.pin.origin[0]
    side = shapely.box(-x, -100.0, 12.0 - x, 30.0 - hanging.rise_over_host)
    slab = shapely.box(
        hanging.gap / 2, -hanging.rise - hanging.thickness, hanging.gap / 2 + 300, -hanging.rise
    )
    free = [
        a
        for a in range(181)
        if affinity.rotate(slab, a, origin=(0, 0)).intersection(side).area <= SECTION
    ]
    first = next(a for a in range(181) if a not in free)
    assert met.angle_deg == pytest.approx(first - 1, abs=1)


def test_what_sits_on_a_door_swings_with_it():
    """A box 60 deep behind a door 90 wide, 4 from its free edge, cannot pass the strip and the panel there.

    Its far corner is sqrt(86² + 75²) = 114 from the pin, the opening ends at 93: plain geometry.
    """
    box_of_it = device("psu", 60, 45, width=50, height=40, depth=60)
    box_of_it["placed"][0].update(on="door", face="back", u=47, v=60)
    data = box(
        doors={
            "door": {
                "on": "front",
                "width": 90,
                "height": 110,
                "fixing": "hinges",
                "lip": 0,
                "u": 45 + 10,
            }
        },
        parts={"hinge": {"type": "hinge-butt-40"}, "psu": box_of_it},
    )
    cabinet = built(data)
    (hanging,) = hangings(cabinet)
    met = swing(cabinet, hanging, 90)
    assert met, "it passes"
    assert met[0].mover == "psu"
    assert met[0].obstacle == "front"


def test_hinges_sit_a_leaf_from_the_ends():
    """Common practice: a hinge's own length from the door's ends; a third one from 1 m on, a fourth from 1.5 m."""
    for length, leaf, count in ((400, 50, 2), (1000, 75, 2), (1001, 75, 3), (1501, 75, 4)):
        places = hinge_places(length, leaf)
        assert len(places) == count
        assert places[0] - leaf / 2 == pytest.approx(leaf)
        assert length - places[-1] - leaf / 2 == pytest.approx(leaf)
        gaps = [b - a for a, b in pairwise(places)]
        assert max(gaps) == pytest.approx(min(gaps))


@pytest.mark.parametrize("edge", ["left", "right", "top", "bottom"])
def test_the_pin_lies_over_the_gap_of_the_edge_that_is_named(edge):
    """Seen from the show face; the front's u runs to +x, its v up: plain geometry."""
    cabinet, hanging = hung(hinged=edge, height=110)
    low_u, low_v, high_u, high_v = cabinet.piece_by_key["door"].extent
    frame = cabinet.piece_by_key["front"].frame
    u, v, n = frame.local(hanging.pin.origin)
    asked = {
        "left": (low_u - 0.75, low_v),
        "right": (high_u + 0.75, low_v),
        "top": (low_u, high_v + 0.75),
        "bottom": (low_u, low_v - 0.75),
    }
    assert (u, v) == pytest.approx(asked[edge])
    assert n == pytest.approx(hanging.hinge.knuckle / 2)
    u, v, _ = frame.local(hanging.pin.point(hanging.gap / 2 + hanging.reach, 0.0))
    far = {"left": (high_u, low_v), "right": (low_u, low_v), "top": (low_u, low_v)}
    assert (u, v) == pytest.approx(far.get(edge, (low_u, high_v)))
    assert sum(a * b for a, b in zip(hanging.pin.u, hanging.along, strict=True)) == pytest.approx(0)
