"""The chapter on the order of work agrees with the plan, and with the chapters by machine beside it."""

from __future__ import annotations

import re
from collections import Counter

import pytest
from tests.outputs.documents.book_bench import BOUND, all_text, bound_book, plain

from casewright.basics.findings import worded
from casewright.geometry.model import Circle
from casewright.planning.setups import saw_setups
from casewright.planning.work.holes import ROUTED, bored


@pytest.fixture(scope="module", params=BOUND, ids=lambda pair: pair[0])
def bound(request):
    return bound_book(*request.param)


def test_days_settings_and_guards_are_told_as_planned(bound):
    plan, text = bound.source.work, all_text(bound.book)
    machines = [one for one in plan.setups if one.machine != "pieces"]
    assert f"{sum(one.count for one in machines)}settingsofthemachines" in text
    for one in machines:
        assert re.search(plain(f"{one.machine}{one.thing}{one.count}{one.least}"), text), one
    for guard in plan.guards:
        assert plain(guard.title) in text
    last = plan.days[-1]
    assert re.search(
        rf"{last.number}[0-9hmin]+{last.steps and plan.step(last.steps[0]).number}", text
    )


def test_every_step_stands_in_the_chapter_once_with_its_title(bound):
    """Titles at the machines are set whole; those of assembly may be cut short after a line or two."""
    text = all_text(bound.book)
    say = bound.worked.opened.write_length
    for step in bound.source.work.steps:
        title = plain(worded(step.title, say))[:40]
        assert title.replace("/", "") in text.replace("/", "").replace("⁄", ""), step.key


def test_holes_by_bit_are_those_of_the_drilling_table(bound):
    """The table groups the sheets' holes by bit; the steps group the pieces' features by setting: one sum."""
    told = Counter()
    for sheet in bound.source.sheets:
        for row in sheet.hole_rows:
            if row.feature.tool not in ROUTED:
                ends = 1 if isinstance(row.feature.shape, Circle) else 2
                told[round(bored(row.feature), 2)] += ends * max(1, sheet.quantity)
    planned = Counter()
    pieces = bound.worked.cabinet.piece_by_key
    for step in bound.source.work.steps:
        for work in step.works:
            feature = pieces[work.piece].feature(work.feature)
            if work.part == "whole" and feature.tool not in ROUTED:
                assert step.setting is not None and step.setting.machine == "drill"
                planned[round(bored(feature), 2)] += 1 if isinstance(feature.shape, Circle) else 2
    assert planned == told


def test_bevels_are_those_of_the_saw_set_ups(bound):
    told = Counter(
        f"{setup.tilt_deg:.1f}°" for setup in saw_setups(bound.worked.cabinet) for _ in setup.edges
    )
    planned = Counter(s.setting.values[0] for s in bound.source.work.steps if s.stage == "bevel")
    assert planned == told


def test_coats_are_those_of_the_finishing_chapter(bound):
    """As many, in the same order, by their names."""
    told = [s.label for s in bound.worked.behavior.painting.sittings if s.kind != "harden"]
    coats = [s for s in bound.source.work.steps if s.key.startswith("paint.coat.")]
    assert [s.title.lower() for s in coats] == [label.lower() for label in told]
