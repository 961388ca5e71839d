"""The files of an exploration."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from casewright.outputs.exploring import explored_page, rows_csv, rows_data, rows_json
from casewright.session.exploring.job import plan_beside
from casewright.session.exploring.running import Explored

KEPT_NAME: Final = "variants.sqlite"
"""The kept rows, in the folder of the exploration."""


def folder_of(path: Path) -> Path:
    """Where a project's exploration is written if nobody says otherwise."""
    return Path("out") / f"{plan_beside(path).name.removesuffix('.explore.yaml')}-explored"


def explored_files(explored: Explored, *, command: str) -> dict[str, bytes]:
    """Page and tables, by name.

    Args:
        explored: What came of it.
        command: What to type to make a variant the project, without its number.
    """
    job = explored.job
    project, style = job.opened.project, job.opened.style
    every, best, aims = job.columns, explored.best, job.wishes.aims
    data = rows_data(explored.rows, job.space, every, best, aims)
    return {
        "explored.html": explored_page(
            explored.rows,
            job.space,
            every,
            best,
            aims,
            name=project.name,
            command=command,
            currency=project.currency,
            inches=style.unit == "in",
            missing=len(job.numbers) - len(explored.rows),
        ),
        "variants.csv": rows_csv(explored.rows, job.space, every, best),
        "variants.json": rows_json(data),
    }


__all__ = ["KEPT_NAME", "explored_files", "folder_of"]
