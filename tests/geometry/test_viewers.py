"""Body sizes and eyes, against ANSUR II medians and furniture standards.

ANSUR II (Gordon and others, 2014), 50th percentiles of men and women, computed from the public subject table, barefoot;
25 mm for shoes is common practice.
"""

from __future__ import annotations

import pytest
from tests.geometry.recipes.recipe_bench import button, display, project
from tests.strategies import known

from casewright.basics.sources import is_source
from casewright.catalog.body_sizes import body_size
from casewright.design.project import Person
from casewright.geometry.viewers import (
    base_over_floor,
    leg_height,
    playing,
    settled,
    viewers,
)

SHOES = 25


@pytest.mark.parametrize(
    ("posture", "eyes", "elbows"),
    [
        ("standing", (1640, 1517), (1104, 1022)),  # standing eye height; standing elbow height
        ("seated", (1233, 1136), (675, 620)),  # knee pit height added to the seated heights
    ],
)
def test_adults_are_midway_between_men_and_women(posture, eyes, elbows):
    size = body_size(posture)
    assert size.eye == pytest.approx(sum(eyes) / 2 + SHOES)
    assert size.elbow == pytest.approx(sum(elbows) / 2 + SHOES)
    assert size.shoulders == pytest.approx((509 + 450) / 2)  # bideltoid breadth
    assert size.reach == pytest.approx((348.5 + 316) / 2)  # forearm to centre of grip


def test_wheelchair_eyes_are_within_the_usual_range():
    """43 to 51 in, guidelines for accessible exhibitions (from memory)."""
    for child in (False, True):
        assert 43 * 25.4 - 3 <= body_size("wheelchair", child=child).eye <= 51 * 25.4


def test_a_seated_childs_elbow_is_at_a_school_tables_height():
    """EN 1729-1, size mark 3: table 590, seat 350; statures 1190 to 1420 (from memory)."""
    child = body_size("seated", child=True)
    assert child.elbow == 590
    share = (
        748 / 1626,
        1517 / 1626,
        1022 / 1626,
    )  # ANSUR II women: sitting eye, eye, elbow by stature
    middle = (1190 + 1420) / 2
    assert child.eye == pytest.approx(350 + share[0] * middle, abs=1)
    standing = body_size("standing", child=True)
    assert standing.eye == pytest.approx(share[1] * middle + SHOES, abs=1)
    assert standing.elbow == pytest.approx(share[2] * middle + SHOES, abs=1)


def test_every_size_names_a_known_source():
    for posture in ("seated", "standing", "wheelchair"):
        for child in (False, True):
            assert is_source(body_size(posture, child=child).source)


def test_an_eye_in_the_cabinets_frame():
    """Eye 1250 over the floor, table 740: 510 over the underside; 30 right of the middle of 600."""
    made = project(
        {"recipe": "tabletop"},
        {"display": display()},
        people=[{"label": "one", "eye": 1250, "distance": 300, "aside": 30}],
    )
    (one,) = viewers(made, known(made), width=600)
    assert one.eye == (330, -300, 510)


def test_feet_raise_the_cabinet():
    foot = {"kind": "foot", "measured": {"height": 12}, "placed": [{"key": "f", "on": "base"}]}
    made = project({"recipe": "tabletop"}, {"display": display(), "foot": foot})
    assert base_over_floor(made, known(made)).value == 752


def test_legs_raise_it_and_lower_every_eye():
    """Boards that reach 400 below the underside stand on the floor: an eye at 1250 is 850 over the underside."""
    leg = {"material": "ply", "plane": "side", "at": [0, 0, -400], "size": [200, 500]}
    shelf = {"material": "ply", "plane": "level", "at": [0, 0, 50], "size": [200, 100]}
    for on, legs in (("floor", 400), ("lap", 0)):
        made = project(
            {"recipe": "lap"},
            {"button": button()},
            site={"on": on, "height": 0},
            boards={"leg": leg, "shelf": shelf},
            people=[{"label": "one", "eye": 1250}],
        )
        assert leg_height(made) == legs
        (one,) = viewers(made, known(made))
        assert one.eye[2] == 1250 - base_over_floor(made, known(made)).value
        assert on != "floor" or one.eye[2] == 850


def test_a_table_that_was_not_measured_is_a_usual_one():
    """EN 527-1, fixed height 740 (from memory); common desks are 730 to 750 (common practice)."""
    made = project({"recipe": "lap"}, {"button": button()}, site={"on": "table"})
    assert base_over_floor(made, known(made)).value == 740
    floor = project({"recipe": "lap"}, {"button": button()}, site={"on": "floor"})
    assert base_over_floor(floor, known(floor)).value == 0


def test_who_is_usual_where_nobody_is_named():
    table = project({"recipe": "lap"}, {"button": button()})
    floor = project({"recipe": "standing"}, {"button": button()}, site={"on": "floor"})
    assert [v.person.posture for v in viewers(table, known(table))] == ["seated"]
    assert [v.person.posture for v in viewers(floor, known(floor))] == ["standing"]


def test_an_onlooker_stands_behind_and_counts_only_where_nobody_plays():
    made = project(
        {"recipe": "lap"},
        {"button": button()},
        people=[{"label": "player"}, {"label": "helper", "plays": False}],
    )
    everybody = viewers(made, known(made))
    assert [v.label for v in playing(everybody)] == ["player"]
    assert [v.label for v in playing(everybody[1:])] == ["helper"]
    assert everybody[1].eye[1] < everybody[0].eye[1]


def test_the_eye_is_over_an_elbow_whose_hand_is_at_the_controls():
    """Reach from elbow to grip 332.25, hands 125 behind the edge: the eye is 207.25 in front of it."""
    person = Person(label="one")
    assert settled(person)["distance"].value == pytest.approx(207.25)


def test_an_own_eye_height_scales_the_elbow():
    made = project(
        {"recipe": "lap"},
        {"button": button()},
        people=[{"label": "tall", "posture": "standing", "eye": 1603.5 * 1.1}],
    )
    (tall,) = viewers(made, known(made))
    assert tall.elbow + 740 == pytest.approx(1088 * 1.1)
