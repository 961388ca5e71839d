"""The bench book read back with pdfium: what it holds, at which size, and that hostile names stay plain words."""

import json
import re

import pytest
from tests.outputs.documents.book_bench import BOUND, all_text, bound_book, plain, source_of
from tests.outputs.pages import MM, read_pages

from casewright.basics.findings import worded
from casewright.catalog.kinds import Sign
from casewright.geometry.model import Circle
from casewright.outputs.documents.book import (
    KIND,
    PAPERS,
    book_data,
    book_template,
    compile_book,
    paged,
)
from casewright.outputs.documents.book_blocks import (
    BOTTOM,
    Column,
    Writer,
    heading,
    table,
    text,
)
from casewright.outputs.documents.book_cut_pictures import cut_line
from casewright.outputs.documents.book_cutting import bound_sentence
from casewright.outputs.documents.typesetting import Script
from casewright.outputs.fingerprint import fingerprint
from casewright.planning.work.holes import ROUTED
from casewright.workflow import open_text, work_out

HOSTILE = (
    'Box "#set page(1mm)" $x^2$ *bold* _it_ `raw` <lab> @ref \\ // /* é',
    "#{panic()} ] ) } & < > &amp; </text> \\u{41} ~ -- --- = + 1. 'q' é 台",
)
LONG = ("Extraordinarilylongnamewithoutanyspacesinitwhatsoever" * 2)[:80]


@pytest.fixture(scope="module", params=BOUND)
def printed(request):
    """A demo's work, its book's source, the paper, and the book."""
    bound = bound_book(*request.param)
    return bound.worked, bound.source, bound.paper, bound.book


def test_every_page_has_the_paper_s_size_the_mark_and_its_number(printed):
    worked, _, paper, book = printed
    mark = fingerprint(worked.cabinet.project)
    count = len(book.pages)
    assert 20 < count < 120
    for number, page in enumerate(book.pages, start=1):
        assert page.width == pytest.approx(paper.width, abs=0.01)
        assert page.height == pytest.approx(paper.height, abs=0.01)
        assert f"page {number} of {count}" in page.text
        assert mark in page.text


def test_nothing_is_printed_past_the_margins(printed):
    """A quarter of an inch is what home printers may leave white; common practice."""
    _, _, paper, book = printed
    for page in book.pages:
        assert page.signs
        for sign in page.signs:
            assert sign.left > 6, (page.number, sign.text)
            assert sign.right < paper.width - 6, (page.number, sign.text)
            assert sign.bottom < paper.height - 6, (page.number, sign.text)


def test_contents_name_each_chapter_with_its_page(printed):
    _, _, _, book = printed
    found = re.findall(r"^(.+?)[ .]{3,}(\d+)$", book.texts[1], re.MULTILINE)
    titles = dict(found)
    for title in ("Look at these first", "Shopping list", "Cutting", "Order of work", "Safety"):
        page = book.texts[int(titles[title]) - 1]
        assert title in page.split("\n")[1]


def test_every_piece_has_its_drawing(printed):
    worked, source, _, book = printed
    drawn = {key for sheet in source.sheets for key in sheet.pieces}
    assert drawn == set(worked.cabinet.piece_by_key)
    text = all_text(book)
    for sheet in source.sheets:
        assert plain(sheet.label) in text


def test_every_finding_is_told_with_its_remedies(printed):
    worked, _, _, book = printed
    text = all_text(book)
    for finding in worked.findings:
        lengths = worked.opened.write_length
        assert plain(worded(finding.message, lengths)) in text
        for remedy in finding.remedies:
            assert plain(worded(remedy.text, lengths)) in text


def test_every_purchase_screw_and_load_is_listed(printed):
    worked, _, _, book = printed
    text = all_text(book)
    for row in worked.shopping.rows:
        assert plain(row.label) in text
    for fastening in worked.cabinet.fastenings:
        assert plain(fastening.name) in text
    assert f"{worked.shopping.cost.value:.2f}" in text
    for group in worked.shopping.groups:
        priced = worked.shopping.worth_of(group) > 0
        heading = f"{group[:1].upper()}{group[1:]}: no prices of their own"
        assert (plain(heading) in text) != priced, group


def test_every_cut_stands_in_the_order_table(printed):
    worked, _, _, book = printed
    text = all_text(book)
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
    worked, source, _, book = printed
    sheet = max(source.sheets, key=lambda s: worked.cabinet.piece_by_key[s.piece].width)
    piece = worked.cabinet.piece_by_key[sheet.piece]
    wide, high = piece.width * sheet.scale, piece.height * sheet.scale
    name = plain(sheet.label)
    pages = [page for page in book.pages if name in plain(page.text)]
    assert any(
        abs(shape.width - wide) < 0.01 and abs(shape.height - high) < 0.01
        for page in pages
        for shape in page.shapes
    ), f"no shape of {wide:.2f} × {high:.2f} mm"


