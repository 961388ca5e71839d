"""The JSON Schema of a project file, for editors that complete and check while typing."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def project_schema(
    model: type[BaseModel], *, id: str = "urn:casewright:project:1", title: str = ""
) -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of what a model reads.

    Args:
        model: The pydantic model of the file.
        id: The schema's own name.
        title: What the file is called; the model's name if not given.
    """
    described = model.model_json_schema(by_alias=True, mode="validation")
    head = {"$schema": DIALECT, "$id": id, "title": title or described.get("title", "")}
    return head | {key: value for key, value in described.items() if key != "title"}


__all__ = ["DIALECT", "project_schema"]
