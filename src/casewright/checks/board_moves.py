"""A loose board or an inner one moved straight out of what it runs into."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import shapely

from casewright.basics.findings import Remedy, mm
from casewright.basics.units import TOUCHING, shown_beyond
from casewright.checks.conflicts import Conflict
from casewright.checks.outer import Thing, clearing_move
from casewright.checks.shorter import LEAST_SHARE, Shortened, is_host
from casewright.design.writing import length_style
from casewright.geometry.carcass import inner_pieces
from casewright.geometry.cleat_room import corners_of
from casewright.geometry.collisions import met_by
from casewright.geometry.model import Cabinet, Piece, Point2

_AXES = (("to the left", "to the right"), ("forward", "back"), ("down", "up"))
"""Words for less and more x, y and z."""


def board_moves(cabinet: Cabinet, conflict: Conflict) -> Iterator[Shortened]:
    """The shortest straight way of a loose board out of what it runs into, where it leads into nothing else."""
    style = length_style(cabinet.project)
    for key, _, met in conflict.sides:
        board = cabinet.piece_by_key.get(key)
        if key not in cabinet.project.boards or board is None:
            continue
        others: list[Thing] = [p for p in cabinet.pieces if p.key != key]
        place = cabinet.project.boards[key].at
        ways = []
        for axis in range(3):
            for sign in (-1.0, 1.0):
                way = (sign * (axis == 0), sign * (axis == 1), sign * (axis == 2))
                by = max(clearing_move(board, thing, way) for thing in met)
                ways.append((by, axis, by * sign))
        for _, axis, by in sorted(ways):
            value = shown_beyond(place[axis] + by, style, up=by > 0)
            origin = list(board.frame.origin)
            origin[axis] += value - place[axis]
            frame = replace(board.frame, origin=(origin[0], origin[1], origin[2]))
            moved = replace(board, frame=frame)
            if not _met(cabinet, moved, others):
                words = _AXES[axis][by > 0]
                text = f"Move {board.label} {mm(abs(value - place[axis]))} {words}."
                yield abs(by), Remedy(text, f"boards.{key}.at.{axis}", value)
                return


def inner_moves(cabinet: Cabinet, conflict: Conflict) -> Iterator[Shortened]:
    """The shortest way of an inner board forward, back, up or down to a place where it meets no more than it does now.

    One that something sits on stays where it is.
    """
    style = length_style(cabinet.project)
    for key, _, met in conflict.sides:
        inner, piece = cabinet.project.inner.get(key), cabinet.piece_by_key.get(key)
        if inner is None or piece is None or is_host(cabinet, key):
            continue
        if any(isinstance(thing, Piece) and thing.kind in ("panel", "side") for thing in met):
            continue  # it is too long there, not in the wrong place
        ways = []
        for axis in (1, 2):
            for sign in (-1.0, 1.0):
                way = (0.0, sign * (axis == 1), sign * (axis == 2))
                ways.append((max(clearing_move(piece, thing, way) for thing in met), axis, sign))
        others: list[Thing] = [p for p in cabinet.pieces if p.key != key and p.kind != "cleat"]
        stays = _met(cabinet, piece, others) - {thing.key for thing in met}
        for by, axis, sign in sorted(ways):
            low = inner.start[axis - 1]
            to = shown_beyond(low + sign * by, style, up=sign > 0)
            start, end = (_shifted(place, axis - 1, to - low) for place in (inner.start, inner.end))
            wish = inner.model_copy(update={"start": start, "end": end})
            moved, _ = inner_pieces(cabinet.project, cabinet.shape, cabinet.slabs, key, wish)
            if not _met(cabinet, moved, others) <= stays or not _is_within(cabinet, moved, piece):
                continue
            word = _AXES[axis][sign > 0]
            text = f"Move {piece.label} {mm(abs(to - low))} {word}, to {'yz'[axis - 1]} = {mm(to)}."
            fields = [f"inner.{key}.{name}.{axis - 1}" for name in ("start", "end")]
            also = ((fields[1], end[axis - 1]),)
            yield by, Remedy(text, fields[0], start[axis - 1], also)
            return


def _shifted(place: Point2, axis: int, by: float) -> Point2:
    y, z = place
    return (round(y + by, 4), z) if axis == 0 else (y, round(z + by, 4))


def _is_within(cabinet: Cabinet, moved: Piece, piece: Piece) -> bool:
    """Whether an inner board is still inside the cabinet, and most of one that is cut to its panels is left there."""
    corners = [point[1:] for point in corners_of(moved)]
    outline = shapely.Polygon(list(cabinet.shape.corners.values())).buffer(TOUCHING)
    return outline.covers(shapely.MultiPoint(corners)) and (
        min(moved.width, moved.height) >= LEAST_SHARE * min(piece.width, piece.height)
    )


def _met(cabinet: Cabinet, piece: Piece, others: Sequence[Thing]) -> set[str]:
    """Keys of all that a piece shares space with."""
    pieces = [thing for thing in others if isinstance(thing, Piece)]
    return set(met_by(piece, [*pieces, *cabinet.bodies]))


__all__ = ["board_moves", "inner_moves"]
