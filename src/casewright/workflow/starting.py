"""New project files, and what describes projects and results to other programs."""

from __future__ import annotations

from pathlib import Path

from casewright.basics.errors import InputErrors, OutputError
from casewright.basics.units import Unit
from casewright.design.project import Project
from casewright.geometry.recipes import solve_shape
from casewright.projectfile.saving import save_text
from casewright.projectfile.schema import project_schema
from casewright.projectfile.starting import starter_text as starter_on_base
from casewright.workflow.reading import open_text


def starter_text(
    recipe: str,
    *,
    name: str,
    unit: Unit = "mm",
    display: str | None = None,
    players: int = 1,
    buttons: int = 6,
    width: float | None = None,
    litres: float | None = None,
) -> str:
    """Return the text of a new project file, its feet where the solved base asks for them.

    See `casewright.projectfile.starting.starter_text`.
    """

    def written(base: float | None) -> str:
        return starter_on_base(
            recipe,
            name=name,
            unit=unit,
            display=display,
            players=players,
            buttons=buttons,
            width=width,
            litres=litres,
            base=base,
        )

    text = written(None)
    opened = open_text(text)
    try:
        shape = solve_shape(opened.project, opened.parts)
    except InputErrors:  # a width that the recipe cannot have; the file says so where it is opened
        return text
    return written(next((run.length for run in shape.runs if run.panel == "base"), None))


def write_new(path: Path, text: str, *, overwrite: bool = False) -> None:
    """Write a new project file, whole or not at all.

    Raises:
        OutputError: It exists already, or cannot be written.
    """
    if path.exists() and not overwrite:
        raise OutputError(
            str(path), why="it exists already", remedy="Choose another name, or add --force."
        )
    save_text(path, text)


def schema_of_projects() -> dict[str, object]:
    """The JSON Schema of the project file."""
    return project_schema(Project)


def schema_of_results() -> dict[str, object]:
    """The JSON Schema of `cabinet.json`."""
    from casewright.outputs.exports.results import results_schema

    return results_schema()


__all__ = [
    "schema_of_projects",
    "schema_of_results",
    "starter_text",
    "write_new",
]
