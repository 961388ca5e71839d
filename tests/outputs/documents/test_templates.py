"""The PDF of templates, read back with pdfium: sizes by its outlines, what is really seen by rendering."""

import math
import re

import pypdfium2
import pytest
from shapely.geometry import Polygon, box
from tests.outputs.drawings.sheets_bench import example
from tests.outputs.pages import MM, read_pages

from casewright.basics.errors import InputError
from casewright.basics.units import parse_length
from casewright.outputs.documents.templates import (
    BACK_FACE_UP,
    SHOW_FACE_UP,
    TemplateSheet,
    compile_templates,
    plan_template,
)
from casewright.outputs.documents.tiles import PAPERS
from casewright.outputs.drawings.lettering import one_line
from casewright.outputs.drawings.marks import (
    Box,
    Circle,
    Drawing,
    Line,
    Polyline,
    Text,
    rectangle,
)
from casewright.outputs.drawings.part_files import template_sheets

PANEL = Box(0.0, 0.0, 434.0, 260.0)
HOLES = ((60.0, 70.0), (217.0, 130.0), (400.0, 235.0))
RADIUS = 14.0


def deck(title="Deck", face=SHOW_FACE_UP, notes=()):
    marks = (rectangle(PANEL), *(Circle(hole, RADIUS) for hole in HOLES))
    return TemplateSheet(Drawing(title, marks), title, face, notes)


@pytest.fixture(scope="module", params=["A4", "Letter", "A3", "Tabloid"])
def printed(request):
    """One template on each paper: the plan and the PDF's bytes."""
    paper = PAPERS[request.param]
    pdf = compile_templates([deck()], paper, project="Duel", fingerprint="state 7f3a")
    return plan_template(deck(), paper), pdf


def circles_mm(page, diameter):
    """Centres of all circles of this diameter, from the page's lower left corner. [mm]"""
    found = set()
    for shape in page.shapes:
        if not shape.curves:
            continue
        if abs(shape.width - diameter) < 0.01 and abs(shape.height - diameter) < 0.01:
            x, y = (shape.right + shape.left) / 2, (shape.bottom + shape.top) / 2
            found.add((round(x, 3), round(page.height - y, 3)))
    return found


def test_pages_have_the_papers_size(printed):
    template, pdf = printed
    page_box = template.tiling.page
    book = read_pages(pdf)
    assert len(book.pages) == 1 + len(template.printed)
    for page in book.pages:
        assert page.width == pytest.approx(page_box.width, abs=0.01)
        assert page.height == pytest.approx(page_box.height, abs=0.01)


def test_both_rulers_measure_true_on_every_tile(printed):
    _, pdf = printed
    for page in read_pages(pdf).pages[1:]:
        lines = [shape for shape in page.shapes if shape.is_line]
        for found in ([line.width for line in lines], [line.height for line in lines]):
            for true in (100.0, 4 * 25.4):
                hits = [length for length in found if abs(length - true) < 0.5]
                assert len(hits) == 1, f"one ruler of {true} mm"
                assert hits[0] == pytest.approx(true, abs=0.01)


def test_holes_and_crosses_land_at_one_place_across_the_tiles(printed):
    template, pdf = printed
    tiling = template.tiling
    small, rings = set(), set()
    for tile, page in zip(template.printed, read_pages(pdf).pages[1:], strict=True):

        def mosaic(point, tile=tile):
            x = point[0] - tiling.window.left + tile.box.left
            return x, point[1] - tiling.window.bottom + tile.box.bottom

        holes = [mosaic(p) for p in circles_mm(page, 2 * RADIUS)]
        for hole in HOLES:
            wanted = (hole[0] + tiling.origin[0], hole[1] + tiling.origin[1])
            assert min(math.dist(wanted, found) for found in holes) < 0.01
        small |= {tuple(round(v, 1) for v in mosaic(p)) for p in circles_mm(page, 2.4)}
        rings |= {tuple(round(v, 2) for v in mosaic(p)) for p in circles_mm(page, 6.0)}
    # Twins fall on each other: no two crosses of the mosaic are near one another but apart.
    points = sorted(small)
    assert all(math.dist(p, q) > 5 for i, p in enumerate(points) for q in points[:i])
    assert len(rings) == 4


