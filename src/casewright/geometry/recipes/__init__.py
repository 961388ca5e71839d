"""From wishes to an outline: one recipe for each kind of cabinet."""

from __future__ import annotations

from collections.abc import Mapping

from casewright.basics.errors import InputError, InputErrors
from casewright.design.parts import KnownPart
from casewright.design.project import Project
from casewright.design.shape import OutlineShape
from casewright.geometry.model import SolvedShape
from casewright.geometry.outline import solve_outline


def solve_shape(project: Project, parts: Mapping[str, KnownPart]) -> SolvedShape:
    """Return the outline of a project with every wish settled.

    Raises:
        InputErrors: panels or wishes that no outline can be made of.
    """
    shape = project.shape
    if isinstance(shape, OutlineShape):
        return solve_outline(project, shape)
    raise InputErrors(
        [InputError("shape.recipe", got=shape.recipe, want="a recipe", example="outline")]
    )


__all__ = ["solve_shape"]
