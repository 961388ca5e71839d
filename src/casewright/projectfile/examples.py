"""An example of what belongs at a place of the file, made from the types of its model."""

from __future__ import annotations

import types
from collections.abc import Iterable, Mapping
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel

_DEEPEST = 4
"""Groups within groups that an example shows at most."""

_BY_NAME: Mapping[str, str] = {
    "at": "[0, 0, 0]",
    "back": "[[0, 0], [40, 20]]",
    "batten": "{width: 20, height: 20}",
    "between": "[deck, lip]",
    "board": "ply12",
    "corners": "{A: [0, 0], B: [300, 0], C: [300, 200], D: [0, 150]}",
    "depth": "200",
    "diameter": "30",
    "end": "[280, 100]",
    "have": "{4.0 × 30: 120}",
    "height": "200",
    "key": "button1",
    "label": "visitor",
    "length": "600",
    "material": "ply12",
    "materials": "{ply12: {kind: plywood, nominal: 12}}",
    "measured": "{hole: 30}",
    "name": "Radio cabinet",
    "nominal": "12",
    "on": "deck",
    "points": "[[0, 0], [40, 0], [40, 20]]",
    "Fixings.prices": "{4.0 × 30: 0.05}",
    "WiringWishes.prices": "{0.75 mm²: 0.4}",
    "run": "A-B",
    "show": "[[0, 0], [40, 20]]",
    "side": "{material: ply12}",
    "size": "[300, 200]",
    "sizes": "[6, 8, 10]",
    "start": "[12, 100]",
    "steps done": "{panel.deck: 2027-03-05 14:30}",
    "steps_done": "{panel.deck: 2027-03-05 14:30}",
    "u": "100",
    "v": "100",
    "width": "300",
}
"""What a type alone does not tell, by key; where a key means two things, by its group's class and key."""

_PLAIN: Mapping[type, str] = {bool: "true", int: "2", float: "18", str: "deck"}


_PLACE = ("120", "40", "20")
"""Lengths side by side: a place."""


def example_of(kinds: Iterable[Any], name: str = "", *, of: str = "") -> str:
    """What may stand under a key of that name, as it is written in a file; empty where nobody knows.

    Args:
        kinds: The types that it may have.
        name: The key; empty in a list.
        of: Name of the class that the group with that key is of, where it is known.

    Example:
        >>> example_of([tuple[float, float]]), example_of([dict[str, bool]])
        ('[120, 40]', '{deck: true}')
    """
    if f"{of}.{name}" in _BY_NAME:
        return _BY_NAME[f"{of}.{name}"]
    for kind in kinds:
        found = _example(kind, name, 0)
        if found:
            return found
    return ""


def _example(kind: Any, name: str, depth: int) -> str:
    if get_origin(kind) is Annotated:
        return _example(get_args(kind)[0], name, depth)
    if get_origin(kind) in (Union, types.UnionType):
        members = [one for one in get_args(kind) if one is not type(None)]
        return next((found for one in members if (found := _example(one, name, depth))), "")
    if get_origin(kind) is Literal:
        return str(get_args(kind)[0])
    known = _BY_NAME.get(name, "")
    if known and known.startswith(("[", "{")) is _is_many(kind) and not _is_list_of_groups(kind):
        return known
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return _group(kind, depth)
    inner = [one for one in get_args(kind) if one is not Ellipsis]
    if get_origin(kind) in (tuple, list) and depth < _DEEPEST:
        values = [_example(one, "", depth + 1) for one in inner]
        if get_origin(kind) is tuple and all(value == _PLAIN[float] for value in values):
            values = list(_PLACE[: len(values)])
        return f"[{', '.join(values)}]" if all(values) else ""
    if get_origin(kind) is dict and depth < _DEEPEST:
        key, value = (_example(one, "", depth + 1) for one in inner)
        return f"{{{key}: {value}}}" if key and value else ""
    return _PLAIN.get(kind, "")


def _is_many(kind: Any) -> bool:
    """True for a list or a group."""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return True
    return get_origin(kind) in (tuple, list, dict)


def _is_list_of_groups(kind: Any) -> bool:
    inner = [one for one in get_args(kind) if isinstance(one, type)]
    return get_origin(kind) in (tuple, list) and any(issubclass(o, BaseModel) for o in inner)


def _group(model: type[BaseModel], depth: int) -> str:
    """The keys that have to be there; the first one where none has to."""
    if depth >= _DEEPEST:
        return ""
    needed = [pair for pair in model.model_fields.items() if pair[1].is_required()]
    pairs = []
    for key, field in needed or list(model.model_fields.items())[:1]:
        value = _BY_NAME.get(f"{model.__name__}.{key}") or _example(
            field.annotation, key, depth + 1
        )
        if not value:
            return ""
        pairs.append(f"{field.alias or key}: {value}")
    return f"{{{', '.join(pairs)}}}"


__all__ = ["example_of"]
