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
from casewright.basics.wording import capital
from casewright.catalog.explaining import explain_type
from casewright.catalog.explaining_stock import explain_stock, kind_of_stock
from casewright.catalog.load import CatalogType
from casewright.catalog.stock import Stock
from casewright.faces.cli.exit_codes import BAD_INPUT, FINE
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
        style = LengthStyle("in", denominator=64) if unit == "in" else LengthStyle("mm")
        goods: dict[str, CatalogType | Stock] = {
            **catalog.types,
            **catalog.species,
            **catalog.battens,
            **catalog.screws,
        }
        if len(words) == 1 and words[0] in goods:
            _explain(goods[words[0]], style, as_json=as_json)
            return FINE
        found = [one for one in goods.values() if _matches(one, words)]
        if not found:
            near = get_close_matches("-".join(words), list(goods), 3, 0.3)
            raise InputError(
                "type",
                got=" ".join(words),
                want="a catalog entry or words of its label, such as "
                + ", ".join(near or ["button"]),
                example=near[0] if near else "button",
            )
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        print_json([{"key": one.key, "kind": _kind(one), "label": _label(one)} for one in found])
        return FINE
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    for title in ("entry", "kind", "what it is"):
        table.add_column(title)
    for one in found:
        table.add_row(one.key, _kind(one), Text(_label(one)))
    console().print(table)
    console().print(Text("casewright catalog ENTRY explains one."))
    return FINE


def print_schema(*, results: bool, server: bool) -> int:
    """Print a JSON Schema, or the OpenAPI description of the local server."""
    if results and server:
        say_error(
            InputError(
                "--server",
                got="--results too",
                want="one of the two",
                example="casewright schema --server",
            )
        )
        return BAD_INPUT
    if server:
        from casewright.faces.web.described import server_description

        print_json(server_description())
    else:
        print_json(schema_of_results() if results else schema_of_projects())
    return FINE


def _kind(one: CatalogType | Stock) -> str:
    return one.kind if isinstance(one, CatalogType) else kind_of_stock(one)


def _label(one: CatalogType | Stock) -> str:
    return one.data.label if isinstance(one, CatalogType) else one.label


def _matches(one: CatalogType | Stock, words: Sequence[str]) -> bool:
    explains = one.explains if isinstance(one, CatalogType) else ""
    text = f"{one.key} {_kind(one)} {_label(one)} {explains}".lower()
    return all(word.lower() in text for word in words)


def _explain(one: CatalogType | Stock, style: LengthStyle, *, as_json: bool) -> None:
    def write(length: float) -> str:
        return format_length(length, style)

    rows = (
        explain_type(one, write)
        if isinstance(one, CatalogType)
        else explain_stock(one, write, style.unit)
    )
    explains = one.explains if isinstance(one, CatalogType) else ""
    if as_json:
        print_json(
            {
                "key": one.key,
                "kind": _kind(one),
                "label": _label(one),
                "explains": explains,
                "fields": [
                    {"field": r.field, "value": r.value, "source": r.source, "meaning": r.meaning}
                    for r in rows
                ],
            }
        )
        return
    out = console()
    out.print(Text(f"{one.key}: {_label(one)} ({_kind(one)})", style="bold"))
    if explains:
        out.print(Text(explains))
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    for title in ("field", "value", "what it is", "where it is from"):
        table.add_column(title, overflow="fold")
    for row in rows:
        meaning = row.meaning or f"{capital(row.label)}."
        table.add_row(Text(row.field), Text(row.value), Text(meaning), Text(row.source))
    out.print(table)


__all__ = ["browse_catalog", "print_schema"]
