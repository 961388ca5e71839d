"""The pictures after each cut, followed with scissors: what is cut must be lying there, and nothing lies on another."""

from itertools import combinations
from types import SimpleNamespace

import pytest
from tests.outputs.drawings.sheets_bench import NAMES, example

from casewright.outputs.documents.book_cut_pictures import after_cut, benches, cut_pictures
from casewright.outputs.drawings.marks import Line, Region, Text


@pytest.fixture(scope="module", params=NAMES)
def sheets(request):
    plans = example(request.param).cutting.plans
    return [sheet for plan in plans for sheet in plan.plan.sheets]


def box_of(piece):
    return (piece.x, piece.y, piece.x + piece.length, piece.y + piece.width)


def lap(a, b):
    wide, high = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
    return max(0.0, wide) * max(0.0, high)


def test_each_cut_finds_its_piece_on_the_bench(sheets):
    """The piece that a cut is made from is one of those left by the cuts before it; the first is the sheet."""
    for sheet in sheets:
        there = {(0.0, 0.0, round(sheet.length, 2), round(sheet.width, 2))}
        for cut, lying in zip(sheet.cuts, benches(sheet), strict=True):
            mine = tuple(round(x, 2) for x in box_of(cut))
            assert mine in there
            left = {
                tuple(round(x, 2) for x in (b.left, b.bottom, b.right, b.top)) for b, _ in lying
            }
            assert left == there - {mine}
            there = left | {
                tuple(round(x, 2) for x in box_of(r)) for r in cut.results if r.kind == "piece"
            }
        assert there == set(), "nothing is left to cut"


def test_nothing_lies_on_another_and_the_kept_piece_is_tinted(sheets):
    for sheet in sheets:
        for cut, lying in zip(sheet.cuts, benches(sheet), strict=True):
            boxes = [(b.left, b.bottom, b.right, b.top) for b, _ in lying]
            boxes += [box_of(result) for result in cut.results]
            assert all(lap(a, b) < 1e-3 for a, b in combinations(boxes, 2))
            marks = after_cut(sheet, cut, lying, 0.03, str(cut.number), "")
            (tinted,) = [m for m in marks if isinstance(m, Region) and m.material == "part"]
            xs, ys = zip(*tinted.outer.points, strict=True)
            assert (min(xs), min(ys), max(xs), max(ys)) == pytest.approx(box_of(cut.results[0]))
            (blade,) = [m for m in marks if isinstance(m, Line) and m.pen == "accent"]
            assert blade.start[0] == blade.end[0] or blade.start[1] == blade.end[1]


def test_every_cut_has_its_number_under_a_picture(sheets):
    """Cuts that only trim the factory edges share one: "1–4"."""
    drawn = []
    writer = SimpleNamespace(
        width=176.0,
        figure=lambda length: f"{length:.1f}",
        drawing=lambda drawing, **_: drawn.append(drawing) or {},
    )
    for sheet in sheets:
        drawn.clear()
        list(cut_pictures(writer, sheet))
        words = {
            t.text for d in drawn for t in d.marks if isinstance(t, Text) and t.pen == "accent"
        }
        numbers = set()
        for word in words:
            first, _, last = word.partition("–")
            numbers |= set(range(int(first), int(last or first) + 1))
        assert numbers == {cut.number for cut in sheet.cuts}
        for drawing in drawn:
            assert drawing.bounds.width * drawing.scale <= 176.0
