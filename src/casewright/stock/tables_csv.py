"""The stock as a table for spreadsheets and back: CSV as RFC 4180 has it, lengths as they were written."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from typing import Any, Final

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.units import Unit, quoted
from casewright.outputs.exports.tables import table_csv
from casewright.stock.entering import read_entry
from casewright.stock.records import KINDS, Held

COLUMNS: Final = (
    "mark",
    "kind",
    "count",
    "label",
    "material",
    "species",
    "nominal",
    "measured",
    "length",
    "width",
    "height",
    "grain",
    "color",
    "type",
    "coat",
    "can",
    "tool",
    "kerf",
    "tilt_most",
    "diameter",
    "cutting_length",
    "bearing",
    "place",
    "price",
    "note",
)
"""All fields of all kinds."""
LARGEST_BYTES: Final = 2_000_000
MOST_ROWS: Final = 10_000
MOST_ERRORS: Final = 200

_GUARDED = re.compile(r"'+[=+\-@\t\r\n]")
"""A cell that begins as a defused one does."""


def stock_csv(entries: Iterable[Held]) -> bytes:
    """Write entries as a table; a cell that a spreadsheet could run as a formula begins with an apostrophe."""
    rows = []
    for held in entries:
        values = {**held.written, "mark": held.mark, "count": str(held.count)}
        rows.append([_guarded(str(values.get(name, ""))) for name in COLUMNS])
    return table_csv(COLUMNS, rows)


def rows_of_csv(data: bytes, *, unit: Unit = "mm") -> list[dict[str, Any]]:
    """Read a table of entries, as `stock_csv` writes it or as people make it; columns may be left out.

    Args:
        data: The file.
        unit: Of lengths that name none.

    Returns:
        Entries for `ShopStock.bring`.

    Raises:
        InputErrors: All that cannot be used, each with its line and column.
    """
    lines = _lines(data)
    head = _head(lines[0][1])
    rows: list[dict[str, Any]] = []
    errors: list[InputError] = []
    marks: dict[str, int] = {}
    for line, cells in lines[1:]:
        if not any(cell.strip() for cell in cells):
            continue
        if any(cell.strip() for cell in cells[len(head) :]):
            want = f"at most {len(head)}, as the first line names them"
            errors.append(InputError(f"line {line}", got=f"{len(cells)} cells", want=want))
            continue
        row = {name: _plain(cell) for name, cell in zip(head, cells, strict=False) if cell.strip()}
        mark = row.get("mark", "").strip()
        if mark and mark in marks:
            want = f"each mark once; this one stands in line {marks[mark]}"
            errors.append(InputError(f"line {line}, column mark", got=quoted(mark), want=want))
        marks.setdefault(mark, line)
        try:
            read_entry(row, unit)
        except InputErrors as wrong:
            errors += [_placed(error, line) for error in wrong.errors]
        rows.append(row)
        if len(errors) > MOST_ERRORS:
            break
    if errors:
        raise InputErrors(errors[:MOST_ERRORS])
    return rows


def _lines(data: bytes) -> list[tuple[int, list[str]]]:
    """Rows with the lines they begin on, from 1."""
    if len(data) > LARGEST_BYTES:
        raise InputErrors([_whole(f"{len(data)} bytes", f"at most {LARGEST_BYTES}")])
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        want = "text in UTF-8; spreadsheets call it “CSV UTF-8”"
        raise InputErrors(
            [InputError(f"line {line}", got="signs of another code", want=want)]
        ) from None
    if "\0" in text:
        raise InputErrors([_whole("a file of another kind", "a table as CSV")])
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    lines: list[tuple[int, list[str]]] = []
    begun = 1
    try:
        for cells in reader:
            lines.append((begun, cells))
            begun = reader.line_num + 1
            if len(lines) > MOST_ROWS + 1:
                raise InputErrors([_whole("more rows", f"at most {MOST_ROWS}")])
    except csv.Error as error:
        want = "cells parted by commas, quotes within them doubled (RFC 4180)"
        raise InputErrors(
            [InputError(f"line {begun}", got=str(error), want=want, example='"3/4"""')]
        ) from None
    if not lines or not any(cell.strip() for cell in lines[0][1]):
        raise InputErrors([_whole("an empty file", "the columns' names in the first line")])
    return lines


def _head(cells: Sequence[str]) -> list[str]:
    names = [_plain(cell).strip().lower().replace(" ", "_") for cell in cells]
    while names and not names[-1]:
        names.pop()
    errors = []
    if len(names) == 1 and ";" in names[0]:
        want = "cells parted by commas"
        raise InputErrors([InputError("line 1", got="cells parted by semicolons", want=want)])
    for name in names:
        if name not in COLUMNS:
            near = get_close_matches(name, COLUMNS, n=1)
            errors.append(
                InputError(
                    "line 1",
                    got=f"the column {quoted(name)}",
                    want="one of " + ", ".join(COLUMNS),
                    example=near[0] if near else "",
                )
            )
    for name in sorted({name for name in names if names.count(name) > 1}):
        errors.append(InputError("line 1", got=f"the column {quoted(name)} twice", want="it once"))
    if "kind" not in names:
        want = "a column kind, with one of " + ", ".join(KINDS) + " in each row"
        errors.append(InputError("line 1", got="no column kind", want=want))
    if errors:
        raise InputErrors(errors)
    return names


def _placed(error: InputError, line: int) -> InputError:
    return InputError(
        f"line {line}, column {error.field}", got=error.got, want=error.want, example=error.example
    )


def _whole(got: str, want: str) -> InputError:
    return InputError("file", got=got, want=want)


def _guarded(cell: str) -> str:
    """A text that looks defused, as it would if it were."""
    return f"'{cell}" if _GUARDED.match(cell) else cell


def _plain(cell: str) -> str:
    """The text of a cell that may be defused."""
    return cell[1:] if _GUARDED.match(cell) else cell


__all__ = ["COLUMNS", "LARGEST_BYTES", "MOST_ROWS", "rows_of_csv", "stock_csv"]
