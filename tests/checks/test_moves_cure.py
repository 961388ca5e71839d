"""Moves that findings name: carried out, each ends its finding and brings no stop that was not there.

No outside figure is needed: the rules themselves are asked again, on the project with the move written into it.
"""

from __future__ import annotations

import random
from typing import Any

import pytest
from tests.checks.bench import BUTTON, LEVER, applied, box, merged, subject_of
from tests.strategies import examples

from casewright.basics.findings import Finding, Severity
from casewright.checks import run_checks
from casewright.projectfile.starting import starter_text
from casewright.workflow import (
    changed_document,
    open_document,
    open_text,
    read_catalogs,
    remedy_edits,
    work_out,
)

MOVED = (
    "collision.room",
    "collision.solid",
    "control.palm-room",
    "control.side",
    "control.spacing",
    "feature.outside",
    "feature.web",
    "lever.neighbors",
)


def findings_of(data: dict[str, Any]) -> list[Finding]:
    return list(run_checks(subject_of(data, collide=True)))


def is_among(finding: Finding, others: list[Finding]) -> bool:
    """Whether the same was said of these parts, in one finding or in several."""
    alike = [
        o for o in others if o.rule == finding.rule and o.severity.rank <= finding.severity.rank
    ]
    return set(finding.place.names) <= {name for other in alike for name in other.place.names}


def not_cured(data: dict[str, Any]) -> list[str]:
    """Moves that leave their finding as it is, or bring a new stop; and how many there were."""
    before = findings_of(data)
    wrong = []
    for finding in before:
        for remedy in finding.remedies:
            if finding.rule not in MOVED or not remedy.field:
                continue
            after = findings_of(applied(data, remedy))
            stays = any(
                (f.rule, f.place.names, f.severity)
                == (finding.rule, finding.place.names, finding.severity)
                for f in after
            )
            new = [f for f in after if f.severity is Severity.STOP and not is_among(f, before)]
            if stays or new:
                wrong.append(f"{finding.message} {remedy.text} → {[f.message for f in new]}")
    return wrong


def crowd(number: int) -> dict[str, Any]:
    """Levers and buttons on a deck of 600 by 300, some by shifts from the middle or from one another."""
    rng = random.Random(number)
    spots: list[dict[str, Any]] = []
    for at in range(rng.randint(2, 5)):
        spot: dict[str, Any] = {"key": f"b{at}", "on": "deck"}
        way = rng.choice(["given", "middle", "like"])
        if way == "like" and at:
            spot |= {"like": rng.choice([s["key"] for s in spots])}
            spot |= {"du": rng.randint(-90, 90), "dv": rng.randint(-60, 60)}
        elif way == "given":
            spot |= {"u": rng.randint(-20, 600), "v": rng.randint(10, 290)}
        else:
            spot |= {"du": rng.randint(-300, 300), "v": rng.randint(40, 260)}
        spots.append(spot)
    parts: dict[str, Any] = {"button": merged(BUTTON, {"placed": spots})}
    if rng.random() < 0.5:
        place = {"key": "lever", "on": "deck", "du": rng.randint(-250, 250)}
        parts["lever"] = merged(LEVER, {"placed": [{**place, "v": rng.randint(60, 240)}]})
    return box(parts=parts)


@pytest.mark.parametrize("number", range(examples(20)))
def test_moves_of_crowded_controls_cure(number):
    """Crowds by their numbers, so that they are the same whatever else is run."""
    assert not_cured(crowd(number)) == []


def test_a_part_with_a_shift_from_the_middle_is_moved_by_that():
    """564 of the deck lie between the sides of 12; the hole's 28.6 about 282 + 280 ends 12.3 past the edge."""
    spot = {"key": "b", "on": "deck", "du": 280, "v": 150}
    data = box(parts={"button": merged(BUTTON, {"placed": [spot]})})
    (outside,) = (f for f in findings_of(data) if f.rule == "feature.outside")
    (remedy,) = outside.remedies
    assert remedy.field == "parts.button.placed.0.du"
    assert isinstance(remedy.value, float)
    assert remedy.value < 280 - 12.3
    assert not_cured(data) == []


def test_a_part_with_a_place_and_a_shift_keeps_its_shift():
    """Both are added: at 500 + 75 the hole sticks out; what is written for the place leaves the 75 out."""
    spot = {"key": "b", "on": "deck", "u": 500, "du": 75, "v": 150}
    data = box(parts={"button": merged(BUTTON, {"placed": [spot]})})
    (outside,) = (f for f in findings_of(data) if f.rule == "feature.outside")
    (remedy,) = outside.remedies
    assert remedy.field == "parts.button.placed.0.u"
    assert isinstance(remedy.value, float)
    assert remedy.value + 75 < 564
    assert not_cured(data) == []


def test_what_follows_is_looked_at_too():
    """The follower stands 60 to the right: moved there, it would cut into the third, so the pair goes elsewhere."""
    placed = [
        {"key": "first", "on": "deck", "u": 100, "v": 150},
        {"key": "second", "on": "deck", "u": 110, "v": 150},
        {"key": "after", "on": "deck", "like": "second", "du": 60},
        {"key": "third", "on": "deck", "u": 205, "v": 150},
    ]
    data = box(parts={"button": merged(BUTTON, {"placed": placed})})
    assert any(f.rule == "control.spacing" for f in findings_of(data))
    assert not_cured(data) == []


