"""The alignment sheet of a display: true size, mirrored, with all that has to meet."""

from __future__ import annotations

import math

import pytest
from tests.outputs.drawings.sheets_bench import example, sheets_of

from casewright.basics.units import parse_length
from casewright.geometry.openings import Area
from casewright.outputs.documents.templates import BACK_FACE_UP, plan_template
from casewright.outputs.documents.tiles import PAPERS
from casewright.outputs.drawings.alignment_view import (
    BACK_WORDS,
    BEYOND,
    AlignmentView,
    alignment_views,
)
from casewright.outputs.drawings.marks import Circle, Line, Polyline, Text, bounds
from casewright.outputs.drawings.part_files import template_sheets


def view(name: str) -> AlignmentView:
    (found,) = alignment_views(example(name).cabinet, example(name).opened.style)
    return found


def outlines(name: str, pen: str) -> list[Area]:
    found = [m for m in view(name).drawing.marks if isinstance(m, Polyline) and m.pen == pen]
    boxes = [bounds([mark]) for mark in found]
    return [Area(box.left, box.bottom, box.right, box.top) for box in boxes]


def words(name: str) -> str:
    return " | ".join(m.text for m in view(name).drawing.marks if isinstance(m, Text))


def test_the_duels_display_by_its_data_sheet() -> None:
    """The scenario's own numbers: housing 541 × 323, lit 527 × 296.5, bezels left and right 7, bottom 20."""
    (housing,) = outlines("library-duel", "visible")
    (opening,) = outlines("library-duel", "thin")
    assert (housing.width, housing.height) == pytest.approx((541, 323))
    assert (opening.width, opening.height) == pytest.approx((527, 296.5))
    assert opening.left - housing.left == pytest.approx(7)
    assert opening.bottom - housing.bottom == pytest.approx(20)
    assert "opening and lit area" in words("library-duel")


def test_the_turned_display_is_mirrored() -> None:
    """The scenario: in portrait the wide bezel of 3/4 in is on the right, so from the back it is on the left."""
    (housing,) = outlines("mill-console", "visible")
    (opening,) = outlines("mill-console", "thin")
    margin = parse_length("3/32 in")  # of the opening round the lit area, in the example
    assert opening.left - housing.left == pytest.approx(parse_length("3/4 in") - margin, abs=0.01)
    right = parse_length("11 5/8 in") - parse_length("3/4 in") - parse_length("10 9/16 in")
    assert housing.right - opening.right == pytest.approx(right - margin, abs=0.01)


@pytest.mark.parametrize("name", ["library-duel", "mill-console"])
def test_mounting_holes_are_a_square_of_100(name: str) -> None:
    """The scenarios: rear pattern 100 × 100; the duel's 4 below the housing's middle, the mill's in it."""
    holes = [m for m in view(name).drawing.marks if isinstance(m, Circle)]
    assert len(holes) == 4
    xs, ys = sorted(h.centre[0] for h in holes), sorted(h.centre[1] for h in holes)
    assert xs[-1] - xs[0] == pytest.approx(100)
    assert ys[-1] - ys[0] == pytest.approx(100)
    (housing,) = outlines(name, "visible")
    low = 4 if name == "library-duel" else 0
    assert (xs[0] + xs[-1]) / 2 == pytest.approx(housing.centre[0])
    assert (ys[0] + ys[-1]) / 2 == pytest.approx(housing.centre[1] - low)


@pytest.mark.parametrize("name", ["library-duel", "mill-console"])
def test_centre_lines_cross_in_the_middle_of_the_picture(name: str) -> None:
    lines = [m for m in view(name).drawing.marks if isinstance(m, Line) and m.pen == "centre"]
    (upright,) = (line for line in lines if math.isclose(line.start[0], line.end[0]))
    (level,) = (line for line in lines if math.isclose(line.start[1], line.end[1]))
    (opening,) = outlines(name, "thin")
    assert (upright.start[0], level.start[1]) == pytest.approx(opening.centre)


@pytest.mark.parametrize("name", ["library-duel", "mill-console"])
def test_rails_stand_clear_round_the_housing(name: str) -> None:
    """Every rail of the cabinet is there, as long and wide as it is cut, outside of the housing."""
    (housing,) = outlines(name, "visible")
    rails = outlines(name, "hidden")
    pieces = [p for p in example(name).cabinet.pieces if p.kind == "rail" and "display." in p.key]
    sizes = sorted((round(p.width, 3), round(p.height, 3)) for p in pieces)
    assert rails
    assert sorted((round(r.width, 3), round(r.height, 3)) for r in rails) == sizes
    assert not any(rail.meets(housing) for rail in rails)
    paper = view(name).drawing.bounds
    for area in (housing, *rails):
        assert min(area.left, area.bottom) >= BEYOND - 1e-6
        assert area.right <= paper.right - BEYOND + 1e-6
        assert area.top <= paper.top - BEYOND + 1e-6


@pytest.mark.parametrize("name", ["library-duel", "mill-console"])
def test_it_comes_with_the_templates_and_says_its_face(name: str) -> None:
    worked = example(name)
    sheets = template_sheets(worked.cabinet, worked.opened.style, sheets=sheets_of(name))
    (sheet,) = (s for s in sheets if s.title == view(name).title)
    assert sheet.face == BACK_FACE_UP
    assert sheet.drawing.scale == 1
    assert plan_template(sheet, PAPERS["A4"]).printed
    assert BACK_WORDS in words(name)
    assert "UP" in words(name)
    notes = " ".join(sheet.notes)
    assert "back face of the screen panel" in notes
    assert "shim" in notes


def test_the_note_places_the_centre_on_the_back_face() -> None:
    """The duel: in the middle of 670.6, so 335.3; the back face begins 6.2 up, so 183.5 - 6.2 = 177.3.

    Its foot stands on the deck, 27.7° from square: 11.8 × tan 27.7° = 6.2.
    """
    notes = " ".join(view("library-duel").notes).replace("\u202f", " ")
    assert 11.8 * math.tan(math.radians(27.7)) == pytest.approx(6.2, abs=0.01)
    assert "335.3 mm from the left end" in notes
    assert "177.3 mm from the lower edge" in notes
