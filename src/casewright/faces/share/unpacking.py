"""The project file inside a shared page."""

from __future__ import annotations

import base64
import binascii
import re
from html import unescape
from pathlib import Path, PurePosixPath, PureWindowsPath

from casewright.basics.errors import InputError
from casewright.faces.share.page import PROJECT_ID
from casewright.workflow import LARGEST_BYTES, SUFFIX

LARGEST = 64_000_000
"""A shared page is smaller. [bytes]"""
LARGEST_CODE = 4 * (LARGEST_BYTES // 3 + 1)
"""The largest project file in base64. [letters]"""
LONGEST_NAME = 60
"""Of a name before its ending, so that every disk takes it: at most 4 bytes a letter. [letters]"""
ENDINGS = (".html", ".htm")
"""Of shared pages."""
WANTED = "a page written by 'casewright share'"
_ELEMENT = re.compile(
    rf'id="{PROJECT_ID}" data-name="([^"<>]{{1,300}})">([A-Za-z0-9+/=]{{1,20000000}})</script>'
)


def project_in(path: Path) -> tuple[str, str]:
    """Name and text of the project file inside a shared page.

    Raises:
        InputError: It is no page that casewright shared, or too large to be one.
    """
    try:
        if path.stat().st_size > LARGEST:
            raise InputError("file", got=f"{path.name}, {path.stat().st_size} bytes", want=WANTED)
        page = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        why = error.strerror if isinstance(error, OSError) else "not text"
        raise InputError("file", got=f"{path.name} ({why})", want=WANTED) from None
    found = _ELEMENT.search(page)
    name, code = found.groups() if found else ("", "")
    return project_packed(unescape(name), code, page=path.name)


def project_packed(name: str, code: str, *, page: str) -> tuple[str, str]:
    """Name and text of a project file, from what a shared page holds of it.

    Args:
        name: As the page says it; it may be anything.
        code: Base64 of the text.
        page: The page's file name, for messages.

    Raises:
        InputError: It is no project file, or too large to be one.
    """
    if not code:
        raise InputError("file", got=f"{page} without a project in it", want=WANTED)
    if len(code) > LARGEST_CODE:
        raise InputError("file", got=f"{page} with too large a project in it", want=WANTED)
    try:
        text = base64.b64decode(code, validate=True).decode("utf-8")
    except (binascii.Error, ValueError):
        raise InputError("file", got=f"{page} with a spoilt project in it", want=WANTED) from None
    return plain_name(name), text


def plain_name(name: str) -> str:
    r"""A project file's name without folders, whatever was said; short enough for every disk.

    Example:
        >>> plain_name("../../etc/duel.cabinet.yaml"), plain_name("C:\\x<y>"), plain_name("..")
        ('duel.cabinet.yaml', 'x_y_.cabinet.yaml', 'project.cabinet.yaml')
    """
    last = PurePosixPath(PureWindowsPath(name).name).name
    bare = last.removesuffix(".yml").removesuffix(".yaml").removesuffix(".cabinet")
    kept = re.sub(r"[^\w .()-]", "_", bare)[:LONGEST_NAME].strip(" .")
    return (kept or "project") + SUFFIX


__all__ = [
    "ENDINGS",
    "LARGEST",
    "LARGEST_CODE",
    "LONGEST_NAME",
    "WANTED",
    "plain_name",
    "project_in",
    "project_packed",
]
