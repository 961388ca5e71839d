"""Bench drawings and the service sheet, read back from their PDFs."""

from __future__ import annotations

import pytest
from tests.outputs.documents.book_bench import BOUND, plain, source_of
from tests.outputs.drawings.sheets_bench import example
from tests.outputs.pages import read_pages

from casewright.basics.units import format_length
from casewright.outputs.documents.bench_drawings import drawings_script, service_script
from casewright.outputs.documents.book import PAPERS
from casewright.planning.work.routing import routing_plans


@pytest.fixture(scope="module", params=BOUND)
def made(request):
    name, size = request.param
    worked, paper = example(name), PAPERS[size]
    source = source_of(worked, paper)
    drawn = read_pages(drawings_script(source, paper).pdf())
    return worked, drawn, read_pages(service_script(source, paper).pdf())


def test_every_plan_tells_the_lengths_of_its_strips(made):
    worked, drawn, _ = made
    said = plain("".join(drawn.texts))
    plans = routing_plans(worked.cabinet)
    for plan in plans:
        assert f"Plan{plan.number}:" in said
        told = ",".join(
            f"{strip.number}:"
            + plain(
                format_length(strip.length, worked.opened.style, with_unit=False, glyphs="typeset")
            )
            for strip in plan.strips
        )
        assert told in said


def test_what_stands_in_them(made):
    worked, drawn, service = made
    said = "".join(drawn.texts)
    for title in ("Routing plans", "Dry-fit check list", "Setting the display", "Commissioning"):
        assert title in said
    sheet = plain("".join(service.texts))
    assert "Servicesheet" in sheet and "Photographthewires" in sheet
    for supply in worked.behavior.power.loads.supplies:
        assert f"Supply:{plain(supply.label)}" in sheet


def test_words_keep_inside_the_page(made):
    _, drawn, service = made
    for page in (*drawn.pages, *service.pages):
        for word in page.words:
            assert word.left > 0 and word.right < page.width, (page.number, word.text)
