"""The server's description: whole, well formed, and told as the server is; whether it keeps to it, the soak tries."""

from __future__ import annotations

import logging
import mimetypes
import re
from pathlib import Path

import pytest
from fastapi import Request
from fastapi.openapi.models import OpenAPI
from fastapi.routing import APIRoute
from nicegui import app
from tests.faces.web.pages import showing
from tests.session.projects import SMALL

from casewright.faces.web import nothing, page, sending
from casewright.faces.web.described import KINDS, UNKNOWN, description_of, kind_of
from casewright.faces.web.security import MOST_LOGGED


async def test_description_is_served_and_leaves_no_address_out(tmp_path: Path) -> None:
    """Addresses as the framework has them; its own begin with its name, or are the icon of a page."""
    async with showing(tmp_path, SMALL) as shown:
        client = shown.user.http_client
        answer = await client.get("/openapi.json")
        assert answer.status_code == 200 and answer.headers["content-type"] == "application/json"
        told = answer.json()
        assert told == description_of(app)
        there = {
            re.sub(r":path\}", "}", route.path)
            for route in app.routes
            if isinstance(route, APIRoute) and not route.path.startswith("/_nicegui")
        }
        assert len(there) > 15 and told["paths"].keys() == there

        # What it says of the project's file and of papers is what they are.
        project = await client.get(f"/desk/{shown.key}/project.yaml")
        told_project = told["paths"]["/desk/{key}/project.yaml"]["get"]["responses"]
        assert project.headers["content-type"] in told_project["200"]["content"]
        name = sending.keep({"a/plan.svg": b"<svg/>", "list.csv": b"a", "odd.xyz": b"x"})
        kinds = told["paths"]["/papers/{name}/{file}"]["get"]["responses"]["200"]["content"]
        for file, kind in (
            ("a/plan.svg", UNKNOWN),  # to be saved, so that no script in it runs as ours
            ("a/plan.svg?shown", "image/svg+xml"),
            ("a/plan.svg?shown=1", "image/svg+xml"),
            ("list.csv", "text/csv"),
            ("odd.xyz", UNKNOWN),
            ("all.zip", "application/zip"),
        ):
            answer = await client.get(f"/papers/{name}/{file}")
            assert answer.headers["content-type"].partition(";")[0] == kind, file
            assert kind in kinds


async def test_an_address_that_is_asked_for_writes_no_signs_to_the_terminal(
    tmp_path: Path,
) -> None:
    """A link can hold what a terminal obeys: colors, the bell, a line that looks like one of ours."""
    lines: list[str] = []

    class Kept(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            lines.append(record.getMessage())

    kept, log = Kept(), logging.getLogger("nicegui")
    async with showing(tmp_path, SMALL):
        log.addHandler(kept)
        try:  # as the framework writes of an address that there is not
            log.warning("http://x/\x1b[31m\r\nCode for the next browser:\x07\u202e not found")
            log.warning("http://x/%s not found", 5000 * "a")
        finally:
            log.removeHandler(kept)
    assert len(lines) == 2 and "Code for the next browser:" in lines[0]
    assert all(line.isprintable() and len(line) < 2 * MOST_LOGGED for line in lines)


async def test_description_is_an_openapi_document(tmp_path: Path) -> None:
    """Read by the library's own models of such documents; the rest by the words of the specification (3.1, 4.8)."""
    async with showing(tmp_path, SMALL):
        told = description_of(app)
    OpenAPI.model_validate(told)
    assert re.fullmatch(r"3\.1\.\d", told["openapi"])
    groups = {one["name"] for one in told["tags"]}
    names = set()
    for path, item in told["paths"].items():
        assert item.keys() == {"get"}, path  # every address only reads
        one = item["get"]
        names.add(one["operationId"])
        assert one["summary"] and set(one["tags"]) <= groups
        inside = [p["name"] for p in one.get("parameters", ()) if p["in"] == "path"]
        assert sorted(inside) == sorted(re.findall(r"\{(\w+)\}", path)), path
        assert all(p["required"] for p in one.get("parameters", ()) if p["in"] == "path")
        for status, answer in one["responses"].items():
            assert re.fullmatch(r"\d{3}", status)
            if "$ref" in answer:
                where, _, name = answer["$ref"].rpartition("/")
                assert where == "#/components/responses"
                answer = told["components"]["responses"][name]
            assert answer["description"]
        assert {"403", "413", "421"} <= one["responses"].keys()
        assert "422" not in one["responses"]  # no value is refused: all are text
    assert len(names) == len(told["paths"])


def test_media_types_are_the_registered_ones() -> None:
    """Python's own table, without what this computer adds to it. The others: IANA's registry, from memory."""
    table = mimetypes.MimeTypes(filenames=())
    known = {suffix: table.guess_type(f"x.{suffix}")[0] for suffix in KINDS}
    assert {suffix for suffix, kind in known.items() if kind} >= {"pdf", "svg", "csv", "zip"}
    assert [s for s, kind in known.items() if kind and kind != KINDS[s]] == []
    assert kind_of("A.PDF") == "application/pdf" and kind_of("x") == UNKNOWN


async def test_where_there_is_nothing_a_page_leads_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An unknown address and a fault of our own; files that are not there keep their plain answers."""

    def broken(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(page, "bench_page", broken)
    async with showing(tmp_path, SMALL) as shown:
        client = shown.user.http_client
        answer = await client.get("/nowhere")
        assert answer.status_code == 404
        assert nothing.UNKNOWN[0] in answer.text and 'href="/"' in answer.text
        assert nothing.UNKNOWN[0] not in (await client.get("/theme/none.css")).text
        with pytest.raises(ZeroDivisionError):  # so that the server writes it to the terminal
            await client.get(f"/desk/{shown.key}")
        request = Request({"type": "http", "nicegui_page_path": "/", "headers": []})
        fault = await app.exception_handlers[Exception](request, ZeroDivisionError())  # type: ignore[misc]
        assert fault.status_code == 500
        assert nothing.FAULT[0] in (text := bytes(fault.body).decode()) and 'href="/"' in text
