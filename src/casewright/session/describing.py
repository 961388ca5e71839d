"""What can be set in a project file: every field with its words, its unit and what it may be, read from the models.

Pages make their forms from this, so that there is no second list of fields anywhere.
"""

from __future__ import annotations

import types
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final, Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from casewright.basics.annotations import annotated, leaves, members
from casewright.basics.fields import LENGTHS, Key, Name, Title
from casewright.catalog.explaining import field_label, unit_of
from casewright.design.base import Section
from casewright.workflow import KeyPath

Sort = Literal[
    "length",
    "number",
    "yes or no",
    "choice",
    "key",
    "name",
    "text",
    "place",
    "pair",
    "several",
    "points",
    "group",
    "list",
    "named",
    "by name",
    "open",
]
"""How a field is filled in.

"place" is a fixed number of lengths, "pair" one of keys, "several" any number of lengths, "points" pairs of lengths;
"group" is one section, "list" and "named" hold sections by place or by name, "by name" plain values by name. "open" is
what the models leave to the catalog.
"""

PLAIN: Final[tuple[Sort, ...]] = (
    "length",
    "number",
    "yes or no",
    "choice",
    "key",
    "name",
    "text",
    "place",
    "several",
    "points",
)
"""Sorts that are filled in by one row of boxes; the others hold sections or values of their own."""

LETTERS: Final[Mapping[str, tuple[str, ...]]] = {
    "start": ("y", "z"),
    "end": ("y", "z"),
    "at": ("x", "y", "z"),
    "to": ("u", "v"),
    "size": ("first", "second"),
}
"""What the numbers of a place are called."""

_SUFFIXES = ("_deg", "_kg", "_litres", "_per_m", "_w")
"""Units at the end of a name; the unit is said beside the value."""


@dataclass(frozen=True)
class Field:
    """One field of a section."""

    name: str
    """As the file has it."""
    label: str
    meaning: str
    sort: Sort
    unit: str = ""
    """"mm", "deg", "kg" and so on; "money" for the project's currency."""
    choices: tuple[str | int, ...] = ()
    is_needed: bool = False
    may_be_left: bool = False
    """What is not given has no value of its own: it is worked out, or there is none."""
    usual: object = None
    """Its value where none is given."""
    models: tuple[type[Section], ...] = ()
    """Of the sections in it; several where one of its fields tells them apart."""
    letters: tuple[str, ...] = ()


@cache
def fields_of(model: type[Section]) -> tuple[Field, ...]:
    """Every field of a section, in the model's order."""
    return tuple(_field(name, info) for name, info in model.model_fields.items())


def tag_of(models: tuple[type[Section], ...]) -> str:
    """The field that tells sections of several models apart; "" for one model.

    Example:
        >>> from casewright.design.panels import HoleFeature, SlotFeature
        >>> tag_of((HoleFeature, SlotFeature))
        'shape'
    """
    if len(models) < 2:
        return ""
    shared = set.intersection(*(set(model.model_fields) for model in models))
    return next(
        name
        for name, info in models[0].model_fields.items()
        if name in shared and get_origin(info.annotation) is Literal and _tells_apart(models, name)
    )


def model_with(models: tuple[type[Section], ...], tag: object) -> type[Section]:
    """The model that a value of the telling field stands for; the first one where it is none of them."""
    name = tag_of(models)
    return next(
        (m for m in models if name and tag in get_args(m.model_fields[name].annotation)), models[0]
    )


def value_at(project: BaseModel, path: KeyPath) -> Any:
    """The value at a place of a project; None where there is none."""
    here: Any = project
    for step in path:
        if isinstance(here, BaseModel):
            here = getattr(here, _own_name(here, step), None)
        elif isinstance(here, Mapping):
            here = here.get(step)
        elif isinstance(here, tuple) and isinstance(step, int) and 0 <= step < len(here):
            here = here[step]
        else:
            return None
    return here


