"""Entries of the stock as labels, each length in the unit it was written in."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from urllib.parse import quote

from casewright.basics.units import LengthStyle, Unit, format_length
from casewright.outputs.documents.labels import Label, label_script
from casewright.outputs.documents.tiles import Paper
from casewright.stock.records import (
    BoardRecord,
    Held,
    LengthRecord,
    PaintRecord,
    ToolRecord,
)

STOCK_PATH = "/stock"
"""Begins the path of a piece's page on the server at the bench."""


def labels_pdf(entries: Iterable[Held], paper: Paper, *, address: str = "") -> bytes:
    """Set the labels of entries. Same entries, same bytes.

    Args:
        entries: In the order they are printed.
        paper: The sheets in the printer.
        address: Of the server that phones at the bench find, "http://192.168.1.5:8080"; without it the codes hold the
            command that tells of the piece.

    Raises:
        InputError: There are no entries, or too many for one file.
    """
    return label_script([label_of(held, address=address) for held in entries], paper).pdf()


def label_of(held: Held, *, address: str = "") -> Label:
    """What stands on the label of an entry."""
    record = held.record
    board = record if isinstance(record, BoardRecord) else None
    lines = [f"Place: {record.place}"] if record.place else []
    if held.count > 1:
        lines.append(f"{held.count} of these")
    if held.origin:
        lines.append(f"from {held.origin}")
    if record.note:
        lines.append(record.note)
    return Label(
        mark=held.mark,
        name=record.name,
        size=size_of(held),
        lines=tuple(lines[:3]),
        holds=code_of(held.mark, address),
        sides=(board.length, board.width) if board else None,
        grain=board is not None and board.grain == "length",
    )


def code_of(mark: str, address: str = "") -> str:
    """What the square code of a piece holds.

    Example:
        >>> code_of("C17"), code_of("C17", "http://192.168.1.5:8080")
        ('casewright stock show C17', 'http://192.168.1.5:8080/stock/C17')
    """
    return f"{address}{STOCK_PATH}/{quote(mark)}" if address else f"casewright stock show {mark}"


def size_of(held: Held, unit: Unit | None = None) -> str:
    """An entry's size in words: length × width × thickness; in the unit its length was written in, if none is given."""
    record, written = held.record, held.written

    def style(name: str) -> LengthStyle:
        inch = written.get(name, "").rstrip().endswith(("in", '"', "'", "ft", "″", "′"))
        return LengthStyle("in" if (unit == "in" if unit else inch) else "mm", denominator=64)

    def joined(*names: str) -> str:
        shown: list[str] = []
        styles = [style(name) for name in names]
        for name, own, later in zip(names, styles, [*styles[1:], None], strict=True):
            same = later is not None and later.unit == own.unit
            shown.append(format_length(getattr(record, name), own, with_unit=not same))
        return " × ".join(shown)

    if isinstance(record, BoardRecord):
        return joined("length", "width", "nominal" if record.measured is None else "measured")
    if isinstance(record, LengthRecord):
        return joined(*(n for n in ("length", "width", "height") if getattr(record, n) is not None))
    if isinstance(record, PaintRecord):
        return f"{record.can:g} l" if record.can else ""
    if isinstance(record, ToolRecord):
        return _tool_size(record, joined)
    return ""


def _tool_size(record: ToolRecord, write: Callable[[str], str]) -> str:
    words = []
    if record.kerf is not None:
        words.append(f"kerf {write('kerf')}")
    if record.tilt_most is not None:
        words.append(f"tilts to {record.tilt_most:g}°")
    if record.diameter is not None:
        words.append(f"⌀ {write('diameter')}")
    if record.cutting_length:
        words.append(f"cuts {write('cutting_length')}")
    if record.bearing:
        words.append(f"bearing {write('bearing')}")
    return ", ".join(words)


__all__ = ["STOCK_PATH", "code_of", "label_of", "labels_pdf", "size_of"]
