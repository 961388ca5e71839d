"""Kinds of bought part with their dimensions, the catalog's types of each, and what is sold by sheet, length, box."""

from __future__ import annotations

import inspect
from dataclasses import replace

from casewright.basics.sources import source_line
from casewright.basics.units import LengthStyle, format_length
from casewright.catalog.explaining import field_label, field_unit, write_value
from casewright.catalog.explaining_stock import explain_stock
from casewright.catalog.kinds import KINDS
from casewright.catalog.load import CatalogType, load_catalog
from casewright.catalog.stock import Stock
from making.markdown import code, head, page, sentence, table

INTRODUCTION = (
    "A *kind* says what to measure. A *type* of the catalog gives usual values of generic trade sizes, any of which "
    "`measured` in the project goes before. `casewright catalog TYPE` tells every value with its source; "
    "`--catalog FILE` adds types of your own ([how](../../CONTRIBUTING.md)).",
)
STOCK_INTRODUCTION = (
    "What the trade sells by the sheet, the length and the box. A material's `species`, a batten's size and a screw's "
    "name lead here. Thickness by name and as calipers find it are two things: the measured one counts.",
)


def parts_page() -> str:
    """The page of kinds and types."""
    catalog = load_catalog()
    lines = head("Bought parts", *INTRODUCTION)
    lines += ["Kinds: " + ", ".join(f"[{kind}](#{kind})" for kind in KINDS) + ".", ""]
    for kind, model in KINDS.items():
        lines += [f"## {kind}", "", (inspect.getdoc(model) or "").replace("\n", " "), ""]
        rows = []
        for name, field in model.model_fields.items():
            if name in ("kind", "label"):
                continue
            usual = "*needed*" if field.is_required() else _usual(kind, name, field.get_default())
            unit = {"mm": "length", "deg": "degrees"}.get(field_unit(kind, name), "")
            means = sentence(field.description or "")
            rows.append((code(name), means, unit or field_unit(kind, name), usual))
        lines += table(("dimension", "means", "unit", "if no type gives it"), rows)
        types = [entry for entry in catalog.types.values() if entry.kind == kind]
        lines += (
            table(
                ("type", "what it is", "sources"),
                [(code(one.key), one.data.label, sources_of(one)) for one in types],
            )
            if types
            else ["No types in the catalog: its sizes are yours.", ""]
        )
    return page(lines)


def stock_page() -> str:
    """The page of sheet goods, battens and screws."""
    catalog = load_catalog()
    lines = head("Sheet goods, battens, screws", *STOCK_INTRODUCTION)
    groups: tuple[tuple[str, tuple[Stock, ...]], ...] = (
        ("Sheet goods", tuple(catalog.species.values())),
        ("Battens", tuple(catalog.battens.values())),
        ("Wood screws", tuple(catalog.screws.values())),
    )
    for title, goods in groups:
        lines += [f"## {title}", ""]
        for one in goods:
            lines += [f"### {one.label}", "", f"Written as {code(one.key)}.", ""]
            told = [row for row in explain_stock(one, _length) if row.field != "color"]
            told += [
                replace(row, label=f"{row.label}, where inches are used")
                for row in explain_stock(one, _inches, "in")
                if getattr(one, f"{row.field}_inch", ())
            ]
            lines += table(
                ("property", "value", "source"),
                [(row.label, row.value, row.source) for row in told],
            )
    return page(lines)


def sources_of(entry: CatalogType) -> str:
    """The different sources of a type's values, the one for most of them first."""
    keys = dict.fromkeys([entry.sources.get("*", ""), *entry.sources.values()])
    return "; ".join(source_line(key) for key in keys if key)


def _usual(kind: str, name: str, value: object) -> str:
    if value is None:
        return "not known"
    if value in (0, 0.0, "") and not isinstance(value, bool):
        return "none"
    return write_value(kind, name, value, _length)


def _length(length: float) -> str:
    return format_length(length, LengthStyle("mm"))


def _inches(length: float) -> str:
    return format_length(length, LengthStyle("in"))


__all__ = ["field_label", "parts_page", "sources_of", "stock_page"]
