"""Slots for edge trim round the sides: their place and size, the solids, the trim to buy, and what is said."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import shapely

from casewright.basics.errors import InputErrors
from casewright.catalog.kinds import Hardware
from casewright.design.parts import KnownPart
from casewright.design.project import Project
from casewright.geometry.build import build_cabinet
from casewright.geometry.cuts import cut_of, slot_levels
from casewright.geometry.edge_trim import TRIM_LENGTH, slot_reach
from casewright.geometry.model import Cabinet, Feature, Piece, Polygon
from casewright.geometry.solids import solid_of
from casewright.outputs.drawings.part_view import part_drawings
from casewright.outputs.exports.exact import exact_solid, volume_of
from casewright.planning.work import plan_work
from casewright.workflow import SUFFIX, Worked, open_project, open_text, work_out

KIOSK = Path(__file__).resolve().parents[2] / f"examples/kiosk{SUFFIX}"
TRIM = Hardware(role="trim", sold_by="metre", slot_width=2, slot_depth=9)


def box(floor: str = "floor", trim: Hardware = TRIM, **more: Any) -> Cabinet:
    """A box 500 wide, 300 deep and 400 high of 18 mm MDF, with trim round its sides."""
    project = Project.model_validate(
        {
            "name": "box",
            "materials": {"board": {"kind": "mdf", "nominal": 18}},
            "shape": {
                "recipe": "outline",
                "width": 500,
                "side": {"material": "board", "edge_trim": "trim"},
                "board": "board",
                "corners": {"A": [0, 0], "B": [300, 0], "C": [300, 400], "D": [0, 400]},
            },
            "panels": {
                "base": {"run": "A-B", "role": floor},
                "back": {"run": "B-C", "role": "back"},
                "top": {"run": "C-D", "role": "top"},
                "front": {"run": "D-A", "role": "front"},
            },
            "parts": {"trim": {"kind": "hardware"}},
            **more,
        },
        context={"unit": "mm"},
    )
    part = KnownPart(key="trim", label="trim", data=trim, origin={})
    return build_cabinet(project, {"trim": part}, ())


@cache
def kiosk() -> Worked:
    return work_out(open_project(KIOSK))


def slots(piece: Piece) -> list[Feature]:
    return [feature for feature in piece.features if feature.kind == "slot"]


def area(feature: Feature) -> float:
    assert isinstance(feature.shape, Polygon)
    ring = shapely.Polygon(feature.shape.points)
    assert ring.is_valid and ring.exterior.is_ccw
    return float(ring.area)


def test_three_edges_of_a_box() -> None:
    """By hand: 9 in from back, top and front; 2 × 400 × 9 + (300 - 18) × 9; walls (18 - 2) ÷ 2 = 8 thick."""
    for side in (box().piece_by_key["left"], box().piece_by_key["right"]):
        (slot,) = slots(side)
        assert area(slot) == pytest.approx(2 * 400 * 9 + 282 * 9)
        assert slot.depth == 2
        assert slot_reach(slot) == pytest.approx(9)
        assert slot_levels(cut_of(slot), side.thickness) == pytest.approx((-10, -8))


def test_all_round_where_there_is_no_floor() -> None:
    """Against another library: what the outline loses when it is moved 9 inward with mitered corners."""
    side = box(floor="other").piece_by_key["right"]
    outline = shapely.Polygon(side.show)
    lost = outline.difference(outline.buffer(-9, join_style="mitre"))
    cut = shapely.union_all([shapely.Polygon(slot.shape.points) for slot in slots(side)])  # type: ignore[union-attr]
    assert cut.symmetric_difference(lost).area == pytest.approx(0, abs=1e-6)


def test_a_slanting_outline_against_another_library() -> None:
    """The kiosk's profile has an inside corner: the outline less itself moved 9 inward, but for the floor's strip."""
    side = kiosk().cabinet.piece_by_key["right"]
    outline = shapely.Polygon(side.show)
    lost = outline.difference(outline.buffer(-9, join_style="mitre", mitre_limit=20))
    (slot,) = slots(side)
    wide = max(u for u, _ in side.show)
    only_floor = shapely.box(9, 0, wide - 9, 9)
    cut = shapely.Polygon(slot.shape.points)  # type: ignore[union-attr]
    assert cut.symmetric_difference(lost.difference(only_floor)).area == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("key", ["left", "right"])
def test_both_kinds_of_solids_lose_the_slot(key: str) -> None:
    """Volume is conserved: the slot's area times its width, in the mesh and in the exact solid alike."""
    side = kiosk().cabinet.piece_by_key[key]
    bare = replace(side, features=tuple(f for f in side.features if f.kind != "slot"))
    gone = math.fsum(area(slot) * (slot.depth or 0) for slot in slots(side))
    assert gone > 50_000
    assert solid_of(bare).volume - solid_of(side).volume == pytest.approx(gone, rel=1e-6)
    exact = volume_of(exact_solid(bare)) - volume_of(exact_solid(side))
    assert exact == pytest.approx(gone, rel=1e-6)


