"""Addresses that codes on the papers hold: where a piece or a step of a project is found on a phone at the bench."""

from __future__ import annotations

import re
from typing import Final
from urllib.parse import quote, urlencode

BENCH: Final = "/b"
"""Begins the path of every such address. Short, since each sign makes the code finer."""
STEP_LIST: Final = "steps"
"""Of the views, the one on the phone that lists all steps."""


def project_slug(name: str) -> str:
    """A project's name as a part of an address.

    Example:
        >>> project_slug("Reading-corner duel"), project_slug("../../x"), project_slug("…")
        ('reading-corner-duel', 'x', 'cabinet')
    """
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:60].strip("-") or "cabinet"


def bench_link(
    address: str, project: str, *, piece: str = "", step: str = "", view: str = "", of: str = ""
) -> str:
    """Where a piece, a step or a view is found; the bench view's start if none of them is named.

    Args:
        address: Of the server, without a path: "http://192.168.1.5:8080".
        project: Its name.
        piece: Key of a piece.
        step: Key of a step; goes before a piece.
        view: Name of a view of the workbench, or "steps" for the list of steps; goes after both.
        of: Mark of the project's state that the paper shows.

    Example:
        >>> bench_link("http://192.168.1.5:8080", "Duel", piece="deck", of="12AB-34CD")
        'http://192.168.1.5:8080/b/duel/deck?of=12AB-34CD'
        >>> bench_link("http://192.168.1.5:8080", "Duel", step="cut.ply9.rip.back+1.4c")
        'http://192.168.1.5:8080/b/duel/step/cut.ply9.rip.back%2B1.4c'
        >>> bench_link("http://192.168.1.5:8080", "Duel", view=STEP_LIST)
        'http://192.168.1.5:8080/b/duel/view/steps'
    """
    path = f"{BENCH}/{project_slug(project)}"
    if step:
        path += f"/step/{quote(step, safe='')}"
    elif piece:
        path += f"/{quote(piece, safe='')}"
    elif view:
        path += f"/view/{quote(view, safe='')}"
    return address + path + (f"?{urlencode({'of': of})}" if of else "")


__all__ = ["BENCH", "STEP_LIST", "bench_link", "project_slug"]
