"""Every address of the local server: what it gives, what stands in it, what it answers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from casewright.faces.web.described import ADDRESS, GROUPS, server_description
from making.markdown import code, head, page, sentence, table

INTRODUCTION = (
    "What the server of `casewright open` answers. `casewright schema --server` prints this as an OpenAPI description, "
    f"the server itself gives it at `{ADDRESS}`, and `casewright.faces.web.described.server_description()` from "
    "Python. All addresses are read (GET); projects are changed in the pages, by the commands and from Python.",
)


def server_page() -> str:
    """The page."""
    told = server_description()
    lines = head("Server", *INTRODUCTION)
    lines += [told["info"]["description"], ""]
    for group, words in GROUPS.items():
        rows = [
            (code(path), _what(one), _answers(one))
            for path, item in told["paths"].items()
            for one in [item["get"]]
            if group in one["tags"]
        ]
        lines += [f"## {group.capitalize()}", "", words, ""]
        lines += table(("address", "gives", "answers"), rows)
    lines += ["## Everywhere", "", "Any of them may also answer:", ""]
    rows = [
        (status, told["components"]["responses"][name]["description"])
        for status, name in _shared(told).items()
    ]
    lines += table(("status", "when"), rows)
    return page(lines)


def _what(one: Mapping[str, Any]) -> str:
    words = [sentence(one["summary"]), one.get("description", "")]
    for parameter in one.get("parameters", ()):
        if about := parameter.get("description"):
            words.append(f"`{parameter['name']}`: {sentence(about)}")
    if asked := [code(p["name"]) for p in one.get("parameters", ()) if p["in"] == "query"]:
        words.append(f"Behind the question mark: {', '.join(asked)}.")
    return " ".join(word for word in words if word)


def _answers(one: Mapping[str, Any]) -> str:
    own = []
    for status, answer in one["responses"].items():
        if "$ref" not in answer:
            kinds = ", ".join(code(kind) for kind in answer.get("content", ()))
            own.append(f"{status}: {answer['description']}" + (f" ({kinds})" if kinds else ""))
    return " ".join(own)


def _shared(told: Mapping[str, Any]) -> dict[str, str]:
    """Answers that are told once for all, by status."""
    return {
        status: answer["$ref"].rpartition("/")[2]
        for item in told["paths"].values()
        for status, answer in sorted(item["get"]["responses"].items())
        if "$ref" in answer
    }


__all__ = ["server_page"]
