"""Values of remedies as the maker reads them: what a text shows is what would pass."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, get_args

from casewright.basics.findings import Finding, Remedy, mm
from casewright.basics.units import LengthStyle, shown_beyond
from casewright.design.base import Section
from casewright.design.writing import length_style
from casewright.geometry.model import Cabinet


def writable(finding: Finding, cabinet: Cabinet) -> Finding:
    """Return the finding with lengths to write that show as they are in the project's unit.

    A length that its text shows and that is rounded on paper would stop short of what is asked. It is taken to the
    next one that shows, away from the value that the file has now. Where that is not known, it stays.
    """
    style = length_style(cabinet.project)
    remedies = tuple(_rounded(remedy, cabinet, style) for remedy in finding.remedies)
    return finding if remedies == finding.remedies else replace(finding, remedies=remedies)


def _rounded(remedy: Remedy, cabinet: Cabinet, style: LengthStyle) -> Remedy:
    if not remedy.field or remedy.value is None:
        return remedy
    text = remedy.text
    values: list[tuple[str, float | str]] = []
    for field, value in ((remedy.field, remedy.value), *remedy.also):
        if not isinstance(value, str) and mm(value) in text:
            now = _value_now(cabinet, field)
            to = value if now is None else shown_beyond(value, style, up=value > now)
            text = text.replace(mm(value), mm(to))
            values.append((field, to))
        else:
            values.append((field, value))
    return replace(remedy, text=text, value=values[0][1], also=tuple(values[1:]))


def _value_now(cabinet: Cabinet, field: str) -> float | None:
    """The length that a field of the project has now; None if it is worked out or is no length. [mm]"""
    steps = field.split(".")
    here: Any = cabinet.project
    if steps[0] == "parts" and steps[2:3] in (["measured"], ["assumed"]):
        known = cabinet.parts.get(steps[1])
        here, steps = (known.data if known else None), steps[3:]
    for step in steps:
        if isinstance(here, Mapping):
            here = here.get(step)
        elif isinstance(here, tuple):
            here = here[int(step)] if step.isdigit() and int(step) < len(here) else None
        else:
            value = getattr(here, step, None)
            here = _unsaid(here, step) if value is None and isinstance(here, Section) else value
    return float(here) if isinstance(here, int | float) and not isinstance(here, bool) else None


def _unsaid(section: Section, step: str) -> Section | None:
    """The group that a file leaves out, with its usual values; None if the field holds no group."""
    field = type(section).model_fields.get(step)
    kinds = get_args(field.annotation) if field else ()
    found = [kind for kind in kinds if isinstance(kind, type) and issubclass(kind, Section)]
    wanted = [
        kind for kind in found if not any(f.is_required() for f in kind.model_fields.values())
    ]
    return wanted[0]() if wanted else None


__all__ = ["writable"]
