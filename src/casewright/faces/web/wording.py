"""How the page writes numbers, reasons and errors, in the unit that the page shows."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from casewright.basics.errors import (
    CasewrightError,
    InputError,
    InputErrors,
    OutputError,
    RefusedError,
)
from casewright.basics.findings import Severity
from casewright.basics.reckoning import Reckoning
from casewright.basics.sources import is_source, source_line
from casewright.basics.wording import capital, close_enough
from casewright.catalog.explaining import field_label

WriteLength = Callable[[float], str]

WORD = {Severity.STOP: "Stop", Severity.CAUTION: "Caution", Severity.NOTE: "Note"}


def written(value: float, unit: str, write_length: WriteLength) -> str:
    """A number with its unit."""
    if unit == "mm":
        return close_enough(value, write_length)
    if unit == "deg":
        return f"{value:z.1f}°"
    if unit == "kg":
        return f"{value:z.2f}\u202fkg" if abs(value) < 10 else f"{value:z.1f}\u202fkg"
    digits = f"{value:z.0f}" if value == round(value) else f"{value:z.2f}"
    return f"{digits}\u202f{unit}" if unit else digits


def value_of(number: Reckoning, write_length: WriteLength) -> str:
    """A reckoning's value."""
    return written(number.value, number.unit, write_length)


def reasons(number: Reckoning, write_length: WriteLength) -> list[tuple[str, str, str]]:
    """A number's terms: sign and count, what it is, its value."""
    rows = []
    for index, term in enumerate(number.terms):
        sign = "−" if term.times < 0 else "+" if index and not number.formula else ""
        times = "" if abs(term.times) == 1 else f"{abs(term.times):g} ×"
        value = written(term.value, term.unit_in(number), write_length)
        rows.append((f"{sign} {times}".strip(), term.label, value))
    return rows


def source_of(number: Reckoning) -> str:
    """Where a number's rule is from, in one line."""
    return source_line(number.source) if is_source(number.source) else number.source


def error_lines(error: CasewrightError) -> list[str]:
    """What went wrong, a sentence each, with the line of the file where there is one."""
    if isinstance(error, InputErrors):
        return [_sentence(one) for one in error.errors]
    if isinstance(error, InputError):
        return [_sentence(error)]
    if isinstance(error, OutputError):
        return [f"{capital(error.why)}. {error.remedy}"]
    return list(error.reasons) if isinstance(error, RefusedError) else [str(error)]


def _sentence(error: InputError) -> str:
    return f"Line {error.spot.line}: {error.text()}" if error.spot else error.text()


def measure_words(missing: str) -> str:
    """What to measure, in words, from paths of the project: "lit width, lit height of display".

    Example:
        >>> measure_words("parts.display.measured.lit_width, parts.display.measured.lit_height")
        'lit width and lit height of display'
        >>> measure_words("materials.board.measured")
        'thickness of board'
    """
    groups: dict[str, list[str]] = {}
    for path in missing.split(", "):
        steps = path.split(".")
        if len(steps) == 4 and steps[0] == "parts":
            groups.setdefault(steps[1], []).append(field_label(steps[3]))
        elif steps[0] == "materials" and len(steps) == 3:
            word = {"measured": "thickness", "sheets": "sheet sizes"}.get(steps[2], steps[2])
            groups.setdefault(steps[1], []).append(word)
        else:
            groups.setdefault("", []).append(path.replace("_", " "))
    said = []
    for owner, names in groups.items():
        listed = ", ".join(names[:-1]) + (" and " if names[1:] else "") + names[-1]
        said.append(f"{listed} of {owner}" if owner else listed)
    return "; ".join(said)


def ago(then: datetime, now: datetime | None = None) -> str:
    """How long ago, roughly: "12 s ago"."""
    seconds = max(0, int(((now or datetime.now(UTC)) - then).total_seconds()))
    if seconds < 3:
        return "just now"
    if seconds < 60:
        return f"{seconds} s ago"
    if seconds < 3600:
        return f"{seconds // 60} min ago"
    if seconds < 86_400:
        return f"{seconds // 3600} h ago"
    days = seconds // 86_400
    return "yesterday" if days == 1 else f"{days} days ago"


__all__ = [
    "WORD",
    "WriteLength",
    "ago",
    "error_lines",
    "measure_words",
    "reasons",
    "source_of",
    "value_of",
    "written",
]
