"""A variant that becomes the project."""

from __future__ import annotations

from pathlib import Path

from casewright.basics.errors import InputError
from casewright.session.exploring.job import Job
from casewright.session.exploring.trying import edits_in
from casewright.workflow import Edits, changed_document, write_new


def pick_edits(job: Job, number: int) -> Edits:
    """The edits of the project file that make a variant of it.

    Raises:
        InputError: There is no such variant.
    """
    if not 1 <= number <= job.space.count:
        raise InputError(
            "--pick", got=str(number), want=f"the number of a variant, 1 to {job.space.count}"
        )
    return edits_in(job.opened.document.data, job.space.variant(number).edits)


def pick_text(job: Job, number: int) -> str:
    """The project file's text with a variant made of it, comments kept.

    Raises:
        InputError: There is no such variant, or it has no place in the file.
    """
    return changed_document(job.opened.document, pick_edits(job, number)).text


def write_pick(job: Job, number: int, path: Path) -> None:
    """Write a variant as a project file of its own.

    Raises:
        InputError: There is no such variant.
        OutputError: The file exists already, or cannot be written.
    """
    write_new(path, pick_text(job, number))


__all__ = ["pick_edits", "pick_text", "write_pick"]
