"""Content on displays: shares and diagonals against exact arithmetic, the room behind a panel, the rule.

Shares: min(c ÷ s, s ÷ c) for content aspect c on screen aspect s. Lit areas as panel makers' specifications print them:
a 15.6 in panel of 1366 × 768, 344.232 × 193.536; a 19 in cell of 1440 × 900, 410.4 × 256.5, diagonal 19.05 in.
"""

from __future__ import annotations

import pytest
from tests.behavior.sight_bench import screen
from tests.checks.bench import CATALOG, applied, box, cures, found, subject_of

from casewright.basics.errors import InputError
from casewright.behavior.content import Candidate, Showing, candidate, candidates, content_key
from casewright.catalog.display_size import display_lit_area
from casewright.catalog.kinds import Display
from casewright.checks.rules import content_share
from casewright.design.looking import Content
from casewright.outputs.topics import content
from casewright.planning.buying import _parts

IN = 25.4
FRONT = {"eye": 150, "distance": 500}


def a_display(width: float, height: float, **more) -> Display:
    return Display(
        lit_width=width,
        lit_height=height,
        housing_width=width + 20,
        housing_height=height + 30,
        housing_depth=30,
        **more,
    )


def on(data: Display, *aspects: str, turn: float = 0.0) -> Candidate:
    contents = [Content(aspect=aspect) for aspect in aspects]
    return candidate("it", "it", data, turn, contents, None)


def showing(data) -> Showing:
    behavior = subject_of(data).behavior
    assert behavior is not None
    return behavior.content


@pytest.mark.parametrize(
    ("content", "display", "share"),
    [
        ("4:3", (16, 9), 0.75),
        ("16:9", (4, 3), 0.75),
        ("3:4", (16, 9), 0.421875),
        ("3:4", (9, 16), 0.75),
        ("4:3", (5, 4), 0.9375),
        ("4:3", (16, 10), 0.833333),
        ("4:3", (21, 9), 0.571429),
        ("16:9", (16, 10), 0.9),
        ("5:4", (16, 9), 0.703125),
        ("1:1", (16, 9), 0.5625),
    ],
)
def test_shares(content, display, share):
    """Exact arithmetic, six decimals."""
    data = a_display(*display_lit_area(20 * IN, display))
    assert on(data, content).shown[0].share == pytest.approx(share, abs=1e-6)


def test_a_display_turned_upright_shows_upright_games_larger():
    """3:4 on 9:16: 0.75 of the area, against 0.421875 level."""
    data = a_display(*display_lit_area(20 * IN, (16, 9)))
    assert on(data, "3:4", turn=90).shown[0].share == pytest.approx(0.75)
    assert on(data, "3:4", turn=270).used == pytest.approx(on(data, "3:4", turn=90).used)


def test_effective_diagonals_on_a_21_5_in_display():
    """4:3 shown full height: 17.568 in; 3:4 kept level: 13.176 in; exact arithmetic."""
    data = a_display(*display_lit_area(21.5 * IN, (16, 9)))
    wide, upright = on(data, "4:3", "3:4").shown
    assert wide.diagonal / IN == pytest.approx(17.568, abs=0.0005)
    assert upright.diagonal / IN == pytest.approx(13.176, abs=0.0005)


def test_published_displays_are_filled_by_their_own_shape():
    """The makers' lit areas, not made from a diagonal: 16:9 and 16:10 within what pixels round."""
    assert on(a_display(344.232, 193.536), "16:9").shown[0].share == pytest.approx(1, abs=0.001)
    square = on(a_display(410.4, 256.5), "16:10").shown[0]
    assert square.share == pytest.approx(1)
    assert square.diagonal / IN == pytest.approx(19.05, abs=0.005)


def test_bars_and_picture_make_the_lit_area():
    for fit in on(a_display(500, 300), "16:9", "4:3", "9:16", "10:1").shown:
        assert fit.width + 2 * fit.side_bar == pytest.approx(500)
        assert fit.height + 2 * fit.level_bar == pytest.approx(300)
        assert min(fit.side_bar, fit.level_bar) == pytest.approx(0)


def test_price_by_area_used():
    """100 for 500 × 200 mm wholly used: 10 dm², 10 each; half used, twice as much. In a file in inches by the square
    foot, 304.8 mm squared: 1.0764 of them, 92.90 each."""
    data = a_display(500, 200, price=100)
    assert on(data, "5:2").price_by_area("mm") == pytest.approx(10)
    assert on(data, "5:4").price_by_area("mm") == pytest.approx(20)
    assert on(data, "5:2").price_by_area("in") == pytest.approx(100 / (500 * 200 / 304.8**2))
    assert on(a_display(500, 200), "5:2").price_by_area("mm") is None


