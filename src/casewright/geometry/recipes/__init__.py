"""From wishes to an outline: one recipe for each kind of cabinet."""

from __future__ import annotations

from collections.abc import Mapping

from casewright.design.parts import KnownPart
from casewright.design.project import Project
from casewright.design.shape import LapShape, OutlineShape, StandingShape, TabletopShape
from casewright.geometry.model import SolvedShape
from casewright.geometry.outline import solve_outline
from casewright.geometry.recipes.box import solve_box
from casewright.geometry.recipes.lap import solve_lap
from casewright.geometry.recipes.standing import solve_standing
from casewright.geometry.recipes.tabletop import solve_tabletop


def solve_shape(project: Project, parts: Mapping[str, KnownPart]) -> SolvedShape:
    """Return the outline of a project with every wish settled.

    Args:
        project: What the maker wants.
        parts: Its bought parts with every dimension settled.

    Raises:
        InputErrors: panels or wishes that no outline can be made of.
    """
    shape = project.shape
    if isinstance(shape, OutlineShape):
        return solve_outline(project, shape)
    if isinstance(shape, TabletopShape):
        return solve_tabletop(project, parts, shape)
    if isinstance(shape, StandingShape):
        return solve_standing(project, parts, shape)
    if isinstance(shape, LapShape):
        return solve_lap(project, parts, shape)
    return solve_box(project, parts, shape)


__all__ = ["solve_shape"]