def test_a_hundred_millimeters_are_a_hundred_at_one_to_one():
    """The small wedge's front board, printed at 1:1 where it fits: 100 mm measured in the PDF is 100.00 mm."""
    worked = work_out(open_text(PLAIN_BOX.replace("NAME", "Small box")))
    paper = PAPERS["A3"]
    source = source_of(worked, paper)
    full = [sheet for sheet in source.sheets if sheet.scale == 1.0]
    assert full, "some piece of a box 100 mm wide fits an A3 page at true size"
    book = read_pages(compile_book(source, paper))
    assert any(
        shape.width == pytest.approx(100.0, abs=0.005)
        for page in book.pages
        for shape in page.shapes
        if not shape.is_line
    )


@pytest.mark.parametrize("bound", BOUND)
def test_same_source_same_bytes(bound):
    first = bound_book(*bound)
    assert compile_book(first.source, first.paper) == first.pdf


@pytest.mark.parametrize("name", [*HOSTILE, LONG])
def test_names_are_words_and_never_markup(name):
    text = PLAIN_BOX.replace("NAME", json.dumps(name, ensure_ascii=False)[1:-1])
    worked = work_out(open_text(text))
    paper = PAPERS["A4"]
    source = source_of(worked, paper)
    data, _ = book_data(source, paper)
    assert name in str(data["title"])
    book = read_pages(compile_book(source, paper))
    assert book.title.startswith(name)
    found = all_text(book)
    shown = plain(name).replace("台", "")  # the shipped font has no Chinese signs
    start = shown[:100]
    assert start in found.replace("台", "")
    # Of the piece that bears it too: the parts list, the cut order and the screw map.
    assert found.count(shown[:20]) > 5
    for page in book.pages:
        for sign in page.signs:
            assert sign.right < paper.width - 6


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
    _, _, _, book = printed
    for page in book.pages:
        lowest = page.height - (BOTTOM - 1.5)  # descenders of a last line reach below it
        foot = [word for word in page.words if word.bottom > lowest]
        assert len({round(word.top / MM) for word in foot}) == 1, page.number
        assert all(word.bottom < page.height - 5.0 for word in foot)
        assert all(word.left > 0.0 and word.right < page.width for word in foot)


def test_every_drilled_feature_stands_in_the_drilling_table(printed):
    """By count: a hole is bored once, a slot at both of its ends."""
    _, source, _, book = printed
    holes = sum(
        max(1, sheet.quantity) * (1 if isinstance(row.feature.shape, Circle) else 2)
        for sheet in source.sheets
        for row in sheet.hole_rows
        if row.feature.tool not in ROUTED
    )
    told = re.findall(r"(?:bit|saw):(\d+)holes?", all_text(book))
    assert sum(map(int, told)) == holes


def test_what_is_to_be_measured_is_told_in_its_own_unit(printed):
    """A share is no length, whatever its field is called."""
    worked, _, _, book = printed
    trusted = [
        part.data
        for part in worked.cabinet.parts.values()
        if isinstance(part.data, Sign) and part.origin["wall_reflectance"] != "measured"
    ]
    for sign in trusted:
        assert re.search(rf"wallreflectance{sign.wall_reflectance:g}(?!mm|in)", all_text(book))


def test_a_paragraph_that_leads_to_a_table_stands_on_its_page():
    """Wherever on a page it comes: pushed down line by line, never last on a page with the table on the next."""
    bound = bound_book(*BOUND[0])
    writer = Writer(bound.source, bound.paper)
    parted = []
    for lines in range(33, 38):  # 35 and 36 fill the page but for the paragraph
        blocks = [
            *(text(f"line {number}") for number in range(lines)),
            heading("A card"),
            text("What leads to it. " * 12, leads=True),
            table([Column("first", 1.0)], [["a"], ["b"]]),
        ]
        data = paged(writer, KIND, {"blocks": blocks})
        script = Script(book_template(), data, writer.pictures, {"heights": dict})
        pages = read_pages(script.pdf()).pages
        where = [n for n, page in enumerate(pages) if "Whatleadstoit" in plain(page.text)]
        table_at = [n for n, page in enumerate(pages) if "first" in page.text]
        assert len(where) == 1
        parted += [lines] if where[0] != table_at[0] else []
    assert parted == []