@pytest.mark.parametrize(("unit", "area", "each"), [("mm", "dm²", 10.0), ("in", "ft²", 92.903)])
def test_price_by_area_in_the_units_of_the_project(unit, area, each):
    """24 for a picture of 200 × 120 wholly used, 2.4 dm²."""
    data = screen(FRONT, contents=[{"aspect": "5:3"}], unit=unit)
    part = data["parts"]["screen"]
    part["measured"] = {name: f"{size} mm" for name, size in part["measured"].items()}
    part["price"] = 24
    subject = subject_of(data)
    (number,) = (n for n in showing(data).numbers if n.key.endswith("price_by_area"))
    assert f"per {area}" in number.label
    assert number.terms[1].unit == area
    assert number.value == pytest.approx(each, abs=0.001)
    assert subject.behavior is not None
    sheet = content.sheet(subject.cabinet, subject.behavior)
    assert sheet is not None
    heads = [head for table in sheet.tables for head in table.heads if " per " in head]
    assert not heads  # no display of the catalog has a price
    other = {"type": "display-24-16x10", "price": 70, "quantity": 0}
    priced = subject_of({**data, "parts": {**data["parts"], "other": other}})
    assert priced.behavior is not None
    sheet = content.sheet(priced.cabinet, priced.behavior)
    assert sheet is not None
    assert f"cu per {area}" in [head for table in sheet.tables for head in table.heads]


def test_a_wrong_aspect_says_what_was_expected():
    with pytest.raises(ValueError, match="1:10 to 10:1") as caught:
        Content(aspect="wide")
    assert "aspect" in str(caught.value)
    with pytest.raises((InputError, ValueError)):
        Content(aspect="0:1")


def test_one_key_for_one_shape():
    assert content_key(Content(aspect="16:9")) == "16-9" == content_key(Content(aspect=" 16 x 9 "))


# ---- the room behind a panel -----------------------------------------------------------------------------------------


def test_room_is_what_sides_and_panels_leave():
    """600 wide less two sides of 12; 200 high less base and deck of 12 each; no cleats here."""
    data = screen(FRONT)
    (one,) = showing(data).screens
    front = subject_of(data).cabinet.piece_by_key["front"]
    assert one.room.width <= front.width + 1e-6
    assert one.room.height <= 176 + 1e-6
    assert one.own.fits
    numbers = {number.key: number.value for number in showing(data).numbers}
    assert numbers["content.tube.room_width"] == pytest.approx(one.room.width - 220)


def test_who_does_not_fit_is_told_by_how_much():
    (one,) = showing(screen(FRONT)).screens
    for other in one.candidates:
        across = other.face.housing_width - one.room.width
        up = other.face.housing_height - one.room.height
        assert other.fits is (across <= 0 and up <= 0)
        assert other.short == pytest.approx((max(across, 0), max(up, 0)))
    assert {c.fits for c in one.candidates} == {True, False}


def test_without_a_cabinet_all_fit_and_go_by_size():
    found_ = candidates(CATALOG, 0, (Content(aspect="16:9"),), None)
    assert all(c.fits for c in found_)
    sizes = [c.data.lit_width**2 + c.data.lit_height**2 for c in found_]
    assert sizes == sorted(sizes) and len(sizes) > 10


# ---- the rule --------------------------------------------------------------------------------------------------------


def test_usual_contents_are_no_ones_wish():
    assert found(content_share, screen(FRONT)) == []
    assert not showing(screen(FRONT)).stated


def test_an_upright_game_on_a_level_display():
    """Lit 200 × 120: 3:4 fills 90 × 120 of it, 45 %; turned it fills 120 × 160, 80 %, where there is room."""
    low = {"corners": {"A": [0, 0], "B": [300, 0], "C": [300, 300], "D": [0, 300]}}
    data = screen(FRONT, contents=[{"label": "old game", "aspect": "3:4"}], shape=low)
    (finding,) = found(content_share, data)
    assert "45%" in finding.message
    cures(content_share, data)
    turned = applied(data, next(r for r in finding.remedies if r.field))
    (one,) = showing(turned).screens
    assert one.own.shown[0].share == pytest.approx(0.8)


def test_no_turn_is_offered_without_room():
    data = screen(FRONT, contents=[{"aspect": "3:4"}])
    (finding,) = found(content_share, data)
    assert not any(remedy.field for remedy in finding.remedies)


def test_exactly_at_the_limit_nothing_is_found():
    """5:6 on 200 × 120 fills 100 × 120: just half."""
    assert found(content_share, screen(FRONT, contents=[{"aspect": "5:6"}])) == []


def test_no_display_no_content():
    assert showing(box()).screens == ()
    assert showing(box()).numbers == ()


def test_a_display_that_may_be_bought_stands_beside_the_others_and_is_not_bought():
    """24 in, 16:10, 70 for it: the lit area of its datum is 516.9 × 323.1 mm, 4:3 takes 430.8 × 323.1 of it."""
    other = {"type": "display-24-16x10", "label": "used", "price": 70, "quantity": 0}
    data = screen(FRONT, contents=[{"aspect": "4:3"}], parts={"other": other})
    (one,) = showing(data).screens
    first = one.candidates[0]
    assert first.label == "used"
    assert first.price_by_area("mm") == pytest.approx(70 / (4.308 * 3.231), rel=0.005)
    assert "other" not in {row.key for row in _parts(subject_of(data).cabinet)}
