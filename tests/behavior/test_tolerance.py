"""Chains of errors on small cabinets: which add up where, and what makes them fewer."""

from __future__ import annotations

import math

import pytest
from scipy import stats
from scipy.interpolate import BSpline
from tests.checks.bench import box, lever, subject_of

from casewright.behavior.chance import DRAWS
from casewright.behavior.tolerance import SAID_FROM

EXACT = dict.fromkeys(
    ("template", "tape", "drill", "router", "fence", "repeat", "sheet", "align", "tilt_deg"), 0
)


def risks(data):
    found = subject_of(data).behavior.tolerance
    return {risk.chain.key: risk for risk in found.risks}


def door(gap=1.5, **accuracy):
    hatch = {"on": "back", "width": 300, "height": 120, "gap": gap}
    return box(doors={"hatch": hatch}, accuracy=accuracy)


def display(**more):
    sizes = {"lit_width": 200, "lit_height": 100, "housing_width": 220, "housing_height": 120}
    part = {"kind": "display", "measured": {**sizes, "housing_depth": 20}}
    return box(parts={"screen": {**part, "placed": [{"key": "screen", "on": "deck", **more}]}})


def test_a_removable_board_between_the_sides_by_hand():
    """Two lengths of ± 0.15 each, 0.2 pushed: the upper end of a triangle (scipy.stats.triang)."""
    binds = risks(box())["back.binds"]
    exact = stats.triang(0.5, loc=-0.3, scale=0.6).sf(0.2)
    assert binds.odds.chance == pytest.approx(exact, abs=4 * math.sqrt(exact / DRAWS))
    assert binds.odds.worst == pytest.approx(0.3)
    assert risks(box(panels={"back": {"clearance": 0.1}}))["back.binds"].odds.chance == 0


def test_a_miter_has_the_tilt_of_two_boards():
    cover, miter = (
        risks(box(seams=[{"between": ["deck", "front"], "rule": rule, **more}]))["seam-D"]
        for rule, more in (("cover", {"over": "deck"}), ("miter", {}))
    )
    lean = 12 * math.tan(math.radians(0.3))
    assert cover.odds.worst == pytest.approx(0.3 + 0.3 + lean)
    assert miter.odds.worst == pytest.approx(0.3 + 0.3 + 2 * lean)


def test_wider_gaps_and_better_marks_bind_less():
    chances = [risks(door(gap, marking="tape"))["hatch.binds"].odds.chance for gap in (1, 1.5, 2)]
    assert chances == sorted(chances, reverse=True) and chances[0] > chances[-1]
    by_template = risks(door(1, marking="template"))["hatch.binds"].odds.chance
    assert by_template < chances[0]


def test_a_display_shifted_by_eye():
    shown = risks(display())
    assert shown["screen.shows"].odds.worst == pytest.approx(0.5 + 0.3 + 0.3)
    assert shown["screen.hides"].odds.chance < SAID_FROM
    # An opening beyond the lit area hides less; what is shown more is as drawn.
    wider = risks(display(opening={"margin": 1}))
    assert wider["screen.hides"].odds.chance == 0
    assert wider["screen.shows"].odds.chance == pytest.approx(shown["screen.shows"].odds.chance)


def test_a_pattern_drilled_by_tape_misses_more():
    parts = {"lever": lever(300, 150)}
    by_template = risks(box(parts=parts))["lever1.pattern"].odds
    by_tape = risks(box(parts=parts, accuracy={"marking": "tape"}))["lever1.pattern"].odds
    assert by_template.worst == pytest.approx(2 * 0.3)
    assert by_tape.worst == pytest.approx(2 * 0.3 + 2 * 0.8)
    assert by_tape.chance > by_template.chance


def test_a_groove_bears_its_play():
    """Sheet ± 0.2 and groove ± 0.3 in a play of 0.2: the upper end of a trapezoid (scipy.stats.trapezoid)."""
    data = box(panels={"base": {"joint": "groove", "groove_play": 0.2}})
    exact = stats.trapezoid(0.4, 0.6, loc=-0.5, scale=1.0).sf(0.2)
    groove = risks(data)["base.groove"]
    assert groove.odds.chance == pytest.approx(exact, abs=4 * math.sqrt(exact / DRAWS))
    assert groove.ways[0].field == "panels.base.groove_play"


