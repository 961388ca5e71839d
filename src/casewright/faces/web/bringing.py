"""A shared page or a project file from anywhere: its project is put into the desk's folder and opened."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from nicegui import run, ui

from casewright.basics.errors import CasewrightError, InputError
from casewright.faces.share import ENDINGS, plain_name, project_in, project_packed
from casewright.faces.share.page import PROJECT_ID
from casewright.faces.share.unpacking import LARGEST, LARGEST_CODE, WANTED
from casewright.faces.web.desk import free_path, path_in, plain_file
from casewright.faces.web.file_box import file_box
from casewright.faces.web.wording import error_lines
from casewright.workflow import LARGEST_BYTES, open_text

if TYPE_CHECKING:
    from casewright.faces.web.desk import Desk

PICKED_ENDINGS = (*ENDINGS, ".yaml", ".yml")
MOST_TOLD = 4
"""Mistakes of a project that are told."""
TAKE_OUT = f"""
const text = new TextDecoder("utf-8", {{ fatal: true }}).decode(await file.arrayBuffer());
if (/\\.html?$/i.test(file.name)) {{
  const found = new DOMParser().parseFromString(text, "text/html").getElementById("{PROJECT_ID}");
  told.inside = found?.dataset.name ?? "";
  told.code = found?.textContent.trim() ?? "";
  if (told.code.length > {LARGEST_CODE}) throw "too large";
}} else {{
  if (text.length > {LARGEST_BYTES}) throw "too large";
  told.text = text;
}}
"""
"""In the browser: of a shared page only the project goes to the server, which looks at it anew; nothing in it runs."""


def file_picker(desk: Desk, say: Callable[[list[str]], None]) -> ui.element:
    """A box that takes a shared page, or a project file from elsewhere.

    Args:
        desk: Gets the project.
        say: Told what is wrong with it.
    """

    async def take(told: dict[str, str]) -> None:
        say([])
        try:
            key = await run.io_bound(bring_in, desk, *picked(told))
        except CasewrightError as error:
            say(error_lines(error)[:MOST_TOLD])
            return
        ui.navigate.to(f"/desk/{key}?view=whole")

    label = "A shared page, or a project file from elsewhere"
    return file_box(label, PICKED_ENDINGS, take, most=LARGEST, read=TAKE_OUT)


def picked(told: Mapping[str, str]) -> tuple[str, str]:
    """Name and text of the project in what the browser told of a file.

    Raises:
        InputError: There is none in it, or it is too large.
    """
    name, inside, code, text, wrong = (
        told.get(key, "") for key in ("name", "inside", "code", "text", "wrong")
    )
    called = name[:120] or "the file"
    if wrong:
        raise InputError("file", got=f"{called} ({wrong})", want=f"{WANTED}, or a project file")
    if name.lower().endswith(ENDINGS):
        return project_packed(inside, code, page=called)
    if not text.strip():
        raise InputError("file", got=f"{called} with nothing in it", want="a project file")
    return plain_name(name), text


def open_named(desk: Desk, name: str) -> str:
    """Open a project file of the desk's folder, or take the project out of a shared page there; its name in addresses.

    Raises:
        InputError: The name leads out of the folder.
        CasewrightError: There is no such file, or no project in it.
    """
    if name.strip().lower().endswith(ENDINGS):
        return bring_in(desk, *project_in(desk.folder / plain_file(name)))
    return desk.open(path_in(desk.folder, name))


def bring_in(desk: Desk, name: str, text: str) -> str:
    """Put a project into the desk's folder beside what is there, and open it; its name in addresses.

    Raises:
        InputErrors: It is no project that can be used; nothing is written.
    """
    open_text(text, file=name, catalogs=desk.catalogs)
    path: Path = free_path(desk.folder, name)
    return desk.new(text, path)


__all__ = ["MOST_TOLD", "PICKED_ENDINGS", "bring_in", "file_picker", "open_named", "picked"]
