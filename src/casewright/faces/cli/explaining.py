"""`casewright why`."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from rich.text import Text

from casewright.basics.errors import CasewrightError
from casewright.basics.reckoning import Reckoning
from casewright.basics.sources import is_source, source_line
from casewright.basics.wording import close_enough
from casewright.faces.cli.exit_codes import FINE
from casewright.faces.cli.speaking import console, print_json, say_error
from casewright.workflow import explain, open_project, work_out


def explain_number(
    file: Path, number: str | None, *, as_json: bool, catalogs: Sequence[Path]
) -> int:
    """Say where a number comes from, or list all numbers."""
    try:
        worked = work_out(open_project(file, catalogs=catalogs))
        wanted = [explain(worked, number)] if number else list(worked.every_number.values())
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    write = worked.opened.write_length
    if as_json:
        rows = [_data(one) for one in wanted]
        print_json(rows[0] if number else rows)
        return FINE
    out = console()
    for one in wanted:
        lines = (
            reckoning_lines(one, write)
            if number
            else [f"{one.key}  {_value(one.value, one.unit, write)}"]
        )
        for line in lines:
            out.print(Text(line))
    return FINE


def reckoning_lines(one: Reckoning, write_length: Callable[[float], str]) -> list[str]:
    """The explanation of a number, a line each."""
    lines = [f"{one.key} = {_value(one.value, one.unit, write_length)}", f"  {one.label}"]
    if one.formula:
        lines.append(f"  by {one.formula}")
    for index, term in enumerate(one.terms):
        sign = "−" if term.times < 0 else "+" if index and not one.formula else " "
        times = "" if abs(term.times) == 1 else f"{abs(term.times):g} × "
        value = _value(term.value, term.unit_in(one), write_length)
        lines.append(f"    {sign} {times}{term.label} {value}")
    if one.rule:
        lines.append(f"  Rule: {one.rule}")
    source = source_line(one.source) if is_source(one.source) else one.source
    lines.append(f"  Source: {source}")
    return lines


def _value(value: float, unit: str, write_length: Callable[[float], str]) -> str:
    if unit == "mm":
        return close_enough(value, write_length)
    if unit == "deg":
        return f"{value:z.1f}°"
    return (
        f"{value:z.2f} {unit}".rstrip()
        if value != round(value)
        else f"{value:z.0f} {unit}".rstrip()
    )


def _data(one: Reckoning) -> dict[str, object]:
    return {
        "key": one.key,
        "label": one.label,
        "value": one.value,
        "unit": one.unit,
        "formula": one.formula or None,
        "terms": [
            {
                "label": t.label,
                "value": t.value,
                "times": t.times,
                "unit": t.unit_in(one) or None,
                "key": t.key or None,
            }
            for t in one.terms
        ],
        "rule": one.rule or None,
        "source": one.source,
    }


__all__ = ["explain_number", "reckoning_lines"]
