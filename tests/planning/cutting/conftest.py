"""Laws of sawing that every plan is held against, written apart from the planner."""

from __future__ import annotations

import importlib.util
import json
import tempfile
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from casewright.planning.cutting import (
    Blank,
    CutPlan,
    SheetLayout,
    Stock,
    parts_csv,
    stock_csv,
    to_layout_json,
)

NEAR = 1e-4  # mm
SHAVED = 0.05  # mm; thinner rests are not sawn off, so a piece may be larger than named by as much
Box = tuple[float, float, float, float]  # x, y, length, width


def divides(boxes: list[Box], kerf: float) -> bool:
    """Whether cuts from edge to edge, each a kerf wide, can free every box."""
    if len(boxes) < 2:
        return True
    for axis in (0, 1):
        boxes = sorted(boxes, key=lambda b: b[axis])
        reach = boxes[0][axis] + boxes[0][axis + 2]
        for i, box in enumerate(boxes[1:], start=1):
            if box[axis] >= reach + kerf - NEAR:
                return divides(boxes[:i], kerf) and divides(boxes[i:], kerf)
            reach = max(reach, box[axis] + box[axis + 2])
    return False


def check_places(sheet: SheetLayout, kerf: float) -> None:
    boxes = [(p.x, p.y, p.length, p.width) for p in sheet.placements]
    for x, y, length, width in boxes:
        assert x >= sheet.trim - NEAR
        assert y >= sheet.trim - NEAR
        assert x + length <= sheet.length - sheet.trim + NEAR
        assert y + width <= sheet.width - sheet.trim + NEAR
    for i, a in enumerate(boxes):
        for b in boxes[:i]:
            gap = max(
                a[0] - b[0] - b[2], b[0] - a[0] - a[2], a[1] - b[1] - b[3], b[1] - a[1] - a[3]
            )
            assert gap >= kerf - NEAR, f"{a} and {b} are {gap} mm apart"
    assert divides(boxes, kerf)


def check_replay(sheet: SheetLayout, kerf: float) -> float:
    """Saw the sheet up as the steps say; what lies on the bench at the end is the plan. Returns the dust. [mm²]"""
    bench: dict[str, Box] = {"the sheet": (0.0, 0.0, sheet.length, sheet.width)}
    done: list[tuple[str, int, Box]] = []
    kept: list[Box] = []
    dust = 0.0
    for number, step in enumerate(sheet.cuts, start=1):
        assert step.number == number
        box = bench.pop(step.piece)
        assert box == pytest.approx((step.x, step.y, step.length, step.width), abs=SHAVED + NEAR)
        axis = 1 if step.direction == "rip" else 0
        near = step.results[0]
        near_box = (near.x, near.y, near.length, near.width)
        assert near_box[axis + 2] == pytest.approx(step.fence, abs=NEAR)
        for result in step.results:
            here = (result.x, result.y, result.length, result.width)
            assert here[1 - axis] == pytest.approx(box[1 - axis], abs=NEAR)
            assert here[3 - axis] == pytest.approx(box[3 - axis], abs=SHAVED + NEAR)
            assert here[0] >= box[0] - NEAR
            assert here[1] >= box[1] - NEAR
            assert here[0] + here[2] <= box[0] + box[2] + NEAR
            assert here[1] + here[3] <= box[1] + box[3] + NEAR
            if result.kind == "part":
                done.append((result.blank, result.copy, here))
            elif result.kind == "piece":
                assert result.name not in bench
                bench[result.name] = here
            elif result.kind == "offcut":
                kept.append(here)
        if step.trimming:
            assert box[axis + 2] - near_box[axis + 2] == pytest.approx(
                sheet.trim, abs=SHAVED + NEAR
            )
        elif len(step.results) == 2:
            far = step.results[1]
            far_start = (far.x, far.y)[axis]
            gap = far_start - near_box[axis] - near_box[axis + 2]
            assert gap == pytest.approx(kerf, abs=SHAVED + NEAR)
            dust += kerf * box[3 - axis]
        else:  # the blade turns all the rest to dust
            rest = box[axis + 2] - near_box[axis + 2]
            assert SHAVED < rest <= kerf + SHAVED + NEAR
            dust += rest * box[3 - axis]
    for box in bench.values():  # a piece that needs no cut: the trimmed sheet is one part
        assert len(sheet.placements) == 1
        only = sheet.placements[0]
        done.append((only.blank, only.copy, box))
    laid = [(p.blank, p.copy, (p.x, p.y, p.length, p.width)) for p in sheet.placements]
    assert sorted(d[:2] for d in done) == sorted(p[:2] for p in laid)
    for (_, _, cut), (_, _, place) in zip(sorted(done), sorted(laid), strict=True):
        assert cut == pytest.approx(place, abs=SHAVED + NEAR)
    assert sorted(kept) == sorted((o.x, o.y, o.length, o.width) for o in sheet.offcuts)
    return dust


