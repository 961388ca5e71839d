"""Changing what kind of shape there is: a recipe's corners become the maker's own, or another recipe takes over."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, get_args

from casewright.design.project import Project
from casewright.design.shape import AnyShape
from casewright.geometry.model import Point2
from casewright.session.describing import fields_of, members, model_with
from casewright.session.edits import Edits
from casewright.session.remedying import written_length
from casewright.workflow import KeyPath, Removal, Value, Worked

SHAPES: tuple[type[AnyShape], ...] = tuple(members(Project.model_fields["shape"].annotation))
"""The free outline and every recipe."""


def recipes() -> tuple[str, ...]:
    """The free outline and every recipe, by name."""
    return tuple(get_args(shape.model_fields["recipe"].annotation)[0] for shape in SHAPES)


def freed(worked: Worked, moved: Mapping[str, Point2] | None = None) -> Edits:
    """The edits that write a recipe's solved corners down as a free outline.

    Args:
        worked: The cabinet as it is.
        moved: Corners that are put elsewhere at once. [mm]
    """
    project, solved = worked.opened.project, worked.cabinet.shape
    unit = project.unit
    places = {**solved.corners, **(moved or {})}
    corners: dict[str, Value] = {
        name: [written_length(y, unit), written_length(z, unit)] for name, (y, z) in places.items()
    }
    new: dict[str, Value] = {
        "recipe": "outline",
        "width": written_length(solved.width, unit),
        "side": project.shape.side.model_dump(exclude_none=True),
        "board": project.shape.board,
        "corners": corners,
    }
    edits: dict[KeyPath, Value | Removal] = {("shape",): new}
    for key, panel in solved.panels.items():
        run = next((run.name for run in solved.runs if run.panel == key), panel.run)
        edits[("panels", key, "run")] = run
        edits[("panels", key, "role")] = panel.role
    return edits


def with_recipe(worked: Worked, recipe: str) -> Edits:
    """The edits that bring another recipe, with every wish that both have kept as it is written."""
    if recipe == worked.opened.project.shape.recipe:
        return {}
    if recipe == "outline":
        return freed(worked)
    model = model_with(SHAPES, recipe)
    written: dict[str, Any] = dict(worked.opened.document.data["shape"])
    names = {one.name for one in fields_of(model)} - {"recipe"}
    kept = {name: value for name, value in written.items() if name in names}
    return {("shape",): {"recipe": recipe, **kept}}


__all__ = ["SHAPES", "freed", "recipes", "with_recipe"]