def test_trim_to_buy_goes_round_all_edges_but_the_floor() -> None:
    """Plain arithmetic: the perimeter less the floor, twice; a tenth more, to the next half metre."""
    corners = list(kiosk().cabinet.shape.corners.values())
    around = sum(math.dist(p, q) for p, q in zip(corners, (*corners[1:], corners[0]), strict=True))
    length = 2 * (around - 545.0)
    assert kiosk().numbers[TRIM_LENGTH].value == pytest.approx(length)
    (row,) = (row for row in kiosk().shopping.rows if row.key == "trim")
    assert row.unit == "m"
    assert length * 1.1 <= row.quantity * 1000 < length * 1.1 + 500
    text = KIOSK.read_text().replace("label: T-shaped", "amount: 9, label: T-shaped")
    (wished,) = (r for r in work_out(open_text(text)).shopping.rows if r.key == "trim")
    assert (wished.quantity, wished.unit) == (9, "m")


def test_sharp_and_inside_corners_are_told_apart() -> None:
    """The kiosk: the foot of the screen is an inside corner, the others between trimmed edges are sharp."""
    said = [f.message for f in kiosk().findings if f.rule == "trim.corner"]
    assert len(said) == 2
    assert any("inside corner E" in text for text in said)
    assert any("C, D, F" in text for text in said)


@pytest.mark.parametrize("key", ["nothing", "dial"])
def test_what_is_no_trim_is_refused(key: str) -> None:
    text = KIOSK.read_text().replace("edge_trim: trim", f"edge_trim: {key}")
    with pytest.raises(InputErrors) as caught:
        work_out(open_text(text))
    assert [error.field for error in caught.value.errors] == ["shape.side.edge_trim"]


def test_a_slot_of_no_depth_is_refused() -> None:
    with pytest.raises(InputErrors) as caught:
        box(trim=TRIM.model_copy(update={"slot_depth": 0.0}))
    assert [error.field for error in caught.value.errors] == ["shape.side.edge_trim"]


def test_a_slot_whose_floor_would_cross_itself_is_refused() -> None:
    """300 wide: slots from the front and from the back meet at 150."""
    box(trim=TRIM.model_copy(update={"slot_depth": 149.9}))
    for depth in (150.1, 5000.0):
        with pytest.raises(InputErrors) as caught:
            box(trim=TRIM.model_copy(update={"slot_depth": depth}))
        (error,) = caught.value.errors
        assert error.field == "parts.trim.measured.slot_depth"
        assert error.want.startswith(("at most 149.9 mm", "at most 150 mm"))


def test_a_slot_wider_than_the_board_is_refused() -> None:
    with pytest.raises(InputErrors) as caught:
        box(trim=TRIM.model_copy(update={"slot_width": 18.0}))
    assert [error.field for error in caught.value.errors] == ["parts.trim.measured.slot_width"]


