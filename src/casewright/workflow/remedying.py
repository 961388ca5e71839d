"""A finding's remedy becomes an edit of the project file, its value written as the maker would."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final, get_args, get_origin

from pydantic import BaseModel

from casewright.basics.annotations import annotated, leaves, members
from casewright.basics.fields import LENGTHS
from casewright.basics.findings import Remedy
from casewright.basics.units import MM_PER_INCH, LengthStyle, Unit, format_length, parse_length
from casewright.design.project import Project
from casewright.projectfile.editing import REMOVE, Removal, Value
from casewright.projectfile.missing_groups import with_groups
from casewright.projectfile.yamltext import KeyPath, LoadedDocument
from casewright.workflow.reading import Opened

FINEST: Final = 64
"""Finest parts of an inch that a length is written in; what is finer is written in millimeters."""

_LENGTH_MARKS = {id(mark) for kind in LENGTHS for mark in get_args(kind)[1:]}


def remedy_edits(
    remedy: Remedy, document: LoadedDocument, opened: Opened
) -> dict[KeyPath, Value | Removal]:
    """The edits that carry out a remedy; none if it is not a matter of values in the file.

    Groups and seams that the file does not have yet are made.
    """
    if not remedy.field or remedy.value is None:
        return {}
    unit = opened.project.unit
    edits: dict[KeyPath, Value | Removal] = {}
    seams: list[tuple[str, float | str | None]] = []
    for field, value in ((remedy.field, remedy.value), *remedy.also):
        if field.startswith("seams."):
            seams.append((field, value))
            continue
        path = _path(field, document)
        is_length = any(_is_length(mark) for mark in _marks(path, opened))
        edits[path] = _written(value, _at(document, path), unit if is_length else None)
    return with_groups(document.data, edits | _seam_edits(seams, document, unit))


def _path(field: str, document: LoadedDocument) -> KeyPath:
    """Where a field stands in the file."""
    path = document.path(field)
    if path[2:3] == ("measured",) and len(path) == 4:
        part = document.data.get("parts", {}).get(path[1], {})
        if path[3] in (part.get("assumed") or {}):  # written there already
            path = (*path[:2], "assumed", path[3])
    return path


def written_length(length: float, unit: Unit, *, like: object = None) -> str | float:
    """A length as it is written in a project file, exact.

    Args:
        length: What to write. [mm]
        unit: The project's.
        like: The old value: a bare number is followed by another one.

    Returns:
        Text with its unit, or a number in the project's. In inches where it is a whole number of 64ths, else in
        millimeters, to a ten-thousandth.

    Example:
        >>> written_length(433.3875, "in"), written_length(434.0, "in"), written_length(434.0, "mm", like=430)
        ('17 1/16 in', '434 mm', 434)
    """
    bare = isinstance(like, int | float) and not isinstance(like, bool)
    if unit == "in":
        steps = round(length / MM_PER_INCH * FINEST)
        exact = steps * MM_PER_INCH / FINEST
        text = format_length(exact, LengthStyle("in", denominator=FINEST))
        read = parse_length(text, least=None) if abs(exact - length) < 1e-6 else None
        if read is not None and abs(read - length) < 1e-6:
            return _number(steps / FINEST) if bare else text
        return f"{_number(round(length, 4))} mm"
    per = {"mm": 1, "cm": 10, "m": 1000}[unit]
    number = _number(round(round(length, 4) / per, 8))
    return number if bare else f"{number} {unit}"


def _seam_edits(
    wishes: Sequence[tuple[str, float | str | None]], document: LoadedDocument, unit: Unit
) -> dict[KeyPath, Value | Removal]:
    """Edits of seams between two panels, "seams.deck/screen.over"; a seam of the recipe is written out."""
    seams = document.data.get("seams") or []
    edits: dict[KeyPath, Value | Removal] = {}
    new: list[dict[str, Any]] = []
    for field, value in wishes:
        _, names, key = field.split(".", 2)
        pair = names.split("/")
        at = next((i for i, s in enumerate(seams) if set(s["between"]) == set(pair)), None)
        if at is None:
            entry = next((s for s in new if set(s["between"]) == set(pair)), None)
            if entry is None:
                new.append(entry := {"between": pair})
            _fill(entry, _seam_wish(key, value, entry, unit))
            continue
        for path, wanted in _seam_wish(key, value, seams[at], unit).items():
            old = _at(document, ("seams", at, *path))
            if old != wanted and not (old is None and isinstance(wanted, Removal)):
                edits[("seams", at, *path)] = wanted
    if new and not seams:
        return {("seams",): new}
    return edits | {("seams", len(seams) + n): entry for n, entry in enumerate(new)}


def _seam_wish(
    key: str, value: float | str | None, old: Mapping[str, Any], unit: Unit
) -> dict[tuple[str, ...], Value | Removal]:
    """What a wish for a seam writes into it: by the way to each value within the seam."""
    if key == "over":
        rule = "gap" if old.get("rule") == "gap" else "cover"
        return {("rule",): rule, ("over",): _text(value)}
    if key == "rule":
        return {("rule",): _text(value), ("over",): REMOVE}
    group, _, panel = key.partition(".")
    path = (group, panel) if panel else (group,)
    here: Any = old.get(group)
    if panel:
        here = here.get(panel) if isinstance(here, Mapping) else None
    return {path: _written(value, here, None if group == "tilt" else unit)}


def _fill(entry: dict[str, Any], wanted: Mapping[tuple[str, ...], Value | Removal]) -> None:
    """Write values into a seam that the file does not have yet."""
    for path, value in wanted.items():
        here = entry
        for step in path[:-1]:
            here = here.setdefault(step, {})
        if not isinstance(value, Removal):
            here[path[-1]] = value


def _text(value: float | str | None) -> str:
    assert isinstance(value, str)
    return value


def _written(value: float | str | None, old: object, unit: Unit | None) -> Value:
    """The value as it stands in the file; `unit` for lengths."""
    if isinstance(value, str) or value is None:
        return value
    if unit is not None:
        return written_length(value, unit, like=old)
    return _number(round(value, 6))


def _number(value: float) -> int | float:
    return int(value) if float(value).is_integer() else value


def _at(document: LoadedDocument, path: KeyPath) -> object:
    here: Any = document.data
    for step in path:
        inside = isinstance(here, dict) and step in here
        inside = inside or (isinstance(here, list) and isinstance(step, int) and step < len(here))
        here = here[step] if inside else None
    return here


# ---- which values are lengths ----


def _is_length(mark: object) -> bool:
    return id(mark) in _LENGTH_MARKS


def _marks(path: KeyPath, opened: Opened) -> list[object]:
    """Everything that the models' types say about the value at a path."""
    if path[:1] == ("parts",) and path[2:3] in (("measured",), ("assumed",)) and len(path) == 4:
        known = opened.parts.get(str(path[1]))
        fields = type(known.data).model_fields if known else {}
        return list(leaves(annotated(fields[str(path[3])]))) if path[3] in fields else []
    kinds: list[Any] = [Project]
    for step in path:
        kinds = [below for kind in kinds for below in _below(kind, step)]
    return [mark for kind in kinds for mark in leaves(kind)]


def _below(kind: Any, step: str | int) -> Iterator[Any]:
    for member in members(kind):
        arguments = get_args(member)
        if isinstance(member, type) and issubclass(member, BaseModel):
            if step in member.model_fields:
                yield annotated(member.model_fields[str(step)])
        elif get_origin(member) is dict:
            yield arguments[1]
        elif get_origin(member) is tuple and isinstance(step, int):
            if arguments[-1] is Ellipsis:
                yield arguments[0]
            else:
                yield from arguments[step : step + 1]


__all__ = ["FINEST", "remedy_edits", "written_length"]
