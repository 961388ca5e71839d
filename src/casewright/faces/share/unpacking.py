"""The project file inside a shared page."""

from __future__ import annotations

import base64
import binascii
import re
from pathlib import Path, PurePosixPath, PureWindowsPath

from casewright.basics.errors import InputError
from casewright.faces.share.page import PROJECT_ID
from casewright.workflow import SUFFIX

LARGEST = 64_000_000
"""A shared page is smaller. [bytes]"""
_ELEMENT = re.compile(
    rf'id="{PROJECT_ID}" data-name="([^"<>]{{1,300}})">([A-Za-z0-9+/=]{{1,20000000}})</script>'
)


def project_in(path: Path) -> tuple[str, str]:
    """Name and text of the project file inside a shared page.

    Raises:
        InputError: It is no page that casewright shared, or too large to be one.
    """
    want = "a page written by 'casewright share'"
    try:
        if path.stat().st_size > LARGEST:
            raise InputError("file", got=f"{path.name}, {path.stat().st_size} bytes", want=want)
        page = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        why = error.strerror if isinstance(error, OSError) else "not text"
        raise InputError("file", got=f"{path.name} ({why})", want=want) from None
    found = _ELEMENT.search(page)
    if found is None:
        raise InputError("file", got=f"{path.name} without a project in it", want=want)
    try:
        text = base64.b64decode(found[2], validate=True).decode("utf-8")
    except (binascii.Error, UnicodeDecodeError):
        raise InputError(
            "file", got=f"{path.name} with a spoilt project in it", want=want
        ) from None
    return _plain_name(found[1]), text


def _plain_name(name: str) -> str:
    """A name without folders, whatever the page says."""
    from html import unescape

    last = PurePosixPath(PureWindowsPath(unescape(name)).name).name
    kept = re.sub(r"[^\w .()-]", "_", last).strip(" .") or "project"
    return kept if kept.endswith(SUFFIX) else f"{kept}{SUFFIX}"


__all__ = ["project_in"]
