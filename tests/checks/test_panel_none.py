"""An outline without panels is no cabinet, and is told so."""

from __future__ import annotations

from tests.checks.bench import box, found

from casewright.checks.rules import panel_none


def test_two_sides_alone_are_told_with_the_runs_that_are_there():
    data = box()
    assert found(panel_none, data) == []
    data["panels"], data["seams"] = {}, []
    (finding,) = found(panel_none, data)
    assert all(run in finding.remedies[0].text for run in ("A-B", "B-C", "C-D", "D-A"))