def test_the_sizes_to_check_are_those_of_the_printed_rings(printed):
    template, pdf = printed
    tiling, rings = template.tiling, []
    book = read_pages(pdf)
    said = book.texts[0]
    for tile, page in zip(template.printed, book.pages[1:], strict=True):
        for x, y in circles_mm(page, 6.0):
            x += tile.box.left - tiling.window.left
            rings.append((x, y + tile.box.bottom - tiling.window.bottom))
    rings.sort(key=lambda p: (round(p[0]), p[1]))
    (low_left, high_left, low_right, high_right) = rings
    for words, length in (
        ("Ring to ring, across", math.dist(low_left, low_right)),
        ("Ring to ring, up", math.dist(low_left, high_left)),
        ("Both diagonals", math.dist(low_left, high_right)),
        ("Both diagonals", math.dist(high_left, low_right)),
    ):
        metric, inches = re.search(words + r"\s+([0-9.]+)\s*mm \(([0-9 /]+)\s*in\)", said).groups()
        assert float(metric) == pytest.approx(length, abs=0.051)
        assert parse_length(f"{inches.strip()} in") == pytest.approx(length, abs=25.4 / 64 + 0.01)


def test_what_a_tile_shows_is_really_seen(printed):
    """Render each tile and look for ink where the outline and the holes must be, and for none beside them."""
    template, pdf = printed
    tiling = template.tiling
    scale = 150 / 72
    spots = [
        (x + RADIUS * math.cos(turn), y + RADIUS * math.sin(turn))
        for x, y in HOLES
        for turn in (0.3, 1.2, 2.5, 3.6, 4.4, 5.9)
    ]
    spots += [(i * 434 / 23, y) for i in range(24) for y in (0.0, 260.0)]
    spots += [(x, i * 260 / 17) for i in range(18) for x in (0.0, 434.0)]
    seen = set()
    document = pypdfium2.PdfDocument(pdf)
    for index, tile in enumerate(template.printed, 1):
        image = document[index].render(scale=scale).to_numpy()[..., :3].min(axis=2)
        view = tile.box.grown(-1.5)
        for spot in spots:
            x, y = spot[0] + tiling.origin[0], spot[1] + tiling.origin[1]
            if not (view.left < x < view.right and view.bottom < y < view.top):
                continue
            page_x = x - tile.box.left + tiling.window.left
            page_y = tiling.page.top - (y - tile.box.bottom + tiling.window.bottom)
            column, row = int(page_x / MM * scale), int(page_y / MM * scale)
            assert image[row - 1 : row + 2, column - 1 : column + 2].min() < 120, (tile.name, spot)
            seen.add(spot)
    document.close()
    assert seen == set(spots)


def test_every_page_says_what_it_is(printed):
    template, pdf = printed
    total = 1 + len(template.printed)
    book = read_pages(pdf)
    for number, text in enumerate(book.texts, 1):
        assert "Deck" in text
        assert "SHOW FACE UP" in text
        assert "state 7f3a" in text
        assert f"page {number} of {total}" in text
    for tile, text in zip(template.printed, book.texts[1:], strict=True):
        assert tile.name in text
        assert "Print at 100 %. Do not fit to page." in text
        assert "100 mm" in text
        assert "4 in" in text
        for other in template.printed:
            beside = abs(tile.row - other.row) + abs(tile.column - other.column) == 1
            arrows = re.findall(rf"[◂▴▾] {other.name}\b|\b{other.name} ▸", text)
            assert bool(arrows) == beside, (tile.name, other.name)


