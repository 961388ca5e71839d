"""Walking the annotations of models' fields: members of unions, marks of annotated types."""

from __future__ import annotations

import types
from collections.abc import Iterable, Iterator
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic.fields import FieldInfo


def annotated(info: FieldInfo) -> Any:
    """A field's type with its marks."""
    annotation: Any = info.annotation
    return Annotated[(annotation, *info.metadata)] if info.metadata else annotation


def members(kind: Any) -> Iterator[Any]:
    """A type without its marks; of a union, each of its members."""
    if get_origin(kind) is Annotated:
        yield from members(get_args(kind)[0])
    elif get_origin(kind) in (Union, types.UnionType):
        for member in get_args(kind):
            yield from members(member)
    else:
        yield kind


def leaves(kind: Any) -> Iterable[object]:
    """Marks of a type and of the members of a union."""
    if get_origin(kind) is Annotated:
        inner, *marks = get_args(kind)
        yield from marks
        yield from leaves(inner)
    elif get_origin(kind) in (Union, types.UnionType):
        for member in get_args(kind):
            yield from leaves(member)


__all__ = ["annotated", "leaves", "members"]
