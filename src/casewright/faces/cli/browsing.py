"""`casewright catalog` and `casewright schema`."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches
from pathlib import Path

from rich import box
from rich.table import Table
from rich.text import Text

from casewright.basics.errors import CasewrightError, InputError
from casewright.basics.units import LengthStyle, format_length
from casewright.catalog.explaining import explain_type
from casewright.catalog.load import CatalogType
from casewright.faces.cli.speaking import console, print_json, say_error
from casewright.workflow import read_catalogs, schema_of_projects, schema_of_results


def browse_catalog(
    words: Sequence[str], *, unit: str, as_json: bool, catalogs: Sequence[Path]
) -> int:
    """List types, or explain the one that is named."""
    try:
        if unit not in ("mm", "in"):
            raise InputError("--unit", got=unit, want="mm or in", example="mm")
        catalog = read_catalogs(catalogs)
        style = LengthStyle("in" if unit == "in" else "mm")
        if len(words) == 1 and words[0] in catalog.types:
            _explain(catalog.types[words[0]], style, as_json=as_json)
            return 0
        found = [t for t in catalog.types.values() if _matches(t, words)]
        if not found:
            near = get_close_matches("-".join(words), list(catalog.types), 3, 0.3)
            raise InputError(
                "type",
                got=" ".join(words),
                want="a catalog type or words of its label, such as "
                + ", ".join(near or ["button"]),
                example=near[0] if near else "button",
            )
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        print_json([{"key": t.key, "kind": t.kind, "label": t.data.label} for t in found])
        return 0
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    for title in ("type", "kind", "what it is"):
        table.add_column(title)
    for one in found:
        table.add_row(one.key, one.kind, Text(one.data.label))
    console().print(table)
    console().print(Text("casewright catalog TYPE explains one."))
    return 0


def print_schema(*, results: bool) -> int:
    """Print a JSON Schema."""
    print_json(schema_of_results() if results else schema_of_projects())
    return 0


def _matches(one: CatalogType, words: Sequence[str]) -> bool:
    text = f"{one.key} {one.kind} {one.data.label} {one.explains}".lower()
    return all(word.lower() in text for word in words)


def _explain(one: CatalogType, style: LengthStyle, *, as_json: bool) -> None:
    rows = explain_type(one, lambda length: format_length(length, style))
    if as_json:
        print_json(
            {
                "key": one.key,
                "kind": one.kind,
                "label": one.data.label,
                "explains": one.explains,
                "fields": [
                    {"field": r.field, "value": r.value, "source": r.source, "meaning": r.meaning}
                    for r in rows
                ],
            }
        )
        return
    out = console()
    out.print(Text(f"{one.key}: {one.data.label} ({one.kind})", style="bold"))
    if one.explains:
        out.print(Text(one.explains))
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    for title in ("field", "value", "where it is from"):
        table.add_column(title, overflow="fold")
    for row in rows:
        table.add_row(Text(row.field), Text(row.value), Text(row.source))
    out.print(table)


__all__ = ["browse_catalog", "print_schema"]
