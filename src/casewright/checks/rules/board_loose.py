"""A loose board touches something that can hold it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.checks.subject import Subject
from casewright.checks.touching import held, touch
from casewright.geometry.collisions import met_by
from casewright.geometry.model import Cabinet, Piece
from casewright.geometry.solids import box_of

RULE = Rule(
    id="board.loose",
    severity=Severity.CAUTION,
    asks="A loose board touches a side, a panel or an inner board, or another board that does.",
    why="What touches nothing stands apart from the cabinet: there is nothing to fix it to.",
    source="Plain geometry",
)

_AXES = (("to the left", "to the right"), ("forward", "back"), ("down", "up"))
"""Words for less and more x, y and z."""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each loose board that nothing holds."""
    cabinet = subject.cabinet
    boards = [cabinet.piece_by_key[k] for k in cabinet.project.boards if k in cabinet.piece_by_key]
    if not boards:
        return
    roots = [p for p in cabinet.pieces if p.kind in ("side", "panel")]
    others = [p for p in cabinet.pieces if p.kind in ("inner", "light board")]
    reached = held([*boards, *others], roots)
    for board in boards:
        if board.key in reached:
            continue
        holding = [*roots, *(p for p in (*boards, *others) if p.key in reached)]
        low_u, low_v, high_u, high_v = board.extent
        yield RULE.finding(
            f"{board.label} touches nothing of the cabinet: no side, no panel, no board that they hold.",
            remedies=subject.orders(partial(_remedies, cabinet, board, holding)),
            names=(board.key,),
            point=board.frame.point((low_u + high_u) / 2, (low_v + high_v) / 2),
        )


def _remedies(cabinet: Cabinet, board: Piece, holding: Sequence[Piece]) -> Iterator[Remedy]:
    """The shortest straight moves after which it touches and runs into nothing, the shortest first."""
    found: list[tuple[float, Remedy]] = []
    for other in holding:
        for axis, shift in _shifts(board, other):
            origin = list(board.frame.origin)
            origin[axis] += shift
            place = (origin[0], origin[1], origin[2])
            moved = replace(board, frame=replace(board.frame, origin=place))
            if not touch(moved, other) or _runs_into(cabinet, moved):
                continue
            value = round(cabinet.project.boards[board.key].at[axis] + shift, 4)
            words = f"{mm(abs(shift))} {_AXES[axis][shift > 0]}"
            text = f"Move it {words}, where it touches {other.label}."
            found.append((abs(shift), Remedy(text, f"boards.{board.key}.at.{axis}", value)))
    for _, remedy in sorted(found, key=lambda item: item[0])[:2]:
        yield remedy
    yield Remedy("Or make it longer until it meets a board that can hold it.")


def _shifts(board: Piece, other: Piece) -> Iterator[tuple[int, float]]:
    """Ways along one axis that bring the boxes round two boards together; they overlap along the other two."""
    mine, its = box_of(board), box_of(other)
    apart = [max(its[0][a] - mine[1][a], mine[0][a] - its[1][a]) for a in range(3)]
    far = [axis for axis in range(3) if apart[axis] > TOUCHING]
    if len(far) == 1:
        axis = far[0]
        yield axis, apart[axis] if its[0][axis] > mine[1][axis] else -apart[axis]


def _runs_into(cabinet: Cabinet, moved: Piece) -> bool:
    others = [piece for piece in cabinet.pieces if piece.key != moved.key]
    return bool(met_by(moved, [*others, *cabinet.bodies]))


__all__ = ["RULE", "find"]
