"""Edits as pages ask for them: a path and a value, the groups on the way made where they are missing."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeAlias

from casewright.basics.errors import InputError
from casewright.basics.units import quoted
from casewright.projectfile.editing import Removal, Value
from casewright.projectfile.yamltext import KeyPath

DEEPEST = 30
"""Levels a value may have; a project file has ten."""

Edits: TypeAlias = Mapping[KeyPath, Value | Removal]
"""New values by their place in the file; `REMOVE` takes one out."""


def with_groups(data: Mapping[str, Any], edits: Edits) -> dict[KeyPath, Value | Removal]:
    """The edits with groups put around values whose own group is not in the file yet.

    Raises:
        InputError: A path or a value is none that a file can hold.
    """
    result: dict[KeyPath, Value | Removal] = {}
    for path, value in edits.items():
        check_path(path)
        if isinstance(value, Removal):
            result[path] = value
            continue
        check_depth(path, value)
        depth = _depth_in(data, path)
        rest = path[depth + 1 :]
        if not rest or any(isinstance(step, int) for step in rest):
            result[path] = value
            continue
        nested: Any = value
        for step in reversed(rest):
            nested = {step: nested}
        at = path[: depth + 1]
        earlier = result.get(at)
        result[at] = _merged(earlier, nested) if isinstance(earlier, dict) else nested
    return result


def check_path(path: object) -> None:
    """Refuse what is no path of keys and list positions.

    Raises:
        InputError: It is none.
    """
    good = isinstance(path, tuple) and 0 < len(path) <= DEEPEST
    if not good or not all(
        isinstance(step, str | int) and not isinstance(step, bool)
        for step in path  # type: ignore[attr-defined]
    ):
        raise InputError("", got=quoted(repr(path)), want="a path of keys and list positions")


def check_depth(path: KeyPath, value: object) -> None:
    """Refuse values nested deeper than a project file can be.

    Raises:
        InputError: It is nested too deep.
    """
    layer: list[object] = [value]
    for _ in range(DEEPEST):
        layer = [
            inner
            for item in layer
            for inner in (
                item.values()
                if isinstance(item, dict)
                else item
                if isinstance(item, list | tuple)
                else ()
            )
        ]
        if not layer:
            return
    field = ".".join(map(str, path))
    raise InputError(field, got="groups in groups", want=f"at most {DEEPEST} levels")


def named(edits: Edits) -> str:
    """What a step is called when nobody gave it a name: the last words of its path."""
    if len(edits) != 1:
        return f"change {len(edits)} values"
    (path, value), *_ = edits.items()
    verb = "remove" if isinstance(value, Removal) else "set"
    return f"{verb} {'.'.join(str(step) for step in path)}"


def _depth_in(data: Mapping[str, Any], path: KeyPath) -> int:
    """How many steps of a path lead through groups and lists that are there."""
    here: Any = data
    for depth, step in enumerate(path):
        if not isinstance(here, dict | list):
            return len(path)  # a value stands where a group would be needed: left as it is
        if isinstance(here, dict):
            is_there = here.get(step) is not None
        else:
            is_there = isinstance(step, int) and 0 <= step < len(here)
        if not is_there:
            return depth
        here = here[step]  # type: ignore[index]
    return len(path)


def _merged(a: dict[str, Any], b: dict[str, Any]) -> dict[str, Any]:
    result = dict(a)
    for key, value in b.items():
        old = result.get(key)
        both = isinstance(old, dict) and isinstance(value, dict)
        result[key] = _merged(result[key], value) if both else value
    return result


__all__ = ["DEEPEST", "Edits", "check_depth", "check_path", "named", "with_groups"]