def is_given(project: BaseModel, path: KeyPath) -> bool:
    """Whether the file says the value at a place itself."""
    holder, step = value_at(project, path[:-1]), path[-1]
    if isinstance(holder, BaseModel):
        return _own_name(holder, step) in holder.model_fields_set
    if isinstance(holder, Mapping):
        return step in holder
    return isinstance(holder, tuple) and isinstance(step, int) and 0 <= step < len(holder)


def _own_name(model: BaseModel, step: str | int) -> str:
    for name, info in type(model).model_fields.items():
        if step in (name, info.alias):
            return name
    return str(step)


# ---- one field ----


def _field(name: str, info: FieldInfo) -> Field:
    kind = annotated(info)
    inner = [member for member in members(kind) if member is not types.NoneType]
    sort, models = _sort(kind, inner)
    usual = (
        None
        if info.is_required()
        else info.get_default(call_default_factory=True, validated_data={})
    )
    return Field(
        name=info.alias or name,
        label=_label(name),
        meaning=info.description or "",
        sort=sort,
        unit=unit_of(name, info),
        choices=tuple(get_args(inner[0])) if sort == "choice" else (),
        is_needed=info.is_required(),
        may_be_left=usual is None and not info.is_required(),
        usual=usual,
        models=models,
        letters=LETTERS.get(name, ("1", "2", "3")) if sort == "place" else (),
    )


def _label(name: str) -> str:
    known = field_label(name)
    if known != name.replace("_", " "):
        return known
    for suffix in _SUFFIXES:
        name = name.removesuffix(suffix)
    return field_label(name)


def _sort(kind: Any, inner: list[Any]) -> tuple[Sort, tuple[type[Section], ...]]:
    models = tuple(member for member in inner if _is_section(member))
    if models:
        return "group", models
    first, arguments = inner[0], get_args(inner[0])
    if get_origin(first) is Literal:
        return "choice", ()
    if first is bool:
        return "yes or no", ()
    if get_origin(first) is dict:
        return _sort_of_dict(arguments[1])
    if get_origin(first) is tuple:
        return _sort_of_tuple(arguments)
    if first is str:
        return ("key" if _has(kind, Key) else "name" if _is_name(kind) else "text"), ()
    if first in (int, float):
        return ("length" if _is_length(kind) else "number"), ()
    return "open", ()


def _sort_of_dict(value: Any) -> tuple[Sort, tuple[type[Section], ...]]:
    inside = tuple(members(value))
    models = tuple(member for member in inside if _is_section(member))
    if models:
        return "named", models
    return ("by name" if inside[0] in (int, float, str) else "open"), ()


def _sort_of_tuple(arguments: tuple[Any, ...]) -> tuple[Sort, tuple[type[Section], ...]]:
    items = tuple(members(arguments[0]))
    models = tuple(item for item in items if _is_section(item))
    if models:
        return "list", models
    if get_origin(items[0]) is tuple:
        return "points", ()
    if arguments[-1] is Ellipsis:
        return "several", ()
    return ("pair" if items[0] is str else "place"), ()


def _tells_apart(models: tuple[type[Section], ...], name: str) -> bool:
    values = [set(get_args(model.model_fields[name].annotation)) for model in models]
    return sum(map(len, values)) == len(set.union(*values))


def _is_section(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, Section)


def _is_name(kind: Any) -> bool:
    return _has(kind, Name) or _has(kind, Title)


def _is_length(kind: Any) -> bool:
    return any(_has(kind, length) for length in LENGTHS)


def _has(kind: Any, wanted: Any) -> bool:
    own = {id(mark) for mark in leaves(kind)}
    return any(id(mark) in own for mark in get_args(wanted)[1:])


__all__ = [
    "LETTERS",
    "PLAIN",
    "Field",
    "Sort",
    "fields_of",
    "is_given",
    "model_with",
    "tag_of",
    "value_at",
]