def test_same_templates_same_bytes(printed):
    template, pdf = printed
    paper = template.tiling.paper
    assert compile_templates([deck()], paper, project="Duel", fingerprint="state 7f3a") == pdf
    other = compile_templates([deck()], paper, project="Duel", fingerprint="state 7f3b")
    assert other != pdf


HOSTILE = [
    '#panic("no") *bold* _it_ $x^2$ <label> @ref',
    '"] } #{ ) \\" // /* ` ``` ~ \\u{41}',
    "</text><script>alert(1)</script>&amp;",
    "line\nbreak\ttab\x00nul\x1b",
    "lone \ud800 half",
    "= Heading - list + enum",
]


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_are_written_as_they_stand(name):
    sheet = deck(name, notes=(name,))
    pdf = compile_templates([sheet], PAPERS["A3"], project=name, fingerprint=name)
    document = pypdfium2.PdfDocument(pdf)
    assert len(document) == 1 + len(plan_template(sheet, PAPERS["A3"]).printed)
    text = re.sub(r"\s", "", document[1].get_textpage().get_text_range())
    document.close()
    assert re.sub(r"\s", "", one_line(name)) in text


def test_several_templates_are_numbered_through_and_each_starts_with_its_overview():
    ring = TemplateSheet(
        Drawing("Ring", (Circle((0.0, 0.0), 40.0),)), "Speaker ring", BACK_FACE_UP, ("Cut small.",)
    )
    pdf = compile_templates([deck(), ring], PAPERS["A4"], project="Duel", fingerprint="7f3a")
    texts = read_pages(pdf).texts
    tiles = len(plan_template(deck(), PAPERS["A4"]).printed)
    first = texts[1 + 1 + tiles]
    assert "Speaker ring" in first
    assert "BACK FACE UP" in first
    assert "Cut small." in first
    assert f"of {len(texts)}" in first


@pytest.mark.parametrize("paper", ["A4", "Letter", "A3", "Tabloid"])
def test_the_contents_name_the_pages_of_each_template(paper):
    """Every page it names is looked up; so many templates take two pages of contents."""
    names = [f"Ring {index}" for index in range(1, 72)]
    ring = Drawing("Ring", (Circle((0.0, 0.0), 40.0),))
    sheets = [deck(), *(TemplateSheet(ring, name, BACK_FACE_UP) for name in names)]
    pdf = compile_templates(sheets, PAPERS[paper], project="Duel", fingerprint="7f3a")
    texts, front = read_pages(pdf).texts, read_pages(pdf).pages[0]
    rulers = [shape.width for shape in front.shapes if shape.is_line]
    assert front.width == pytest.approx(PAPERS[paper].width, abs=0.017)  # 0.05 points
    ahead = next(i for i, text in enumerate(texts) if "Ring to ring" in text)
    assert ahead >= 1
    rows = re.findall(
        r"^(Deck|Ring \d+) (SHOW|BACK) FACE UP (\d+) (\d+)–(\d+)$", "\n".join(texts[:ahead]), re.M
    )
    assert [row[0] for row in rows] == ["Deck", *names]
    due = ahead + 1
    for name, face, count, first, last in rows:
        assert int(first) == due
        assert int(last) == due + int(count)
        for number in range(int(first), int(last) + 1):
            assert name in texts[number - 1]
            assert f"{face} FACE UP" in texts[number - 1]
        due = int(last) + 1
    assert due == len(texts) + 1
    for true in (100.0, 4 * 25.4):
        assert sum(abs(length - true) < 0.01 for length in rulers) == 1


