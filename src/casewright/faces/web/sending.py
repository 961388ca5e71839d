"""Files that the browser fetches: papers made on request, whole or as one archive, and the project's own text."""

from __future__ import annotations

import io
import mimetypes
import secrets
import zipfile
from collections import OrderedDict
from collections.abc import Mapping
from typing import TYPE_CHECKING
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response

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

    @app.get("/papers/{name}/{file:path}")
    def paper(name: str, file: str, request: Request) -> Response:
        papers = _MADE.get(name)
        if papers is None:
            return Response("These papers are not kept any more. Make them anew.", 404)
        if file == "all.zip":
            return _sent(archive(papers), "papers.zip")
        if file not in papers:
            return Response("There is no such paper.", 404)
        shown = "shown" in request.query_params
        return _sent(papers[file], file.rpartition("/")[2], shown=shown)

    @app.get("/desk/{key}/project.yaml")
    def project(key: str) -> Response:
        session = desk.find(key)
        if session is None:
            return Response("That project is not open.", 404)
        return _sent(session.text.encode("utf-8"), session.path.name)


def _sent(data: bytes, name: str, *, shown: bool = False) -> Response:
    kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
    if not shown and kind in ("image/svg+xml", "text/html"):
        kind = "application/octet-stream"
    way = "inline" if shown else f"attachment; filename*=UTF-8''{quote(name)}"
    headers = {"content-disposition": way, "cache-control": "private, max-age=3600"}
    return Response(data, media_type=kind, headers=headers)


__all__ = ["add_downloads", "address", "archive", "keep"]
