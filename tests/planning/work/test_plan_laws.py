"""Laws of every plan of work, on random cabinets and on the examples."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import ValidationError
from tests.outputs.drawings.sheets_bench import EXAMPLES, example
from tests.strategies import as_project, examples, known, project_data
from tests.wild import extreme_data, wild_data

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.findings import mm
from casewright.behavior.painting import painting_of
from casewright.catalog.load import load_catalog
from casewright.geometry.build import build_cabinet
from casewright.geometry.fastening import screw_sizes
from casewright.geometry.model import Cabinet
from casewright.planning.blanks import Cutting, plan_cutting
from casewright.planning.cutting import SheetLayout
from casewright.planning.setups import saw_setups
from casewright.planning.work import MAKING, STAGES, WorkPlan, plan_work
from casewright.planning.work.painting import coat_keys
from casewright.workflow import open_text, work_out

NAMES = tuple(sorted(path.name.split(".")[0] for path in EXAMPLES.glob("*.cabinet.yaml")))
RECESSES = ("pocket", "counterbore", "groove")


@st.composite
def planned(
    draw: st.DrawFn, kind: st.SearchStrategy[dict[str, Any]]
) -> tuple[Cabinet, Cutting, WorkPlan] | None:
    """A random cabinet, half of them with sheets to cut from; None where the data give an input error."""
    data = draw(kind)
    sheets = [{"length": "2440 mm", "width": "1220 mm"}] if draw(st.booleans()) else []
    for material in data["materials"].values():
        material["sheets"] = sheets
    try:
        project = as_project(data)
        cabinet = build_cabinet(project, known(project), screw_sizes(load_catalog(), project.unit))
    except (InputError, InputErrors, ValidationError):
        return None
    cutting = plan_cutting(cabinet, effort=5)
    return cabinet, cutting, plan_work(cabinet, cutting)


@pytest.fixture(scope="module", params=NAMES)
def whole(request):
    worked = example(request.param)
    return worked.cabinet, worked.cutting, worked.work


SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]


@given(planned(project_data()))
@settings(max_examples=examples(25), deadline=None, suppress_health_check=SLOW)
def test_laws_hold_on_random_cabinets(made):
    if made is not None:
        hold(*made)


@given(planned(st.one_of(wild_data(), extreme_data())))
@settings(max_examples=examples(25), deadline=None, suppress_health_check=SLOW)
def test_laws_hold_on_what_no_maker_would_draw(made):
    if made is not None:
        hold(*made)


def test_laws_hold_on_the_examples(whole):
    hold(*whole)


def hold(cabinet: Cabinet, cutting: Cutting, plan: WorkPlan) -> None:
    """All laws at once, so that a random cabinet is built only once."""
    every_feature_once(cabinet, plan)
    needs_go_first(cabinet, plan)
    every_piece_and_edge_is_cut(cabinet, cutting, plan)
    settings_keep_to_their_bound(plan)
    time_adds_up(cabinet, plan)
    guards_hold(cabinet, plan)


def every_feature_once(cabinet: Cabinet, plan: WorkPlan) -> None:
    """Whole once, its rim once if it has a chamfer, sawn out roughly once if it is trimmed."""
    done = Counter((w.piece, w.feature, w.part) for step in plan.steps for w in step.works)
    wanted = Counter()
    for piece in cabinet.pieces:
        for feature in piece.features:
            wanted[piece.key, feature.key, "whole"] += 1
            if feature.chamfer:
                wanted[piece.key, feature.key, "rim"] += 1
            if feature.tool == "flush trim" and feature.depth is None:
                wanted[piece.key, feature.key, "rough"] += 1
            placed = cabinet.placed_by_key.get(feature.owner)
            if placed and placed.part.data.kind == "grip" and placed.part.data.style == "hand hole":
                wanted[piece.key, feature.key, "round"] += 2  # both faces
    starts = {key: count for key, count in done.items() if key[2] == "start"}
    assert {key: count for key, count in done.items() if key[2] != "start"} == wanted
    assert set(starts.values()) <= {1}


def needs_go_first(cabinet: Cabinet, plan: WorkPlan) -> None:
    number = {step.key: step.number for step in plan.steps}
    assert list(number.values()) == list(range(1, len(plan.steps) + 1))
    stages = [STAGES.index(step.stage) for step in plan.steps]
    assert stages == sorted(stages)
    when: dict[tuple[str, str, str], int] = {}
    first: dict[str, int] = {}
    sawn: dict[str, int] = {}
    for step in plan.steps:
        assert all(number[need] < step.number for need in step.needs)
        for w in step.works:
            when[w.piece, w.feature, w.part] = step.number
            first.setdefault(w.piece, step.number)
        if step.stage in ("cut", "bevel"):
            sawn |= dict.fromkeys(step.pieces, step.number)
    for (piece, feature, part), at in when.items():
        assert sawn[piece] < at  # cut and bevelled before anything is worked into it
        whole = when[piece, feature, "whole"]
        assert at <= whole if part in ("start", "rough") else at >= whole
        if part == "rough" and (piece, feature, "start") in when:
            assert when[piece, feature, "start"] < at
    for piece in cabinet.pieces:
        for wide in piece.features:
            for hole in piece.features:
                # A screw's recess and its hole, by their common owner and middle.
                if wide.kind in RECESSES and hole.kind in ("clearance", "hole"):
                    a, b = wide.shape, hole.shape
                    if hasattr(a, "u") and hasattr(b, "u") and (a.u, a.v) == (b.u, b.v):
                        assert (
                            when[piece.key, wide.key, "whole"] < when[piece.key, hole.key, "whole"]
                        )


def every_piece_and_edge_is_cut(cabinet: Cabinet, cutting: Cutting, plan: WorkPlan) -> None:
    cut = Counter(key for step in plan.steps if step.stage == "cut" for key in step.pieces)
    assert cut == Counter(piece.key for piece in cabinet.pieces)
    passes = sum(len(sheet.cuts) for one in cutting.plans for sheet in one.plan.sheets)
    assert sum(step.sheet is not None for step in plan.steps) == passes
    # What is cut lies there: it came off an earlier cut of its sheet, or is the sheet.
    sheets = {(p.material, s.index): s for p in cutting.plans for s in p.plan.sheets}
    there: dict[tuple[str, int], list[tuple[float, ...]]] = {}
    for step in plan.steps:
        if step.sheet is None:
            continue
        sheet = sheets[step.sheet[:2]]
        lying = there.setdefault(step.sheet[:2], [_whole(sheet)])
        cut = sheet.cuts[step.sheet[2] - 1]
        lying.remove(_rounded(cut.x, cut.y, cut.length, cut.width))
        lying += [_rounded(r.x, r.y, r.length, r.width) for r in cut.results]
    edges = sum(len(setup.edges) for setup in saw_setups(cabinet))
    assert sum(step.stage == "bevel" for step in plan.steps) == edges


def _whole(sheet: SheetLayout) -> tuple[float, ...]:
    first = sheet.cuts[0]
    return _rounded(first.x, first.y, first.length, first.width)


def _rounded(*sizes: float) -> tuple[float, ...]:
    return tuple(round(size, 3) for size in sizes)


def settings_keep_to_their_bound(plan: WorkPlan) -> None:
    """Counted again along the steps: tilts and bits by their first value alone."""
    for one in plan.setups:
        assert one.count >= one.least >= one.distinct
    for machine, thing in (("table saw", "tilt"), ("drill", "bit"), ("router", "bit")):
        row = [
            s.setting.values[0] for s in plan.steps if s.setting and s.setting.machine == machine
        ]
        changes = sum(a != b for a, b in zip(["", *row], row, strict=False))
        told = [c.count for c in plan.setups if (c.machine, c.thing) == (machine, thing)]
        assert told == ([changes] if row else [])
    tilts = [c for c in plan.setups if c.thing == "tilt"]
    assert all(c.count == c.least for c in tilts)


def time_adds_up(cabinet: Cabinet, plan: WorkPlan) -> None:
    for before, after in pairwise(plan.slots):
        assert after.start_h >= before.end_h - 1e-6
    begun: dict[str, float] = {}
    ready: dict[str, float] = {}
    for slot in plan.slots:
        begun.setdefault(slot.step, slot.start_h)
        ready[slot.step] = slot.ready_h
    for step in plan.steps:
        assert all(begun[step.key] >= ready[need] - 1e-6 for need in step.needs)
    if begun:
        assert plan.critical.hours <= max(ready.values()) - min(begun.values()) + 1e-6
    minutes = sum(step.minutes + step.setup_minutes for step in plan.steps)
    told = {number.key: number.value for number in plan.numbers}
    assert told["work.minutes"] == pytest.approx(minutes)
    # Coats begin as the paint calendar says, all moved by the same whole days.
    sittings = [s for s in painting_of(cabinet).sittings if s.kind != "harden"]
    moved = {
        round((begun[key] - s.start_h) / 24, 6)
        for key, s in zip(coat_keys(plan.steps), sittings, strict=True)
    }
    assert len(moved) <= 1 and all(days == int(days) for days in moved)


def guards_hold(cabinet: Cabinet, plan: WorkPlan) -> None:
    """Nothing is broken, but where the design lets nobody reach inside or gives a screw no room."""
    deep = any(  # a groove deeper than its board is the design's fault, and is told
        f.depth is not None and f.kind != "slot" and f.depth >= piece.thickness - 0.1
        for piece in cabinet.pieces
        for f in piece.features
    )
    for guard in plan.guards:
        if guard.key in ("closed too soon", "screws through"):
            continue
        if guard.key == "through a show face" and deep:
            continue
        assert guard.findings == (), guard.key


def test_blind_cups_are_glued_before_paint_and_told_for_every_hand_hole_that_has_one():
    worked = example("library-duel")
    cups = {
        placed.key
        for placed in worked.cabinet.placed
        if placed.part.data.kind == "grip" and placed.part.data.cup_depth > 0
    }
    steps = [step for step in worked.work.steps if step.key.startswith("cup.")]
    assert cups and {key for step in steps for key in step.parts} == cups
    first = min(step.number for step in worked.work.steps if step.stage == "paint")
    assert all(step.stage == "glue" and step.number < first for step in steps)


def test_stages_of_making_come_first_and_everything_has_its_minutes(whole):
    _, _, plan = whole
    for step in plan.steps:
        assert step.minutes > 0, step.key
        assert step.orders and step.title
        assert step.stage not in MAKING or step.tool
        if step.setting and step.setting.stop is not None and step.setting.machine == "drill":
            assert step.setting.values[1] == mm(step.setting.stop)


def test_keys_outlive_edits_of_other_things():
    """A button moved, another price, other feet: every step keeps its key. A hole of another size changes its own."""
    path = EXAMPLES / "lap-controller.cabinet.yaml"
    text = path.read_text(encoding="utf-8")
    before = [s.key for s in work_out(open_text(text)).work.steps]
    moved = text.replace("currency: cu", "currency: coins").replace("v: 5 3/8", "v: 5 1/2")
    assert moved != text
    assert [s.key for s in work_out(open_text(moved)).work.steps] == before
    assert len(set(before)) == len(before)
    assert not [key for key in before if key.isdigit()]


def test_pace_stretches_work_and_hours_spread_it():
    """Twice the pace: twice the minutes but for the coats, whose hour is the paint calendar's."""
    text = (EXAMPLES / "lap-controller.cabinet.yaml").read_text(encoding="utf-8")
    plain = work_out(open_text(text)).work
    slow = work_out(open_text(text.replace("shop:\n", "shop:\n  pace: 2\n  hours: 3\n", 1))).work
    coats = sum(s.minutes for s in plain.steps if s.key in coat_keys(plain.steps))
    whole = sum(s.minutes + s.setup_minutes for s in plain.steps)
    assert sum(s.minutes + s.setup_minutes for s in slow.steps) == pytest.approx(
        2 * (whole - coats) + coats
    )
    assert len(slow.days) > len(plain.days)
    coated = coat_keys(slow.steps)
    evening = [s for s in slow.slots if s.step not in coated and s.end_h % 24 > 12 + 1e-6]
    assert evening == []