def test_only_empty_tiles_that_hold_nothing_together_are_left_out():
    """A frame of 900 by 700: its middle is empty; an L has an empty corner, which stays."""
    frame = rectangle(Box(0, 0, 900, 700))
    sheet = TemplateSheet(Drawing("Frame", (frame,)), "Frame", SHOW_FACE_UP)
    plan = plan_template(sheet, PAPERS["A4"])
    rows, columns = plan.tiling.rows, plan.tiling.columns
    middle = {
        t.name for t in plan.tiling.tiles if 0 < t.row < rows - 1 and 0 < t.column < columns - 1
    }
    assert plan.skipped == middle
    assert middle
    pdf = compile_templates([sheet], PAPERS["A4"], project="Duel", fingerprint="7f3a")
    texts = read_pages(pdf).texts
    said = " ".join(texts[0].split())
    assert len(texts) == 1 + rows * columns - len(middle)
    assert "not printed" in said
    assert all(name in said for name in middle)

    shape = Polyline(((0, 0), (900, 0), (900, 40), (40, 40), (40, 700), (0, 700)))
    plan = plan_template(TemplateSheet(Drawing("L", (shape,)), "L", SHOW_FACE_UP), PAPERS["A4"])
    corner = next(
        t for t in plan.tiling.tiles if t.row == 0 and t.column == plan.tiling.columns - 1
    )
    assert corner.name not in plan.skipped
    assert plan.skipped
    left = {(t.row, t.column) for t in plan.printed}
    reached, fresh = set(), {min(left)}
    while fresh:
        reached |= fresh
        near = {(r + a, c + b) for r, c in fresh for a, b in ((0, 1), (1, 0), (0, -1), (-1, 0))}
        fresh = (near & left) - reached
    assert reached == left


def test_what_cannot_be_printed_is_refused():
    with pytest.raises(InputError) as refused:
        compile_templates([], PAPERS["A4"], project="Duel", fingerprint="7f3a")
    assert refused.value.field == "sheets"
    small = Drawing("Deck", (Line((0.0, 0.0), (100.0, 0.0)),), scale=0.2)
    with pytest.raises(InputError) as refused:
        plan_template(TemplateSheet(small, "Deck", SHOW_FACE_UP), PAPERS["A4"])
    assert refused.value.field == "drawing"


def test_what_is_too_large_to_tape_together_is_listed_and_left_out():
    """Plain arithmetic: 12 × 4 m of paper, A4 sheets of 0.21 × 0.297 m, are more than 700 sheets."""
    wall = Drawing("Wall", (rectangle(Box(0.0, 0.0, 12_000.0, 4_000.0)),))
    sheets = [deck(), TemplateSheet(wall, "Wall", SHOW_FACE_UP)]
    pdf = compile_templates(sheets, PAPERS["A4"], project="Duel", fingerprint="7f3a")
    texts = read_pages(pdf).texts
    said = " ".join(texts[0].split())
    assert len(texts) == 1 + 1 + len(plan_template(deck(), PAPERS["A4"]).printed)
    assert "Wall too large to tape together" in said
    alone = compile_templates(sheets[1:], PAPERS["A4"], project="Duel", fingerprint="7f3a")
    assert len(read_pages(alone).pages) == 1


@pytest.mark.parametrize(("name", "size"), [("library-duel", "A4"), ("mill-console", "Letter")])
def test_no_lettering_is_cut_where_a_sheet_ends(name, size):
    """Boxes of lettering against the frames of the sheets, by shapely (GEOS): none is crossed by a sheet's edge."""
    worked, paper = example(name), PAPERS[size]
    cut: list[tuple[str, str]] = []
    seams = 0
    for sheet in template_sheets(worked.cabinet, worked.opened.style):
        if sheet.title.startswith("alignment"):
            continue  # its words name the two rectangles right across the middle
        template = plan_template(sheet, paper)
        drawing, tiling = template.sheet.drawing, template.tiling
        dx = drawing.bounds.left - tiling.origin[0]
        dy = drawing.bounds.bottom - tiling.origin[1]
        frames = [
            box(t.box.left + dx, t.box.bottom + dy, t.box.right + dx, t.box.top + dy).exterior
            for t in tiling.tiles
        ]
        seams += len(frames) - 1
        for mark in drawing.simple():
            if isinstance(mark, Text):
                words = Polygon(mark.corners(1.0))
                cut += [(sheet.title, mark.text) for frame in frames if frame.intersects(words)]
    assert seams > 10
    assert cut == []
