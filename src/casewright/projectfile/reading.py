"""Plain data becomes a frozen model, or a list of all that is wrong with it, each at its place.

A pydantic error names the place of a value by a path that also holds names of union members. The
walk here follows the model's types beside that path, so that it ends at the right line and knows
which keys would have been right there.
"""

from __future__ import annotations

import re
import types
from collections.abc import Iterable, Iterator, Mapping
from difflib import get_close_matches
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.fields import INPUT_ERROR
from casewright.basics.units import quoted
from casewright.design.base import ONCE
from casewright.projectfile.examples import example_of
from casewright.projectfile.yamltext import KeyPath, LoadedDocument

MOST_ERRORS = 200
"""Further ones are left for the next run."""

Model = TypeVar("Model", bound=BaseModel)


def read_model(
    document: LoadedDocument, model: type[Model], *, context: Mapping[str, object] | None = None
) -> Model:
    """Return a document's data as a model.

    Args:
        document: What was read from the file.
        model: The pydantic model.
        context: For the validators; `{"unit": "in"}` for lengths without a unit.

    Raises:
        InputErrors: All that is wrong, in the order of the file.
    """
    try:
        return model.model_validate(document.data, context={ONCE: model, **(context or {})})
    except ValidationError as error:
        details = error.errors(include_url=False)[: 5 * MOST_ERRORS]
    except InputError as error:  # raised bare by a model's own validator
        at = document.path(error.field)
        raise InputErrors([error.at(document.spot(at))]) from None
    found = [_located(document, model, detail) for detail in details if not _follows(detail)]
    raise InputErrors(_in_order(document, found)[:MOST_ERRORS])


def _follows(detail: ErrorDetails) -> bool:
    """True for a list or group that is only too short because what is in it was refused, which is told there."""
    given = detail["input"]
    long_enough = isinstance(given, (list, tuple, Mapping)) and len(given) >= detail.get(
        "ctx", {}
    ).get("min_length", 0)
    return detail["type"] == "too_short" and long_enough


def _located(
    document: LoadedDocument, model: type[BaseModel], detail: ErrorDetails
) -> tuple[KeyPath, str, InputError]:
    """The path in the file, the kind of error, and the error in our words."""
    path, kinds, below = _walk(document.data, model, detail["loc"])
    kind = detail["type"]
    context: dict[str, Any] = detail.get("ctx", {})
    if kind == INPUT_ERROR:
        inner = context["field"]
        if inner:
            path = document.path(".".join(map(str, (*path, inner))))
        got, want, example = context["got"], context["want"], context["example"]
    elif kind == "extra_forbidden":
        got, want, example = _parted_number(document, path) or _unknown_key(
            str(path[-1]), _known_keys(kinds)
        )
    elif kind == "missing":
        in_list = isinstance(path[-1], int)
        want = f"a value at place {int(path[-1]) + 1} of the list" if in_list else "this key"
        got = "nothing"
        example = example_of(kinds, _key_of(path[:-1], ())) if in_list else _keyed(path[-1], below)
    elif kind in ("union_tag_invalid", "union_tag_not_found"):
        tag = str(context["discriminator"]).strip("'")
        path = (*path, tag)
        got, want, example = _tag(context if "expected_tags" in context else _tags(below, tag))
        example = f"{tag}: {example}" if kind == "union_tag_not_found" and example else example
    else:
        got, want, example = _plain_words(detail, context)
        if kind.endswith(_OF_MANY):
            owner = next((one.__name__ for one in _members(kinds) if _is_model(one)), "")
            example = example_of(below, _key_of(path, kinds), of=owner) or example
    if kind in ("missing", "union_tag_not_found"):
        spot = document.spot(path[:-1], at_key=True)
    else:
        at_key = kind == "extra_forbidden" or detail["loc"][-1:] == ("[key]",)
        spot = document.spot(path, at_key=at_key)
    field = ".".join(map(str, path))
    return path, kind, InputError(field, got=got, want=want, example=example, spot=spot)


def _in_order(
    document: LoadedDocument, found: Iterable[tuple[KeyPath, str, InputError]]
) -> list[InputError]:
    """By line; what only follows from another error left out, alternatives put together."""
    kept: dict[tuple[KeyPath, str], InputError] = {}
    hints: set[KeyPath] = set()
    for path, kind, error in found:
        if kind == "extra_forbidden" and error.example:
            hints.add((*path[:-1], error.example))
        group = "missing" if kind == "missing" else "extra" if kind == "extra_forbidden" else ""
        earlier = kept.get((path, group))
        if earlier is None:
            kept[path, group] = error
        elif error.want not in earlier.want:
            kept[path, group] = InputError(
                error.field,
                got=earlier.got,
                want=f"{earlier.want}, or {error.want}",
                example=earlier.example,
                spot=earlier.spot,
            )
    # A misspelled key is reported once, not also as missing.
    errors = [e for (path, group), e in kept.items() if group != "missing" or path not in hints]

    def place(error: InputError) -> tuple[int, int, str]:
        assert error.spot is not None
        return error.spot.line, error.spot.column, error.field

    return sorted(errors, key=place)


