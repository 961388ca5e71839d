"""Many holes that are each for something else: a line each in the table, read back with pdfium."""

from __future__ import annotations

import re
from functools import cache

import pytest
from tests.outputs.documents.book_bench import source_of
from tests.outputs.pages import read_pages

from casewright.outputs.documents.book import PAPERS, compile_book
from casewright.workflow import open_text, work_out

NAMES = [f"hole for the indicator light of station number {n} in its row" for n in range(1, 33)]
BOX = """\
casewright: 1
name: Lamps
materials: {ply: {kind: plywood, nominal: 12}}
shape: {recipe: box, width: 700, height: 300, depth: 200, side: {material: ply}, board: ply}
features:
""" + "\n".join(
    f"  - {{on: front, shape: hole, u: {60 + n % 8 * 75}, v: {60 + n // 8 * 50}, "
    f"diameter: {5 + n % 2}, label: {name}}}"
    for n, name in enumerate(NAMES)
)


@cache
def lines_of(size: str) -> list[str]:
    """All lines of the book's chapter of pieces."""
    worked = work_out(open_text(BOX))
    paper = PAPERS[size]
    book = read_pages(compile_book(source_of(worked, paper), paper))
    return [
        " ".join(line.split())
        for text in book.texts
        if "Pieces" in text.split("\n")[0]
        for line in text.split("\n")
    ]


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_each_hole_has_one_line_and_its_bit_stands_above(size):
    lines = lines_of(size)
    for name in NAMES:
        (line,) = [line for line in lines if line.endswith(name)]
        tag, right, up, *_ = line.split()
        assert tag[0] in "AB"
        assert float(right) >= 0
        assert float(up) >= 0
    # 16 of either diameter, each group told once.
    for letter, diameter in (("A", "6"), ("B", "5")):
        heads = [line for line in lines if line.startswith(f"{letter}: ")]
        assert len(heads) == 1
        assert f"{diameter}.0" in heads[0]
        assert heads[0].endswith("through")


LONG = """\
casewright: 1
name: Lamps
materials: {ply: {kind: plywood, nominal: 12}}
shape: {recipe: box, width: 900, height: 500, depth: 200, side: {material: ply}, board: ply}
features:
""" + "\n".join(
    f"  - {{on: front, shape: hole, u: {50 + n % 13 * 60}, v: {50 + n // 13 * 50}, "
    f"diameter: 6, label: lamp {n + 1}}}"
    for n in range(91)
)


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_a_page_that_goes_on_with_a_table_says_what_the_row_above_said(size):
    """91 holes of one diameter: more than a page holds, and the tool stands in the first row of every page."""
    worked = work_out(open_text(LONG))
    paper = PAPERS[size]
    pages = []
    for text in read_pages(compile_book(source_of(worked, paper), paper)).texts:
        row = r"A\d+ ((?:(?!A\d+ ).)*? \d+\.\d \d+\.\d) lamp \d+"
        rows = re.findall(row, " ".join(text.split()))
        if rows:
            pages.append(rows)
    assert len(pages) > 1
    assert sum(map(len, pages)) == 91
    for first, *others in pages:
        assert "″" not in first
        assert "6.0" in first
        assert "through" in first
        assert all(row.count("″") == 3 for row in others)
