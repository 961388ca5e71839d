"""A short mark of a project's state, printed on every paper so that papers of two states are never mixed up."""

from __future__ import annotations

import hashlib
import json

from casewright.design.project import Project


def fingerprint(project: Project) -> str:
    """Eight signs that change with anything in the project: the start of the SHA-256 of its JSON.

    Keys are sorted, so that the order in which the file names them does not count. Steps that are ticked do not count
    either: a tick at the bench makes no paper another one.

    Source:
        FIPS 180-4 (SHA-256).
    """
    data = project.unticked.model_dump(mode="json", by_alias=True)
    text = json.dumps(data, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    digest = hashlib.sha256(text.encode("ascii")).hexdigest().upper()
    return f"{digest[:4]}-{digest[4:8]}"


__all__ = ["fingerprint"]
