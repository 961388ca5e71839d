"""Entries as they are handed in: mark and count beside the record."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.units import Unit, quoted
from casewright.stock.records import MOST, Record, read_record


def read_entry(data: Mapping[str, Any], unit: Unit) -> tuple[str, int, Record, Mapping[str, Any]]:
    """Return mark ("" for none), count and record of an entry, and the record as written.

    Raises:
        InputErrors: All that cannot be used.
    """
    errors: list[InputError] = []
    rest = {name: value for name, value in data.items() if name not in ("mark", "count")}
    mark, count = "", 1
    try:
        mark = _mark(data.get("mark"))
    except InputError as error:
        errors.append(error)
    try:
        count = _count(data.get("count"))
    except InputError as error:
        errors.append(error)
    try:
        record, written = read_record(rest, unit=unit)
    except InputErrors as wrong:
        raise InputErrors([*errors, *wrong.errors]) from None
    if errors:
        raise InputErrors(errors)
    return mark, count, record, written


def _mark(value: Any) -> str:
    text = str(value or "").strip()
    good = len(text) <= 40 and text.isascii() and text.replace("-", "a").replace("_", "a").isalnum()
    if text and not (good and text[0].isalnum()):
        want = (
            "a mark of at most 40 letters (a to z), digits, - or _, starting with a letter or digit"
        )
        raise InputError("mark", got=quoted(text), want=want, example="C17")
    return text


def _count(value: Any) -> int:
    text = "1" if value is None or value == "" else str(value).strip()
    if not (text.isascii() and text.isdigit() and len(text) < 6 and int(text) <= MOST):
        want = f"a whole number from 0 to {MOST}"
        raise InputError("count", got=quoted(value), want=want, example="2")
    return int(text)


__all__ = ["read_entry"]
