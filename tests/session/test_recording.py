"""Pieces marked as made, ways taken: written to the file and read back."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from casewright.basics.errors import InputError, InputErrors
from casewright.session import Session
from casewright.session.recording import marked, printed, unmarked, way_edits
from casewright.workflow import Worked, open_project, replan, work_out

EXAMPLES = Path(__file__).parents[2] / "examples"


def opened(folder: Path, name: str) -> Session:
    path = folder / f"{name}.cabinet.yaml"
    shutil.copy(EXAMPLES / path.name, path)
    return Session.open(path)


def worked(session: Session) -> Worked:
    assert session.worked is not None, session.errors
    return session.worked


@pytest.mark.parametrize("name", ["library-duel", "lap-controller"])
def test_a_made_piece_is_kept_through_the_file(tmp_path: Path, name: str) -> None:
    session = opened(tmp_path, name)
    before = worked(session)
    session.edit(printed(before), "papers")
    session.edit(marked(worked(session), ["deck", "left"], "drilled"), "made")
    session.save()
    session.close(discard=True)
    again = work_out(open_project(tmp_path / f"{name}.cabinet.yaml"))
    records = again.opened.project.as_built
    assert set(records) == {piece.key for piece in again.cabinet.pieces}
    assert records["deck"].state == "drilled" and records["base"].state == "drawn"
    assert replan(again).settled
    # What was written is the piece to a thousandth of a millimeter, in inches too.
    drawn = records["deck"].drawn
    assert drawn is not None
    piece = before.cabinet.piece_by_key["deck"]
    for kept, plan in zip(drawn.faces, (piece.show, piece.back), strict=True):
        for a, b in zip(kept, plan, strict=True):
            assert a == pytest.approx(b, abs=0.001)
    assert set(drawn.features) == {feature.key for feature in piece.features}


def test_what_is_made_is_not_cut_or_bored_again(tmp_path: Path) -> None:
    session = opened(tmp_path, "library-duel")
    full = worked(session)
    session.edit(marked(full, ["deck", "left", "right"], "drilled"), "made")
    session.edit(marked(worked(session), ["base"], "cut"), "made")
    left = worked(session)
    assert not left.made or not left.made.touched
    keys = {blank.key for one in left.cutting.plans for blank in one.blanks}
    assert not keys & {"deck", "left", "right", "base"} and "lip" in keys
    works = {(w.piece, w.feature) for step in left.work.steps for w in step.works}
    assert not {piece for piece, _ in works} & {"deck", "left", "right"}
    base = {f.key for f in left.cabinet.piece_by_key["base"].features}
    assert {feature for piece, feature in works if piece == "base"} == base
    assert not left.work.findings
    assert len(left.work.steps) < len(full.work.steps)
    assert left.shopping.cost.value <= full.shopping.cost.value
    session.close(discard=True)


def test_a_way_is_taken_and_undone(tmp_path: Path) -> None:
    session = opened(tmp_path, "library-duel")
    session.edit(marked(worked(session), ["deck"], "cut", {"length": "669.6 mm"}), "made")
    now = worked(session)
    assert any(f.rule == "built.fits" for f in now.findings)
    way = replan(now).ways[0]
    session.edit(way_edits(now, way), "way")
    after = worked(session)
    assert after.opened.project.shape.width == pytest.approx(699)
    assert replan(after).settled
    assert not any(f.rule.startswith("built.") for f in after.findings)
    session.undo()
    session.undo()
    assert not worked(session).opened.project.as_built
    session.close(discard=True)


def test_a_piece_that_does_not_fit_keeps_its_outline_as_it_comes_on(tmp_path: Path) -> None:
    session = opened(tmp_path, "library-duel")
    session.edit(marked(worked(session), ["deck"], "cut", {"length": "669.6 mm"}), "made")
    session.edit(marked(worked(session), ["deck"], "drilled"), "made")
    record = worked(session).opened.project.as_built["deck"]
    assert record.state == "drilled" and record.length == pytest.approx(669.6)
    session.edit(unmarked(["deck"]), "forget")
    assert not worked(session).opened.project.as_built
    session.close(discard=True)


def test_names_and_states_that_lead_nowhere_are_told(tmp_path: Path) -> None:
    session = opened(tmp_path, "library-duel")
    with pytest.raises(InputError, match="deckk"):
        marked(worked(session), ["deckk"], "cut")
    with pytest.raises(InputError, match="cut"):
        marked(worked(session), ["deck"], "sawn")  # type: ignore[arg-type]
    session.close(discard=True)
    path = tmp_path / "bad.cabinet.yaml"
    text = (EXAMPLES / "library-duel.cabinet.yaml").read_text()
    path.write_text(
        text
        + "as built:\n  decc: {state: cut}\n  deck: {state: cut, bevels: {top: 3}}\n"
        + "  lip: {state: cut, holes: {lever9: {u: 3}}, length: -3}\n"
    )
    with pytest.raises(InputErrors) as caught:
        work_out(open_project(path))
    told = [(error.field, error.spot.line if error.spot else 0) for error in caught.value.errors]
    lines = len(text.splitlines())
    assert ("as built.deck.bevels.top", lines + 3) in told
    assert ("as built.lip.length", lines + 4) in told
    path.write_text(
        text + "as built:\n  decc: {state: cut}\n  lip: {state: cut, holes: {lever9: {u: 3}}}\n"
    )
    with pytest.raises(InputErrors) as caught:
        work_out(open_project(path))
    fields = [error.field for error in caught.value.errors]
    assert fields == ["as built.decc", "as built.lip.holes.lever9"]
    assert all(error.spot for error in caught.value.errors)


@pytest.mark.parametrize("name", ["library-duel", "lap-controller", "kiosk"])
def test_the_other_pieces_come_from_what_is_left_of_the_sheet(tmp_path: Path, name: str) -> None:
    """One piece cut out of a sheet: as many sheets are asked for as had to be bought anyway, less the one begun."""
    session = opened(tmp_path, name)
    full = worked(session)
    plan = next(one for one in full.cutting.plans if len(one.plan.sheets[0].placements) > 2)
    sheet = plan.plan.sheets[0]
    first = next(r.blank for cut in sheet.cuts for r in cut.results if r.kind == "part")
    session.edit(marked(full, [first], "cut"), "cut")
    after = worked(session)
    left = next(one for one in after.cutting.plans if one.material == plan.material)
    assert left.plan.bought == plan.plan.bought - 1
    assert not left.plan.unplaced
    record = after.opened.project.as_built[first]
    assert record.sheet == sheet.stock and record.rests
    # A second one comes off a rest: that one is used up, and what is left of it is kept with the second.
    from_rest = next(one for one in left.plan.sheets if one.stock.startswith("left by"))
    second = next(r.blank for cut in from_rest.cuts for r in cut.results if r.kind == "part")
    session.edit(marked(after, [second], "cut"), "cut")
    last = worked(session)
    records = last.opened.project.as_built
    assert len(records[first].rests) == len(record.rests) - 1
    assert records[second].sheet == from_rest.stock
    again = next((one for one in last.cutting.plans if one.material == plan.material), None)
    assert again is None or again.plan.bought == plan.plan.bought - 1
    wood = sum(r.length * r.width for one in records.values() for r in one.rests)
    assert wood < sheet.length * sheet.width
    # Drilled later, the record still knows its rests; and a piece that is not made after all takes them with it.
    session.edit(marked(last, [first], "drilled"), "drilled")
    assert worked(session).opened.project.as_built[first].rests == records[first].rests
