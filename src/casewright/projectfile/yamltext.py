"""YAML text becomes plain data that knows where in the text each value stands.

Read is the plain part of YAML 1.2: groups of keys, lists, text, numbers, true, false and nothing.
Refused in plain words: tags, directives, key merges, duplicate keys, more than one document, signs
that cannot be seen, and files so large, deep or folded that reading them would take long.

The signs are read by libyaml; what unquoted text stands for is decided here (decision 0019).
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from typing import Any, TypeAlias

from yaml.cyaml import CParser
from yaml.error import MarkedYAMLError
from yaml.events import (
    AliasEvent,
    DocumentEndEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from casewright.basics.errors import InputError, InputErrors, Spot
from casewright.basics.units import quoted
from casewright.projectfile.yamlwords import in_plain_words

LARGEST_BYTES = 500_000
LONGEST_LINE = 10_000
MOST_LINES = 12_000
"""As many as values: lines without one cost the parser as much."""
DEEPEST = 40
MOST_VALUES = 12_000
"""Values after aliases are filled in; about a second of reading."""
MOST_ALIASES = 50
MOST_DOUBLES = 100
"""Keys found a second time after which reading ends: what is wrong with the file is plain by then."""

KeyPath: TypeAlias = tuple[str | int, ...]
"""Keys and list positions (from 0) from the top of the file down to a value."""


@dataclass(frozen=True)
class Place:
    """Where a value stands: positions in the text, counted in characters from 0."""

    key: int
    """Start of the key, or of the value in a list."""
    start: int
    end: int
    alone: bool
    """One value written out on its own: no group, list, block of text, alias or anchor."""


@dataclass(frozen=True)
class LoadedDocument:
    """A YAML file, read."""

    file: str
    text: str
    """As in the file, without a byte order mark."""
    data: dict[str, Any]
    places: Mapping[KeyPath, Place] = field(repr=False)

    def spot(self, path: KeyPath, *, at_key: bool = False) -> Spot:
        """The place of a value or of its key; of the nearest group around it if it is not there."""
        while path and path not in self.places:
            path, at_key = path[:-1], True
        place = self.places[path]
        at_key = at_key or place.start == place.end  # a value left out stands nowhere
        return spot_at(self.file, self.text, place.key if at_key else place.start)

    def path(self, dotted: str) -> KeyPath:
        """The path that a dotted name such as "seams.0.gap" stands for in this file."""
        here: Any = self.data
        path: list[str | int] = []
        for part in dotted.split(".") if dotted else []:
            step = int(part) if isinstance(here, list) and part.isdecimal() else part
            path.append(step)
            inside = isinstance(here, dict) or (isinstance(here, list) and isinstance(step, int))
            here = here[step] if inside and tuple(path) in self.places else None
        return tuple(path)


def load_file(path: Path) -> LoadedDocument:
    """Read a YAML file.

    Raises:
        InputErrors: It cannot be read, or is not what this module reads.
    """
    return load_text(read_text(path), file=str(path))


def read_text(path: Path) -> str:
    """The text of a file in UTF-8, as it is: line ends and a byte order mark stay.

    Raises:
        InputErrors: It cannot be read, is too large, or is not in UTF-8.
    """
    try:
        with path.open("rb") as stream:
            data = stream.read(LARGEST_BYTES + 1)
    except OSError as error:
        reason = (error.strerror or type(error).__name__).lower()
        got = f"{path}, which cannot be opened ({reason})"
        raise InputErrors(
            [InputError("file", got=got, want="a project file that can be read")]
        ) from None
    return _decoded(data, file=str(path))


def load_bytes(data: bytes, *, file: str) -> LoadedDocument:
    """Read a YAML file from its bytes, in UTF-8.

    Raises:
        InputErrors: It is not what this module reads.
    """
    return load_text(_decoded(data, file=file), file=file)


def _decoded(data: bytes, *, file: str) -> str:
    want = "a file saved as UTF-8"
    if len(data) > LARGEST_BYTES:
        raise _one(file, "", 0, "a larger file", f"at most {LARGEST_BYTES:,} bytes")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or b"\x00" in data[:4]:
        raise _one(file, "", 0, "a file in UTF-16 or UTF-32", want)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8")
        got = f"the byte {data[error.start]:#04x}"
        raise _one(file, before, len(before), got, want) from None
    return text


def load_text(text: str, *, file: str) -> LoadedDocument:
    """Read YAML text.

    Args:
        text: The text; a byte order mark at its start is dropped.
        file: What to call it in messages.

    Raises:
        InputErrors: It is not what this module reads.
    """
    text = text.removeprefix("\ufeff")
    if len(text) > LARGEST_BYTES:
        raise _one(file, "", 0, "a larger file", f"at most {LARGEST_BYTES:,} bytes")
    if hidden := HIDDEN.search(text):
        got = f"the control character {ascii(hidden[0])[1:-1]}"
        raise _one(file, text, hidden.start(), got, "text without control characters")
    if unseen := _UNSEEN.search(text):
        got = f"the sign {ascii(unseen[0])[1:-1]}, which cannot be seen"
        want = "text without it, or its escape in double quotes"
        raise _one(file, text, unseen.start(), got, want, 'name: "two\\u2028lines"')
    starts = (*_line_starts(text), len(text))
    if len(starts) - 1 > MOST_LINES:
        want = f"at most {MOST_LINES:,} lines in a file"
        raise _one(file, text, starts[MOST_LINES], "more lines", want)
    for start, end in pairwise(starts):
        if end - start > LONGEST_LINE:
            want = f"at most {LONGEST_LINE:,} characters in a line"
            raise _one(file, text[: start + 80], start, "a longer line", want)
    return _Reading(file, text).document()


HIDDEN = re.compile("[^\t\n\r\x20-\x7e\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What a text may not hold. Source: YAML 1.2.2, section 5.1, less the line breaks of old times."""
_UNSEEN = re.compile("[\u2028\u2029\ufeff]")
"""Line breaks and nothing to some readers of YAML, letters to others. Source: YAML 1.2.2, sections 5.2 and 5.4."""
_LINE = re.compile(r"\r\n|\n|\r")
_NULL = frozenset(("", "~", "null", "Null", "NULL"))
_BOOL = {"true": True, "True": True, "TRUE": True} | dict.fromkeys(
    ("false", "False", "FALSE"), False
)
_INT = re.compile(r"[-+]?[0-9]{1,30}|0o[0-7]{1,40}|0x[0-9a-fA-F]{1,30}")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+\.[0-9]*)([eE][-+]?[0-9]+)?|[-+]?[0-9]+[eE][-+]?[0-9]+")
_NOT_FINITE = re.compile(r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")


def plain_scalar(text: str) -> object:
    """What unquoted text stands for. Source: YAML 1.2.2, section 10.3.2, core schema."""
    if text in _NULL:
        return None
    if text in _BOOL:
        return _BOOL[text]
    if _INT.fullmatch(text):
        return int(text, 0) if text.startswith(("0o", "0x")) else int(text)
    if len(text) <= 100 and _FLOAT.fullmatch(text):
        return float(text)
    if _NOT_FINITE.fullmatch(text):
        return float(text.replace(".", ""))
    return text


@dataclass
class _Reading:
    """One pass over the parser's events."""

    file: str
    text: str
    places: dict[KeyPath, Place] = field(default_factory=dict)
    anchors: dict[str, tuple[Any, int] | None] = field(default_factory=dict)
    """Value and size by name; None while it is still being read."""
    values: int = 0
    aliases: int = 0
    doubles: list[InputError] = field(default_factory=list)

    def document(self) -> LoadedDocument:
        events: Iterator[Any] = iter(CParser(self.text).get_event, None)
        try:
            data = self._top(events)
        except MarkedYAMLError as error:
            raise self._syntax(error) from None
        if not isinstance(data, dict):
            got = "an empty file" if data is None else quoted(data)
            raise self._refusal(0, got, "a group of keys", "name: Radio cabinet")
        if self.doubles:
            raise InputErrors(self.doubles)
        return LoadedDocument(self.file, self.text, data, self.places)

    def _top(self, events: Iterator[Any]) -> Any:
        data = None
        documents = 0
        for event in events:
            if isinstance(event, DocumentStartEvent):
                documents += 1
                if documents > 1:
                    got = "a second document"
                    raise self._refusal(event.start_mark.index, got, "no line of three dashes here")
                if event.version or event.tags:
                    got = "a line that starts with %"
                    raise self._refusal(event.start_mark.index, got, "no such line")
            elif not isinstance(event, (DocumentEndEvent, StreamEndEvent)) and documents:
                data = self._value(events, event, (), event.start_mark.index)
        return data

    def _value(self, events: Iterator[Any], event: Any, path: KeyPath, key: int) -> Any:
        """The value that starts with an event; takes its further events too."""
        start = event.start_mark.index
        if isinstance(event, AliasEvent):
            self.places[path] = Place(key, start, event.end_mark.index, False)
            return self._alias(event)
        if event.tag is not None:
            got = f"the tag {quoted(str(event.tag))}"
            raise self._refusal(start, got, "a value without a tag (a word that starts with !)")
        self._count(1, start)
        if len(path) > DEEPEST:
            got = f"groups nested more than {DEEPEST} deep"
            raise self._refusal(start, got, f"at most {DEEPEST} levels")
        before = self.values
        if event.anchor is not None:
            self.anchors[event.anchor] = None
        self.places[path] = Place(key, start, start, False)  # in the order of the file
        if isinstance(event, ScalarEvent):
            value, end = self._scalar(event), event.end_mark.index
        elif isinstance(event, SequenceStartEvent):
            value, end = self._list(events, path)
        else:
            assert isinstance(event, MappingStartEvent)
            value, end = self._group(events, path)
        alone = isinstance(event, ScalarEvent) and event.style not in ("|", ">")
        self.places[path] = Place(key, start, end, alone and event.anchor is None)
        if event.anchor is not None:
            self.anchors[event.anchor] = (value, self.values - before + 1)
        return value

    def _scalar(self, event: Any) -> object:
        text: str = event.value
        if event.style is None or event.style == "":
            return plain_scalar(text)
        if hidden := HIDDEN.search(text):
            got = f"the control character {ascii(hidden[0])[1:-1]}"
            raise self._refusal(event.start_mark.index, got, "text without control characters")
        return text

    def _list(self, events: Iterator[Any], path: KeyPath) -> tuple[list[Any], int]:
        items: list[Any] = []
        while not isinstance(event := next(events), SequenceEndEvent):
            items.append(self._value(events, event, (*path, len(items)), event.start_mark.index))
        return items, event.end_mark.index

    def _group(self, events: Iterator[Any], path: KeyPath) -> tuple[dict[str, Any], int]:
        group: dict[str, Any] = {}
        while not isinstance(event := next(events), MappingEndEvent):
            key, at = self._key(event)
            double = key in group
            first = self.places[(*path, key)] if double else None
            value = self._value(events, next(events), (*path, key), at)
            if first is None:
                group[key] = value
            else:
                line = spot_at(self.file, self.text, first.key).line
                dotted = ".".join(map(str, (*path, key)))
                got, want = "the key a second time", f"it once; it is also in line {line}"
                self.doubles.append(
                    InputError(dotted, got=got, want=want, spot=spot_at(self.file, self.text, at))
                )
                if len(self.doubles) == MOST_DOUBLES:
                    raise InputErrors(self.doubles)
        return group, event.end_mark.index

    def _key(self, event: Any) -> tuple[str, int]:
        at: int = event.start_mark.index
        if isinstance(event, ScalarEvent) and event.tag is None and event.anchor is None:
            self._count(1, at)
            key = self._scalar(event)
            if isinstance(key, int) and not isinstance(key, bool):
                key = str(event.value)
            if key == "<<" and not event.style:
                raise self._refusal(at, "a merge of groups (<<)", "the keys written out")
            if isinstance(key, str):
                return key, at
            raise self._refusal(at, quoted(key), "a key that is text", f'"{event.value}": 1')
        raise self._refusal(at, "something else than text as a key", "a key that is text", "a: 1")

    def _alias(self, event: Any) -> Any:
        at = event.start_mark.index
        self.aliases += 1
        if self.aliases > MOST_ALIASES:
            raise self._refusal(at, "more aliases (*)", f"at most {MOST_ALIASES} of them")
        if event.anchor not in self.anchors:
            got = f"the alias {quoted('*' + event.anchor)}"
            raise self._refusal(at, got, f"an anchor &{event.anchor[:40]} above it")
        target = self.anchors[event.anchor]
        if target is None:
            got = f"the alias {quoted('*' + event.anchor)} inside the value it stands for"
            raise self._refusal(at, got, "a value that does not hold itself")
        value, size = target
        self._count(size, at)
        return value

    def _count(self, more: int, at: int) -> None:
        self.values += more
        if self.values > MOST_VALUES:
            raise self._refusal(at, "more values", f"at most {MOST_VALUES:,} values in a file")

    def _syntax(self, error: MarkedYAMLError) -> InputErrors:
        mark = error.problem_mark or error.context_mark
        at = min(mark.index if mark else 0, len(self.text))
        if self.text[max(at - 2, 0) : at] in ("\\x", "\\u", "\\U"):
            at -= 2  # where the escape starts, not its digits
        opened = error.context_mark
        opening = spot_at(self.file, self.text, opened.index).line if opened else 0
        got, want, example = in_plain_words(error, self.text, at, opening)
        return self._refusal(at, got, want, example)

    def _refusal(self, at: int, got: str, want: str, example: str = "") -> InputErrors:
        return _one(self.file, self.text, at, got, want, example)


def _one(file: str, text: str, at: int, got: str, want: str, example: str = "") -> InputErrors:
    spot = spot_at(file, text, at)
    return InputErrors([InputError("", got=got, want=want, example=example, spot=spot)])


@lru_cache(maxsize=4)
def _line_starts(text: str) -> tuple[int, ...]:
    return (0, *(match.end() for match in _LINE.finditer(text)))


def spot_at(file: str, text: str, at: int) -> Spot:
    """Line and column, both from 1, of a position in a text."""
    starts = _line_starts(text)
    line = bisect_right(starts, at)
    start = starts[line - 1]
    stop = _LINE.search(text, start)
    return Spot(file, line, at - start + 1, text[start : stop.start() if stop else len(text)])


__all__ = [
    "DEEPEST",
    "HIDDEN",
    "LARGEST_BYTES",
    "LONGEST_LINE",
    "MOST_ALIASES",
    "MOST_DOUBLES",
    "MOST_LINES",
    "MOST_VALUES",
    "KeyPath",
    "LoadedDocument",
    "Place",
    "load_bytes",
    "load_file",
    "load_text",
    "plain_scalar",
    "read_text",
    "spot_at",
]
