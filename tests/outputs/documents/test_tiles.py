"""Windows over a picture: they cover it, share their strips, and are as few as can be."""

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.basics.errors import InputError
from casewright.outputs.documents.template_marks import (
    SheetWords,
    ghost_name,
    own_marks,
    same_marks,
)
from casewright.outputs.documents.template_overview import overview
from casewright.outputs.documents.tiles import PAD, PAPERS, tile_windows
from casewright.outputs.drawings.marks import Box, Text, bounds

papers = st.sampled_from(sorted(PAPERS))
lengths = st.floats(5, 2000)
overlaps = st.floats(4, 30)


@pytest.mark.parametrize(
    ("name", "width", "height"),
    [
        ("A4", 210, 297),  # ISO 216:2007, table 1
        ("A3", 297, 420),  # ISO 216:2007, table 1
        ("Letter", 8.5 * 25.4, 11 * 25.4),  # ANSI/ASME Y14.1, size A: 8.5 x 11 in
        ("Tabloid", 11 * 25.4, 17 * 25.4),  # ANSI/ASME Y14.1, size B: 11 x 17 in
    ],
)
def test_papers_have_their_standard_sizes(name, width, height):
    paper = PAPERS[name]
    assert (paper.width, paper.height) == pytest.approx((width, height), abs=1e-9)


@given(lengths, lengths, papers, overlaps)
def test_the_windows_cover_the_picture_and_share_their_strips(width, height, name, overlap):
    tiling = tile_windows(width, height, PAPERS[name], overlap=overlap)
    x, y = tiling.origin
    assert x >= PAD - 1e-6
    assert y >= PAD - 1e-6
    assert x + width <= tiling.mosaic.right - PAD + 1e-6
    assert y + height <= tiling.mosaic.top - PAD + 1e-6
    places = {(tile.row, tile.column): tile.box for tile in tiling.tiles}
    assert len(places) == tiling.rows * tiling.columns
    for (row, column), box in places.items():
        assert (box.width, box.height) == pytest.approx((tiling.window.width, tiling.window.height))
        right, below = places.get((row, column + 1)), places.get((row + 1, column))
        if right:
            assert box.right - right.left == pytest.approx(overlap)
        if below:
            assert below.top - box.bottom == pytest.approx(overlap)
    whole = tiling.mosaic
    assert min(box.left for box in places.values()) == pytest.approx(whole.left)
    assert max(box.right for box in places.values()) == pytest.approx(whole.right)
    assert min(box.bottom for box in places.values()) == pytest.approx(whole.bottom)
    assert max(box.top for box in places.values()) == pytest.approx(whole.top)


@given(lengths, lengths, papers, overlaps)
def test_no_row_or_column_could_be_spared(width, height, name, overlap):
    tiling = tile_windows(width, height, PAPERS[name], overlap=overlap)
    for count, length, window in (
        (tiling.columns, width, tiling.window.width),
        (tiling.rows, height, tiling.window.height),
    ):
        fewer = (count - 1) * (window - overlap) + overlap
        assert count == 1 or fewer < length + 2 * PAD


def test_paper_lies_on_its_side_where_that_saves_sheets():
    assert tile_windows(250, 150, PAPERS["A4"]).heading == "lying"
    assert tile_windows(250, 150, PAPERS["A4"]).columns == 1
    assert tile_windows(150, 240, PAPERS["A4"]).heading == "upright"


def test_corner_crosses_and_diagonals():
    """Pythagoras; the crosses stand half an overlap inside of the mosaic."""
    tiling = tile_windows(434, 260, PAPERS["A4"])
    across = tiling.mosaic.width - tiling.overlap
    up = tiling.mosaic.height - tiling.overlap
    assert (tiling.corners.width, tiling.corners.height) == pytest.approx((across, up))
    assert tiling.diagonal == pytest.approx(math.sqrt(across**2 + up**2))


@pytest.mark.parametrize(
    ("options", "field"),
    [
        ({"width": 0.0}, "width"),
        ({"height": math.nan}, "height"),
        ({"overlap": 0.0}, "overlap"),
        ({"margin": 60.0}, "margin"),
        ({"height": 9999.0}, "paper"),
    ],
)
def test_what_cannot_be_tiled_is_refused(options, field):
    values = {"width": 100.0, "height": 100.0, **options}
    with pytest.raises(InputError) as refused:
        tile_windows(paper=PAPERS["A4"], **values)
    assert refused.value.field == field


words = st.builds(
    SheetWords, *[st.text(max_size=80)] * 4, st.lists(st.text(max_size=120), max_size=6).map(tuple)
)


def tile_marks(tiling, tile, said, **rest):
    """All that stands on a tile's page."""
    return (*own_marks(tiling, tile, said, **rest), *same_marks(tiling, said))


@settings(max_examples=40)
@given(lengths, lengths, papers, overlaps, words)
def test_nothing_that_is_written_on_a_page_overlaps(width, height, name, overlap, said):
    tiling = tile_windows(width, height, PAPERS[name], overlap=overlap)
    printable = tiling.page.grown(-tiling.margin + 1e-6)
    front = overview(tiling, said, page=998, pages=999, missing=frozenset({"A1"}))
    pages = [front.marks]
    for tile in (tiling.tiles[0], tiling.tiles[-1]):
        pages.append(tile_marks(tiling, tile, said, page=998, pages=999, missing=frozenset()))
        pages.append(ghost_name(tiling, tile))
    for marks in pages:
        texts = [(m.text, m.box()) for m in marks if isinstance(m, Text) and m.text.strip()]
        for (one, mine), (two, other) in itertools.combinations(texts, 2):
            assert not mine.overlaps(other, by=1e-6), f"{one!r} lies on {two!r}"
        for text, box in texts:
            inside = (
                box.left >= printable.left
                and box.right <= printable.right
                and box.bottom >= printable.bottom
                and box.top <= printable.top
            )
            assert inside, f"{text!r} runs over the printable edge"


@given(lengths, lengths, papers)
def test_every_mark_stays_inside_of_the_printable_page(width, height, name):
    tiling = tile_windows(width, height, PAPERS[name])
    said = SheetWords("Deck", "SHOW FACE UP", "Project", "7f3a")
    for tile in tiling.tiles[:4]:
        marks = tile_marks(tiling, tile, said, page=1, pages=9, missing=frozenset())
        box, page = bounds(marks), tiling.page.grown(-tiling.margin + 1e-6)
        assert box.left >= page.left
        assert box.right <= page.right
        assert box.bottom >= page.bottom
        assert box.top <= page.top


def test_the_picture_of_the_mosaic_stands_clear_of_the_words():
    for width, height in ((434, 260), (430, 572), (60, 60), (1800, 90)):
        tiling = tile_windows(width, height, PAPERS["Letter"])
        said = SheetWords("Deck", "SHOW FACE UP", "Project", "7f3a", ("A note.",))
        front = overview(tiling, said, page=1, pages=9, missing=frozenset())
        for mark in front.marks:
            if isinstance(mark, Text):
                assert not mark.box().overlaps(front.picture, by=1e-6), mark.text
        assert front.picture.width / front.picture.height == pytest.approx(
            tiling.mosaic.width / tiling.mosaic.height
        )
        assert not Box(-1e9, -1e9, tiling.margin, 1e9).overlaps(front.picture)
