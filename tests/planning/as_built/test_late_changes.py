"""An overlay that comes late and a sheet that measures otherwise, for boards, angles and units of all kinds.

Expected values: plain trigonometry, worked out beside each.
"""

from __future__ import annotations

import math

import pytest
from tests.planning.as_built.records_by_hand import (
    DUEL,
    answer,
    changed,
    told,
    ways_of,
    with_records,
)

from casewright.planning.as_built import Way
from casewright.planning.as_built.outline import outline_as_made
from casewright.planning.as_built.ways import made_pieces
from casewright.projectfile.editing import REMOVE
from casewright.workflow import Opened, open_project, open_text, work_out

PROJECT = """
casewright: 1
name: a wedge
unit: %(unit)s
materials:
  board: {kind: plywood, nominal: %(board)s mm, measured: %(board)s mm, sheets: [{length: 2440 mm, width: 1220 mm}]}
  other: {kind: plywood, nominal: %(board)s mm, measured: %(board)s mm, sheets: [{length: 2440 mm, width: 1220 mm}]}
  clear: {kind: acrylic, species: acrylic-clear, nominal: %(clear)s mm, measured: %(clear)s mm}
shape:
  recipe: outline
  width: 600 mm
  side: {material: board}
  board: other
  corners: {A: [%(a)s mm, 0 mm], B: [500 mm, 0 mm], C: [500 mm, 300 mm], D: [%(d)s mm, 300 mm]}
panels:
  base: {run: A-B, role: floor%(groove)s}
  back: {run: B-C, role: back%(groove)s}
  top: {run: C-D, role: deck}
  face: {run: D-A, role: front, label: face}
seams:
  - {between: [top, face], rule: %(rule)s}
"""
OVERLAY = {("panels", "top", "layers"): [{"key": "overlay", "material": "clear"}]}
SIDES = {"left": "shaped", "right": "shaped"}


def wedge(degrees: float, board: float = 18, clear: float = 3, **more: str) -> Opened:
    """Top and face meet at this angle inside the material."""
    reach = 300 / math.tan(math.radians(180 - degrees)) if degrees != 90 else 0.0
    told = {"unit": "mm", "rule": "cover, over: top", "groove": ""} | more
    ends = {"a": f"{max(-reach, 0):.6f}", "d": f"{max(reach, 0):.6f}"}
    return open_text(PROJECT % {"board": board, "clear": clear, **ends, **told})


def changes(way: Way) -> dict[str, object]:
    return {".".join(map(str, path)): value for path, value in way.changes}


@pytest.mark.parametrize(
    ("degrees", "board", "clear", "unit"),
    [
        (109, 18, 3, "mm"),
        (109, 11.8, 4, "mm"),
        (90, 18, 5, "mm"),
        (75, 18.256, 3.175, "in"),
        (120, 24, 6, "mm"),
        (98.4, 9, 2, "in"),
    ],
)
def test_an_overlay_sinks_the_board_or_stands_proud(degrees, board, clear, unit):
    """The top sinks by the overlay's t: the face below it is cut t ÷ sin θ shorter, at its old tilt, θ off 90.

    Or the overlay stands t proud of the sides' edges: then the face stays as it is, however thick the overlay is.
    """
    opened = wedge(degrees, board, clear, unit=unit)
    plan = ways_of(with_records(opened, {**SIDES, "face": "painted"}, OVERLAY))
    kept = answer(plan.kept, "face")
    assert (kept.verdict, kept.edge, kept.painted) == ("trim", "the upper edge", True)
    assert kept.by == pytest.approx(clear / math.sin(math.radians(degrees)), abs=0.005)
    assert kept.tilt_deg == pytest.approx(abs(90 - degrees), abs=0.05)
    proud = next(way for way in plan.ways if "panels.top.reveal" in changes(way))
    assert changes(proud) == {"panels.top.reveal": pytest.approx(-clear, abs=0.006)}
    assert not proud.touched


