"""Sheets of sight and content: what the pictures show is what the figures say."""

from __future__ import annotations

import pytest
from tests.behavior.sight_bench import LIT, screen
from tests.checks.bench import box, subject_of

from casewright.basics.units import LengthStyle
from casewright.behavior.whole import Behavior
from casewright.geometry.model import Cabinet
from casewright.outputs.drawings.marks import Drawing, Line, Region, Text, bounds
from casewright.outputs.topics import content, sight
from casewright.outputs.topics.sheet import TopicSheet
from casewright.outputs.topics.sight_pictures import WIDER, as_seen, widened

FRONT = {"label": "square on", "eye": 105, "distance": 500}
ABOVE = {"label": "tall", "eye": 300, "distance": 250}


def worked(data) -> tuple[Cabinet, Behavior]:
    subject = subject_of(data)
    assert subject.behavior is not None
    return subject.cabinet, subject.behavior


def seen(data) -> TopicSheet:
    sheet = sight.sheet(*worked(data))
    assert sheet is not None
    return sheet


def regions(drawing: Drawing, material: str) -> list[Region]:
    return [m for m in drawing.marks if isinstance(m, Region) and m.material == material]


def words(drawing: Drawing) -> str:
    return " ".join(mark.text for mark in drawing.marks if isinstance(mark, Text))


def test_who_sees_all_has_nothing_hatched():
    sheet = seen(screen(FRONT))
    assert regions(sheet.pictures[0].drawing, "waste") == []
    assert "all seen" in words(sheet.pictures[0].drawing)
    assert "everybody" in sheet.answer
    assert len(sheet.pictures) == 2  # no edge to look at closely


def test_hidden_strips_are_drawn_as_many_times_as_wide_as_the_caption_says():
    data = screen(FRONT, ABOVE)
    cabinet, behavior = worked(data)
    (sighting,) = behavior.sight.sightings
    drawing = as_seen(sighting, LengthStyle(unit="mm"))
    (hidden,) = regions(drawing, "waste")
    lit = min(regions(drawing, "lit"), key=lambda r: bounds([r]).height)
    whole = bounds([hidden])
    upper = next(e.hidden for e in sighting.views[1].edges if e.name == "upper")
    wider = widened(sighting)
    assert 1 < wider < WIDER  # 6.72 mm are hidden: five times as much would be half the picture
    assert whole.top - bounds([lit]).top == pytest.approx(wider * upper)
    assert f"{wider:g} times as wide" in seen(data).pictures[0].caption
    assert "tall" in seen(data).answer
    assert len(seen(data).pictures) == 3
    assert cabinet.project.people[1].label in words(seen(data).pictures[2].drawing)


def test_every_eye_has_two_lines_of_sight_from_the_side():
    drawing = seen(screen(FRONT, ABOVE)).pictures[1].drawing
    lines = [m for m in drawing.marks if isinstance(m, Line) and m.pen == "sight"]
    assert len(lines) == 4
    ends = {line.start for line in lines}
    assert len(ends) == 2  # lower and upper end of the picture


def test_who_looks_from_a_side_is_drawn_from_above_at_the_true_place():
    """Eyes 200 left and 300 right of the middle, 488 before the front: straight lines to both sides of the picture."""
    pair = screen({**FRONT, "aside": -200}, {**FRONT, "aside": 300})
    (drawing,) = (p.drawing for p in seen(pair).pictures if "from above" in p.caption)
    lines = [m for m in drawing.marks if isinstance(m, Line) and m.pen == "sight"]
    assert {line.end[0] for line in lines} == {100.0, 600.0}  # about the middle of 600
    across = sorted({line.start[0] for line in lines})
    assert across[1] - across[0] == pytest.approx(LIT[0])
    assert not any("from above" in p.caption for p in seen(screen(FRONT)).pictures)


def test_eyes_at_one_place_share_their_numbers():
    drawing = seen(screen(FRONT, FRONT, FRONT)).pictures[1].drawing
    assert "1–3" in words(drawing)


def test_a_mirrored_lamp_is_named_and_drawn():
    middle = 98.0
    lamp = {"label": "desk lamp", "height": middle + 250, "distance": 400, "size": 60}
    sheet = seen(screen({"eye": middle - 50, "distance": 68}, lamps=[lamp]))
    assert "desk lamp" in sheet.answer
    assert "desk lamp" in words(sheet.pictures[1].drawing)
    assert regions(sheet.pictures[0].drawing, "paper")


def test_contents_are_drawn_to_their_share():
    data = screen(FRONT, contents=[{"aspect": "3:4"}, {"aspect": "5:3"}])
    sheet = content.sheet(*worked(data))
    assert sheet is not None
    drawing = sheet.pictures[0].drawing
    shares = []
    for outer, inner in zip(regions(drawing, "waste"), regions(drawing, "lit"), strict=True):
        whole, shown = bounds([outer]), bounds([inner])
        shares.append(shown.width * shown.height / (whole.width * whole.height))
    assert shares == pytest.approx([0.45, 1.0])
    assert "3:4 fills 45%" in sheet.answer


def test_the_table_names_every_display_and_what_it_wants():
    cabinet, behavior = worked(screen(FRONT))
    sheet = content.sheet(cabinet, behavior)
    assert sheet is not None
    (screen_,) = behavior.content.screens
    rows = sheet.tables[1].rows
    assert len(rows) == 1 + len(screen_.candidates)
    for row, one in zip(rows[1:], screen_.candidates, strict=True):
        assert (row[1] == "fits") is one.fits


def test_no_display_no_sheet():

    bare = worked(box())
    assert sight.sheet(*bare) is None
    assert content.sheet(*bare) is None
