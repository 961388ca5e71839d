"""One plain value put in another's place without reading the whole file again.

A control that is dragged changes one or two numbers many times a second. Where the old value stands alone and the new
one is a number or a few plain words, nothing else in the text can come to mean something else: the data and the places
of all other values follow from the lengths of the two. Whatever is less plain than that is left to `editing`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from casewright.projectfile.yamltext import (
    LARGEST_BYTES,
    LONGEST_LINE,
    KeyPath,
    LoadedDocument,
    Place,
    plain_scalar,
)
from casewright.projectfile.yamlwriting import scalar_text

_WORDS = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ./_-]{0,60}")


def spliced_document(
    document: LoadedDocument, changes: Mapping[KeyPath, object]
) -> LoadedDocument | None:
    """The document with plain values changed, as reading its new text would give it; None if that is not certain."""
    text = document.text
    if not changes or "&" in text or "*" in text:
        return None  # what has an alias may stand in two places
    edits: list[tuple[int, int, str]] = []
    data: dict[str, Any] = dict(document.data)
    for path, value in changes.items():
        new = _new_scalar(document, path, value)
        if new is None:
            return None
        place = document.places[path]
        written, read = new
        edits.append((place.start, place.end, written))
        _copy_in(data, path, read)
    edits.sort()
    parts: list[str] = []
    at = 0
    for start, end, written in edits:
        parts += [text[at:start], written]
        at = end
    changed = "".join((*parts, text[at:]))
    if len(changed) > LARGEST_BYTES:
        return None
    return LoadedDocument(document.file, changed, data, _moved(document.places, edits))


def _new_scalar(
    document: LoadedDocument, path: KeyPath, value: object
) -> tuple[str, object] | None:
    """How the value is written and what is read from that, None where that is no plain matter."""
    text, place = document.text, document.places.get(path)
    if place is None or not place.alone or not path:
        return None
    old = text[place.start : place.end]
    if not old or "\n" in old or "\r" in old or text[place.start - 1] not in " [":
        return None
    if isinstance(value, str):
        if not _WORDS.fullmatch(value):
            return None
    elif isinstance(value, bool) or not isinstance(value, (int, float)):
        return None
    new = scalar_text(value, like=old, in_flow=True)
    read = value if new[:1] in ("'", '"') else plain_scalar(new)
    if read != value or isinstance(read, str) != isinstance(value, str):
        return None
    start, end = text.rfind("\n", 0, place.start) + 1, text.find("\n", place.end)
    line = (len(text) if end < 0 else end) - start
    # Several values may change in one line, each by less than a hundred characters.
    return (new, read) if line < LONGEST_LINE // 2 and len(new) < 100 else None


def _copy_in(data: dict[str, Any], path: KeyPath, value: object) -> None:
    """Set a value; the groups on the way to it are copied, all others shared."""
    here: Any = data
    for step in path[:-1]:
        inner = here[step]
        here[step] = dict(inner) if isinstance(inner, dict) else list(inner)
        here = here[step]
    here[path[-1]] = value


def _moved(
    places: Mapping[KeyPath, Place], edits: list[tuple[int, int, str]]
) -> dict[KeyPath, Place]:
    moved = dict(places)
    for start, end, new in reversed(edits):  # from the end, so that earlier positions stay true
        by = len(new) - (end - start)
        if not by:
            continue
        for path, place in moved.items():
            if place.end >= end:
                moved[path] = Place(
                    place.key + by if place.key >= end else place.key,
                    place.start + by if place.start >= end else place.start,
                    place.end + by,
                    place.alone,
                )
    return moved


__all__ = ["spliced_document"]
