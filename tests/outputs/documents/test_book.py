"""The bench book read back with pdfplumber: what it holds, at which size, and that hostile names stay plain words."""

import io
import json
import re
from pathlib import Path

import pdfplumber
import pytest

from casewright.basics.findings import worded
from casewright.outputs.documents.book import (
    PAPERS,
    BookSource,
    book_data,
    compile_book,
    part_room,
)
from casewright.outputs.documents.book_blocks import BOTTOM
from casewright.outputs.documents.book_cut_pictures import cut_line
from casewright.outputs.documents.book_cutting import bound_sentence
from casewright.outputs.drawings.part_view import part_drawings
from casewright.outputs.fingerprint import fingerprint
from casewright.planning.steps import plan_steps
from casewright.workflow import open_project, open_text, work_out

EXAMPLES = Path(__file__).parents[3] / "examples"
MM = 25.4 / 72  # a PDF point is 1/72 in (ISO 32000-1, 8.3.2.3)
HOSTILE = (
    'Box "#set page(1mm)" $x^2$ *bold* _it_ `raw` <lab> @ref \\ // /* é',
    "#{panic()} ] ) } & < > &amp; </text> \\u{41} ~ -- --- = + 1. 'q' é 台",
)
LONG = ("Extraordinarilylongnamewithoutanyspacesinitwhatsoever" * 2)[:80]


def source_of(worked, paper):
    cabinet, style = worked.cabinet, worked.opened.style
    return BookSource(
        cabinet=cabinet,
        findings=worked.findings,
        cutting=worked.cutting,
        shopping=worked.shopping,
        behavior=worked.behavior,
        steps=plan_steps(cabinet, worked.cutting),
        sheets=part_drawings(cabinet, style, room=part_room(paper)),
        style=style,
    )


@pytest.fixture(scope="module", params=[("library-duel", "A4"), ("mill-console", "Letter")])
def printed(request):
    """A demo's work, its book's source, the paper, and the pages."""
    name, size = request.param
    worked = work_out(open_project(EXAMPLES / f"{name}.cabinet.yaml"))
    paper = PAPERS[size]
    source = source_of(worked, paper)
    with pdfplumber.open(io.BytesIO(compile_book(source, paper))) as pdf:
        yield worked, source, paper, pdf


def plain(text):
    """Text without breaks, hyphenation marks and spaces, for finding words across lines."""
    return re.sub(r"[\s\u200b\u202f\u00a0]+", "", text or "")


def all_text(pdf):
    return plain("".join(page.extract_text() or "" for page in pdf.pages))


def test_every_page_has_the_paper_s_size_the_mark_and_its_number(printed):
    worked, _, paper, pdf = printed
    mark = fingerprint(worked.cabinet.project)
    count = len(pdf.pages)
    assert 20 < count < 120
    for number, page in enumerate(pdf.pages, start=1):
        assert page.width * MM == pytest.approx(paper.width, abs=0.01)
        assert page.height * MM == pytest.approx(paper.height, abs=0.01)
        text = page.extract_text()
        assert f"page {number} of {count}" in text
        assert mark in text


def test_nothing_is_printed_past_the_margins(printed):
    """A quarter of an inch is what home printers may leave white; common practice."""
    _, _, paper, pdf = printed
    for number, page in enumerate(pdf.pages, start=1):
        for sign in page.chars:
            assert sign["x0"] * MM > 6, (number, sign["text"])
            assert sign["x1"] * MM < paper.width - 6, (number, sign["text"])
            assert sign["bottom"] * MM < paper.height - 6, (number, sign["text"])


def test_contents_name_each_chapter_with_its_page(printed):
    _, _, _, pdf = printed
    found = re.findall(r"^(.+?)[ .]{3,}(\d+)$", pdf.pages[1].extract_text(), re.MULTILINE)
    titles = dict(found)
    for title in ("Look at these first", "Shopping list", "Cutting", "Order of work", "Safety"):
        page = pdf.pages[int(titles[title]) - 1]
        assert title in page.extract_text().split("\n")[1]


def test_every_piece_has_its_drawing(printed):
    worked, source, _, pdf = printed
    drawn = {key for sheet in source.sheets for key in sheet.pieces}
    assert drawn == set(worked.cabinet.piece_by_key)
    text = all_text(pdf)
    for sheet in source.sheets:
        assert plain(sheet.label) in text


def test_every_finding_is_told_with_its_remedies(printed):
    worked, _, _, pdf = printed
    text = all_text(pdf)
    for finding in worked.findings:
        lengths = worked.opened.write_length
        assert plain(worded(finding.message, lengths)) in text
        for remedy in finding.remedies:
            assert plain(worded(remedy.text, lengths)) in text


def test_every_purchase_screw_and_load_is_listed(printed):
    worked, _, _, pdf = printed
    text = all_text(pdf)
    for row in worked.shopping.rows:
        assert plain(row.label) in text
    for fastening in worked.cabinet.fastenings:
        assert plain(fastening.name) in text
    assert f"{worked.shopping.cost.value:.2f}" in text


def test_every_cut_stands_in_the_order_table(printed):
    worked, _, _, pdf = printed
    text = all_text(pdf)
    figures = worked.opened.write_length
    for plan in worked.cutting.plans:
        assert plain(bound_sentence(plan.plan)) in text
        for sheet in plan.plan.sheets:
            for cut in sheet.cuts:
                row = f"{cut.number}{cut.piece}{cut.direction}"
                assert plain(row) in text
                assert plain(figures(cut.fence)).removesuffix(worked.opened.style.unit) in text


