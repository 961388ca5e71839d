"""A recipe's wishes by which its outline stays as the sides were made, whatever its parts would ask for now."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from casewright.basics.errors import InputErrors
from casewright.catalog.kinds import Display
from casewright.design.project import Project
from casewright.design.shape import OutlineShape
from casewright.geometry.model import Cabinet, Piece, Point2, Rectangle
from casewright.geometry.recipes import solve_shape
from casewright.planning.as_built.freedoms import Path, wishes, with_value
from casewright.planning.as_built.made import MadePiece, sizes

Vector = NDArray[np.float64]
NEAR = 0.05
"""Corners nearer than this are where they were made. [mm]"""
ROUNDS = 8
"""Of Newton's method; a recipe is nearly linear in its wishes."""
STEP = 0.05
"""By which a wish is moved to see what follows it. [mm, deg]"""
SMALLEST = 1e-6
"""Share, or length, below which a wish moves nothing."""
SAME = 0.005
"""A wish that changes by less stays as it is written. [mm, deg]"""


def outline_as_made(cabinet: Cabinet, made: Mapping[str, MadePiece]) -> dict[Path, float] | None:
    """Values of a recipe's wishes, and of the width, that bring back the outline of the made sides.

    None where no side is made, where the outline is a free one or as it was made, or where no wishes bring it back.

    Source:
        Newton's method on the corners; least squares, since some wishes move none of them.
    """
    shape = cabinet.project.shape
    key = next((side for side in ("left", "right") if side in made), None)
    if key is None or isinstance(shape, OutlineShape):
        return None
    goal = _goal(cabinet, cabinet.piece_by_key[key], made[key])
    if goal is None:
        return None
    names = tuple(goal)
    target = np.array([goal[name] for name in names]).ravel()
    start = {freedom.change[0][0]: freedom.change[0][1] for freedom in wishes(cabinet)}

    def corners(at: Mapping[Path, float]) -> Vector:
        project = cabinet.project
        for path, value in at.items():
            project = with_value(project, path, value)
        there = solve_shape(project, cabinet.parts).corners
        return np.array([there[name] for name in names], dtype=np.float64).ravel()

    try:
        values = _free(corners, start)
        for _ in range(ROUNDS):
            here = corners(values)
            if np.abs(target - here).max() <= NEAR / 5:
                break
            columns = [
                corners({**values, path: value + STEP}) - here for path, value in values.items()
            ]
            steps = np.linalg.lstsq(np.column_stack(columns) / STEP, target - here, rcond=SMALLEST)[
                0
            ]
            values = {
                path: value + float(step)
                for (path, value), step in zip(values.items(), steps, strict=True)
            }
        if np.abs(target - corners(values)).max() > NEAR:
            return None
    except (InputErrors, KeyError):
        return None
    found: dict[Path, float] = {}
    for path, value in values.items():
        written = getattr(shape, str(path[-1]))
        if written is None or abs(written - value) > SAME:
            found[path] = round(value, 3)
    return found | _width(cabinet.project, cabinet, made)


def _free(
    corners: Callable[[Mapping[Path, float]], Vector], start: Mapping[Path, float]
) -> dict[Path, float]:
    """Wishes that move the outline and do not stand against those before them, as a height does against its parts."""
    free: dict[Path, float] = {}
    for path, value in start.items():
        try:
            moved = corners({**free, path: value + STEP}) - corners({**free, path: value})
        except InputErrors:
            continue
        if np.abs(moved).max() > SMALLEST:
            free[path] = value
    return free


def _goal(cabinet: Cabinet, side: Piece, made: MadePiece) -> dict[str, Point2] | None:
    """Where each corner of the outline was made, (y, z); None where all are where they are now."""
    if len(side.show) != len(made.show):
        return None
    goal: dict[str, Point2] = {}
    for now, then in zip(side.show, made.show, strict=True):
        _, y, z = side.frame.point(*now)
        name = min(
            cabinet.shape.corners, key=lambda one: math.dist(cabinet.shape.corners[one], (y, z))
        )
        if math.dist(cabinet.shape.corners[name], (y, z)) > NEAR:
            return None
        goal[name] = side.frame.point(*then)[1:]
    if set(goal) != set(cabinet.shape.corners):
        return None
    off = max(math.dist(goal[name], cabinet.shape.corners[name]) for name in goal)
    return goal if off > NEAR else None


def openings_as_made(cabinet: Cabinet, made: Mapping[str, MadePiece]) -> dict[Path, float]:
    """Places and sizes by which displays' openings stay where and as large as they were made; those that differ."""
    found: dict[Path, float] = {}
    for part, known in cabinet.project.parts.items():
        for number, wish in enumerate(known.placed):
            placed = cabinet.placed_by_key.get(wish.key)
            if placed is None or wish.like or not isinstance(placed.part.data, Display):
                continue
            there = made[placed.piece].features if placed.piece in made else {}
            for feature in cabinet.piece_by_key[placed.piece].features:
                was = there.get(feature.key)
                if feature.owner != placed.key or feature.kind != "opening" or was is None:
                    continue
                if not (isinstance(was.shape, Rectangle) and isinstance(feature.shape, Rectangle)):
                    continue
                at: Path = ("parts", part, "placed", number)
                for name in ("u", "v", "width", "height"):
                    value = getattr(was.shape, name)
                    if abs(value - getattr(feature.shape, name)) > NEAR:
                        path = (*at, name) if len(name) == 1 else (*at, "opening", name)
                        found[path] = value
    return found


def _width(project: Project, cabinet: Cabinet, made: Mapping[str, MadePiece]) -> dict[Path, float]:
    """The width at which a panel that is made spans from side to side."""
    for key, piece in made.items():
        plan = cabinet.piece_by_key[key]
        if plan.kind != "panel":
            continue
        more = sizes(piece.show, piece.back)[0] - plan.width
        if abs(more) > NEAR:
            return {("shape", "width"): round(cabinet.shape.width + more, 3)}
        return {} if project.shape.width else {("shape", "width"): cabinet.shape.width}
    return {}


__all__ = ["openings_as_made", "outline_as_made"]
