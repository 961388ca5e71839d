"""What stands in the boxes of a form, and what is made of what is typed into them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from casewright.basics.errors import InputError, InputErrors
from casewright.faces.web.bench import Bench
from casewright.faces.web.entering import entered_value
from casewright.faces.web.views.naming import names_for
from casewright.session.describing import Field
from casewright.workflow import REMOVE, Edits, KeyPath, Removal, Value

BETWEEN = ";"
"""Between several lengths in one box; a comma may stand in a number."""
USUAL = "–"
"""Said where nothing is chosen."""
FILL_IN = "Fill this in."
"""Said beside a box that may not be left empty."""

YES_NO = {"yes": "yes", "no": "no"}


def shown(bench: Bench, field: Field, value: Any) -> str:
    """A value as it stands in its box."""
    if value is None:
        return ""
    if field.sort == "yes or no":
        return "yes" if value else "no"
    if field.sort == "length":
        return bench.figure(value)
    if field.sort == "number":
        return number_words(value)
    if field.sort == "several":
        return f"{BETWEEN} ".join(bench.figure(one) for one in value)
    if field.sort == "points":
        return "\n".join(f"{bench.figure(u)}{BETWEEN} {bench.figure(v)}" for u, v in value)
    return str(value)


def number_words(value: float) -> str:
    """A bare number as it stands in its box: to a thousandth, small ones by three figures.

    Example:
        >>> number_words(0.54431084), number_words(1250000.0), number_words(0.0283495), number_words(8)
        ('0.544', '1250000', '0.0283', '8')
    """
    if value and abs(value) < 0.1:
        return f"{value:.3g}"
    return f"{value:.3f}".rstrip("0").rstrip(".")


def typed(bench: Bench, field: Field, text: str) -> Value | Removal:
    """What was typed or chosen, as the file will hold it."""
    text = text.strip()
    if not text:
        return REMOVE
    if field.sort == "yes or no":
        return text == "yes"
    if field.sort == "choice":
        return next((choice for choice in field.choices if str(choice) == text), text)
    if field.sort == "length":
        return bench.typed_length(text)
    if field.sort == "number":
        return entered_value(text)
    if field.sort == "several":
        return lengths(bench, text)
    if field.sort == "points":
        return [lengths(bench, line) for line in text.splitlines() if line.strip()]
    return text


def lengths(bench: Bench, text: str) -> list[Any]:
    """Several lengths in one line."""
    return [bench.typed_length(one) for one in text.split(BETWEEN) if one.strip()]


def choices_of(bench: Bench, field: Field) -> Mapping[str, str] | None:
    """Words to choose from by value; None where the value is typed."""
    if field.sort == "yes or no":
        return YES_NO
    if field.sort == "choice":
        words = {str(choice): str(choice) for choice in field.choices}
    else:
        known = names_for(bench, field.name) if field.sort == "key" else None
        if known is None:
            return None
        words = dict(known)
    return {"": USUAL, **words} if field.may_be_left else words


def suffix_of(bench: Bench, field: Field) -> str:
    """The unit that stands in the box."""
    if field.sort in ("length", "several", "points", "place"):
        return bench.style.unit
    if field.unit == "money":
        return bench.opened.project.currency if bench.opened else ""
    return {"deg": "°"}.get(field.unit, field.unit)


async def kept(bench: Bench, edits: Edits, label: str) -> list[str]:
    """Make an edit; what is wrong with it, in words for beside the box."""
    return [words for _, words in await refused(bench, lambda: bench.session.edit(edits, label))]


async def refused(bench: Bench, change: Callable[[], object]) -> list[tuple[str, str]]:
    """Change the session: nothing, or each field that is wrong with what is wrong about it."""
    errors: list[InputError] = []

    def careful() -> None:
        try:
            change()
        except InputErrors as found:
            errors.extend(found.errors)

    others = await bench.do(careful)
    return [(error.field, beside(error)) for error in errors] + [("", line) for line in others]


def beside(error: InputError) -> str:
    """An error in words for beside its box, where line and field need no naming."""
    example = f" Such as {error.example}." if error.example else ""
    return f"Found {error.got}; expected {error.want}.{example}"


def given_path(path: KeyPath) -> str:
    """A place of the project as one word."""
    return ".".join(str(step) for step in path)


__all__ = [
    "BETWEEN",
    "FILL_IN",
    "USUAL",
    "YES_NO",
    "beside",
    "choices_of",
    "given_path",
    "kept",
    "lengths",
    "number_words",
    "refused",
    "shown",
    "suffix_of",
    "typed",
]
