"""Several controls of a row that crowd one another: the one order that is given brings all of them apart."""

from __future__ import annotations

import math
from typing import Any

import pytest
from tests.checks.bench import BUTTON, applied, box, button, found, hole, merged, subject_of

from casewright.checks.rules import control_spacing, feature_web

ASKED = 40.0
"""Nuts of 39 and 1 mm between them."""


def spots(data: dict[str, Any]) -> dict[str, tuple[float, float]]:
    return {p.key: (p.u, p.v) for p in subject_of(data).cabinet.placed}


def one_order(data: dict[str, Any]) -> dict[str, Any]:
    """The data with the first remedy of the only finding, which has a value."""
    (finding,) = found(control_spacing, data)
    remedy = finding.remedies[0]
    assert remedy.field, remedy.text
    return applied(data, remedy)


@pytest.mark.parametrize("pitch", [38.0, 39.5])
@pytest.mark.parametrize("count", [3, 5])
def test_a_row_is_spread_from_its_first(pitch, count):
    """The second goes as far as it lacks, the third twice as far, by plain adding up."""
    data = box(parts={"b": button(*((150 + pitch * n, 150) for n in range(count)))})
    after = one_order(data)
    assert found(control_spacing, after) == []
    placed = spots(after)
    assert [placed[f"b{n + 1}"][0] for n in range(count)] == pytest.approx(
        [150 + ASKED * n for n in range(count)]
    )


def test_a_row_at_the_right_edge_is_spread_to_the_left():
    data = box(parts={"b": button(*((556 - 38 * n, 150) for n in range(3)))})
    placed = spots(one_order(data))
    assert [placed[f"b{n}"][0] for n in (1, 2, 3)] == pytest.approx([556, 516, 476])


def test_a_column_is_spread_upward():
    data = box(parts={"b": button(*((300, 80 + 38 * n) for n in range(3)))})
    after = one_order(data)
    assert found(control_spacing, after) == []
    assert [v for _, v in spots(after).values()] == pytest.approx([80, 120, 160])


def test_what_follows_in_a_row_is_written_by_its_own_shift():
    """Each placed by the one before: every shift becomes 40, and another player's row goes along."""
    placed = [
        {"key": "a1", "on": "deck", "u": 100, "v": 150},
        {"key": "b1", "on": "deck", "like": "a1", "du": 38},
        {"key": "c1", "on": "deck", "like": "b1", "du": 37.5},
        *({"key": f"{k}2", "on": "deck", "like": f"{k}1", "du": 250} for k in "abc"),
    ]
    data = box(parts={"b": merged(BUTTON, {"placed": placed})})
    after = one_order(data)
    assert found(control_spacing, after) == []
    wishes = after["parts"]["b"]["placed"]
    assert [wishes[n]["du"] for n in (1, 2)] == pytest.approx([40, 40])
    assert wishes[3:] == placed[3:]


def test_a_slanted_row_keeps_its_slant():
    """13 up for each step: sqrt(40² − 13²) = 37.83 along, so 37.9 as it shows."""
    data = box(parts={"b": button(*((150 + 36 * n, 100 + 13 * n) for n in range(3)))})
    after = one_order(data)
    assert found(control_spacing, after) == []
    placed = spots(after)
    assert placed["b2"][0] - 150 == pytest.approx(math.sqrt(ASKED**2 - 13**2), abs=0.1)
    assert [v for _, v in placed.values()] == pytest.approx([100, 113, 126])


def test_where_no_row_has_room_the_first_step_is_said_in_words():
    """14 of them 38 apart take 533 of the deck's 576 with nuts; 40 apart 559, too near to its ends."""
    data = box(parts={"b": button(*((41 + 38 * n, 150) for n in range(14)))})
    (finding,) = found(control_spacing, data)
    assert not any(r.field for r in finding.remedies)


def test_holes_of_a_row_get_their_webs_by_one_order():
    """Holes of 28.6 in plywood, 8 between them: 36.6 apart. At 34 none of the four webs is wide enough."""
    small = {"bezel": 30, "nut": 30, "hole": 28.6}
    data = box(parts={"b": button(*((150 + 34 * n, 150) for n in range(5)), **small)})
    (finding,) = found(feature_web, data)
    remedy = finding.remedies[0]
    assert len(remedy.also) == 3
    after = applied(data, remedy)
    assert found(feature_web, after) == []
    assert [u for u, _ in spots(after).values()] == pytest.approx(
        [150 + 36.6 * n for n in range(5)], abs=0.3
    )


def test_an_order_that_mends_one_of_two_places_bears_no_value():
    """Two pairs of holes far from one another, 3 between each: what moves one hole leaves the other pair as it was."""
    pair = [hole(100, 100), hole(133, 100)]
    far = [hole(400, 100), hole(433, 100)]
    (one,) = found(feature_web, box(features=pair))
    assert one.remedies[0].field
    (both,) = found(feature_web, box(features=[*pair, *far]))
    assert not any(r.field for r in both.remedies)
    assert "other places" in both.remedies[0].text
