"""What is typed into a box becomes a value for the project file: a number, or text with its unit."""

from __future__ import annotations

import re

from casewright.basics.units import Unit
from casewright.workflow import REMOVE, Removal, Value

_BARE = re.compile(r"[-−+]?[0-9½¼¾⅛⅜⅝⅞][0-9½¼¾⅛⅜⅝⅞\s./⁄\u00a0\u202f-]*")
_DECIMAL = re.compile(r"[-+]?[0-9]+(\.[0-9]+)?")


def entered_length(text: str, *, shown: Unit, project: Unit) -> Value | Removal:
    """A length as typed into a box that shows `shown`, for a file in `project`; nothing typed takes it out.

    Example:
        >>> entered_length("125", shown="mm", project="mm"), entered_length("3/4", shown="in", project="mm")
        (125, '3/4 in')
    """
    text = _plain(text)
    if not text:
        return REMOVE
    if not _BARE.fullmatch(text):
        return text
    if shown != project:
        return f"{text} {shown}"
    return _number(text)


def entered_value(text: str) -> Value | Removal:
    """Any other value: a number where it is one, else text; nothing typed takes it out.

    Example:
        >>> entered_value("3.2"), entered_value("M4"), entered_value("250 g")
        (3.2, 'M4', '250 g')
    """
    text = _plain(text)
    return _number(text) if text else REMOVE


def _plain(text: str) -> str:
    return text.replace("\u202f", " ").replace("\u00a0", " ").replace("−", "-").strip()


def _number(text: str) -> Value:
    if not _DECIMAL.fullmatch(text) or len(text) > 15:
        return text
    value = float(text)
    return int(value) if value.is_integer() and "." not in text else value


__all__ = ["entered_length", "entered_value"]
