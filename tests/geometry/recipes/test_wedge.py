"""A wedge's depth: along the slope and level."""

from __future__ import annotations

import re
from pathlib import Path

from casewright.basics.findings import worded
from casewright.projectfile.editing import changed_document
from casewright.workflow import Worked, open_document, open_project, work_out

LAP = Path(__file__).parents[3] / "examples" / "lap-controller.cabinet.yaml"


def with_depth(depth: str) -> Worked:
    opened = open_project(LAP)
    changed = changed_document(opened.document, {("shape", "depth"): depth})
    return work_out(open_document(changed, opened.catalog))


def test_a_depth_too_small_is_told_as_it_is_wished_for() -> None:
    # Plain trigonometry: the level depth is the deck's along its slope times the cosine; message and remedy speak of
    # the one that the project gives.
    found = next(f for f in with_depth("219 mm").stops if f.rule.endswith("deck-depth"))
    words = worded(found.message, lambda length: f"{length:.4f} mm")
    assert words.startswith("Depth of the cabinet") and "is 219.0000 mm" in words
    asked = float(re.findall(r"([0-9.]+) mm at least", words)[0])
    remedy = found.remedies[0]
    # Rounded up to what a tape in inches shows.
    assert isinstance(remedy.value, float) and 0 <= remedy.value - asked + 1e-3 < 25.4 / 16
    cured = with_depth(f"{remedy.value:.4f} mm")
    assert not [f for f in cured.findings if f.rule == found.rule]