def _parted_number(document: LoadedDocument, path: KeyPath) -> tuple[str, str, str] | None:
    """What to say of `{measured: 11,8}`, where the comma parts the number in two and makes a key of its end."""
    group: Any = document.data
    for step in path[:-1]:
        group = _item(group, step)
    if not isinstance(group, dict) or not re.fullmatch(r"\d+( ?[a-z]+|\")?", str(path[-1])):
        return None
    before = list(group)[: list(group).index(path[-1])] if path[-1] in group else []
    start = group[before[-1]] if before else None
    if group.get(path[-1]) is not None or isinstance(start, bool) or not isinstance(start, int):
        return None
    return (
        f"the key {quoted(str(path[-1]))} after {before[-1]}: {start}",
        "a point for the decimals: within { } a comma begins another key",
        f"{before[-1]}: {start}.{path[-1]}",
    )


def _unknown_key(key: str, known: list[str]) -> tuple[str, str, str]:
    got = f"the unknown key {quoted(key)}"
    lower = {name.lower(): name for name in known}
    near = get_close_matches(key[:64].lower().replace("-", "_"), lower, n=1)
    if near:
        return got, f"a known key; the nearest is “{lower[near[0]]}”", lower[near[0]]
    return got, f"one of {', '.join(known)}" if known else "no key here", ""


def _tag(context: Mapping[str, Any]) -> tuple[str, str, str]:
    """What to say of the key that tells the members of a union apart."""
    tags = str(context.get("expected_tags", "")).replace("'", "")
    got = quoted(context["tag"]) if "tag" in context else "nothing"
    return got, f"one of {tags}" if tags else "this key", _nearest(context.get("tag"), tags)


def _tags(kinds: Iterable[Any], tag: str) -> Mapping[str, Any]:
    """What a key that tells groups apart may say, as pydantic has it for a wrong one."""
    models = [kind for kind in _members(kinds) if _is_model(kind) and tag in kind.model_fields]
    tags = (one for kind in models for one in get_args(kind.model_fields[tag].annotation))
    return {"expected_tags": ", ".join(map(str, tags))}


def _nearest(given: object, choices: str) -> str:
    """Of choices in words, "a, b or c", the one that is most like what was given; the first where none is."""
    known = [one for one in re.split(r", | or ", choices) if one]
    near = get_close_matches(str(given)[:64].lower(), known, n=1) if given else []
    return (near or known or [""])[0]


def _walk(
    data: Any, model: type[BaseModel], loc: tuple[int | str, ...]
) -> tuple[KeyPath, list[Any], list[Any]]:
    """The path in the file, the types that the group around its end may have, and those of what stands there."""
    path: list[str | int] = []
    kinds: list[Any] = [model]
    around = kinds
    for step in loc:
        kinds = list(_members(kinds))
        if step == "[key]" and path:
            break
        if len(kinds) > 1:
            labeled = _labeled(kinds, step)
            if labeled or not _is_inside(data, kinds, step):
                kinds = labeled or kinds
                continue
        written = _as_written(data, kinds, step)
        path.append(written)
        around, kinds = kinds, list(_below(kinds, step))
        data = _item(data, written)
    return tuple(path), around, kinds


def _key_of(path: KeyPath, kinds: Iterable[Any]) -> str:
    """The last key of a path, where it is a model's own [of any, if no kinds are given] and no name by the maker."""
    name = str(path[-1]) if path and isinstance(path[-1], str) else ""
    kinds = list(kinds)
    return name if not kinds or name in _known_keys(kinds) else ""


def _keyed(key: int | str, below: list[Any]) -> str:
    value = example_of(below, str(key))
    return f"{key}: {value}" if value else ""


_OF_MANY = (
    "list_type",
    "tuple_type",
    "dict_type",
    "model_type",
    "model_attributes_type",
    "too_short",
    "too_long",
)
"""Kinds of errors about lists and groups, whose example is made from what they hold."""


def _members(kinds: Iterable[Any]) -> Iterator[Any]:
    """The types themselves, out of `Annotated`, unions and `| None`."""
    for kind in kinds:
        origin = get_origin(kind)
        if origin is Annotated:
            yield from _members(get_args(kind)[:1])
        elif origin in (Union, types.UnionType):
            yield from _members(get_args(kind))
        elif kind is not type(None):
            yield kind


def _is_model(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, BaseModel)