def test_a_board_of_another_kind_grows_apart_from_the_others():
    mixed = box(
        materials={"back": {"kind": "mdf", "species": "mdf", "nominal": 12}},
        panels={"back": {"material": "back"}},
    )
    grown = risks(mixed)["back.binds"].odds.worst - risks(box())["back.binds"].odds.worst
    assert grown == pytest.approx(0.001 * 576)


def test_exact_hands_spoil_nothing():
    data = box(parts={"lever": lever(300, 150)}, accuracy=EXACT)
    assert all(risk.odds.chance == 0 for risk in risks(data).values())


def test_chances_together_are_those_of_independent_events():
    tolerance = subject_of(door(1.1, marking="tape")).behavior.tolerance
    none = math.exp(math.fsum(math.log1p(-r.odds.chance) for r in tolerance.risks))
    assert tolerance.any_chance == pytest.approx(1 - none)


def test_ways_halve_the_risk():
    for data in (door(1, marking="tape"), door(1), box()):
        for risk in risks(data).values():
            for way in risk.ways:
                assert way.chance <= risk.odds.chance / 2


def test_numbers_say_their_terms():
    tolerance = subject_of(box()).behavior.tolerance
    number = next(n for n in tolerance.numbers if n.key == "tolerance.back.binds")
    assert {t.label for t in number.terms} >= {"length of back", "margin"}
    assert number.unit == "%"


def test_the_same_cabinet_in_inches_has_the_same_chances():
    """Values that a project gives as lengths are the same in both units; millimeters inside."""
    here, there = risks(box()), risks(box(unit="in"))
    assert {k: r.odds.chance for k, r in here.items()} == {
        k: r.odds.chance for k, r in there.items()
    }


# ---- a cover over a board --------------------------------------------------------------------------------------------


def covered(*us, body=27.0, **accuracy):
    """Buttons in a row through a cover of acrylic and the deck."""
    placed = [{"key": f"b{n}", "on": "deck", "u": u, "v": 150} for n, u in enumerate(us, start=1)]
    measured = {"hole": 28, "bezel": 34, "nut": 38, "grip_most": 25, "body": body, "behind": 50}
    return box(
        materials={"clear": {"kind": "acrylic", "nominal": 3, "measured": 3}},
        panels={"deck": {"layers": [{"key": "cover", "material": "clear"}]}},
        parts={"button": {"kind": "button", "measured": measured, "placed": placed}},
        accuracy=accuracy,
    )


def cover_risk(data):
    return next((r for k, r in risks(data).items() if k.endswith(".holes")), None)


def test_a_cover_slides_to_its_only_part():
    assert cover_risk(covered(200)) is None
    assert cover_risk(covered(200, 300)) is not None


def test_holes_of_a_cover_bear_what_plain_geometry_says():
    """Two circles about one body: middles no further apart than the sum of both plays; for two parts twice that."""
    data = covered(200, 300, body=27.5)
    cabinet = subject_of(data).cabinet
    holes = [
        f.shape.diameter
        for piece in cabinet.pieces
        for f in piece.features
        if f.owner == "b1" and f.kind == "hole"
    ]
    assert len(holes) == 2
    play = sum((hole - 27.5) / 2 for hole in holes)
    risk = cover_risk(data)
    assert risk.chain.margins[0] == pytest.approx(2 * play)
    assert risk.odds.worst == pytest.approx(4 * 0.3)  # four holes, each drilled within 0.3


def test_chance_of_a_cover_is_that_of_four_even_errors():
    """Sum of four even errors: the Irwin-Hall distribution, made here from scipy's B-spline (its density)."""
    body = 28.0  # no play in the board, a little in the plastic
    data = covered(200, 300, body=body, drill=0.6)
    risk = cover_risk(data)
    margin = risk.chain.margins[0]
    half = BSpline.basis_element([0, 1, 2, 3, 4]).antiderivative()
    beyond = 1 - float(half(2 + margin / 1.2))  # limits ± 0.6: 1.2 wide
    assert 0.005 < beyond < 0.5
    exact = 2 * beyond
    assert risk.odds.chance == pytest.approx(exact, abs=4 * math.sqrt(exact / DRAWS))


def test_a_cover_marked_by_tape_is_worse_and_drilled_together_is_better():
    by_tape = cover_risk(covered(200, 300, body=28.0, drill=0.6, marking="tape"))
    by_template = cover_risk(covered(200, 300, body=28.0, drill=0.6, marking="template"))
    assert by_tape.odds.chance > by_template.odds.chance
    assert any("clamped together" in way.text for way in by_template.ways)
    assert cover_risk(covered(200, 300, body=28.0, drill=0, template=0)).odds.chance == 0
