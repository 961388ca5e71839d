"""Files that the browser fetches: papers made on request, whole or as one archive, and the project's own text."""

from __future__ import annotations

import io
import secrets
import zipfile
from collections import OrderedDict
from collections.abc import Mapping
from typing import TYPE_CHECKING
from urllib.parse import quote

from starlette.responses import Response

from casewright.faces.web.described import (
    KINDS,
    UNKNOWN,
    DeskKey,
    PartOfAddress,
    file_told,
    kind_of,
)

if TYPE_CHECKING:
    from casewright.faces.web.desk import Desk

_KEPT = 4
"""Sets of papers kept in memory."""
_STAMP = (1980, 1, 1, 0, 0, 0)
"""Of files in the archive, so that equal papers make an equal archive."""
_MADE: OrderedDict[str, Mapping[str, bytes]] = OrderedDict()


def keep(papers: Mapping[str, bytes]) -> str:
    """Keep a set of papers for the browser to fetch; its name in addresses, which nobody can guess."""
    name = secrets.token_urlsafe(16)
    _MADE[name] = papers
    while len(_MADE) > _KEPT:
        _MADE.popitem(last=False)
    return name


def address(name: str, file: str) -> str:
    """Where a kept file is fetched from."""
    return f"/papers/{name}/{quote(file)}"


def archive(papers: Mapping[str, bytes]) -> bytes:
    """All papers in one zip file; the same papers, the same bytes."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as zipped:
        for name, data in sorted(papers.items()):
            info = zipfile.ZipInfo(name, _STAMP)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = 0o644 << 16
            zipped.writestr(info, data)
    return out.getvalue()


def add_downloads(desk: Desk) -> None:
    """Put the routes on the server."""
    from nicegui import app

    paper_told = file_told(
        "papers",
        "One of the papers made last",
        (*KINDS.values(), UNKNOWN),
        missing="These papers are not kept any more, or there is none of that name.",
        about=(
            "The Papers view makes them and links to them here; the last few sets are kept. The file `all.zip` holds "
            "all of a set. Drawings and pages are given to be saved, so that none runs in a page of ours; with "
            "`shown` a browser shows them."
        ),
    )

    @app.get("/papers/{name}/{file:path}", **paper_told)
    def paper(name: PartOfAddress, file: str, shown: str | None = None) -> Response:
        papers = _MADE.get(name)
        if papers is None:
            return Response(
                "These papers are not kept any more. Make them anew.", 404, media_type="text/plain"
            )
        if file == "all.zip":
            return _sent(archive(papers), "papers.zip")
        if file not in papers:
            return Response("There is no such paper.", 404, media_type="text/plain")
        return _sent(papers[file], file.rpartition("/")[2], shown=shown is not None)

    project_told = file_told(
        "papers",
        "A project's file as it is now, with what is not saved yet",
        (UNKNOWN,),
        missing="That project is not open.",
    )

    @app.get("/desk/{key}/project.yaml", **project_told)
    def project(key: DeskKey) -> Response:
        session = desk.find(key)
        if session is None:
            return Response("That project is not open.", 404, media_type="text/plain")
        return _sent(session.text.encode("utf-8"), session.path.name)


def _sent(data: bytes, name: str, *, shown: bool = False) -> Response:
    kind = kind_of(name)
    if not shown and kind in ("image/svg+xml", "text/html"):
        kind = UNKNOWN
    way = "inline" if shown else f"attachment; filename*=UTF-8''{quote(name)}"
    headers = {"content-disposition": way, "cache-control": "private, max-age=3600"}
    return Response(data, media_type=kind, headers=headers)


__all__ = ["add_downloads", "address", "archive", "keep"]