@pytest.mark.parametrize(
    ("depth", "clashes"),
    [(7.9, False), (8.0, False), (8.1, True)],  # the wall beside the slot is (18 - 2) ÷ 2 = 8
)
def test_grooves_that_open_the_slot(depth: float, clashes: bool) -> None:
    panels: dict[str, Any] = {
        "panels": {"front": {"run": "D-A", "joint": "groove", "groove_depth": depth}}
    }
    found = [f.rule for f in box(**panels).findings if f.rule == "trim.clash"]
    assert found == (["trim.clash"] if clashes else [])


@pytest.mark.parametrize(("width", "said"), [(10.0, False), (10.1, True)])
def test_thin_walls(width: float, said: bool) -> None:
    """(18 - 10) ÷ 2 = 4, the least."""
    cabinet = box(trim=TRIM.model_copy(update={"slot_width": width}))
    assert ("trim.wall" in {f.rule for f in cabinet.findings}) == said


@pytest.mark.parametrize(
    ("width", "told", "boards"),
    [
        (0, None, {}),  # not known
        (18, None, {}),
        (19, None, {}),  # 1 over is cut flush
        (19.05, "⟦1.0500⟧ over", {}),
        (17.7, None, {}),
        (16, "⟦2.0000⟧ of it stay bare", {}),
        (16, "⟦2.0000⟧ of it stay bare", {"thin": {"kind": "mdf", "nominal": 16}}),
    ],
)
def test_a_trim_is_as_wide_as_the_edge(width: float, told: str | None, boards: Any) -> None:
    """Sides of 18; common practice: 0.3 bare and 1 over are let pass."""
    board = {"board": {"kind": "mdf", "nominal": 18}}
    trim = TRIM.model_copy(update={"trim_width": width})
    cabinet = box(trim=trim, materials={**board, **boards})
    findings = [f for f in cabinet.findings if f.rule == "trim.width"]
    assert len(findings) == (told is not None)
    for finding in findings:
        assert told is not None and told in finding.message
        assert [r.value for r in finding.remedies if r.field] == list(boards)
    if boards:
        cured = box(
            trim=trim,
            materials={**board, **boards},
            shape={
                **cabinet.project.shape.model_dump(),
                "side": {"material": "thin", "edge_trim": "trim"},
            },
        )
        assert [f for f in cured.findings if f.rule == "trim.width"] == []


def test_the_sides_sheets_show_it_and_the_tables_name_the_cutter() -> None:
    sheets = [s for s in part_drawings(kiosk().cabinet, kiosk().opened.style) if s.piece == "left"]
    rows = [row for sheet in sheets for row in sheet.hole_rows if row.kind == "slot"]
    assert [(row.tool, row.size, row.depth) for row in rows] == [
        ("router, slot cutter", "2.0 wide, in the middle of the edge", "9.0")
    ]
    for sheet in sheets:
        drawn = [m for m in sheet.bare.marks if getattr(m, "pen", "") == "hidden"]
        assert any(len(getattr(mark, "points", ())) == 12 for mark in drawn)


def test_the_bench_is_told_once_for_both_sides() -> None:
    """Slot before assembly and paint, trim after it; the same order of work for the pair."""
    steps = {s.key: s for s in plan_work(kiosk().cabinet, kiosk().cutting).steps}
    slot = steps["sides.slot"]
    assert slot.pieces == ("left", "right")
    orders = [order for order in slot.orders if "slot" in order]
    assert len(orders) == 1
    assert {"⟦2.0000⟧", "⟦9.0000⟧"} <= set(re.findall("⟦[^⟧]*⟧", orders[0]))
    assert "router" in slot.cautions
    worked = {
        w.piece for s in steps.values() for w in s.works if s is not slot and "trim" in w.feature
    }
    assert not worked
    keys = list(steps)
    assert keys.index("sides.slot") < keys.index("paint.coat.color.1") < keys.index("trim")