def test_a_cut_runs_beside_the_kept_piece(printed):
    worked, _, _, _ = printed
    for plan in worked.cutting.plans:
        for sheet in plan.plan.sheets:
            for cut in sheet.cuts:
                (x1, y1), (x2, y2) = cut_line(cut)
                kept = cut.results[0]
                at = y1 if cut.direction == "rip" else x1
                near = (
                    (kept.y, kept.y + kept.width)
                    if cut.direction == "rip"
                    else (kept.x, kept.x + kept.length)
                )
                assert min(abs(at - edge) for edge in near) < 1e-6
                assert (y1 == y2) == (cut.direction == "rip")
                assert (x1 == x2) == (cut.direction == "crosscut")


def test_a_drawing_has_its_stated_scale(printed):
    """The widest sheet's blank, measured in the PDF's paths: true size times the scale, to 0.01 mm."""
    worked, source, _, pdf = printed
    sheet = max(source.sheets, key=lambda s: worked.cabinet.piece_by_key[s.piece].width)
    piece = worked.cabinet.piece_by_key[sheet.piece]
    wide, high = piece.width * sheet.scale, piece.height * sheet.scale
    name = plain(sheet.label)
    pages = [page for page in pdf.pages if plain(page.extract_text()).find(name) >= 0]
    sizes = [
        ((shape["x1"] - shape["x0"]) * MM, (shape["bottom"] - shape["top"]) * MM)
        for page in pages
        for shape in (*page.rects, *page.curves, *page.lines)
    ]
    assert any(abs(w - wide) < 0.01 and abs(h - high) < 0.01 for w, h in sizes), (
        f"no shape of {wide:.2f} × {high:.2f} mm"
    )


def test_a_hundred_millimeters_are_a_hundred_at_one_to_one():
    """The small wedge's front board, printed at 1:1 where it fits: 100 mm measured in the PDF is 100.00 mm."""
    worked = work_out(open_text(PLAIN_BOX.replace("NAME", "Small box")))
    paper = PAPERS["A3"]
    source = source_of(worked, paper)
    full = [sheet for sheet in source.sheets if sheet.scale == 1.0]
    assert full, "some piece of a box 100 mm wide fits an A3 page at true size"
    with pdfplumber.open(io.BytesIO(compile_book(source, paper))) as pdf:
        widths = [
            (shape["x1"] - shape["x0"]) * MM
            for page in pdf.pages
            for shape in (*page.rects, *page.curves)
        ]
    assert any(width == pytest.approx(100.0, abs=0.005) for width in widths)


def test_same_source_same_bytes(printed):
    _, source, paper, _ = printed
    assert compile_book(source, paper) == compile_book(source, paper)


@pytest.mark.parametrize("name", [*HOSTILE, LONG])
def test_names_are_words_and_never_markup(name):
    text = PLAIN_BOX.replace("NAME", json.dumps(name, ensure_ascii=False)[1:-1])
    worked = work_out(open_text(text))
    paper = PAPERS["A4"]
    source = source_of(worked, paper)
    data, _ = book_data(source, paper)
    assert name in str(data["title"])
    with pdfplumber.open(io.BytesIO(compile_book(source, paper))) as pdf:
        assert pdf.metadata["Title"].startswith(name)
        found = all_text(pdf)
        shown = plain(name).replace("台", "")  # the shipped font has no Chinese signs
        start = shown[:100]
        assert start in found.replace("台", "")
        # Of the piece that bears it too: the parts list, the cut order and the screw map.
        assert found.count(shown[:20]) > 5
        for page in pdf.pages:
            for sign in page.chars:
                assert sign["x1"] * MM < paper.width - 6


def test_bound_sentence_says_what_is_proved(printed):
    worked, _, _, _ = printed
    for plan in worked.cutting.plans:
        words = bound_sentence(plan.plan)
        assert str(plan.plan.bought) in words
        proved = plan.plan.lower_bound >= plan.plan.bought
        assert ("not possible" in words) == (proved and plan.plan.bought > 0)


PLAIN_BOX = """
name: "NAME"
unit: mm
materials:
  ply:
    label: "NAME"
    kind: plywood
    nominal: 12
    sheets: [{length: 1220, width: 610, price: 20}]
shape:
  recipe: outline
  width: 124
  side: {material: ply}
  board: ply
  corners: {A: [0, 0], B: [120, 0], C: [120, 90], D: [0, 90]}
panels:
  base: {run: A-B, role: floor, label: "NAME"}
  back: {run: B-C, role: back, label: back, fixing: screwed}
  top: {run: C-D, role: top, label: top}
  front: {run: D-A, role: front, label: front}
seams:
  - {between: [base, front], over: front}
  - {between: [base, back], over: back}
  - {between: [top, back], over: top}
  - {between: [top, front], over: top}
"""


def test_nothing_runs_into_the_foot_or_off_the_page(printed):
    """Blocks that stay whole must fit: every word but the foot's own line ends above the lower margin."""
    _, _, _, pdf = printed
    for page in pdf.pages:
        lowest = page.height - (BOTTOM - 1.5) / MM  # descenders of a last line reach below it
        foot = [word for word in page.extract_words() if word["bottom"] > lowest]
        assert len({round(word["top"]) for word in foot}) == 1, page.page_number
        assert all(word["bottom"] < page.height - 5.0 / MM for word in foot)
        assert all(word["x0"] > 0.0 and word["x1"] < page.width for word in foot)
