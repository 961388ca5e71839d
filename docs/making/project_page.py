"""Every key of the project file: what it means, its unit, what holds where it is left out, an example."""

from __future__ import annotations

import inspect
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any, get_args

from pydantic import BaseModel
from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError

from casewright.basics.annotations import leaves
from casewright.basics.units import LengthStyle, format_length
from casewright.design.base import Section
from casewright.design.project import Project
from casewright.session.describing import Field, fields_of, tag_of
from making.markdown import code, head, page, sentence, table

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = Path(__file__).with_name("examples.toml")
INTRODUCTION = (
    "One YAML file, `NAME.cabinet.yaml`. A length is a number in the file's `unit`, or text with a unit of its own: "
    '`18`, `3/4"`, `19 1/2 in`, `1\' 6-1/4"`, `1.8 cm`. What is marked *needed* must be there; what is *worked out* '
    "or *none* may be left out. Examples come from the files in [examples/](../../examples/) where they say the key.",
)
_EXAMPLES = {
    "length": "18 mm",
    "name": "Left side",
    "text": "Left side",
    "key": "deck",
    "yes or no": "true",
    "several": "[6, 8, 10]",
    "place": "[120, 40]",
    "pair": "[deck, riser]",
    "points": "[[0, 0], [40, 0], [40, 20]]",
    "by name": "{wire: 4}",
    "open": "{hole: 30}",
    "number": "2",
}
"""Where neither the example projects nor the type have one."""


def project_page() -> str:
    """The page."""
    lines = head("Project file", *INTRODUCTION)
    sections = list(_sections())
    lines += ["Sections:", ""]
    lines += [f"- [{title}](#{_anchor(title)})" for title, _, _ in sections]
    for title, model, path in sections:
        lines += ["", f"## {title}", "", _about(model), ""]
        rows = [_row(model, field, path) for field in fields_of(model)]
        lines += table(("key", "means", "unit or choice", "if left out", "example"), rows)
    return page(lines)


def all_keys() -> list[tuple[str, type[Section], Field, str]]:
    """Every key: its section's title and model, itself, and its example as the page has it."""
    return [
        (title, model, field, _example(model, field, path).strip("`"))
        for title, model, path in _sections()
        for field in fields_of(model)
    ]


@cache
def _typed_examples() -> Mapping[str, str]:
    """Examples by class and field, where no example project says a key and its type has none of its own."""
    return tomllib.loads(EXAMPLES.read_text(encoding="utf-8"))


def _sections() -> Iterator[tuple[str, type[Section], tuple[str, ...]]]:
    """Title, model and place of each section, each model once, in the order of the file."""
    seen: set[type[Section]] = {Project}
    yield "The file", Project, ()
    waiting = [(field, (field.name,)) for field in fields_of(Project)]
    while waiting:
        field, path = waiting.pop(0)
        tag = tag_of(field.models)
        for model in field.models:
            if model in seen:
                continue
            seen.add(model)
            here = (*path, *(["NAME"] if field.sort == "named" else []))
            title = ".".join(here) + ("[]" if field.sort == "list" else "")
            if tag:
                (value,) = get_args(model.model_fields[tag].annotation)
                title += f" ({tag}: {value})"
            yield title, model, here
            inner = [(one, (*here, one.name)) for one in fields_of(model) if one.models]
            waiting[:0] = inner


def _about(model: type[Section]) -> str:
    told = inspect.getdoc(model) or ""
    return "" if model is Project else told.replace("\n", " ")


def _row(model: type[Section], field: Field, path: tuple[str, ...]) -> tuple[str, ...]:
    if field.is_needed:
        otherwise = "*needed*"
    elif field.may_be_left:
        otherwise = "worked out, or none"
    elif field.models or field.sort in ("open", "by name"):
        otherwise = "the usual ones" if isinstance(field.usual, BaseModel) else "none"
    else:
        otherwise = _value(field.usual, field.unit) or "empty"
    return (
        code(field.name),
        sentence(field.meaning),
        _what(field),
        otherwise,
        _example(model, field, path),
    )


def _what(field: Field) -> str:
    if field.choices:
        return ", ".join(code(str(choice)) for choice in field.choices)
    if field.models:
        return {"list": "list of sections", "named": "sections by key"}.get(field.sort, "section")
    if field.sort == "length" or field.unit == "mm":
        return "length"
    return {"deg": "degrees", "money": "currency", "": field.sort}.get(field.unit, field.unit)


def _value(value: object, unit: str) -> str:
    if value is None or value == () or value == {}:
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        if unit == "mm":
            return format_length(float(value), LengthStyle("mm"))
        return f"{value:g}" + {"deg": "°", "money": "", "": ""}.get(unit, f" {unit}")
    if isinstance(value, tuple):
        return ", ".join(_value(one, unit) for one in value)
    return str(value)


def _example(model: type[Section], field: Field, path: tuple[str, ...]) -> str:
    if field.models:
        return "below"
    for data in _examples():
        for section in _at(data, path):
            if isinstance(section, dict) and field.name in section and _is_of(model, section):
                text = _flow(section[field.name])
                if len(text) <= 60:
                    return code(f"{field.name}: {text}")
    if field.choices:
        other = next((one for one in field.choices if one != field.usual), field.choices[0])
        return code(f"{field.name}: {other}")
    return code(f"{field.name}: {_typed_example(model, field)}")


def _typed_example(model: type[Section], field: Field) -> str:
    for owner in model.__mro__:
        if own := _typed_examples().get(f"{owner.__name__}.{field.name}"):
            return own
    if field.sort == "length" and isinstance(field.usual, float) and field.usual:
        return f"{field.usual:g} mm"
    info = next(i for n, i in model.model_fields.items() if field.name in (n, i.alias))
    for mark in leaves(info.annotation) if not info.metadata else [*info.metadata]:
        schema = getattr(mark, "json_schema", None)
        if isinstance(schema, dict) and schema.get("examples"):
            return str(schema["examples"][0])
    if field.sort == "number" and isinstance(field.usual, (int, float)):
        return f"{field.usual:g}"
    return _EXAMPLES[field.sort]


def _is_of(model: type[Section], section: Mapping[str, object]) -> bool:
    """Whether the section is one of that model, by the field that tells several apart."""
    for tag in ("recipe", "shape"):
        if tag in model.model_fields:
            return section.get(tag) in get_args(model.model_fields[tag].annotation)
    return True


@cache
def _examples() -> tuple[Any, ...]:
    reader = YAML(typ="safe")
    files = sorted((ROOT / "examples").glob("*.cabinet.yaml"))
    return tuple(reader.load(file.read_text(encoding="utf-8")) for file in files)


def _at(data: Any, path: Sequence[str]) -> Iterator[Any]:
    """Everything at a place; NAME stands for any key, and lists are gone through."""
    if isinstance(data, list):
        for one in data:
            yield from _at(one, path)
    elif not path:
        yield data
    elif isinstance(data, dict):
        for value in data.values() if path[0] == "NAME" else [data.get(path[0])]:
            yield from _at(value, path[1:])


def _flow(value: object) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_flow(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_flow(one) for one in value) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    return str(value) if _is_plain(value) else f'"{value}"'


def _is_plain(value: object) -> bool:
    """Whether YAML reads the value back from its bare text."""
    try:
        return bool(YAML(typ="safe").load(f"[{value}]") == [value])
    except YAMLError:
        return False


def _anchor(title: str) -> str:
    kept = [c for c in title.lower() if c.isalnum() or c in " -_"]
    return "".join(kept).replace(" ", "-")


__all__ = ["all_keys", "project_page"]
