"""The example projects as the rules see them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from casewright.basics.findings import Severity
from casewright.checks import RULES, Subject
from casewright.projectfile.editing import changed_text
from casewright.workflow import open_project, open_text, work_out

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*.cabinet.yaml"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.name.partition(".")[0])
def test_an_example_can_be_cut(path):
    worked = work_out(open_project(path))
    assert [f for f in worked.findings if f.severity is Severity.STOP] == []


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.name.partition(".")[0])
def test_every_remedy_with_a_value_cures_its_finding_and_stops_nothing_else(path):
    opened = open_project(path)
    worked = work_out(opened)
    ours = {module.RULE.id for module in RULES}
    for finding in worked.findings:
        for remedy in finding.remedies:
            if finding.rule not in ours or not remedy.field:
                continue
            steps = tuple(int(s) if s.isdigit() else s for s in remedy.field.split("."))
            value = remedy.value if isinstance(remedy.value, str) else f"{remedy.value} mm"
            after = work_out(open_text(changed_text(opened.document, {steps: value})))
            left = [
                f
                for f in after.findings
                if (f.rule, f.place.names) == (finding.rule, finding.place.names)
            ]
            assert left == [], remedy
            assert after.stops == (), remedy


def test_what_geometry_said_is_kept_in_the_list():
    opened = open_project(EXAMPLES[0])
    worked = work_out(opened)
    subject = Subject(worked.cabinet, opened.catalog, worked.collisions, worked.behavior)
    assert subject.said <= {(f.rule, n) for f in worked.findings for n in f.place.names}
    bare = replace(subject, behavior=None)
    assert not any(f.rule == "mass.limit" for m in RULES for f in m.find(bare))
