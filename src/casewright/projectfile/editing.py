"""Changing values of a project file while its comments, order and spacing stay.

Each change is first made in the text itself, so that nothing else moves. Where that is not possible
(inside groups in braces, say) the round-trip writer writes the file anew. Either way the result is
read back and compared with what was wanted.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator, Mapping
from copy import deepcopy
from typing import Any, Final, TypeAlias

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.resolver import VersionedResolver

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.units import quoted
from casewright.projectfile.yamltext import (
    HIDDEN,
    KeyPath,
    LoadedDocument,
    load_text,
    plain_scalar,
)


class Removal:
    """Marks a value to be taken out of the file."""


REMOVE: Final = Removal()
"""As the new value: take the key or the list's item out."""

Value: TypeAlias = str | int | float | bool | list[Any] | dict[str, Any] | None


def changed_text(document: LoadedDocument, changes: Mapping[KeyPath, Value | Removal]) -> str:
    """Return the document's text with some values changed, its comments and order kept.

    Args:
        document: The file as it was read.
        changes: New values by path. A path whose last step is a new key, or the length of a list,
            adds it. `REMOVE` takes a value out.

    Raises:
        InputError: A path leads to no place in the file, or a value cannot be written.
    """
    for path, value in _in_order(changes):
        field = ".".join(map(str, path))
        if not isinstance(value, Removal):
            _check(value, field)
        wanted = deepcopy(document.data)
        _put(wanted, path, value, field)
        document = _changed(document, path, value, wanted)
    return document.text


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
        here = here[_own(here, step)] if _has(here, step) else None
    last = path[-1] if path else ""
    if isinstance(value, Removal) and _has(here, last):
        del here[_own(here, last)]
    elif isinstance(value, Removal):
        raise InputError(field, got="no such value in the file", want="one that is there")
    elif isinstance(here, list) and last == len(here):
        here.append(value)
    elif (isinstance(here, dict) and isinstance(last, str) and last) or _has(here, last):
        here[_own(here, last)] = value
    else:
        raise InputError(field, got="no such place in the file", want="one that is there")


def _own(group: Any, step: str | int) -> Any:
    """A key as the group holds it: the round-trip reader makes numbers of keys like `1`."""
    if isinstance(group, dict) and step not in group:
        return next((key for key in group if str(key) == step), step)
    return step


def _has(group: Any, step: str | int) -> bool:
    if isinstance(group, dict):
        return _own(group, step) in group
    return isinstance(group, list) and isinstance(step, int) and 0 <= step < len(group)


def _changed(
    document: LoadedDocument, path: KeyPath, value: Value | Removal, wanted: object
) -> LoadedDocument:
    text = _edited(document, path, value)
    if text is not None:
        try:
            changed = load_text(text, file=document.file)
        except InputErrors:
            pass  # an unusual layout: let the round-trip writer do it
        else:
            if changed.data == wanted:
                return changed
    changed = load_text(_rewritten(document, path, value), file=document.file)
    assert changed.data == wanted
    return changed


def _edited(document: LoadedDocument, path: KeyPath, value: Value | Removal) -> str | None:
    """The text after one change made in place; None where that is not possible."""
    place = document.places.get(path)
    if isinstance(value, Removal):
        return _without(document, path)
    if place is None:
        return _with_new(document, path, value)
    if not place.alone or isinstance(value, (list, tuple, dict)):
        return None
    text = document.text
    old = text[place.start : place.end]
    if "\n" in old:
        return None
    in_flow = any(_in_braces(document, path[:depth]) for depth in range(len(path)))
    gap = " " if not old and text[place.start - 1 : place.start] == ":" else ""
    if not old and not gap:
        return None
    new = scalar_text(value, like=old, in_flow=in_flow)
    return text[: place.start] + gap + new + text[place.end :]


def _in_braces(document: LoadedDocument, path: KeyPath) -> bool:
    return document.text[document.places[path].start :][:1] in ("[", "{")


def _without(document: LoadedDocument, path: KeyPath) -> str | None:
    """The text without the lines of one key or list item."""
    text = document.text
    place = document.places[path]
    if _in_braces(document, path[:-1]) or len(_children(document, path[:-1])) == 1:
        return None
    start = text.rfind("\n", 0, place.key) + 1
    lead = text[start : place.key]
    if lead.strip() not in ("", "-") or (lead.strip() == "-") != isinstance(path[-1], int):
        return None
    return text[:start] + text[_line_end(document, path) :]


def _with_new(document: LoadedDocument, path: KeyPath, value: Value) -> str | None:
    """The text with lines for a new key or list item, after the last one there."""
    text = document.text
    children = _children(document, path[:-1])
    if not children or _in_braces(document, path[:-1]):
        return None
    first = document.places[children[0]].key
    start = text.rfind("\n", 0, first) + 1
    lead = text[start:first]
    if isinstance(path[-1], int):
        dash = lead.rfind("-")
        if lead[dash + 1 :].strip() or dash < 0 or lead[:dash].strip(" -"):
            return None
        lines = _block([value], indent=dash)
    else:
        if lead.strip(" -"):
            return None
        lines = _block({str(path[-1]): value}, indent=len(lead))
    newline = "\r\n" if "\r\n" in text else "\n"
    at = _line_end(document, children[-1])
    before = text[:at] + ("" if text[:at].endswith("\n") else newline)
    return before + "".join(line + newline for line in lines) + text[at:]


