"""Plain data as YAML text that reads back as the same data."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from casewright.projectfile.yamltext import HIDDEN, plain_scalar


def block_lines(
    value: dict[str, Any] | list[Any] | tuple[Any, ...], *, indent: int = 0
) -> Iterator[str]:
    """The lines of a group or list that is not empty; lists of plain values go in brackets.

    Example:
        >>> list(block_lines({"side": {"thickness": 18, "at": [0, 5]}}))
        ['side:', '  thickness: 18', '  at: [0, 5]']
    """
    pad = " " * indent
    group = isinstance(value, dict)
    for key, item in value.items() if isinstance(value, dict) else enumerate(value):
        head = scalar_text(str(key), in_flow=False) + ":" if group else "-"
        parts = item.values() if isinstance(item, dict) else item
        nested = isinstance(item, (list, tuple, dict)) and any(
            isinstance(part, (list, tuple, dict)) for part in parts
        )
        if isinstance(item, dict) and item and not group:
            first, *others = block_lines(item, indent=indent + 2)
            yield f"{pad}- {first[indent + 2 :]}"
            yield from others
        elif nested or (isinstance(item, dict) and item):
            yield f"{pad}{head}"
            yield from block_lines(item, indent=indent + 2)
        elif isinstance(item, str) and _LINES.fullmatch(item) and not HIDDEN.search(item):
            yield f"{pad}{head} |" + ("" if item.endswith("\n") else "-")
            for line in item.removesuffix("\n").split("\n"):
                yield f"{pad}  {line}" if line else ""
        else:
            yield f"{pad}{head} {flow_text(item)}"


def flow_text(value: Any) -> str:
    """A value of any kind on one line, groups in braces and lists in brackets.

    Example:
        >>> flow_text({"at": [1.5, "3/4 in"]})
        '{at: [1.5, 3/4 in]}'
    """
    if isinstance(value, dict):
        pairs = (f"{scalar_text(key, in_flow=True)}: {flow_text(v)}" for key, v in value.items())
        return "{" + ", ".join(pairs) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(map(flow_text, value)) + "]"
    return scalar_text(value, in_flow=True)


# Lines of text that a block may hold as they are.
_LINES = re.compile(
    r"[^\s\ufeff][^\r\t\x85\u2028\u2029\ufeff]*\n([^\r\t\x85\u2028\u2029\ufeff]*[^\s\ufeff])?\n?"
)
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


__all__ = ["block_lines", "flow_text", "scalar_text"]
