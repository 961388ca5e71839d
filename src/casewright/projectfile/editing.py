"""Changing values of a project file while its comments, order and spacing stay.

Each change is first made in the text itself, so that nothing else moves. Where the layout is too
unusual for that, the group around the value is written anew, and so on outward. Each result is read
back and compared with what was wanted before it counts, but for the plainest ones (see `splicing`).
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Mapping
from copy import deepcopy
from dataclasses import replace
from typing import Any, Final, TypeAlias

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.units import quoted
from casewright.projectfile.splicing import spliced_document
from casewright.projectfile.yamltext import (
    HIDDEN,
    KeyPath,
    LoadedDocument,
    load_text,
    plain_scalar,
)
from casewright.projectfile.yamlwriting import block_lines, flow_text, scalar_text


class Removal:
    """Marks a value to be taken out of the file."""


REMOVE: Final = Removal()
"""As the new value: take the key or the list's item out."""

Value: TypeAlias = str | int | float | bool | list[Any] | dict[str, Any] | None


def changed_text(document: LoadedDocument, changes: Mapping[KeyPath, Value | Removal]) -> str:
    """Return the document's text with some values changed, its comments and order kept.

    See `changed_document`.
    """
    return changed_document(document, changes).text


def changed_document(
    document: LoadedDocument, changes: Mapping[KeyPath, Value | Removal]
) -> LoadedDocument:
    """Return the document with some values changed, its comments and order kept.

    Args:
        document: The file as it was read.
        changes: New values by path. A path whose last step is a new key, or the length of a list,
            adds it. `REMOVE` takes a value out.

    Raises:
        InputError: A path leads to no place in the file, or a value cannot be written.
    """
    ordered = _checked(changes)
    quick = spliced_document(document, changes)
    if quick is not None:
        return quick
    for path, value in ordered:
        field = ".".join(map(str, path))
        wanted = deepcopy(document.data)
        _put(wanted, path, value, field)
        document = _changed(document, path, value, wanted)
    return document


def proposed_document(
    document: LoadedDocument, changes: Mapping[KeyPath, Value | Removal]
) -> LoadedDocument:
    """The document's data as the changes would make them, in a hurry: to be looked at, not to be saved.

    The text and the places are those of before where new ones would take long.

    Raises:
        InputError: As `changed_document`.
    """
    ordered = _checked(changes)
    quick = spliced_document(document, changes)
    if quick is not None:
        return quick
    data = document.data
    for path, value in ordered:
        data = _copied_along(data, path)
        _put(data, path, value, ".".join(map(str, path)))
    return replace(document, data=data)


def _copied_along(data: dict[str, Any], path: KeyPath) -> dict[str, Any]:
    """The data with groups and lists of their own where a path leads; all else is shared."""
    whole = dict(data)
    here: Any = whole
    for step in path[:-1]:
        inner = here[step] if _has(here, step) else None
        if not isinstance(inner, dict | list):
            break
        here[step] = inner = dict(inner) if isinstance(inner, dict) else list(inner)
        here = inner
    return whole


def _checked(
    changes: Mapping[KeyPath, Value | Removal],
) -> list[tuple[KeyPath, Value | Removal]]:
    """The changes in order, each one that a file can hold."""
    ordered = _in_order(changes)
    for path, value in ordered:
        if not isinstance(value, Removal):
            _check(value, ".".join(map(str, path)))
    return ordered


def _in_order(
    changes: Mapping[KeyPath, Value | Removal],
) -> list[tuple[KeyPath, Value | Removal]]:
    """Removals last and from the end of a list backwards, so that positions stay true."""
    gone = [(path, value) for path, value in changes.items() if isinstance(value, Removal)]
    kept = [(path, value) for path, value in changes.items() if not isinstance(value, Removal)]

    def place(change: tuple[KeyPath, object]) -> list[tuple[int, str]]:
        return [(step, "") if isinstance(step, int) else (-1, step) for step in change[0]]

    return kept + sorted(gone, key=place, reverse=True)


def _check(value: object, field: str) -> None:
    """Refuse what a project file cannot hold."""
    if isinstance(value, dict):
        for key, item in value.items():
            _check(item, f"{field}.{key}")
            if not isinstance(key, str) or not key.isprintable() or plain_scalar(key) != key:
                raise InputError(field, got=quoted(key), want="a key that is text")
    elif isinstance(value, (list, tuple)):
        for item in value:
            _check(item, field)
    elif isinstance(value, float) and not math.isfinite(value):
        raise InputError(field, got=quoted(value), want="a number")
    elif isinstance(value, str):
        if HIDDEN.search(value):
            raise InputError(field, got=quoted(value), want="text without control characters")
    elif value is not None and not isinstance(value, (bool, int, float)):
        raise InputError(field, got=quoted(value), want="text, a number, a list or a group")


def _put(data: Any, path: KeyPath, value: Any, field: str) -> None:
    """Set, add or remove one value in nested groups and lists."""
    here: Any = None if not path else data
    for step in path[:-1]:
        here = here[step] if _has(here, step) else None
    last = path[-1] if path else ""
    if isinstance(value, Removal) and _has(here, last):
        del here[last]
    elif isinstance(value, Removal):
        raise InputError(field, got="no such value in the file", want="one that is there")
    elif isinstance(here, list) and last == len(here):
        here.append(value)
    elif (isinstance(here, dict) and isinstance(last, str) and last) or _has(here, last):
        here[last] = value
    else:
        raise InputError(field, got="no such place in the file", want="one that is there")


def _has(group: Any, step: str | int) -> bool:
    if isinstance(group, dict):
        return step in group
    return isinstance(group, list) and isinstance(step, int) and 0 <= step < len(group)


