"""Joints of boards that are longer than their sheets. Plain geometry; strip and clearance are common practice."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.checks.bench import BUTTON, LEVER, box, hole, merged, subject_of

from casewright.planning.blanks import plan_cutting
from casewright.planning.joints import CLEAR, joint_places


@pytest.mark.parametrize(
    ("blocked", "places"),
    [
        ([], (950,)),
        ([(910, 930)], (970,)),  # 930 + 40
        ([(900, 1000)], (860,)),  # 40 before it is as near as 40 behind; the first is taken
        ([(700, 1250)], None),  # 690 to 1210 is all that leaves two pieces of 1210
        ([(700, 1149)], (1189,)),
    ],
)
def test_one_joint_in_1900_of_pieces_of_1210(blocked, places):
    assert joint_places(0, 1900, 1210, blocked) == places


def test_a_joint_stands_where_the_next_one_can_still_follow():
    """3000 of 1210: the second joint is at 2300 at the earliest, past a hole from 1800 to 2260, and at 2420 at the
    latest; 1210 before 2300 the first is at 1090 or later, though even would be 1000."""
    assert joint_places(0, 3000, 1210, [(1800, 2260)]) == (1090, 2300)


@given(
    length=st.floats(500, 5000),
    longest=st.floats(300, 2500),
    holes=st.lists(st.tuples(st.floats(0, 5000), st.floats(5, 80)), max_size=12),
)
def test_pieces_are_short_enough_and_holes_far_enough(length, longest, holes):
    blocked = [(at, at + size) for at, size in holes]
    places = joint_places(0, length, longest, blocked)
    if places is None:
        assert blocked
        return
    ends = [0, *places, length]
    assert all(0 <= b - a <= longest + 1e-6 for a, b in pairwise(ends))
    for at in places:
        assert all(at <= a - CLEAR + 1e-9 or at >= b + CLEAR - 1e-9 for a, b in blocked)


def told(sheet: float = 1220, **sections) -> str:
    """What is said of joining the deck, 1900 × 300, when sheets are as long as given, trimmed 5 all round."""
    sheets = [{"length": sheet, "width": 1220, "price": 30}]
    data = box(shape={"width": 1924}, materials={"ply": {"sheets": sheets}}, **sections)
    findings = plan_cutting(subject_of(data).cabinet).findings
    texts = [r.text for f in findings if "deck" in f.place.names for r in f.remedies]
    return next(text for text in texts if "deck of" in text and "joined" in text)


def test_three_players_are_not_cut_in_two():
    """Player 2 sits in the middle, 950: a hole of 28.6 and 40 beside it leave 950 - 14.3 - 40 = 895.7."""
    placed = [
        {"key": f"b{n}", "on": "deck", "u": u, "v": 150, "player": n}
        for n, u in enumerate((317, 950, 1583), start=1)
    ]
    text = told(parts={"b": merged(BUTTON, {"placed": placed})})
    assert "⟦895.7000⟧" in text


def test_what_is_screwed_on_behind_keeps_off_the_strip():
    """A lever at 950, plate 53 and body 65 wide: half the strip, 50, beside the body, 950 - 32.5 - 50 = 867.5."""
    placed = [{"key": f"lever{n}", "on": "deck", "u": 950 * n, "v": 150} for n in (1,)]
    assert "⟦867.5000⟧" in told(parts={"lever": merged(LEVER, {"placed": placed})})


def test_one_players_controls_are_not_parted():
    """Two buttons of the middle player at 850 and 1050 leave 90 between them, but the joint goes outside of both:
    850 - 14.3 - 40 = 795.7. Without players it is in the middle, 950."""
    for player, place in ((2, "795.7000"), (None, "950.0000")):
        placed = [
            {
                "key": f"b{n}",
                "on": "deck",
                "u": u,
                "v": 150,
                **({"player": player} if player else {}),
            }
            for n, u in enumerate((850, 1050))
        ]
        assert f"u = ⟦{place}⟧" in told(parts={"b": merged(BUTTON, {"placed": placed})})


def test_an_overlay_is_laid_in_pieces_without_a_strip():
    sheets = [{"length": 1000, "width": 600, "price": 20}]
    clear = {"kind": "acrylic", "species": "acrylic-clear", "nominal": 3, "measured": 3}
    data = box(
        shape={"width": 1924},
        materials={"clear": {**clear, "sheets": sheets}},
        panels={"deck": {"layers": [{"key": "overlay", "material": "clear"}]}},
    )
    findings = plan_cutting(subject_of(data).cabinet).findings
    texts = [r.text for f in findings if "deck.overlay" in f.place.names for r in f.remedies]
    (text,) = [text for text in texts if "pieces" in text]
    assert "⟦950.0000⟧" in text and "strip" not in text


@pytest.mark.parametrize(
    ("width", "grain", "sold"),
    [
        (1900, "none", "2440.0000⟧ × ⟦1220.0000"),
        (
            1500,
            "none",
            "1525.0000⟧ × ⟦1525.0000",
        ),  # 1500 and twice 5 of trim, and less wood than 2440 × 1220
        (2490, "none", "2500.0000⟧ × ⟦1250.0000"),
        (2491, "none", "3050.0000⟧ × ⟦1525.0000"),
        (3041, "none", ""),
    ],
)
def test_the_smallest_sheet_that_is_sold_is_named(width, grain, sold):
    """Birch plywood is sold in 1220 × 1220, 1525 × 1525, 2440 × 1220, 2500 × 1250 and 3050 × 1525 (common practice)."""
    sheets = [{"length": 1220, "width": 1220, "price": 30}]
    data = box(shape={"width": width + 24}, materials={"ply": {"sheets": sheets, "grain": grain}})
    findings = plan_cutting(subject_of(data).cabinet).findings
    text = next(r.text for f in findings if "deck" in f.place.names for r in f.remedies)
    assert text.startswith("Buy ")
    assert (sold in text) if sold else ("usual size" not in text)


@pytest.mark.parametrize(("width", "sold"), [(1480, "60"), (1530, "96")])
def test_in_inches_the_sheets_of_that_trade_are_named(width, sold):
    """60 × 60 in less twice 5 mm of trim take 1514; 96 × 48 in is the next. Common practice."""
    sheets = [{"length": 1220, "width": 1220, "price": 30}]
    data = box(shape={"width": width + 24}, materials={"ply": {"sheets": sheets}}, unit="in")
    findings = plan_cutting(subject_of(data).cabinet).findings
    text = next(r.text for f in findings if "deck" in f.place.names for r in f.remedies)
    assert f"⟦{float(sold) * 25.4:.4f}⟧" in text


def test_where_no_joint_is_free_that_is_said():
    text = told(features=[hole(u, 150, 30) for u in range(640, 1300, 60)])
    assert "free ⟦80.0000⟧" in text
    assert not re.search(r"u = ", text)


def test_a_back_too_wide_for_the_sheet_is_glued_edge_to_edge():
    """A back of 1900 × 188 with its grain up, of sheets 1220 × 1220: 1900 across the grain and 1210 to be had, so two
    boards side by side, joined in the middle, 950; a hole there pushes the joint 40 past its rim.
    """
    sheets = [{"length": 1220, "width": 1220, "price": 30}]
    for features, place in (([], "950.0000"), ([hole(950, 100, 60, on="back")], "880.0000")):
        data = box(
            shape={"width": 1924},
            materials={"ply": {"sheets": sheets, "grain": "length"}},
            panels={"back": {"grain": "up"}},
            features=features,
        )
        findings = plan_cutting(subject_of(data).cabinet).findings
        texts = [r.text for f in findings if "back" in f.place.names for r in f.remedies]
        (text,) = [text for text in texts if "back of" in text and "joined" in text]
        assert "of 2 pieces" in text
        assert f"u = ⟦{place}⟧" in text


def test_solid_wood_too_wide_for_its_boards_is_glued_up_without_a_strip():
    """Sides 320 deep with the grain up, of boards 290 wide when trimmed by 5: two side by side, met in the middle."""
    sheets = [{"length": 2000, "width": 300, "price": 30}]
    wood = {"kind": "solid wood", "grain": "length", "sheets": sheets, "species": "pine"}
    data = box(materials={"ply": wood}, shape={"corners": {"B": [320, 0], "C": [320, 200]}})
    findings = plan_cutting(subject_of(data).cabinet).findings
    texts = [r.text for f in findings if "left" in f.place.names for r in f.remedies]
    (glued,) = [text for text in texts if "glue left side up of 2 boards" in text]
    assert "⟦160.0000⟧" in glued and "strip of" not in glued


def test_a_board_too_large_both_ways_is_not_joined():
    """Sides of 300 × 200, sheets of 140 × 90 to be had: no one line of joints makes pieces that fit."""
    sheets = [{"length": 150, "width": 100, "price": 30}]
    data = box(materials={"ply": {"sheets": sheets, "grain": "length"}})
    findings = plan_cutting(subject_of(data).cabinet).findings
    texts = [r.text for f in findings if "left" in f.place.names for r in f.remedies]
    assert texts
    assert not any("joined" in text for text in texts)


def test_the_strip_keeps_off_a_displays_rails_and_its_chamfer_counts_as_hole():
    """A housing of 800 in the middle of 1900, gap 1 and rails of 20 beside it: half the strip, 50, beside the rail
    leaves 550 - 1 - 20 - 50 = 479. A picture of 700 alone would leave 600 - 40 = 560, in the middle of the rail."""
    display = {
        "kind": "display",
        "measured": {
            "lit_width": 700,
            "lit_height": 120,
            "housing_width": 800,
            "housing_height": 160,
            "housing_depth": 40,
            "mass_kg": 3,
        },
        "placed": [{"key": "d", "on": "deck", "opening": {"chamfer": 6}}],
    }
    text = told(1500, parts={"display": display})
    assert "⟦479.0000⟧" in text
    display["placed"][0]["hold"] = {"style": "none"}
    text = told(1500, parts={"display": display})
    assert "⟦500.0000⟧" in text  # the housing lies on the board itself: 550 - 50
    display["measured"] |= {"housing_width": 702}
    text = told(1500, parts={"display": display})
    assert (
        "⟦549.0000⟧" in text
    )  # housing from 599, half the strip before it; the chamfer from 594 alone asks 554
