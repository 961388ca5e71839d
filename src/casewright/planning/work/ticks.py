"""What ticked steps say of the pieces: how far each has come, and when that can be put down in its record."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from casewright.behavior.painting import Painting
from casewright.design.built import STATES, State
from casewright.geometry.model import Cabinet
from casewright.planning.blanks import plan_cutting
from casewright.planning.work.left import done_state
from casewright.planning.work.plan import all_steps
from casewright.planning.work.step import Step

SAWN = ("cut", "bevel")


@dataclass(frozen=True)
class Offer:
    """A state that pieces have reached by the ticks, and their records do not say yet."""

    state: State
    pieces: tuple[str, ...]
    """Keys."""


def offers(
    steps: Sequence[Step],
    done: Collection[str],
    key: str,
    cabinet: Cabinet,
    again: Collection[str] = (),
) -> tuple[Offer, ...]:
    """What to put down of the pieces at hand, now that a step is ticked.

    A material is cut up as a whole: as long as one of its cuts or the bevels of one of its pieces is not ticked,
    nothing is offered for any piece of it. A record for some of them would have the rest planned on a new sheet, though
    it lies sawn on the bench.

    Args:
        steps: Of the order of work.
        done: Keys of those that are ticked.
        key: Of the step that was ticked last.
        cabinet: Of the order of work.
        again: Keys of the pieces that exist but are made anew; their records are of the old ones.
    """
    step = next((one for one in steps if one.key == key), None)
    if step is None or key not in done:
        return ()
    at_hand = _sawn_with(step, steps, cabinet) if step.stage in SAWN else step.pieces
    return piece_offers(steps, done, at_hand, cabinet, again)


def piece_offers(
    steps: Sequence[Step],
    done: Collection[str],
    keys: Iterable[str],
    cabinet: Cabinet,
    again: Collection[str] = (),
) -> tuple[Offer, ...]:
    """What to put down of these pieces, and of those that are sawn from the same material; see `offers`."""
    reached: dict[str, State] = {}
    for key in keys:
        state = reached_by_ticks(steps, done, key, cabinet, again)
        if state is None or open_cuts(steps, done, key, cabinet):
            continue
        reached[key] = state
        # The others of its sheets exist too; without their records they would be planned anew.
        for other in _of_material(key, steps, cabinet):
            theirs = reached_by_ticks(steps, done, other, cabinet, again)
            if theirs is not None:
                reached.setdefault(other, theirs)
    return tuple(
        Offer(state, pieces)
        for state in STATES
        if (pieces := tuple(key for key, found in reached.items() if found == state))
    )


def reached_by_ticks(
    steps: Sequence[Step],
    done: Collection[str],
    key: str,
    cabinet: Cabinet,
    again: Collection[str] = (),
) -> State | None:
    """The farthest state of a piece that ticks tell, past its record; None where they tell of none.

    It is one that no open step of the piece is needed for, and that a ticked one leads to.
    """
    ticked: set[int] = set()
    still = len(STATES)
    for step in steps:
        state = done_state(step, cabinet, key) if key in step.pieces else None
        if state is None:
            continue
        if step.key in done:
            ticked.add(STATES.index(state))
        else:
            still = min(still, STATES.index(state))
    place = max((one for one in ticked if one < still), default=-1)
    record = cabinet.project.as_built.get(key) if key not in again else None
    known = STATES.index(record.state) if record is not None else STATES.index("drawn")
    return STATES[place] if place > known else None


def past_ticks(
    steps: Sequence[Step], done: Collection[str], made: Mapping[str, State], cabinet: Cabinet
) -> tuple[str, ...]:
    """Keys of the ticks that nobody needs once pieces are put down as made: of steps that are then left out.

    They go with them, so that a piece that must be made anew begins without ticks.

    Args:
        steps: Of the order of work.
        done: Keys that are ticked; those of steps that are not in the order any more are past too.
        made: States that are put down, by key of the piece.
        cabinet: Of the order of work.
    """
    known = {step.key: step for step in steps}
    records = cabinet.project.as_built
    states = {**{key: record.state for key, record in records.items()}, **made}
    cut = {key for key, state in states.items() if state != "drawn"}
    rest = {
        cabinet.piece_by_key[key].material
        for step in steps
        if step.stage == "cut" and step.sheet is not None
        for key in step.pieces
        if key not in cut and key in cabinet.piece_by_key
    }

    def is_past(step: Step) -> bool:
        if not step.pieces:
            return step.sheet is not None and step.sheet[0] not in rest
        return all(
            key in states
            and (state := done_state(step, cabinet, key)) is not None
            and STATES.index(states[key]) >= STATES.index(state)
            for key in step.pieces
        )

    return tuple(sorted(key for key in done if key not in known or is_past(known[key])))


def whole_count(cabinet: Cabinet, painting: Painting) -> int:
    """How many steps the order of work had before the first piece was made."""
    fresh = replace(cabinet, project=cabinet.project.model_copy(update={"as_built": {}}))
    return len(all_steps(fresh, plan_cutting(fresh), painting))


def open_cuts(
    steps: Sequence[Step], done: Collection[str], key: str, cabinet: Cabinet
) -> tuple[Step, ...]:
    """Cuts and bevels that are not ticked yet, of a piece and of all that comes from the sheets of its material."""
    material = _material(key, cabinet)
    others = {key, *_of_material(key, steps, cabinet)}
    return tuple(
        step
        for step in steps
        if step.stage in SAWN
        and step.key not in done
        and (
            not others.isdisjoint(step.pieces)
            or (step.sheet is not None and step.sheet[0] == material)
        )
    )


def _material(key: str, cabinet: Cabinet) -> str:
    piece = cabinet.piece_by_key.get(key)
    return piece.material if piece is not None else ""


def _of_material(key: str, steps: Sequence[Step], cabinet: Cabinet) -> tuple[str, ...]:
    """The other pieces that are still cut from the same material."""
    cut = {one for step in steps if step.stage == "cut" for one in step.pieces}
    material = _material(key, cabinet)
    return tuple(
        piece.key
        for piece in cabinet.pieces
        if piece.material == material and piece.key in cut and piece.key != key
    )


def _sawn_with(step: Step, steps: Sequence[Step], cabinet: Cabinet) -> tuple[str, ...]:
    """Pieces that a cut or bevel may have been the last one for: all that are cut from its material."""
    material = step.sheet[0] if step.sheet is not None else _material(step.pieces[0], cabinet)
    at_hand = [
        key
        for one in steps
        if one.stage == "cut"
        for key in one.pieces
        if _material(key, cabinet) == material
    ]
    return tuple(dict.fromkeys([*at_hand, *step.pieces]))


__all__ = [
    "Offer",
    "offers",
    "open_cuts",
    "past_ticks",
    "piece_offers",
    "reached_by_ticks",
    "whole_count",
]