def test_a_miter_sawn_for_the_bare_board_is_sawn_again_and_filled_behind():
    """109 inside, 18 against 18: 35.5. With 3 on the top, 21 / cos a = 18 / cos b and a + b = 71: a = 29.34, b = 41.66.

    The top's show face, 3 below the overlay's, ends 3 tan 29.34 = 1.69 further back than it was sawn, and its back at
    21 tan 29.34 = 11.81 where 18 tan 35.5 = 12.84 fell: 1.03 lacks there.
    """
    opened = wedge(109, rule="miter")
    worked = with_records(opened, {**SIDES, "face": "cut", "top": "cut"}, OVERLAY)
    top = answer(ways_of(worked).kept, "top")
    assert (top.verdict, top.tilt_deg) == ("shim", pytest.approx(29.34, abs=0.01))
    assert top.by == pytest.approx(1.03, abs=0.01)
    assert "1.69 mm stands over" in told(top.reason)
    assert "29.3° instead of the 35.5°" in top.orders[0]
    assert "Leave" not in " ".join(top.orders)


def test_a_face_that_only_screws_hold_slides_along_under_its_own_overlay():
    """Its board goes 3 deeper, so 3 ÷ tan 71 = 1.03 along its slope at both ends: as long as before."""
    overlay = {("panels", "face", "layers"): [{"key": "overlay", "material": "clear"}]}
    worked = with_records(wedge(109), {**SIDES, "top": "cut", "face": "painted"}, overlay)
    assert answer(ways_of(worked).kept, "face").verdict == "unchanged"


GROOVES = ", joint: groove, groove_depth: 6 mm"


@pytest.mark.parametrize(
    ("measured", "says", "order"),
    [
        (17.4, "0.60 mm wider than the board needs", "strip of veneer 0.60 mm thick"),
        (17.6, "", ""),  # 0.4 is less than the 0.5 that glue fills
        (18.6, "0.60 mm too narrow for the board", "as wide as on the piece's page"),
        (18.15, "0.15 mm too narrow for the board", "as wide as on the piece's page"),
        (18.08, "", ""),  # within the groove's own play of 0.1
    ],
)
def test_grooves_made_for_another_board_are_loose_or_narrow(measured, says, order):
    """Grooves for 18, and the boards that go in measure otherwise: 18 less what they measure."""
    changed = {("materials", "other", "measured"): measured}
    plan = ways_of(with_records(wedge(90, groove=GROOVES), SIDES, changed))
    for side in ("left", "right"):
        mine = answer(plan.kept, side)
        assert mine.verdict == ("work on" if says else "unchanged")
        assert says in told(mine.reason)
        assert any(order in told(text) for text in mine.orders) or not says
        if says:
            assert "base" in mine.reason and "back" in mine.reason


def test_thinner_neighbors_leave_a_groove_short():
    """Back and face 1.2 thinner: the base, which both cover, reaches 1.2 further at either end; its grooves do not."""
    changed = {("materials", "other", "measured"): 16.8}
    worked = with_records(wedge(90, groove=GROOVES), SIDES, changed)
    assert "The groove for base" in told(answer(ways_of(worked).kept, "left").reason)
    assert "1.20 mm too short" in told(answer(ways_of(worked).kept, "left").reason)


def test_a_bevel_keeps_its_tilt_when_the_sheet_turns_out_thinner():
    """A face covered at 109 has 19 at both its ends, whatever the board measures: the saw was set to that.

    Blanks are sawn to their long points, so these stay, and the show face is 0.6 tan 19 = 0.21 longer; the top, 0.6
    thinner now, leaves 0.6 ÷ sin 71 = 0.63 open above it: 0.43 in all, which glue fills.
    """
    changed = {("materials", "other", "measured"): 17.4}
    worked = with_records(wedge(109), {**SIDES, "face": "cut"}, changed)
    face = answer(ways_of(worked).kept, "face")
    edges = {edge.name: edge for edge in face.edges}
    for name in ("lower", "upper"):
        assert edges[name].made_tilt_deg == pytest.approx(19, abs=0.01)
    opens = 0.6 / math.sin(math.radians(71)) - 0.6 * math.tan(math.radians(19))
    assert edges["upper"].short == pytest.approx(opens, abs=0.005)
    assert face.verdict == "unchanged"