def _changed(
    document: LoadedDocument, path: KeyPath, value: Value | Removal, wanted: dict[str, Any]
) -> LoadedDocument:
    for text in _candidates(document, path, value, wanted):
        try:
            changed = load_text(text, file=document.file)
        except InputErrors:
            continue  # an unusual layout: the next candidate takes in more of the text
        if changed.data == wanted:
            return changed
    raise InputError(
        ".".join(map(str, path)), got="a file at its limits", want="a smaller file or value"
    )


def _candidates(
    document: LoadedDocument, path: KeyPath, value: Value | Removal, wanted: dict[str, Any]
) -> Iterator[str]:
    """Texts with the change made, from the one that moves least to the file written anew."""
    if isinstance(value, Removal):
        yield from _without(document, path)
    elif path not in document.places:
        yield from _with_new(document, path, value)
    else:
        yield from _spliced(document, path, value)
        yield from _replaced(document, path, value)
    for depth in range(len(path) - 1, 0, -1):
        yield from _replaced(document, path[:depth], _at(wanted, path[:depth]))
    yield "".join(f"{line}\n" for line in block_lines(wanted))


def _spliced(document: LoadedDocument, path: KeyPath, value: Value) -> Iterator[str]:
    """The text with one value that stands alone put in another's place."""
    text, place = document.text, document.places[path]
    old = text[place.start : place.end]
    if not place.alone or "\n" in old or isinstance(value, (list, tuple, dict)):
        return
    if isinstance(value, str) and "\n" in value:
        return
    if old:
        new = scalar_text(value, like=old, in_flow=_is_in_flow(document, path))
        yield text[: place.start] + new + text[place.end :]
    elif colon := re.compile(r":(?=\s)").search(text + "\n", place.key):
        new = scalar_text(value, in_flow=True)
        yield f"{text[: colon.end()]} {new}{text[colon.end() :]}"


def _replaced(document: LoadedDocument, path: KeyPath, value: Any) -> Iterator[str]:
    """The text with a value of any kind put in another's place."""
    text, place = document.text, document.places[path]
    if _is_in_flow(document, path):
        yield text[: place.start] + flow_text(value) + text[place.end :]
        return
    if _in_braces(document, path) and isinstance(value, (list, tuple, dict)):
        yield text[: place.start] + flow_text(value) + text[place.end :]
    start = text.rfind("\n", 0, place.key) + 1
    lead = text[start : place.key]
    if lead.strip(" -"):
        return
    if isinstance(path[-1], int):
        dash = lead.rfind("-")
        new = block_lines([value], indent=max(dash, 0))
        lead = lead[: max(dash, 0)]
    else:
        new = block_lines({str(path[-1]): value}, indent=len(lead))
    first, *others = new
    lines = [lead + first[len(lead) :], *others]
    yield text[:start] + _joined(document, lines) + text[_line_end(document, path) :]


def _joined(document: LoadedDocument, lines: Iterable[str]) -> str:
    newline = "\r\n" if "\r\n" in document.text else "\n"
    return "".join(line + newline for line in lines)


def _is_in_flow(document: LoadedDocument, path: KeyPath) -> bool:
    return any(_in_braces(document, path[:depth]) for depth in range(len(path)))


def _in_braces(document: LoadedDocument, path: KeyPath) -> bool:
    return document.text[document.places[path].start :][:1] in ("[", "{")


def _without(document: LoadedDocument, path: KeyPath) -> Iterator[str]:
    """The text without the lines of one key or list item."""
    text, place = document.text, document.places[path]
    if _is_in_flow(document, path) or len(_children(document, path[:-1])) == 1:
        return
    start = text.rfind("\n", 0, place.key) + 1
    lead = text[start : place.key].strip()
    if lead == ("-" if isinstance(path[-1], int) else ""):
        yield text[:start] + text[_line_end(document, path) :]


def _with_new(document: LoadedDocument, path: KeyPath, value: Value) -> Iterator[str]:
    """The text with lines for a new key or list item, after the last one there."""
    text, children = document.text, _children(document, path[:-1])
    if not children or _is_in_flow(document, (*path[:-1], children[0][-1])):
        return
    first = document.places[children[0]].key
    lead = text[text.rfind("\n", 0, first) + 1 : first]
    if lead.strip(" -"):
        return
    if isinstance(path[-1], int):
        lines = block_lines([value], indent=max(lead.rfind("-"), 0))
    else:
        lines = block_lines({str(path[-1]): value}, indent=len(lead))
    at = _line_end(document, children[-1])
    before = text[:at] if text[:at].endswith("\n") else text[:at] + "\n"
    yield before + _joined(document, lines) + text[at:]


def _children(document: LoadedDocument, path: KeyPath) -> list[KeyPath]:
    """Paths of what a group or list holds, if it is written out there."""
    here = _at(document.data, path)
    steps = list(here) if isinstance(here, dict) else range(len(here))
    children = [(*path, step) for step in steps]
    return children if all(child in document.places for child in children) else []


def _line_end(document: LoadedDocument, path: KeyPath) -> int:
    """Where the line after the last one of a value begins."""
    text = document.text
    while not _in_braces(document, path) and isinstance(_at(document.data, path), (dict, list)):
        children = _children(document, path)
        if not children:
            break
        path = children[-1]
    place = document.places[path]
    left_out = place.start == place.end
    end = place.key if left_out else max(len(text[: place.end].rstrip()), place.key)
    line = text.find("\n", end)
    return len(text) if line < 0 else line + 1


def _at(data: Any, path: KeyPath) -> Any:
    for step in path:
        data = data[step]
    return data


__all__ = ["REMOVE", "Removal", "Value", "changed_document", "changed_text", "proposed_document"]