@pytest.mark.parametrize(
    "heap",
    [
        ((270, 160), (280, 150), (250, 150), (270, 150)),
        ((280, 170), (270, 160), (280, 150), (270, 180)),
        ((260, 160), (250, 180), (260, 150), (270, 150)),
    ],
)
def test_a_button_out_of_a_heap_goes_where_it_suits_all(heap):
    """The least move past the nearest one would leave it too near to a third, no nearer than before."""
    placed = [{"key": f"b{at}", "on": "deck", "u": u, "v": v} for at, (u, v) in enumerate(heap)]
    data = box(parts={"button": merged(BUTTON, {"placed": placed})})
    (close,) = (f for f in findings_of(data) if f.rule == "control.spacing")
    (remedy,) = close.remedies
    moved = placed[int(remedy.field.split(".")[3])]["key"]
    left = [f for f in findings_of(applied(data, remedy)) if f.rule == "control.spacing"]
    assert all(moved not in found.place.names for found in left)


def test_many_buttons_beside_played_ones_are_one_finding_and_its_move_cures():
    """Eight buttons of nobody stand 50 and 90 behind four that are played; the nearest is told, the rest is counted."""
    own = [
        {"key": f"p{n}", "on": "deck", "u": 150 + 40 * n, "v": 80, "player": 1} for n in range(4)
    ]
    other = [
        {"key": f"x{n}", "on": "deck", "u": 150 + 40 * n, "v": v} for n, v in enumerate([130] * 4)
    ]
    other += [{"key": f"y{n}", "on": "deck", "u": 150 + 40 * n, "v": 170} for n in range(4)]
    data = box(parts={"button": merged(BUTTON, {"placed": [*own, *other]})})
    (finding,) = (f for f in findings_of(data) if f.rule == "hand.accident")
    assert "(7 more such)" in finding.message
    assert "⟦16.7000⟧" in finding.message  # 50 between the axes, 33.3 of rims
    remedy = next(r for r in finding.remedies if r.field)
    before = findings_of(data)
    after = findings_of(applied(data, remedy))
    assert [f for f in after if f.severity is Severity.STOP and not is_among(f, before)] == []
    moved = next(f for f in after if f.rule == "hand.accident")
    key = finding.place.names[0]
    assert key not in moved.place.names


@pytest.mark.parametrize("wide", [150, 200, 300, 400])
def test_buttons_over_one_thing_do_not_all_go_to_one_place(wide):
    """Three buttons 50 apart over a tall device: with 200 of it, the first two both went to u = 136."""
    placed = [{"key": f"b{n}", "on": "deck", "u": 150 + 50 * n, "v": 150} for n in (1, 2, 3)]
    sizes = {"width": wide, "height": 200, "depth": 150, "mass_kg": 1}
    spot = {"key": "tall", "on": "base", "u": 576 - 250, "v": 150}
    tall = {"kind": "device", "measured": sizes, "placed": [spot]}
    data = box(parts={"button": merged(BUTTON, {"placed": placed}), "tall": tall})
    assert [f for f in findings_of(data) if f.rule == "collision.solid" and f.remedies[0].also]
    assert not_cured(data) == []


@pytest.mark.parametrize("second", [590, 620, 700])
def test_buttons_past_the_edge_do_not_come_in_to_one_place(second):
    """The deck's board ends at 576: both are out, and the nearest place inside is the same for both, 553 or so."""
    placed = [
        {"key": "a", "on": "deck", "u": 580, "v": 150},
        {"key": "b", "on": "deck", "u": second, "v": 150},
    ]
    data = box(parts={"button": merged(BUTTON, {"placed": placed})})
    before = findings_of(data)
    (outside,) = (f for f in before if f.rule == "feature.outside")
    assert outside.remedies[0].also
    after = findings_of(applied(data, outside.remedies[0]))
    assert not [f for f in after if f.rule == "feature.outside"]
    assert [f for f in after if f.severity is Severity.STOP and not is_among(f, before)] == []


def test_feet_that_all_stick_out_move_in_one_order():
    """Two feet set 310 back on a base that is less than 300 deep: both come in, each as far as it must."""
    placed = [
        {"key": "left-foot", "on": "base", "du": -200, "v": 310},
        {"key": "right-foot", "on": "base", "du": 200, "v": 310},
    ]
    data = box(parts={"foot": {"type": "foot-rubber-20", "placed": placed}})
    (outside,) = (f for f in findings_of(data) if f.rule == "feature.outside")
    (remedy,) = outside.remedies
    assert {remedy.field, *(field for field, _ in remedy.also)} == {
        "parts.foot.placed.0.v",
        "parts.foot.placed.1.v",
    }
    assert remedy.text.count("Move") == 1 and remedy.text.endswith("The same for the other one.")
    assert not [f for f in findings_of(applied(data, remedy)) if f.rule == "feature.outside"]


@pytest.mark.parametrize(
    ("recipe", "unit", "width"), [("lap", "in", 12 * 25.4), ("lap", "mm", 320.0)]
)
def test_moves_in_a_narrow_lap_case_cure(recipe, unit, width):
    """Twelve inches are narrow for a lever and six buttons, placed from the middle and chained; the file is edited."""
    catalog = read_catalogs()
    opened = open_text(starter_text(recipe, name="Narrow", unit=unit, width=width))
    before = list(work_out(opened).findings)
    for finding in before:
        for remedy in finding.remedies:
            if not remedy.field or finding.rule not in MOVED:
                continue
            edits = remedy_edits(remedy, opened.document, opened)
            after = work_out(open_document(changed_document(opened.document, edits), catalog))
            assert (finding.rule, finding.place.names) not in {
                (f.rule, f.place.names) for f in after.findings
            }, remedy.text
            assert [f for f in after.stops if not is_among(f, before)] == [], remedy.text
