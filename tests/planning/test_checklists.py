"""Check lists and the service sheet, held against the cabinet: nothing is left out, sizes by plain geometry."""

from __future__ import annotations

import math
from collections import Counter

import pytest
from tests.outputs.drawings.sheets_bench import EXAMPLES, example

from casewright.basics.findings import mm
from casewright.planning.checklists import commissioning_list, dry_fit_list
from casewright.planning.service import fuse_rows, openings_of, ways_out

NAMES = tuple(sorted(path.name.split(".")[0] for path in EXAMPLES.glob("*.cabinet.yaml")))


@pytest.fixture(scope="module", params=NAMES)
def worked(request):
    return example(request.param)


def test_every_seam_panel_and_part_is_looked_at_once_before_glue(worked):
    cabinet = worked.cabinet
    items = dry_fit_list(cabinet)
    seams = Counter(item.keys[0] for item in items if item.group == "Seams")
    assert seams == {f"corner {c.name}": 1 for c in cabinet.corners if c.first and c.second}
    parts = Counter(k for i in items if i.group.startswith("Bought") for k in i.keys)
    inside = {p.key: 1 for p in cabinet.placed if not getattr(p.part.data, "outside", False)}
    assert parts == inside


def test_diagonals_are_those_of_the_pieces(worked):
    """Pythagoras over the show face's extent; panels of these cabinets are rectangles there."""
    pieces = worked.cabinet.piece_by_key
    rows = [item for item in dry_fit_list(worked.cabinet) if item.group == "Diagonals"]
    assert rows
    for item in rows:
        show = pieces[item.keys[0]].show
        us, vs = [p[0] for p in show], [p[1] for p in show]
        across = math.hypot(max(us) - min(us), max(vs) - min(vs))
        assert item.expect == f"both {mm(across)}"


def test_every_placed_part_is_tried_once_in_use(worked):
    items = commissioning_list(worked.cabinet, worked.behavior.power.loads)
    tried = Counter(k for i in items for k in i.keys if k in worked.cabinet.placed_by_key)
    assert tried == {placed.key: 1 for placed in worked.cabinet.placed}


def test_every_placed_part_has_its_way_out(worked):
    ways = ways_out(worked.cabinet, worked.behavior.wiring)
    assert Counter(key for way in ways for key in way.keys) == {
        placed.key: 1 for placed in worked.cabinet.placed
    }
    assert not any("nothing lets it through" in way.opened for way in ways)


def test_screws_of_the_service_sheet_are_among_those_bought(worked):
    bought = {f.name for f in worked.cabinet.fastenings}
    told = [
        name
        for way in (*openings_of(worked.cabinet), *ways_out(worked.cabinet, worked.behavior.wiring))
        for name, _ in way.screws
    ]
    assert told and set(told) <= bought


def test_fuses_are_those_of_the_wiring(worked):
    rows = fuse_rows(worked.behavior.wiring)
    sizes = Counter(float(size.removesuffix(" A")) for _, size, _ in rows)
    assert sizes == Counter(worked.behavior.wiring.fuses)


def test_the_quickest_way_in_comes_first():
    """The duel's door is held by magnets, back and top by screws."""
    opens = openings_of(example("library-duel").cabinet)
    assert [one.piece for one in opens] == ["hatch", "back", "top"]
    assert [one.tool for one in opens] == ["by hand", "screwdriver", "screwdriver"]
