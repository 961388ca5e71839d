"""Chances worth a word: small, large, and cured by what the remedy says."""

from __future__ import annotations

import pytest
from tests.checks.bench import applied, box, cures, found, lever

from casewright.basics.findings import Severity
from casewright.checks.rules import tolerance_chance


def door(gap, **accuracy):
    hatch = {"on": "back", "width": 300, "height": 120, "gap": gap}
    return box(doors={"hatch": hatch}, accuracy=accuracy)


def test_careful_work_is_fine():
    assert found(tolerance_chance, door(1.5)) == []


def test_a_tight_door_is_found_and_cured():
    finding, *rest = found(tolerance_chance, door(0.3))
    assert rest == [] and finding.severity is Severity.CAUTION
    assert finding.remedies[0].field == "doors.hatch.gap"
    assert isinstance(finding.remedies[0].value, float) and finding.remedies[0].value > 0.3
    cures(tolerance_chance, door(0.3))


def test_marks_by_tape_are_cured_by_the_template():
    data = box(parts={"lever": lever(300, 150)}, accuracy={"marking": "tape"})
    assert {f.severity for f in found(tolerance_chance, data)} == {Severity.NOTE}
    cures(tolerance_chance, data)


@pytest.mark.parametrize("field", ["repeat", "fence"])
def test_rough_work_is_cured_by_the_limit_that_is_named(field):
    data = box(accuracy={field: 0.8})
    finding = found(tolerance_chance, data)[0]
    remedy = next(r for r in finding.remedies if r.field == f"accuracy.{field}")
    assert isinstance(remedy.value, float) and 0 < remedy.value < 0.8
    assert found(tolerance_chance, applied(data, remedy)) == []