@pytest.mark.parametrize(("degrees", "clear"), [(109, 3), (90, 5), (75, 4)])
def test_cleats_on_the_sides_follow_the_board_they_carry(degrees, clear):
    """The top sinks by its overlay's thickness, and its cleats with it; their pilots in the sides are too high."""
    opened = wedge(degrees, clear=clear)
    plan = ways_of(with_records(opened, {"left": "fitted", "right": "fitted"}, OVERLAY))
    for side in ("left", "right"):
        mine = answer(plan.kept, side)
        cleat = f"top cleat, {side}"
        assert f"Fix the {cleat} {clear:.2f} mm further in" in told(" ".join(mine.orders))
        assert "back cleat" not in mine.reason


SCREEN = ("parts", "screen-display", "measured")
SMALLER = {"lit_width": 470, "lit_height": 264.5, "housing_width": 485, "housing_height": 285}
SMALLER |= {"housing_depth": 60, "bezel_left": 7.5, "bezel_bottom": 13}


def test_a_recipe_keeps_the_outline_that_was_made_for_another_display() -> None:
    """By the law that what is built stays: sides and opening are not touched; rails and bar follow the housing.

    The opening is 267.8 × 476.1 as it was cut, of the old display's lit area, upright.
    """
    kiosk = open_project(DUEL.with_name("kiosk.cabinet.yaml"))
    states = {"screen": "painted", "left": "fitted", "right": "fitted"}
    smaller = {(*SCREEN, name): value for name, value in SMALLER.items()}
    was = work_out(kiosk).cabinet.shape.corners
    worked = with_records(kiosk, states, smaller)
    plan = ways_of(worked)
    assert any(a.verdict in ("plug", "remake") for a in plan.kept.touched)
    best = plan.ways[0]
    assert best.wood == 0
    for side in ("left", "right"):
        assert answer(best, side).verdict in ("unchanged", "work on")
    screen = answer(best, "screen")
    assert screen.verdict == "work on" and "opening" not in screen.reason
    values = changes(best)
    opening = "parts.screen-display.placed.0.opening"
    assert values[f"{opening}.width"] == pytest.approx(267.8, abs=0.05)
    assert values[f"{opening}.height"] == pytest.approx(476.1, abs=0.05)
    after = work_out(
        changed(worked.opened, outline_as_made(worked.cabinet, made_pieces(worked.cabinet)) or {})
    )
    for name, corner in was.items():
        assert after.cabinet.shape.corners[name] == pytest.approx(corner, abs=0.06)


def test_an_opening_of_the_old_lit_area_stays_where_it_is_cut() -> None:
    """The opening has no size of its own: it was 267.8 × 476.1, the old lit area upright, and takes that as its own."""
    kiosk = open_project(DUEL.with_name("kiosk.cabinet.yaml"))
    bare = changed(kiosk, {("parts", "screen-display", "placed", 0, "opening"): REMOVE})
    smaller = {(*SCREEN, "lit_width"): 470, (*SCREEN, "lit_height"): 264.5}
    plan = ways_of(with_records(bare, {"screen": "painted"}, smaller))
    assert answer(plan.kept, "screen").verdict == "remake"
    best = plan.ways[0]
    assert best.wood == 0
    assert answer(best, "screen").verdict == "work on"
    opening = "parts.screen-display.placed.0.opening"
    assert changes(best)[f"{opening}.width"] == pytest.approx(267.8)
    assert changes(best)[f"{opening}.height"] == pytest.approx(476.1)
