"""What holds for every topic's sheet, on every example: known numbers, whole tables, pictures that fit a page."""

from __future__ import annotations

import pytest
from tests.outputs.drawings.sheets_bench import EXAMPLES, example

from casewright.basics.findings import worded
from casewright.outputs.drawings.svg import write_svg
from casewright.outputs.topics import TopicSheet, topic_sheets
from casewright.workflow import Worked

NAMES = sorted(path.name.partition(".")[0] for path in EXAMPLES.glob("*.cabinet.yaml"))
PAGE = (176.0, 200.0)
"""Room for a picture between the margins of A4. [mm]"""


@pytest.fixture(scope="module", params=NAMES)
def told(request) -> tuple[Worked, tuple[TopicSheet, ...]]:
    worked = example(request.param)
    return worked, topic_sheets(worked.cabinet, worked.behavior, worked.shopping)


def test_every_sheet_asks_and_answers(told):
    _, sheets = told
    assert sheets
    assert len({sheet.key for sheet in sheets}) == len(sheets)
    for sheet in sheets:
        assert sheet.title and sheet.question.endswith("?") and sheet.answer.endswith(".")
        assert sheet.pictures or sheet.tables, sheet.key


def test_numbers_that_decide_can_say_why(told):
    worked, sheets = told
    for sheet in sheets:
        for key in sheet.numbers:
            number = worked.numbers[key]
            assert number.label and number.source, key


def test_tables_are_whole_and_lengths_are_written_out(told):
    worked, sheets = told
    for sheet in sheets:
        for rows in sheet.tables:
            assert all(len(row) == len(rows.heads) for row in rows.rows), (sheet.key, rows.title)
            assert all(index < len(rows.heads) for index in rows.figures)
        texts = (sheet.answer, *sheet.notes, *(c for t in sheet.tables for r in t.rows for c in r))
        assert not any("⟦" in worded(text, worked.opened.write_length) for text in texts)


def test_pictures_fit_a_page_and_can_be_drawn(told):
    _, sheets = told
    for sheet in sheets:
        for picture in sheet.pictures:
            drawing = picture.drawing
            size = drawing.bounds.width * drawing.scale, drawing.bounds.height * drawing.scale
            assert size[0] <= PAGE[0] and size[1] <= PAGE[1], (sheet.key, size)
            assert "<svg" in write_svg(drawing)


def test_the_same_project_gives_the_same_sheets(told):
    worked, sheets = told
    assert topic_sheets(worked.cabinet, worked.behavior, worked.shopping) == sheets
