"""The steps that are left once some pieces are made."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from casewright.design.built import BuiltPiece, State
from casewright.design.project import Project
from casewright.geometry.model import Cabinet, Feature
from casewright.planning.work.holes import ROUTED
from casewright.planning.work.step import Stage, Step, Work

DONE_BY: dict[Stage, State] = {
    "cut": "cut",
    "bevel": "cut",
    "dry fit": "fitted",
    "glue": "fitted",
    "paint": "painted",
    "fit": "fitted",
}
"""State from which on a piece needs a stage no more.

Shaping goes by what a step works; wiring, tests and closing always stay.
"""


def feature_made(record: BuiltPiece | None, feature: Feature) -> bool:
    """Whether a piece in this state has a feature of that kind."""
    if record is None:
        return False
    return record.reached("shaped" if feature.tool in ROUTED else "drilled")


def done_state(step: Step, cabinet: Cabinet, key: str) -> State | None:
    """State from which on a piece needs a step no more; None where the step always stays.

    Args:
        step: Of the order of work.
        cabinet: Whose pieces it works.
        key: Of one of its pieces.
    """
    if step.stage != "shape":
        return DONE_BY.get(step.stage)
    piece = cabinet.piece_by_key.get(key)
    worked = {work.feature for work in step.works if work.piece == key}
    tools = [f.tool for f in piece.features if f.key in worked] if piece else []
    if tools:
        return "shaped" if all(tool in ROUTED for tool in tools) else "drilled"
    return "drilled" if step.marks or step.job == "mark pair" else "shaped"


def left_to_do(steps: Sequence[Step], cabinet: Cabinet, again: Collection[str] = ()) -> list[Step]:
    """The steps that are left, each with the pieces and holes that are left of it.

    Args:
        steps: Of the whole cabinet, in any order.
        cabinet: With its records.
        again: Keys of pieces that are made but have to be made anew.
    """
    project = cabinet.project
    if not project.as_built:
        return list(steps)
    left = []
    for step in steps:
        rest = _rest(step, cabinet, project, again)
        if rest is not None:
            left.append(rest)
    there = {step.key for step in left}
    return [
        replace(step, needs=tuple(need for need in step.needs if need in there)) for step in left
    ]


def _rest(step: Step, cabinet: Cabinet, project: Project, again: Collection[str]) -> Step | None:
    def reached(key: str, state: State) -> bool:
        record = project.as_built.get(key)
        return record is not None and key not in again and record.reached(state)

    if step.stage == "shape":
        if step.works:
            works = tuple(work for work in step.works if not _worked(cabinet, work, again))
            if not works:
                return None
            return replace(step, works=works, pieces=_among(step, {work.piece for work in works}))
        done = [reached(key, done_state(step, cabinet, key) or "fitted") for key in step.pieces]
        return None if done and all(done) else step
    state = DONE_BY.get(step.stage)
    if state is None or not step.pieces:
        return step
    pieces = tuple(key for key in step.pieces if not reached(key, state))
    if not pieces:
        return None
    return step if step.stage in ("dry fit", "glue", "fit") else replace(step, pieces=pieces)


def _worked(cabinet: Cabinet, work: Work, again: Collection[str]) -> bool:
    if work.piece in again:
        return False
    piece = cabinet.piece_by_key.get(work.piece)
    feature = next((f for f in piece.features if f.key == work.feature), None) if piece else None
    return feature is not None and feature_made(cabinet.project.as_built.get(work.piece), feature)


def _among(step: Step, keys: Collection[str]) -> tuple[str, ...]:
    return tuple(key for key in step.pieces if key in keys)


__all__ = ["DONE_BY", "done_state", "feature_made", "left_to_do"]
