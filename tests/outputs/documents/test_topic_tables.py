"""Tables of the chapter “In use”: no column so narrow that it breaks short words, read back with pdfium."""

from __future__ import annotations

import pytest
from tests.outputs.documents.book_bench import BOUND, bound_book

from casewright.outputs.topics import topic_sheets

WHOLE = 20
"""Words of so many signs stand on one line. [signs]"""


@pytest.mark.parametrize(("name", "size"), BOUND)
def test_short_words_in_tables_stand_on_one_line(name, size):
    bound = bound_book(name, size)
    worked = bound.worked
    sheets = topic_sheets(worked.cabinet, worked.behavior, worked.shopping)
    lines = [
        " ".join(line.replace("\u00a0", " ").replace("\u202f", " ").split())
        for text in bound.book.texts
        for line in text.split("\n")
    ]
    seen = 0
    for sheet in sheets:
        for rows in sheet.tables:
            for row in rows.rows:
                for index, cell in enumerate(row):
                    words = " ".join(cell.split())
                    plain = words.replace(" ", "").replace("-", "").isalpha()
                    if index in rows.figures or not plain or not 12 < len(words) <= WHOLE:
                        continue
                    assert any(words in line for line in lines), (sheet.title, rows.title, words)
                    seen += 1
    assert seen > 10
