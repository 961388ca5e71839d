"""Changing what kind of shape there is: a recipe's corners become the maker's own, or another recipe takes over."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, get_args

from casewright.basics.annotations import members
from casewright.basics.units import Unit
from casewright.design.base import Section
from casewright.design.project import Project
from casewright.design.shape import AnyShape
from casewright.geometry.model import Point2
from casewright.session.describing import fields_of, model_with
from casewright.workflow import Edits, InSpace, KeyPath, Removal, Value, written_length

SHAPES: tuple[type[AnyShape], ...] = tuple(members(Project.model_fields["shape"].annotation))
"""The free outline and every recipe."""


def recipes() -> tuple[str, ...]:
    """The free outline and every recipe, by name."""
    return tuple(get_args(shape.model_fields["recipe"].annotation)[0] for shape in SHAPES)


def freed(worked: InSpace, moved: Mapping[str, Point2] | None = None) -> Edits:
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
        "side": as_written(project.shape.side, unit),
        "board": project.shape.board,
        "corners": corners,
    }
    edits: dict[KeyPath, Value | Removal] = {("shape",): new}
    for key, panel in solved.panels.items():
        own = project.panels.get(key)
        run = next((run.name for run in solved.runs if run.panel == key), panel.run)
        said = {**as_written(panel, unit), "role": panel.role, "run": run}
        for name, value in said.items():
            if own is None or name not in own.model_fields_set or name == "run":
                edits[("panels", key, name)] = value
    return edits | _seams_written(worked)


def _seams_written(worked: InSpace) -> dict[KeyPath, Value | Removal]:
    """The recipe's own seams, after those of the file."""
    project = worked.opened.project
    said = [set(seam.between) for seam in project.seams]
    known = worked.cabinet.shape.seams
    made = [as_written(s, project.unit) for s in known if set(s.between) not in said]
    if not project.seams:
        return {("seams",): made} if made else {}
    return {("seams", len(said) + number): seam for number, seam in enumerate(made)}


def as_written(section: Section, unit: Unit) -> dict[str, Any]:
    """What a section says itself, as a project file would: lengths with their unit."""
    written: dict[str, Any] = {}
    for one in fields_of(type(section)):
        value = getattr(section, one.name, None)
        if one.name not in section.model_fields_set or value is None:
            continue
        written[one.name] = _as_written(one.unit == "mm", value, unit)
    return written


def _as_written(is_length: bool, value: Any, unit: Unit) -> Any:
    if isinstance(value, Section):
        return as_written(value, unit)
    if isinstance(value, Mapping):
        return {key: _as_written(is_length, inner, unit) for key, inner in value.items()}
    if isinstance(value, tuple):
        return [_as_written(is_length, inner, unit) for inner in value]
    if is_length and isinstance(value, int | float) and not isinstance(value, bool):
        return written_length(value, unit)
    return value


def with_recipe(worked: InSpace, recipe: str) -> Edits:
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


__all__ = ["SHAPES", "as_written", "freed", "recipes", "with_recipe"]
