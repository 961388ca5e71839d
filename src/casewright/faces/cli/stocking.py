"""`casewright stock`: entries, labels and tables."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from rich import box
from rich.table import Table
from rich.text import Text

from casewright.basics.errors import CasewrightError, InputError, InputErrors, OutputError
from casewright.basics.units import Unit
from casewright.basics.wording import counted
from casewright.faces.cli.exit_codes import FINE
from casewright.faces.cli.speaking import console, print_json, say_error
from casewright.session.stocking import open_stock
from casewright.stock.labels import labels_pdf, size_of
from casewright.stock.records import KINDS, Held
from casewright.stock.tables_csv import rows_of_csv, stock_csv
from casewright.workflow import bench_address_named, paper_named, save_bytes


def list_entries(kinds: Sequence[str], *, used_up: bool, address: str | None, as_json: bool) -> int:
    """List what there is."""
    try:
        for kind in kinds:
            if kind not in KINDS:
                raise InputError("--kind", got=kind, want="one of " + ", ".join(KINDS))
        stock = open_stock(address)
        held = stock.entries(kinds=kinds, used_up=used_up)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        print_json({"stock": stock.address, "entries": [entry_data(one) for one in held]})
        return FINE
    print_entries(held)
    console().print(Text(f"{counted(len(held), 'entry', 'entries')} in {stock.address}"))
    return FINE


def show_entry(mark: str, *, address: str | None, as_json: bool) -> int:
    """Tell all of one entry, and what happened to it."""
    try:
        stock = open_stock(address)
        held, told = stock.entry(mark), stock.journal(mark=mark)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        lines = [
            {
                "what": m.what,
                "change": m.change,
                "project": m.project,
                "who": m.who,
                "moment": m.moment,
                "layout": m.acceptance,
            }
            for m in told
        ]
        print_json({**entry_data(held), "journal": lines})
        return FINE
    out = console()
    out.print(Text(f"{held.mark}: {held.record.name}, {size_of(held)}".rstrip(", "), style="bold"))
    out.print(Text(f"{held.count} of them" if held.count else "used up"))
    for name, value in held.written.items():
        if name not in ("kind", "label"):
            out.print(Text(f"  {name.replace('_', ' ')}: {value}"))
    if held.origin:
        out.print(Text(f"  from {held.origin}"))
    for move in told:
        project = f" for “{move.project}”" if move.project else ""
        out.print(Text(f"{move.moment}  {move.what} {move.change:+} by {move.who}{project}"))
    return FINE


def add_entry(
    kind: str, fields: Sequence[str], *, unit: str, address: str | None, who: str, as_json: bool
) -> int:
    """Put an entry in."""
    try:
        data = {"kind": kind, **_fields(fields)}
        held = open_stock(address, who=who).add(data, unit=_unit(unit))
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    return _told(held, "is in the stock", as_json)


def change_entry(
    mark: str, fields: Sequence[str], *, unit: str, address: str | None, who: str, as_json: bool
) -> int:
    """Change fields of an entry."""
    try:
        data = _fields(fields)
        for fixed in ("mark", "kind"):
            if fixed in data:
                want = "other fields: an entry keeps its mark and kind"
                raise InputError(fixed, got=data[fixed], want=want)
        held = open_stock(address, who=who).change(mark, data, unit=_unit(unit))
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    return _told(held, "is changed", as_json)


def remove_entry(mark: str, *, address: str | None, who: str, as_json: bool) -> int:
    """Take an entry out of the list."""
    try:
        open_stock(address, who=who).remove(mark)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        print_json({"removed": mark})
    else:
        console().print(Text(f"{mark} is out of the list."))
    return FINE


def take_pieces(
    mark: str,
    count: int,
    *,
    project: str,
    back: bool,
    address: str | None,
    who: str,
    as_json: bool,
) -> int:
    """Take pieces by hand, or put them back."""
    try:
        stock = open_stock(address, who=who)
        held = (
            stock.put_back(mark, count) if back else stock.take(mark, count, project=project[:80])
        )
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    return _told(held, f"has {held.count} left" if not back else f"has {held.count} now", as_json)


def write_labels(
    marks: Sequence[str],
    *,
    out: Path,
    paper: str,
    bench: str | None,
    address: str | None,
    as_json: bool,
) -> int:
    """Write a sheet of labels."""
    try:
        sheets = paper_named(paper)
        lead = bench_address_named(bench) if bench else ""
        stock = open_stock(address)
        held = tuple(stock.entry(mark) for mark in marks)
        held = held or stock.entries(kinds=("sheet", "offcut"))
        data = labels_pdf(held, sheets, address=lead)
        save_bytes(out, data)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        print_json({"file": str(out), "labels": [one.mark for one in held]})
    else:
        console().print(Text(f"{counted(len(held), 'label')} for {sheets.name}: {out}"))
    return FINE


def write_table(out: Path, *, force: bool, address: str | None, as_json: bool) -> int:
    """Write all of it as CSV."""
    try:
        held = open_stock(address).entries()
        if out.exists() and not force:
            raise OutputError(
                str(out), why="it exists already", remedy="Choose another --out, or add --force."
            )
        save_bytes(out, stock_csv(held))
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        print_json({"file": str(out), "entries": len(held)})
    else:
        console().print(Text(f"{counted(len(held), 'entry', 'entries')}: {out}"))
    return FINE


def read_table(table: Path, *, unit: str, address: str | None, who: str, as_json: bool) -> int:
    """Read a CSV table, all of it or nothing."""
    try:
        try:
            data = table.read_bytes()
        except OSError as error:
            raise InputError(
                "table", got=f"{table} ({error.strerror})", want="a file that can be read"
            ) from None
        length_unit = _unit(unit)
        rows = rows_of_csv(data, unit=length_unit)
        held = open_stock(address, who=who).bring(rows, unit=length_unit)
    except InputErrors as errors:
        return say_error(InputErrors(e.inside(table.name) for e in errors.errors), as_json=as_json)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        print_json({"entries": [entry_data(one) for one in held]})
    else:
        console().print(Text(f"{counted(len(held), 'entry', 'entries')} from {table}."))
    return FINE


# ---- for all commands ----


def print_entries(held: Iterable[Held]) -> None:
    """A table of entries."""
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    for title in ("mark", "what", "size", "count", "place", "price"):
        table.add_column(title, justify="right" if title in ("count", "price") else "left")
    for one in held:
        price = f"{one.record.price:.2f}" if one.record.price else ""
        name = one.record.name if one.record.kind != "offcut" else f"{one.record.name}, offcut"
        table.add_row(
            one.mark, Text(name), Text(size_of(one)), str(one.count), Text(one.record.place), price
        )
    console().print(table)


def entry_data(held: Held) -> dict[str, Any]:
    """An entry as plain data: as written, and its lengths in millimeters."""
    record = held.record
    lengths = {name: getattr(record, name) for name in type(record).lengths}
    return {
        "mark": held.mark,
        "count": held.count,
        "name": record.name,
        "size": size_of(held),
        **held.written,
        "mm": {name: value for name, value in lengths.items() if value is not None},
        "origin": held.origin,
    }


def _told(held: Held, words: str, as_json: bool) -> int:
    if as_json:
        print_json(entry_data(held))
    else:
        size = size_of(held)
        comma = f", {size}" if size else ""
        console().print(Text(f"{held.mark} {words}: {held.record.name}{comma}."))
    return FINE


def _fields(texts: Sequence[str]) -> dict[str, str]:
    """Values by field, from FIELD=VALUE."""
    data: dict[str, str] = {}
    for text in texts:
        name, sign, value = text.partition("=")
        if not sign or not name.strip():
            raise InputError("field", got=text, want="FIELD=VALUE", example="length=600mm")
        data[name.strip().replace("-", "_")] = value.strip()
    return data


def _unit(text: str) -> Unit:
    for unit in ("mm", "cm", "m", "in"):
        if text == unit:
            return unit
    raise InputError("--unit", got=text, want="mm, cm, m or in", example="mm")


__all__ = [
    "add_entry",
    "change_entry",
    "entry_data",
    "list_entries",
    "print_entries",
    "read_table",
    "remove_entry",
    "show_entry",
    "take_pieces",
    "write_labels",
    "write_table",
]
