"""After a small change only what it touches is built again. Counts, not times: they are the same on every machine."""

from __future__ import annotations

from pathlib import Path

from tests.laws import forget

from casewright.behavior.balance import weigh
from casewright.behavior.whole import behavior_of
from casewright.checks import Subject, run_checks
from casewright.geometry import columns, solids
from casewright.geometry.build import build_cabinet
from casewright.geometry.collisions import find_collisions
from casewright.workflow import densities, open_project, screw_sizes

DEMO = Path(__file__).resolve().parents[2] / "examples" / "library-duel.cabinet.yaml"


def test_a_moved_button_has_only_its_two_layers_measured_again():
    opened = open_project(DEMO)
    screws = screw_sizes(opened.catalog, opened.project.unit)

    def model(project):
        made = build_cabinet(project, opened.parts, screws)
        found = find_collisions(made)
        behavior = behavior_of(made, weigh(made, densities(opened.catalog)), opened.catalog)
        run_checks(Subject(made, opened.catalog, found, behavior))
        return made

    def misses():
        memos = (solids._piece_moments, solids._piece_solid, columns._concentric)
        return [memo.cache_info().misses for memo in memos]

    forget()  # what tests before this one left behind would decide what is still remembered
    before = model(opened.project)
    start = misses()
    model(opened.project)
    assert misses() == start  # nothing has changed, nothing is made again

    part = opened.project.parts["button"]
    moved = part.placed[0].model_copy(update={"u": part.placed[0].u + 0.5})
    part = part.model_copy(update={"placed": (moved, *part.placed[1:])})
    parts = {**opened.project.parts, "button": part}
    after = model(opened.project.model_copy(update={"parts": parts}))
    changed = [
        key for key, piece in after.piece_by_key.items() if piece != before.piece_by_key[key]
    ]
    assert sorted(changed) == ["deck", "deck.overlay"]
    weighed, built, holes = (a - b for a, b in zip(misses(), start, strict=True))
    assert weighed == len(changed)
    assert built == 0  # holes are measured, no mesh is made for them
    assert 1 <= holes <= 4  # the button's own, in either layer
