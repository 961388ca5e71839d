"""The server's own addresses, told as OpenAPI tells them: for other programs, and for tests.

Each address is described where it is put on the server, with `file_told`, `page_told` or `lead_told`; what all of them
have in common stands here. Source: OpenAPI Specification 3.1.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Annotated, Any, Final

from fastapi import FastAPI, Path, Query
from fastapi.openapi.utils import get_openapi
from fastapi.routing import APIRoute
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response

from casewright import __version__
from casewright.faces.web.security import COOKIE, LARGEST_BODY

ADDRESS: Final = "/openapi.json"
GROUPS: Final[Mapping[str, str]] = {
    "papers": "Papers made in the workbench, and the project's own text.",
    "stock": "The shop's stock: labels, the table, the page of a piece.",
    "pages": "Pages for people. What is done in them goes over a websocket, which is the page's own.",
    "codes": "Short addresses in the codes on printed pages; each leads to a page.",
    "looks": "Scripts, styles and letters of the pages.",
    "server": "This description.",
}
"""Groups of addresses, with what is in each."""
KINDS: Final[Mapping[str, str]] = {
    "pdf": "application/pdf",
    "svg": "image/svg+xml",
    "dxf": "image/vnd.dxf",
    "step": "model/step",
    "glb": "model/gltf-binary",
    "csv": "text/csv",
    "json": "application/json",
    "ics": "text/calendar",
    "html": "text/html",
    "txt": "text/plain",
    "zip": "application/zip",
}
"""Media type of a file by its suffix, the same on every computer. Source: IANA, Media Types; read from memory."""
UNKNOWN: Final = "application/octet-stream"
_TEXT, _HTML, _JSON = "text/plain", "text/html", "application/json"
# A part of an address between two strokes; what holds one is another address.
_PART: Final = {"pattern": "^[^/]+$"}

DeskKey = Annotated[
    str,
    Path(
        description="A project that is open or was lately: 16 hexadecimal digits.",
        json_schema_extra=_PART,
    ),
]
"""What a project is called in addresses."""
PartOfAddress = Annotated[str, Path(json_schema_extra=_PART)]
"""A step, a piece, a view or the like."""
Word = Annotated[str, Query()]
"""A word after the question mark."""


def kind_of(name: str) -> str:
    """The media type of a file by its name.

    Example:
        >>> kind_of("bench-book.pdf"), kind_of("project.yaml")
        ('application/pdf', 'application/octet-stream')
    """
    return KINDS.get(name.rpartition(".")[2].lower(), UNKNOWN)


def file_told(
    group: str, summary: str, kinds: Iterable[str], *, missing: str = "", about: str = ""
) -> dict[str, Any]:
    """What FastAPI is told of an address that gives a file.

    Args:
        group: One of `GROUPS`.
        summary: What is given, in a line.
        kinds: Its media types.
        missing: When it is not there; "" where it always is.
        about: More of it.
    """
    answers: dict[int, dict[str, Any]] = {200: _answer("The file.", *kinds)}
    if missing:
        answers[404] = _answer(missing, _TEXT, _HTML)
    return _told(group, summary, about, answers, Response)


def page_told(
    summary: str, *, group: str = "pages", about: str = "", names: bool = True
) -> dict[str, Any]:
    """What FastAPI is told of a page; most addresses name what it is of."""
    unknown = "; where nothing is known by that name, it says so" if names else ""
    answers = {200: _answer(f"The page{unknown}.", _HTML)}
    return _told(group, summary, about, answers, HTMLResponse)


def lead_told(summary: str, about: str = "") -> dict[str, Any]:
    """What FastAPI is told of an address that leads to another one on this server."""
    where = {"description": "Where it leads.", "schema": {"type": "string"}, "required": True}
    lead = {"description": "Another address on this server.", "headers": {"Location": where}}
    told = _told("codes", summary, about, {303: lead}, RedirectResponse)
    return {**told, "status_code": 303}


def add_description(app: FastAPI) -> None:
    """Put the description itself on the server."""

    @app.get(
        ADDRESS, **file_told("server", "The description of these addresses, as OpenAPI", (_JSON,))
    )
    def described() -> Response:
        return JSONResponse(description_of(app))


def description_of(app: FastAPI) -> dict[str, Any]:
    """The OpenAPI document of what casewright has put on a server; the framework's own addresses are none of it."""
    ours = [
        route for route in app.routes if isinstance(route, APIRoute) and {*route.tags} & {*GROUPS}
    ]
    told: dict[str, Any] = get_openapi(
        title="casewright",
        version=__version__,
        summary="The local server of a workbench.",
        description=(
            "The server listens on this computer only, or on the local network where it was asked to, and then lets "
            "a browser in by a one-time code. Every request must name it in its Host header as its own address says; "
            f"one that a page of another site sends is refused, and so is more than {LARGEST_BODY} bytes. "
            "Projects are changed in the pages, by the commands and from Python; these addresses only read."
        ),
        routes=ours,
        tags=[{"name": name, "description": words} for name, words in GROUPS.items()],
    )
    for folder, words in (
        ("/theme", "A script, a style or a picture"),
        ("/fonts", "A font's file"),
    ):
        told["paths"][folder + "/{path}"] = {"get": _static(folder, words)}
    for item in told["paths"].values():
        _complete(item["get"])
    told["paths"] = dict(sorted(told["paths"].items()))
    told["components"] = {
        "responses": _SHARED,
        "securitySchemes": {
            "pass": {
                "type": "apiKey",
                "in": "cookie",
                "name": COOKIE,
                "description": "What a browser on another computer has for its one-time code.",
            }
        },
    }
    told["security"] = [{}, {"pass": []}]
    return told


