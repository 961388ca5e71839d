"""What is different between two states, against a comparison of the exported tables."""

from __future__ import annotations

from pathlib import Path

from casewright.outputs.difference import difference, line_words
from casewright.projectfile.editing import changed_document
from casewright.session.versions import state_of
from casewright.workflow import Worked, open_document, open_project, work_out

DUEL = Path(__file__).parents[2] / "examples" / "library-duel.cabinet.yaml"


def worked(changes: dict[tuple[str | int, ...], object] | None = None) -> Worked:
    opened = open_project(DUEL)
    if changes:
        opened = open_document(changed_document(opened.document, changes), opened.catalog)  # type: ignore[arg-type]
    return work_out(opened)


def test_nothing_is_different_from_itself() -> None:
    assert difference(state_of(worked()), state_of(worked())) == ()


def test_a_wider_cabinet_changes_just_the_pieces_that_span_it() -> None:
    before, after = worked(), worked({("shape", "width"): 720})
    lines = difference(state_of(before), state_of(after))
    said = {line.what: line for line in lines if line.kind == "piece"}
    for key, piece in after.cabinet.piece_by_key.items():
        was = before.cabinet.piece_by_key.get(key)
        sizes_differ = was is None or (
            max(abs(was.width - piece.width), abs(was.height - piece.height)) > 0.05
        )
        if sizes_differ:
            assert piece.label in said
    assert "left side" not in said or "hole" in said["left side"].after
    settings = [line for line in lines if line.kind == "setting"]
    assert [(line.what, line.before, line.after) for line in settings] == [
        ("shape.width", "700", "720")
    ]
    mass = next(line for line in lines if line.what == "mass")
    assert mass.before == f"{before.balance.total_kg:.1f} kg"
    assert mass.after == f"{after.balance.total_kg:.1f} kg"


def test_a_moved_part_is_told_with_both_places_and_what_it_brings() -> None:
    path = ("parts", "button", "placed", 0, "u")
    lines = difference(state_of(worked()), state_of(worked({path: 150})))
    red = next(line for line in lines if line.kind == "part" and line.what == "red")
    assert "140.3" in red.before and "150.0" in red.after
    deck = next(line for line in lines if line.kind == "piece" and line.what == "deck")
    assert "holes" in deck.after
    assert all(line_words(line) for line in lines)


def test_backward_is_the_mirror_of_forward() -> None:
    a, b = state_of(worked()), state_of(worked({("shape", "width"): 720}))
    there = {(x.kind, x.what, x.before, x.after) for x in difference(a, b) if x.before and x.after}
    back = {(x.kind, x.what, x.after, x.before) for x in difference(b, a) if x.before and x.after}
    assert there == back
