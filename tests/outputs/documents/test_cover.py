"""The size on the cover is the one that doors and tables have to take, and the same on every paper and page."""

from __future__ import annotations

import re
from pathlib import Path

from tests.outputs.documents.book_bench import source_of

from casewright.checks import Subject
from casewright.faces.share import share_page
from casewright.outputs.documents.book_blocks import Writer
from casewright.outputs.documents.book_cover import cover_facts
from casewright.outputs.documents.tiles import PAPERS
from casewright.workflow import open_text, work_out

DUEL = Path(__file__).parents[3] / "examples" / "library-duel.cabinet.yaml"


def test_feet_and_what_stands_out_behind_are_in_the_size_of_all():
    """Plain sums: sides of 572 on feet of 12 are 584 high; 700 over both sides; deeper than the sides' 430."""
    text = DUEL.read_text(encoding="utf-8")
    worked = work_out(open_text(text))
    paper = PAPERS["A4"]
    size = dict(cover_facts(Writer(source_of(worked, paper), paper)))["over all (w × d × h)"]
    numbers = [float(number) for number in re.findall(r"[\d.]+", size)]
    wide, deep, high = numbers
    assert (wide, high) == (700.0, 584.0)
    assert deep > 430.0
    asked = Subject(worked.cabinet, worked.opened.catalog, worked.collisions, worked.behavior).size
    assert numbers == [round(number, 1) for number in asked]
    page = share_page(worked, text, name="duel.cabinet.yaml").decode("utf-8")
    figure = page.split("over all", 1)[1][:120]
    assert [float(number) for number in re.findall(r"\d+\.\d", figure)][:3] == numbers