def _labeled(kinds: list[Any], label: int | str) -> list[Any]:
    """The members of a union that go by a label: their tag, or their class's name."""
    named = [kind for kind in kinds if getattr(kind, "__name__", None) == label]
    if named or not all(map(_is_model, kinds)):
        return named
    tags = [
        {
            name: get_args(field.annotation)
            for name, field in kind.model_fields.items()
            if get_origin(field.annotation) is Literal
        }
        for kind in kinds
    ]
    shared = set.intersection(*map(set, tags))
    return [
        kind
        for kind, own in zip(kinds, tags, strict=True)
        if any(label in own[name] for name in shared)
    ]


def _is_inside(data: Any, kinds: list[Any], step: int | str) -> bool:
    """Whether a step leads into the data rather than naming a member of a union."""
    if isinstance(data, list):
        return isinstance(step, int)
    return isinstance(data, dict) and (step in data or step in _known_keys(kinds))


def _known_keys(kinds: Iterable[Any]) -> list[str]:
    models = [kind for kind in _members(kinds) if _is_model(kind)]
    keys = [field.alias or name for model in models for name, field in model.model_fields.items()]
    return list(dict.fromkeys(keys))


def _below(kinds: Iterable[Any], step: int | str) -> Iterator[Any]:
    """The types of what stands under a key or at a list position."""
    for kind in kinds:
        arguments = get_args(kind)
        if _is_model(kind):
            for name, field in kind.model_fields.items():
                if step in (name, field.alias):
                    yield field.annotation
        elif get_origin(kind) is dict:
            yield arguments[1]
        elif get_origin(kind) is tuple and isinstance(step, int) and arguments[-1] is not Ellipsis:
            yield from arguments[step : step + 1]
        elif arguments and isinstance(step, int):
            yield arguments[0]


def _as_written(data: Any, kinds: Iterable[Any], step: int | str) -> int | str:
    """The key as the file has it: pydantic names a field by its alias even if the file does not."""
    if isinstance(data, dict) and step not in data:
        for kind in filter(_is_model, kinds):
            names: dict[str, Any] = kind.model_fields
            for name in names:
                if step == names[name].alias and name in data:
                    return name
    return step


def _item(data: Any, step: int | str) -> Any:
    if isinstance(data, dict):
        return data.get(step)
    if isinstance(data, list) and isinstance(step, int) and step < len(data):
        return data[step]
    return None


_EXAMPLES = {
    "int": "2",
    "float": "1.5",
    "string": '"Left side"',
    "bool": "true",
    "list": "[120, 40]",
    "tuple": "[120, 40]",
    "dict": "{width: 10, height: 20}",
    "model": "{width: 10, height: 20}",
}
_WANTED = {
    "int": "a whole number",
    "float": "a number",
    "string": "text, in quotes if need be",
    "bool": "true or false",
    "list": "a list: values in [ ], or lines that start with -",
    "tuple": "a list: values in [ ], or lines that start with -",
    "dict": "a group of keys",
    "model": "a group of keys",
}
_BOUNDS = {
    "greater_than": ("more than", "gt"),
    "greater_than_equal": ("at least", "ge"),
    "less_than": ("less than", "lt"),
    "less_than_equal": ("at most", "le"),
    "multiple_of": ("a multiple of", "multiple_of"),
}


def _plain_words(detail: ErrorDetails, context: Mapping[str, Any]) -> tuple[str, str, str]:
    """What pydantic found, what it wants, and an example, in our words."""
    kind, got = detail["type"], quoted(detail["input"])
    if kind in _BOUNDS:
        word, key = _BOUNDS[kind]
        return got, f"{word} {context[key]}", str(context[key]) if key in ("ge", "le") else ""
    if kind in ("literal_error", "enum"):
        expected = str(context["expected"]).replace("'", "")
        like = _nearest(detail["input"], expected)
        return got, expected if expected == like else f"one of {expected}", like
    if kind in ("too_short", "too_long"):
        most = kind == "too_long"
        count = context["max_length" if most else "min_length"]
        things = detail["input"]
        got = f"{got} of {len(things)}" if got == "a list" and hasattr(things, "__len__") else got
        many = f"{count} {'at most' if most else 'or more'}"
        return (
            got,
            f"a group of {many} keys" if isinstance(things, Mapping) else f"a list of {many}",
            "",
        )
    if kind in ("string_too_long", "string_too_short"):
        most = kind == "string_too_long"
        count = context["max_length" if most else "min_length"]
        return got, f"text of at {'most' if most else 'least'} {count} characters", ""
    if kind == "finite_number":
        return got, "a number", ""
    stem = kind.split("_")[0]
    if stem in _WANTED and kind.endswith(("_type", "_parsing", "_from_float", "_attributes_type")):
        return got, _WANTED[stem], _EXAMPLES[stem]
    return got, detail["msg"][:1].lower() + detail["msg"][1:], ""


__all__ = ["MOST_ERRORS", "read_model"]
