"""The stock as a table and back. Source of the form: RFC 4180; of the guard: OWASP, "CSV Injection"."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.stock.pieces import board

from casewright.basics.errors import InputErrors
from casewright.stock.records import KINDS, fields_of_kind, read_record
from casewright.stock.shop import ShopStock
from casewright.stock.tables_csv import COLUMNS, rows_of_csv, stock_csv

LENGTHS = st.sampled_from(("600 mm", "600", "23 5/8 in", '3/4"', "1' 6 1/4\"", "1.8 cm"))
NAMES = st.one_of(
    st.sampled_from(
        ("=1+1", "-3.5", "+x", "@a", "'=b", "''-c", 'a "quoted", b', "Ærø ⌀ × ′", "a;b")
    ),
    st.text(st.characters(categories=("L", "N", "P", "Zs")), max_size=12),
)


@st.composite
def entries(draw: st.DrawFn) -> dict[str, Any]:
    kind = draw(st.sampled_from(tuple(KINDS)))
    data: dict[str, Any] = {"kind": kind, "count": draw(st.integers(1, 99)), "note": draw(NAMES)}
    data["label"] = draw(NAMES.filter(lambda text: bool(text.strip())))
    data["price"] = draw(st.sampled_from(("", "3.50", 12, 0.5)))
    if kind in ("sheet", "offcut"):
        data |= {"material": "plywood", "measured": draw(LENGTHS)}
        data |= {"length": draw(LENGTHS), "width": draw(LENGTHS)}
    elif kind == "length":
        data["length"] = draw(LENGTHS)
    elif kind == "paint":
        data |= {"coat": "clear", "can": draw(st.sampled_from((0.4, "0.25")))}
    elif kind == "tool":
        data |= {"tool": "flush trim", "diameter": draw(LENGTHS), "bearing": draw(LENGTHS)}
    return data


@settings(max_examples=12)
@given(rows=st.lists(entries(), max_size=5))
def test_what_goes_out_comes_in_again(
    rows: list[dict[str, Any]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.mktemp("stock")
    stock = ShopStock(str(folder / "a.sqlite"))
    stock.bring(rows)
    out = stock_csv(stock.entries())
    other = ShopStock(str(folder / "b.sqlite"))
    other.bring(rows_of_csv(out))
    assert [h.value for h in other.entries()] == [h.value for h in stock.entries()]
    assert stock_csv(other.entries()) == out
    # A second time nothing changes, and the journal tells nothing.
    told = other.journal()
    other.bring(rows_of_csv(out))
    assert other.journal() == told
    # No cell runs as a formula, whoever opens it.
    for row in csv.reader(io.StringIO(out.decode("utf-8-sig"), newline="")):
        for cell in row:
            assert not cell.startswith(("=", "+", "@", "\t", "\r")), cell
            assert not cell.startswith("-") or float(cell)


def test_it_is_written_as_the_standard_has_it(tmp_path: Path) -> None:
    """RFC 4180, 2: lines end in CRLF, cells with commas or quotes are quoted, quotes doubled, each line as long."""
    stock = ShopStock(str(tmp_path / "a.sqlite"))
    stock.add(board("A1", length='24"', note="a, b"))
    out = stock_csv(stock.entries())
    assert out.startswith(b"\xef\xbb\xbfmark,kind,count,")
    lines = out.decode("utf-8-sig").split("\r\n")
    assert lines[2:] == [""] and "\n" not in "".join(lines)
    assert '"24"""' in lines[1] and '"a, b"' in lines[1]


def test_every_field_of_every_kind_has_its_column() -> None:
    fields = {field for kind in KINDS for field in fields_of_kind(kind)}
    assert fields | {"mark", "kind", "count"} == set(COLUMNS)


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("", ["file"]),
        ("kind;mark\noffcut;A", ["line 1"]),
        ("kind,lenght\noffcut,3", ["line 1"]),
        ("kind,kind\noffcut,3", ["line 1"]),
        ("mark,count\nA1,3", ["line 1"]),
        ("kind,label\nhardware,a\nhardware,b,c", ["line 3"]),
        ('kind,label\nhardware,"a\nb"\nwood,c', ["line 2, column label", "line 4, column kind"]),
        ("kind,label,mark\nhardware,a,M\nhardware,b,M", ["line 3, column mark"]),
        (
            "kind,label,count\nhardware,a,few\n\nhardware,,2",
            ["line 2, column count", "line 4, column label"],
        ),
        ('kind,label\nhardware,"a', ["line 2"]),
        ('kind,label\nhardware,"a"b', ["line 2"]),
        ("kind,label\0\nhardware,a", ["file"]),
    ],
)
def test_what_cannot_be_read_is_told_by_line_and_column(text: str, fields: list[str]) -> None:
    with pytest.raises(InputErrors) as wrong:
        rows_of_csv(text.encode())
    assert [error.field for error in wrong.value.errors] == fields


def test_another_code_is_told_by_its_line() -> None:
    with pytest.raises(InputErrors) as wrong:
        rows_of_csv("kind,label\nhardware,Türgriff\n".encode("latin-1"))
    assert wrong.value.errors[0].field == "line 2"


def test_lengths_without_a_unit_are_in_the_one_given() -> None:
    text = b"kind,material,nominal,length,width\noffcut,plywood,1/2,24,12"
    row = rows_of_csv(text, unit="in")[0]
    record, written = read_record(row, unit="in")
    assert written["length"] == "24 in"
    assert record.length == pytest.approx(609.6)  # type: ignore[attr-defined]  # 24 × 25.4 mm
