"""What ticked steps say of the pieces: a whole cabinet worked through by ticks alone."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from pydantic import TypeAdapter

from casewright.basics.fields import StepKey
from casewright.design.built import STATES, BuiltPiece
from casewright.planning.work.ticks import offers, open_cuts, past_ticks, whole_count
from casewright.workflow import Worked, open_text, work_out

EXAMPLES = Path(__file__).parents[3] / "examples"
LAP = (EXAMPLES / "lap-controller.cabinet.yaml").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def lap() -> Worked:
    return work_out(open_text(LAP))


def recorded(worked: Worked, states: Mapping[str, str]) -> Worked:
    """The same with pieces marked, straight in the model."""
    opened = worked.opened
    built = {key: BuiltPiece(state=state) for key, state in states.items()}  # type: ignore[arg-type]
    project = opened.project.model_copy(update={"as_built": built})
    return work_out(type(opened)(opened.document, project, opened.parts, opened.catalog))


@pytest.mark.parametrize(
    "path", sorted(EXAMPLES.glob("*.cabinet.yaml")), ids=lambda path: path.name[:5]
)
def test_every_step_can_be_ticked(path: Path) -> None:
    """A key that the project file could not hold could not be kept."""
    reader: TypeAdapter[str] = TypeAdapter(StepKey)
    for step in work_out(open_text(path.read_text(encoding="utf-8"))).work.steps:
        assert reader.validate_python(step.key) == step.key


def test_a_material_is_offered_when_all_of_it_is_sawn(lap: Worked) -> None:
    """Not before: a record of some pieces would have the others planned on a new sheet."""
    steps, cabinet = lap.work.steps, lap.cabinet
    sawn = [step for step in steps if step.stage in ("cut", "bevel")]
    sheet = {piece.key for piece in cabinet.pieces if piece.material == "ply12"}
    battens = {piece.key for piece in cabinet.pieces if piece.material == "batten"}
    done: set[str] = set()
    said: dict[str, set[str]] = {}
    for step in sawn:
        done.add(step.key)
        for offer in offers(steps, done, step.key, cabinet):
            assert offer.state == "cut"
            said[step.key] = set(offer.pieces)
    last_batten = [s.key for s in sawn if battens & set(s.pieces)][-1]
    last_sheet = [s.key for s in sawn if s.sheet or sheet & set(s.pieces)][-1]
    assert said == {last_batten: battens, last_sheet: sheet}
    assert open_cuts(steps, done - {sawn[0].key}, "deck", cabinet) == (sawn[0],)
    assert open_cuts(steps, done, "deck", cabinet) == ()


def test_a_tick_out_of_turn_offers_nothing_for_pieces_not_cut(lap: Worked) -> None:
    steps = lap.work.steps
    drilled = [s.key for s in steps if s.stage == "shape" and "deck" in s.pieces]
    assert offers(steps, set(drilled), drilled[-1], lap.cabinet) == ()
    assert offers(steps, set(), drilled[-1], lap.cabinet) == ()  # not ticked at all


def test_marks_on_a_face_shape_nothing(lap: Worked) -> None:
    """Marked out and still to be drilled, a piece is no farther than cut."""
    cut = recorded(lap, {piece.key: "cut" for piece in lap.cabinet.pieces})
    marking = [s.key for s in cut.work.steps if "base" in s.pieces and s.marks]
    assert marking
    assert offers(cut.work.steps, set(marking), marking[-1], cut.cabinet) == ()
    drilling = [s.key for s in cut.work.steps if "base" in s.pieces and s.stage == "shape"]
    (offer,) = offers(cut.work.steps, set(drilling), drilling[-1], cut.cabinet)
    assert (offer.state, offer.pieces) == ("drilled", ("base",))


def test_worked_through_by_ticks_alone(lap: Worked) -> None:
    """Each offer taken: steps left only ever grow fewer, states only ever rise, and all pieces end in their place."""
    now, states, done = lap, {}, set[str]()
    total = whole_count(lap.cabinet, lap.behavior.painting)
    assert total == len(lap.work.steps)
    left = total
    for _ in range(total):
        step = next((s for s in now.work.steps if s.key not in done), None)
        if step is None:
            break
        done.add(step.key)
        left -= 1
        found = offers(now.work.steps, done, step.key, now.cabinet)
        if not found:
            continue
        made = {key: offer.state for offer in found for key in offer.pieces}
        for key, state in made.items():
            assert STATES.index(state) > STATES.index(states.get(key, "drawn"))
        done -= set(past_ticks(now.work.steps, done, made, now.cabinet))
        states |= made
        now = recorded(lap, states)
        assert done <= {s.key for s in now.work.steps}
        assert len([s for s in now.work.steps if s.key not in done]) <= left
        left = len([s for s in now.work.steps if s.key not in done])
        assert whole_count(now.cabinet, now.behavior.painting) == total
    assert left == 0
    assert set(states) == set(lap.cabinet.piece_by_key)
    assert set(states.values()) == {"fitted"}


def test_all_pieces_painted_leave_no_coat(lap: Worked) -> None:
    painted = recorded(lap, {piece.key: "painted" for piece in lap.cabinet.pieces})
    assert not [s for s in painted.work.steps if s.stage == "paint"]
    assert [s for s in painted.work.steps if s.stage == "fit"]


def test_a_piece_made_anew_is_offered_again(lap: Worked) -> None:
    """Its record is of the old one; without that the new one would never be put down."""
    drilled = recorded(lap, {piece.key: "drilled" for piece in lap.cabinet.pieces})
    steps = lap.work.steps
    mine = {s.key for s in steps if s.stage in ("cut", "bevel", "shape")}
    last = next(s.key for s in reversed(steps) if s.key in mine and "deck" in s.pieces)
    assert offers(steps, mine, last, drilled.cabinet) == ()
    (offer,) = offers(steps, mine, last, drilled.cabinet, ("deck",))
    assert (offer.state, offer.pieces) == ("drilled", ("deck",))