def server_description() -> dict[str, Any]:
    """The OpenAPI document of the local server, without one that runs."""
    import tempfile
    from pathlib import Path as FilePath

    from nicegui import app

    from casewright.faces.web.app import register
    from casewright.faces.web.desk import Desk
    from casewright.session import RecentFiles

    before = list(app.routes)
    try:
        with tempfile.TemporaryDirectory() as folder:
            app.router.routes.clear()
            register(Desk(FilePath(folder), recent=RecentFiles(FilePath(folder))))
        return description_of(app)
    finally:
        app.router.routes[:] = before


_SHARED: Final[Mapping[str, Any]] = {
    "NoPass": {
        "description": "On the local network, without a pass: the page that asks for the code.",
        "content": {_HTML: {"schema": {"type": "string"}}},
    },
    "Stranger": {
        "description": "A page of another site has sent it.",
        "content": {_TEXT: {"schema": {"type": "string"}}},
    },
    "TooLarge": {
        "description": f"More than {LARGEST_BODY} bytes were sent.",
        "content": {_TEXT: {"schema": {"type": "string"}}},
    },
    "OtherName": {
        "description": "The Host header does not name this server.",
        "content": {_TEXT: {"schema": {"type": "string"}}},
    },
    "NoSuchAddress": {
        "description": "There is no such address.",
        "content": {_HTML: {"schema": {"type": "string"}}},
    },
}
_EVERYWHERE: Final = {"401": "NoPass", "403": "Stranger", "413": "TooLarge", "421": "OtherName"}


def _told(
    group: str, summary: str, about: str, answers: Mapping[int, Any], kind: type[Response]
) -> dict[str, Any]:
    return {
        "tags": [group],
        "summary": summary,
        "description": about,
        "responses": dict(answers),
        "response_class": kind,
        "include_in_schema": True,
    }


def _answer(words: str, *kinds: str) -> dict[str, Any]:
    content = {
        kind: {"schema": {} if kind == _JSON else {"type": "string"}}
        if kind.startswith("text/") or kind == _JSON
        else {}
        for kind in kinds
    }
    return {"description": words, "content": content}


def _complete(told: dict[str, Any]) -> None:
    """With the answers that every address may give, and without those that FastAPI adds for values it refuses.

    All values here are text, of which none is refused.
    """
    answers = told["responses"]
    answers.pop("422", None)
    if not told.get("description"):
        told.pop("description", None)
    for parameter in told.get("parameters", ()):
        parameter["schema"].pop("title", None)
    if any(parameter["in"] == "path" for parameter in told.get("parameters", ())):
        answers.setdefault("404", {"$ref": "#/components/responses/NoSuchAddress"})
    for status, name in _EVERYWHERE.items():
        answers[status] = {"$ref": f"#/components/responses/{name}"}
    told["responses"] = dict(sorted(answers.items()))


def _static(folder: str, words: str) -> dict[str, Any]:
    """A folder of files that the framework serves."""
    kinds = ("text/javascript", "text/css", "image/svg+xml", _HTML)
    if folder == "/fonts":
        kinds = ("font/ttf", "font/otf", _TEXT, UNKNOWN)
    return {
        "tags": ["looks"],
        "summary": words,
        "operationId": f"file{folder.replace('/', '_')}",
        "parameters": [
            {"name": "path", "in": "path", "required": True, "schema": {"type": "string"}}
        ],
        "responses": {
            "200": _answer("The file.", *kinds),
            "404": _answer("There is no such file.", _JSON, _HTML),
        },
    }


__all__ = [
    "ADDRESS",
    "GROUPS",
    "KINDS",
    "DeskKey",
    "PartOfAddress",
    "Word",
    "add_description",
    "description_of",
    "file_told",
    "kind_of",
    "lead_told",
    "page_told",
    "server_description",
]
