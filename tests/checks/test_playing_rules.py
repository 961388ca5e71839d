"""Rules on hands: told where they should be, and cured by their own remedies."""

from __future__ import annotations

import pytest
from tests.checks.bench import applied, box, found, merged, subject_of

from casewright.checks.rules import hand_accident, hand_height, hand_reach

BUTTON = {
    "kind": "button",
    "measured": {
        "hole": 24,
        "bezel": 28,
        "nut": 30,
        "grip_least": 2,
        "grip_most": 20,
        "body": 24,
        "behind": 40,
        "mass_kg": 0.03,
    },
}


def played(*spots: tuple[float, float], **extra: tuple[float, float]):
    """Buttons of player 1 at the spots, and others of nobody."""
    rows = [
        {"key": f"b{i}", "on": "deck", "u": u, "v": v, "player": 1}
        for i, (u, v) in enumerate(spots, start=1)
    ]
    rows += [{"key": key, "on": "deck", "u": u, "v": v} for key, (u, v) in extra.items()]
    return box(parts={"button": {**BUTTON, "placed": rows}}, site={"on": "table", "height": 600})


ROW = [(300.0, 120.0), (336.0, 128.0), (372.0, 120.0)]


def test_a_row_under_the_fingers_is_fine():
    assert found(hand_reach, played(*ROW)) == []


def test_a_button_far_from_its_group_is_told_and_comes_nearer():
    data = played(*ROW, (440.0, 110.0), (510.0, 90.0))
    findings = found(hand_reach, data)
    assert findings
    for _ in range(6):
        findings = found(hand_reach, data)
        if not findings:
            break
        remedy = next(r for r in findings[0].remedies if r.field)
        data = applied(data, remedy)
    assert found(hand_reach, data) == []


def test_a_pause_button_between_played_ones_is_told_and_the_remedy_cures():
    assert found(hand_accident, played(*ROW, pause=(336.0, 270.0))) == []
    data = played(*ROW, pause=(336.0, 170.0))
    (finding,) = found(hand_accident, data)
    remedy = next(r for r in finding.remedies if r.field)
    assert found(hand_accident, applied(data, remedy)) == []


@pytest.mark.parametrize("height", [500.0, 600.0, 900.0])
def test_a_table_too_high_or_too_low(height):
    """Elbow of a seated adult: ANSUR II, seated elbow over the floor, about 640 to 720 with shoes (p5 to p95)."""
    data = merged(played(*ROW), {"site": {"height": height}})
    data["people"] = [{"label": "Ada", "posture": "seated", "elbow": 660}]
    over = height + 200 - 660  # the deck is 200 over the table
    findings = found(hand_height, data)
    assert bool(findings) is not (-200 <= over <= 75)
    if findings:
        remedy = next(r for r in findings[0].remedies if r.field)
        assert found(hand_height, applied(data, remedy)) == []


def test_heights_are_of_those_who_play():
    data = played(*ROW)
    data["people"] = [
        {"label": "Ada", "posture": "seated"},
        {"label": "onlooker", "posture": "standing", "plays": False},
    ]
    behavior = subject_of(data).behavior
    assert [who for who, _, _ in behavior.playing.heights] == ["Ada"]


def test_on_a_lap_the_controls_come_along_with_who_plays():
    """A child's thighs are lower in the measure of its stature: 607.5 × 1242.5 ÷ 1603.5 is 470.7, 136.8 less."""
    for child, lower in ((False, 0.0), (True, 136.8)):
        person = {"label": "one", "posture": "seated", "child": child}
        data = {**played(*ROW), "site": {"on": "lap"}, "people": [person]}
        subject = subject_of(data)
        ((_, deck, _),) = subject.behavior.playing.heights
        z = subject.cabinet.placed_by_key["b1"].frame.origin[2]
        assert deck == pytest.approx(607.5 - lower + z, abs=0.1)


def test_a_place_that_another_button_has_is_named_with_what_must_give_way():
    """Nine in a row 33 apart: the outermost would have to come where its neighbor is."""
    crowd = [(300.0 + 33.0 * n, 120.0) for n in range(9)]
    (finding,) = found(hand_reach, played(*crowd))
    assert "given way" in finding.remedies[0].text