def _children(document: LoadedDocument, path: KeyPath) -> list[KeyPath]:
    here: Any = document.data
    for step in path:
        here = here[step]
    steps = list(here) if isinstance(here, dict) else range(len(here or ()))
    return [(*path, step) for step in steps]


def _line_end(document: LoadedDocument, path: KeyPath) -> int:
    """Where the line after the last one of a value begins."""
    text = document.text
    while not _in_braces(document, path) and isinstance(_at(document, path), (dict, list)):
        path = _children(document, path)[-1]
    place = document.places[path]
    end = max(len(text[: place.end].rstrip()), place.key)
    line = text.find("\n", end)
    return len(text) if line < 0 else line + 1


def _at(document: LoadedDocument, path: KeyPath) -> Any:
    here: Any = document.data
    for step in path:
        here = here[step]
    return here


def _block(value: object, *, indent: int) -> Iterator[str]:
    """The lines of a group or list, indented; short lists and what is empty in brackets."""
    pad = " " * indent
    for key, item in value.items() if isinstance(value, dict) else enumerate(_list(value)):
        head = "-" if not isinstance(value, dict) else scalar_text(str(key), in_flow=False) + ":"
        simple = isinstance(item, (list, tuple)) and not any(
            isinstance(part, (list, tuple, dict)) for part in item
        )
        if isinstance(item, (list, tuple)) and simple:
            inner = ", ".join(scalar_text(part, in_flow=True) for part in item)
            yield f"{pad}{head} [{inner}]"
        elif isinstance(item, dict) and not item:
            yield f"{pad}{head} {{}}"
        elif isinstance(item, dict) and head == "-":
            first, *others = _block(item, indent=indent + 2)
            yield f"{pad}- {first.lstrip(' ')}"
            yield from others
        elif isinstance(item, (dict, list, tuple)):
            yield f"{pad}{head}"
            yield from _block(item, indent=indent + 2)
        else:
            yield f"{pad}{head} {scalar_text(item, in_flow=False)}"


def _list(value: object) -> list[Any]:
    assert isinstance(value, (list, tuple))
    return list(value)


_SAFE = re.compile(r"[A-Za-z0-9(+.½¼¾⅛⅜⅝⅞][^\n:#]*|-[0-9.][^\n:#]*")


def scalar_text(value: Any, *, like: str = "", in_flow: bool) -> str:
    """A value as it is written in YAML, with quotes where it needs them or had them before.

    Args:
        value: Text, a number, true, false or None.
        like: The old text, whose kind of quotes is kept.
        in_flow: Whether it stands inside brackets or braces.

    Example:
        >>> scalar_text("19 1/2 in", in_flow=False), scalar_text("Side: left", in_flow=False)
        ('19 1/2 in', "'Side: left'")
    """
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        whole = float(value).is_integer() and abs(value) < 1e15
        return str(int(value)) if isinstance(value, int) or whole else float.__repr__(value)
    text = str(value)
    plain = (
        _SAFE.fullmatch(text)
        and text == text.strip()
        and text.isprintable()
        and plain_scalar(text) == text
        and not (in_flow and re.search(r"[\[\]{},]", text))
    )
    if plain and like[:1] not in ("'", '"'):
        return text
    if text.isprintable() and like[:1] != '"':
        return "'" + text.replace("'", "''") + "'"
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return '"' + "".join(c if c.isprintable() else f"\\U{ord(c):08X}" for c in escaped) + '"'


class _DatesAreText(VersionedResolver):
    """The round-trip writer's view of plain text, with dates left as text."""

    def add_version_implicit_resolver(
        self, version: Any, tag: Any, regexp: Any, first: Any
    ) -> None:
        if not str(tag).endswith(":timestamp"):
            super().add_version_implicit_resolver(version, tag, regexp, first)


def _rewritten(document: LoadedDocument, path: KeyPath, value: Value | Removal) -> str:
    """The text after one change, written anew by the round-trip writer."""
    yaml = YAML()
    yaml.preserve_quotes = True
    yaml.width = 4096
    yaml.indent(mapping=2, sequence=4, offset=2)
    yaml.Resolver = _DatesAreText
    data = yaml.load(document.text.replace("\r\n", "\n"))
    _put(data, path, _commented(value), "")
    stream = io.StringIO()
    yaml.dump(data, stream)
    text = stream.getvalue()
    return text.replace("\n", "\r\n") if "\r\n" in document.text else text


def _commented(value: Any) -> Any:
    """Plain data in the writer's own types; whole numbers without a point."""
    if isinstance(value, dict):
        group = CommentedMap()
        for key, item in value.items():
            group[key] = _commented(item)
        return group
    if isinstance(value, (list, tuple)):
        items = CommentedSeq([_commented(item) for item in value])
        if not any(isinstance(item, (dict, list)) for item in value):
            items.fa.set_flow_style()
        return items
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return int(value)
    return value


__all__ = ["REMOVE", "Removal", "Value", "changed_text", "scalar_text"]