def load_checker() -> ModuleType | None:
    path = Path(__file__).parents[4] / "shared" / "tools" / "check_layout.py"
    if not path.is_file():
        return None
    spec = importlib.util.spec_from_file_location("check_layout", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


Report = tuple[list[str], dict[str, Any]]


@pytest.fixture(scope="session")
def layout_report() -> Callable[[CutPlan, Sequence[Blank], Sequence[Stock], float], Report]:
    """The separate checker of layouts: returns what it objects to, and its figures."""
    module = load_checker()
    if module is None:
        pytest.skip("check_layout.py is not at ../shared/tools")

    def check(
        plan: CutPlan, blanks: Sequence[Blank], stock: Sequence[Stock], kerf: float
    ) -> Report:
        laid = Counter(p.blank for sheet in plan.sheets for p in sheet.placements)
        asked = [b for b in blanks if laid[b.key]]
        with tempfile.TemporaryDirectory() as folder:
            parts, shelf = Path(folder) / "parts.csv", Path(folder) / "stock.csv"
            parts.write_text(parts_csv(asked), encoding="utf-8")
            shelf.write_text(stock_csv(stock), encoding="utf-8")
            layout = json.loads(json.dumps(to_layout_json(plan, blanks, kerf)))
            violations, report = module.check(
                layout, module.read_parts(str(parts)), module.read_stock(str(shelf))
            )
        assert report["sheets"] == len(plan.sheets)
        return list(violations), report

    return check


@pytest.fixture(scope="session")
def layout_checker(
    layout_report: Callable[[CutPlan, Sequence[Blank], Sequence[Stock], float], Report],
) -> Callable[[CutPlan, Sequence[Blank], Sequence[Stock], float], list[str]]:
    """Only what it objects to."""
    return lambda plan, blanks, stock, kerf: layout_report(plan, blanks, stock, kerf)[0]


@pytest.fixture(scope="session")
def assert_sound() -> Callable[[CutPlan, Sequence[Blank], Sequence[Stock], float], None]:
    """Hold a plan against every law of this page."""

    def check(plan: CutPlan, blanks: Sequence[Blank], stock: Sequence[Stock], kerf: float) -> None:
        wanted = {b.key: b for b in blanks}
        shelf = {s.key: s for s in stock}
        laid = Counter(p.blank for sheet in plan.sheets for p in sheet.placements)
        missing = Counter({u.key: u.quantity for u in plan.unplaced})
        assert laid + missing == Counter({b.key: b.quantity for b in blanks if b.quantity})
        used = Counter(sheet.stock for sheet in plan.sheets)
        for key, count in used.items():
            limit = shelf[key].available
            assert limit is None or count <= limit
        assert plan.bought == sum(n for key, n in used.items() if not shelf[key].offcut)
        if not plan.unplaced:
            assert plan.bought >= plan.lower_bound
        copies = [(p.blank, p.copy) for sheet in plan.sheets for p in sheet.placements]
        assert sorted(copies) == [(k, n) for k in sorted(laid) for n in range(1, laid[k] + 1)]
        for number, sheet in enumerate(plan.sheets, start=1):
            assert sheet.index == number
            assert sheet.placements, "a sheet nothing is cut from"
            source = shelf[sheet.stock]
            assert (sheet.length, sheet.width, sheet.trim) == (
                source.length,
                source.width,
                source.trim,
            )
            for place in sheet.placements:
                blank = wanted[place.blank]
                size = (blank.width, blank.length) if place.turned else (blank.length, blank.width)
                assert (place.length, place.width) == pytest.approx(size, abs=NEAR)
                assert not (place.turned and blank.grain == "length")
            check_places(sheet, kerf)
            dust = check_replay(sheet, kerf)
            areas = sheet.areas
            whole = areas.parts + areas.offcuts + areas.waste + areas.kerf + areas.trim
            assert whole == pytest.approx(sheet.length * sheet.width, rel=1e-9)
            assert areas.parts == pytest.approx(
                sum(p.length * p.width for p in sheet.placements), rel=1e-9
            )
            assert areas.kerf == pytest.approx(dust, rel=1e-6, abs=1.0)
            assert areas.waste >= 0

    return check
