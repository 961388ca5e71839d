"""Players abreast look from before their own controls; the angles are worked by hand from the places."""

from __future__ import annotations

import math
from typing import Any

import pytest
from tests.behavior.sight_bench import screen, sight
from tests.checks.bench import BUTTON, cures, found, merged, subject_of

from casewright.behavior.abreast import everybody_at, person_at
from casewright.checks.rules import sight_angle

US = (138.0, 838.0)
"""From the left inner edge, 12 in: as far from both sides."""
PERSON = {"posture": "standing", "eye": 100, "distance": 300}


def duel(*people: dict[str, Any]) -> dict[str, Any]:
    """A display in the middle of a front 1000 wide, and a button for each of two at its sides."""
    placed = [
        {"key": f"b{n}", "on": "deck", "u": u, "v": 150, "player": n}
        for n, u in enumerate(US, start=1)
    ]
    data = screen(parts={"b": merged(BUTTON, {"placed": placed})}, shape={"width": 1000})
    data["people"] = list(people)
    return data


def xs(data: dict[str, Any]) -> list[float]:
    return [viewer.eye[0] for viewer in everybody_at(subject_of(data).cabinet)]


def left_button(data: dict[str, Any]) -> float:
    return subject_of(data).cabinet.placed_by_key["b1"].frame.origin[0]


def test_each_looks_from_before_the_own_controls():
    """Buttons 700 apart about the middle of 1000, so eyes 350 to each side of it."""
    pair = duel({"label": "left", **PERSON}, {"label": "right", **PERSON})
    assert xs(pair) == pytest.approx([left_button(pair), left_button(pair) + 700])
    (one,) = sight(pair).sightings
    middle = one.throat.frame.origin
    for view, x in zip(one.views, xs(pair), strict=True):
        aside, up = x - middle[0], 100 - middle[2]
        over = 300 + middle[1]
        assert view.off_square_deg == pytest.approx(
            math.degrees(math.atan2(math.hypot(aside, up), over))
        )


def test_what_the_project_says_goes_first_and_who_looks_on_stands_in_the_middle():
    given = duel(
        {"label": "left", **PERSON, "aside": -100},
        {"label": "right", **PERSON},
        {"label": "on", **PERSON, "plays": False},
    )
    first, second, third = xs(given)
    assert first == 400 and third == 500
    assert second == pytest.approx(left_button(given) + 700)
    people = person_at(everybody_at(subject_of(given).cabinet))
    assert {number: viewer.label for number, viewer in people.items()} == {1: "left", 2: "right"}


def test_three_who_take_turns_at_two_sets_look_from_the_middle():
    turns = duel(*({"label": name, **PERSON} for name in "abc"))
    assert xs(turns) == [500, 500, 500]


def test_where_nobody_is_named_a_usual_adult_stands_at_each_set():
    nobody = duel()
    assert xs(nobody) == pytest.approx([left_button(nobody), left_button(nobody) + 700])
    assert [v.label for v in everybody_at(subject_of(nobody).cabinet)] == ["player 1", "player 2"]


def test_stepping_back_by_what_is_said_cures():
    """Straight back, 45° to the face is reached where the way out equals the way aside and up together."""
    pair = duel({"label": "left", **PERSON}, {"label": "right", **PERSON, "distance": 900})
    (finding,) = found(sight_angle, pair)
    (remedy,) = (r for r in finding.remedies if r.field)
    assert remedy.field == "people.0.distance"
    (one,) = sight(pair).sightings
    middle = one.throat.frame.origin
    needed = math.hypot(xs(pair)[0] - middle[0], 100 - middle[2]) - middle[1]
    assert remedy.value == math.ceil(needed)
    cures(sight_angle, pair)


def test_two_who_sit_alike_are_told_in_one_sentence():
    both = duel({"label": "left", **PERSON}, {"label": "right", **PERSON})
    (finding,) = found(sight_angle, both)
    assert "left and right meet it" in finding.message
    remedy = next(r for r in finding.remedies if r.field)
    assert [field for field, _ in remedy.also] == ["people.1.distance"]
    cures(sight_angle, both)
