"""What is shown where there is nothing to show: at an unknown address, and after a fault of our own."""

from __future__ import annotations

import html
from importlib.resources import files

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, Response

UNKNOWN = (
    "Nothing is at this address",
    "It may have been typed wrong, or belong to an earlier run.",
)
FAULT = (
    "casewright met a fault of its own",
    "Your project is as it was: every change is kept as it is made. The terminal shows what happened.",
)


def add_pages_for_nothing(app: FastAPI) -> None:
    """Answer unknown addresses and faults with pages that lead back; files and data keep their plain answers."""
    plain = app.exception_handlers[404]

    @app.exception_handler(404)
    async def unknown(request: Request, reason: Exception) -> Response:
        if request.scope.get("endpoint") is not None:  # a file or data that is not there
            answer: Response = await plain(request, reason)  # type: ignore[misc]
            return answer
        return _page(404, *UNKNOWN)

    @app.exception_handler(Exception)
    async def fault(
        request: Request, reason: Exception
    ) -> Response:  # the server writes it to the terminal
        if not request.scope.get("nicegui_page_path"):
            raise reason
        return _page(500, *FAULT)


def _page(status: int, title: str, words: str) -> HTMLResponse:
    page = files("casewright.faces.web").joinpath("theme", "nothing.html").read_text("utf-8")
    page = page.replace("{title}", html.escape(title)).replace("{words}", html.escape(words))
    return HTMLResponse(page, status)


__all__ = ["FAULT", "UNKNOWN", "add_pages_for_nothing"]
